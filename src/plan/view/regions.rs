//! The overview of regions by body part. What is known of a region stands on its own page.

use super::parts::{Frame, Link};
use super::region::{here, link, tag_word};
use crate::model::region::{Group, RegionId, regions};
use crate::plan::site::Site;
use crate::plan::words;
use serde::Serialize;

/// View of `regions.html`.
#[derive(Debug, Serialize)]
pub struct Regions {
    /// Frame.
    pub frame: Frame,
    /// Parts of the body.
    pub parts: Vec<PartView>,
}

/// A part of the body.
#[derive(Debug, Serialize)]
pub struct PartView {
    /// Name.
    pub name: GroupName,
    /// Its regions, those of a group inside it under the name of that group.
    pub groups: Vec<GroupView>,
}

/// Name of a group.
#[derive(Debug, Serialize)]
pub struct GroupName {
    /// Id.
    pub id: String,
    /// Name.
    pub text: String,
    /// Latin name.
    pub latin: String,
}

/// Regions of one group.
#[derive(Debug, Serialize)]
pub struct GroupView {
    /// Name; none for the regions that belong to the part itself.
    pub name: Option<GroupName>,
    /// Regions.
    pub rows: Vec<Row>,
}

/// A region.
#[derive(Debug, Serialize)]
pub struct Row {
    /// Id, by which the row is found.
    pub id: String,
    /// Its page.
    pub link: Link,
    /// Latin name.
    pub latin: String,
    /// Tags.
    pub tags: Vec<String>,
    /// How much is on its page, in words.
    pub counts: String,
}

impl Regions {
    /// Lists all regions.
    pub fn new(site: &Site<'_>) -> Regions {
        let groups = regions().groups();
        let part = |g: &Group| {
            let inside = groups.iter().filter(|i| i.within.as_deref() == Some(&*g.id));
            let inside = inside.map(|i| GroupView { name: Some(name(i)), rows: rows(site, i) });
            PartView { name: name(g), groups: std::iter::once(GroupView { name: None, rows: rows(site, g) }).chain(inside).collect() }
        };
        Regions { frame: site.frame("Regions"), parts: groups.iter().filter(|g| g.within.is_none()).map(part).collect() }
    }
}

fn name(group: &Group) -> GroupName {
    GroupName { id: group.id.clone(), text: words::capital(&group.name), latin: group.latin.clone() }
}

fn rows(site: &Site<'_>, group: &Group) -> Vec<Row> {
    regions().ids().filter(|id| regions().get(*id).group == group.id).map(|id| row(site, id)).collect()
}

fn row(site: &Site<'_>, id: RegionId) -> Row {
    let region = regions().get(id);
    let counts = [
        count(here::flags(site, id).len(), "red flag"),
        count(here::muscles(site, id).len(), "muscle"),
        count(here::zones(site, id).len(), "zone"),
    ];
    Row {
        id: region.id.clone(),
        link: link(site, id),
        latin: region.latin.clone(),
        tags: region.tags.iter().map(|t| tag_word(*t)).collect(),
        counts: counts.join(", "),
    }
}

fn count(n: usize, word: &str) -> String {
    match n {
        0 => format!("no {word}"),
        1 => format!("1 {word}"),
        n => format!("{n} {word}s"),
    }
}
