//! The menu: what there is to open, grouped by what somebody comes for. Nothing of a page stands here.

use super::route;
use super::site::Site;
use super::view::evidence::KINDS;
use crate::model::Kind;
use serde::Serialize;

/// An entry.
#[derive(Debug, Clone, Serialize)]
pub struct MenuItem {
    /// Words.
    pub text: &'static str,
    /// Address.
    pub href: String,
    /// `page` on the page itself, `true` on a page of its folder.
    pub here: Option<&'static str>,
    /// True for what a wide screen shows without opening the menu.
    pub first: bool,
}

/// Entries that belong together.
#[derive(Debug, Clone, Serialize)]
pub struct MenuGroup {
    /// What they are for.
    pub label: &'static str,
    /// Entries.
    pub items: Vec<MenuItem>,
}

/// What an entry leads to.
enum To {
    /// A shared page, its words, true if a wide screen shows it at once.
    Page(&'static str, &'static str, bool),
    /// The list of a kind, true if a wide screen shows it at once.
    List(Kind, bool),
}
use To::{List, Page};

/// The groups with all their entries, in order.
fn groups() -> [(&'static str, Vec<To>); 5] {
    [
        (
            "Before treating",
            vec![
                Page(super::view::screening::TITLE, route::SCREENING, true),
                List(Kind::Flag, true),
                List(Kind::Condition, false),
                Page("Finder", route::FINDER, true),
            ],
        ),
        (
            "Treating",
            vec![
                List(Kind::Protocol, true),
                List(Kind::Session, false),
                List(Kind::Technique, false),
                List(Kind::Position, false),
                List(Kind::Measure, false),
                Page("Cards", route::ALL_CARDS, true),
                Page("Check a card", route::CARD_CHECK, false),
            ],
        ),
        (
            "Looking up",
            vec![
                List(Kind::Muscle, true),
                Page("Regions", route::REGIONS, false),
                Page("A to Z", route::A_TO_Z, true),
                Page("Glossary", route::GLOSSARY, false),
                List(Kind::Page, false),
            ],
        ),
        ("Teaching", vec![Page("Course", route::COURSE, false), Page("Coverage", route::COVERAGE, false)]),
        (
            "Auditing",
            vec![
                Page("Evidence", route::EVIDENCE, false),
                Page("How sure", route::WORDING, false),
                List(Kind::Source, false),
                Page("Dossier", route::DOSSIER, false),
                Page("Errata", route::ERRATA, false),
                Page("Editions", route::EDITIONS, false),
                Page("Design of the pages", route::DESIGN, false),
            ],
        ),
    ]
}

/// The menu of a page.
pub fn menu(site: &Site<'_>) -> Vec<MenuGroup> {
    let group = |(label, all): (&'static str, Vec<To>)| MenuGroup { label, items: all.iter().filter_map(|to| item(site, to)).collect() };
    groups().into_iter().map(group).filter(|g| !g.items.is_empty()).collect()
}

fn item(site: &Site<'_>, to: &To) -> Option<MenuItem> {
    let some = |kind: Kind| site.catalog.docs(kind).next().is_some();
    let (text, path, first) = match *to {
        Page(text, path, first) => (text, path.to_string(), first),
        List(kind, first) => (route::heading(kind), route::list(kind), first),
    };
    let there = match *to {
        List(kind, _) => some(kind),
        Page(_, route::EVIDENCE, _) => KINDS.into_iter().any(some),
        Page(_, route::ALL_CARDS | route::CARD_CHECK, _) => some(Kind::Protocol),
        Page(..) => true,
    };
    let folder = path.strip_suffix("index.html").filter(|f| !f.is_empty());
    let here = if site.path == path { Some("page") } else { folder.filter(|f| site.path.starts_with(f)).map(|_| "true") };
    there.then(|| MenuItem { text, href: site.to(&path), here, first })
}
