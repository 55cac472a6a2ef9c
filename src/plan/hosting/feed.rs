//! What changed, newest first, as an Atom feed (RFC 4287): editions with their reasons, approvals by day and role, what
//! was taken out of use.
//!
//! Every date is one that stands in the pack, so the same pack makes the same feed on any day.

use super::super::route;
use crate::compute::Facts;
use crate::model::docs::{Approval, Pack};
use crate::model::{Catalog, DocName, DocRef};
use crate::plan::site::Site;
use crate::plan::view::standing;
use jiff::civil::Date;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Most entries. A reader asks a feed what is new; everything is in the ledger.
const MOST: usize = 200;

/// View of `feed.xml`.
#[derive(Debug, Serialize)]
pub struct Feed {
    /// Title of the site.
    pub title: String,
    /// What the site is for and what it is not.
    pub notice: String,
    /// Address of the start page.
    pub home: String,
    /// Address of the feed, also its id.
    pub own: String,
    /// Day of the newest entry.
    pub day: String,
    /// Entries, newest first.
    pub entries: Vec<Entry>,
}

/// An entry.
#[derive(Debug, Serialize)]
pub struct Entry {
    /// Id, which stays the same for ever.
    pub id: String,
    /// Title.
    pub title: String,
    /// Day.
    pub day: String,
    /// Page that it is about.
    pub page: String,
    /// Words.
    pub lines: Vec<String>,
}

/// True if there is anything to tell.
pub fn has_feed(catalog: &Catalog, facts: &Facts) -> bool {
    whole(catalog, facts).next().is_some() || taken_out(catalog).next().is_some()
}

/// Approvals in ledgers that hold, with their pack.
fn whole<'a>(catalog: &'a Catalog, facts: &'a Facts) -> impl Iterator<Item = (&'a Pack, &'a Approval)> {
    let sound = catalog.ledgers.iter().zip(&facts.currency.faults).filter(|(_, faults)| faults.is_empty());
    sound.flat_map(|(ledger, _)| ledger.entries.iter().map(|e| (&catalog.packs[ledger.pack], &e.approval)))
}

/// Documents that are out of use, with the day.
fn taken_out(catalog: &Catalog) -> impl Iterator<Item = (DocRef, Date)> {
    catalog.all_docs().filter_map(|doc| {
        let head = catalog.head(doc)?;
        head.status.as_ref()?;
        Some((doc, head.since.as_ref()?.value))
    })
}

impl Feed {
    /// The feed; `None` if there is nothing to tell.
    pub fn new(site: &Site<'_>, base: &str) -> Option<Feed> {
        let mut dated: Vec<(Date, Entry)> = editions(site, base);
        dated.extend(approvals(site, base));
        dated.extend(taken_out(site.catalog).map(|(doc, day)| (day, out_of_use(site, base, doc, day))));
        dated.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.id.cmp(&b.1.id)));
        dated.truncate(MOST);
        let day = stamp(dated.first()?.0);
        Some(Feed {
            title: site.title(),
            notice: super::own(site.catalog).map(|p| p.notice.value.to_string()).unwrap_or_default(),
            home: format!("{base}{}", route::HOME),
            own: format!("{base}{}", route::FEED),
            day,
            entries: dated.into_iter().map(|(_, entry)| entry).collect(),
        })
    }
}

/// A day as Atom writes it. The packs know days and no hours.
fn stamp(day: Date) -> String {
    format!("{day}T00:00:00Z")
}

fn entry(base: &str, key: &str, title: String, day: Date, page: &str, lines: Vec<String>) -> Entry {
    Entry { id: format!("{base}{}#{key}", route::FEED), title, day: stamp(day), page: format!("{base}{page}"), lines }
}

/// An entry for each edition that was signed, on the day of its first approval.
fn editions(site: &Site<'_>, base: &str) -> Vec<(Date, Entry)> {
    let mut days: BTreeMap<(&str, &str), (Date, &Pack)> = BTreeMap::new();
    for (pack, approval) in whole(site.catalog, site.facts) {
        let day = days.entry((&pack.head.id.value, &approval.edition)).or_insert((approval.date, pack));
        day.0 = day.0.min(approval.date);
    }
    let one = |((id, edition), (day, pack)): ((&str, &str), (Date, &Pack))| {
        let reasons = pack.changes.iter().filter(|c| &*c.edition.value == edition);
        let mut lines: Vec<String> = reasons.map(|c| format!("{}: {}", title(site, &c.document.value), c.reason.value)).collect();
        if lines.is_empty() {
            lines.push("No reason for a change is recorded.".into());
        }
        let head = format!("{}, edition {edition}", pack.title.value);
        (day, entry(base, &format!("edition-{id}-{edition}"), head, day, route::HOME, lines))
    };
    days.into_iter().map(one).collect()
}

/// An entry for what one role approved on one day.
fn approvals(site: &Site<'_>, base: &str) -> Vec<(Date, Entry)> {
    let mut by: BTreeMap<(&str, Date, &str), BTreeSet<&DocName>> = BTreeMap::new();
    for (pack, approval) in whole(site.catalog, site.facts) {
        by.entry((&pack.head.id.value, approval.date, &approval.role)).or_default().insert(&approval.document);
    }
    let one = |((id, day, role), names): ((&str, Date, &str), BTreeSet<&DocName>)| {
        let invented = super::own(site.catalog).is_some_and(|p| p.demonstration.is_some());
        let documents = if names.len() == 1 { "1 document".to_string() } else { format!("{} documents", names.len()) };
        let head = format!("{}{documents} approved by {role}", if invented { "Invented: " } else { "" });
        let lines = names.iter().map(|n| title(site, &n.to_string())).collect();
        (day, entry(base, &format!("approved-{id}-{day}-{role}"), head, day, route::HOME, lines))
    };
    by.into_iter().map(one).collect()
}

fn out_of_use(site: &Site<'_>, base: &str, doc: DocRef, day: Date) -> Entry {
    let name = site.catalog.name(doc);
    let head = site.catalog.head(doc);
    let word = head.and_then(|h| h.status.as_ref()).map(|s| s.value.word()).unwrap_or_default();
    let lines = head.map(standing::why).into_iter().filter(|w| !w.is_empty()).collect();
    let title = format!("{}: {word}, do not use", site.catalog.title(doc));
    let key = format!("{word}-{}-{}-{day}", name.kind.folder(), name.id);
    entry(base, &key, title, day, &route::page(site.catalog, doc), lines)
}

/// Title of a document, with its name where it is gone.
fn title(site: &Site<'_>, name: &str) -> String {
    let found = DocName::read(name).and_then(|n| site.catalog.find(n.kind, &n.id));
    found.map_or_else(|| name.to_string(), |d| format!("{} ({name})", site.name(d)))
}
