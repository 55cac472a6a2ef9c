//! What a document of a house pack says that its base pack does not: the mark on page and card, and the list.

use super::parts::Link;
use crate::compute::compare::Change;
use crate::compute::house::House;
use crate::model::docs::{ChangeDoc, Head};
use crate::model::{DocName, DocRef, Kind};
use crate::plan::site::Site;
use serde::Serialize;
use serde_json::{Value, json};

/// The list on a page.
#[derive(Debug, Clone, Serialize)]
pub struct Differs {
    /// Title and edition of the base pack.
    pub base: String,
    /// How many points.
    pub count: String,
    /// The points, most dangerous first.
    pub lines: Vec<DiffersLine>,
    /// Why.
    pub reasons: Vec<DiffersReason>,
}

/// One point.
#[derive(Debug, Clone, Serialize)]
pub struct DiffersLine {
    /// The document, if it is another than that of the page.
    pub of: Option<String>,
    /// Field or cell.
    pub path: String,
    /// In the base pack.
    pub old: String,
    /// Here.
    pub new: String,
    /// `looser`, `different` or `tighter`.
    pub way: &'static str,
}

/// Why something was changed.
#[derive(Debug, Clone, Serialize)]
pub struct DiffersReason {
    /// The changed document.
    pub of: Link,
    /// The reason.
    pub reason: String,
    /// Record of a loosening.
    pub record: Option<String>,
}

/// Mark for a document that differs.
pub fn mark(base: &str) -> String {
    format!("Differs from {base}")
}

/// What a document differs in; `None` if it is as in the base pack, or there is none.
pub fn of(site: &Site<'_>, doc: DocRef) -> Option<Differs> {
    let head = site.catalog.head(doc)?;
    let house = site.facts.house(head.pack)?;
    let name = site.catalog.name(doc);
    let lines = house.on_page(&name);
    view(site, house, head, &lines, Some(&name))
}

/// What the parts of the pack files differ in.
pub fn of_packs(site: &Site<'_>) -> Option<Differs> {
    let house = site.facts.houses.first()?;
    let lines: Vec<&Change> = house.changes.iter().filter(|c| c.document.kind == Kind::Pack).collect();
    view(site, house, &site.catalog.packs[house.pack].head, &lines, None)
}

fn view(site: &Site<'_>, house: &House, head: &Head, lines: &[&Change], own: Option<&DocName>) -> Option<Differs> {
    if lines.is_empty() {
        return None;
    }
    let text = |t: &Option<String>| t.clone().unwrap_or_else(|| "nothing".into());
    let line = |c: &&Change| DiffersLine {
        of: Some(c.title.clone()).filter(|_| own != Some(&c.document)),
        path: c.path.clone(),
        old: text(&c.old),
        new: text(&c.new),
        way: c.way.word(),
    };
    let about = |c: &&ChangeDoc| {
        let of = c.of.as_ref().map(|of| &of.value);
        c.head.pack == head.pack && lines.iter().any(|l| of == Some(&l.document) || of == own)
    };
    let reasons = site.catalog.changes.rows().iter().filter(about).map(|c| reason(site, c));
    let count = if lines.len() == 1 { "1 point".to_string() } else { format!("{} points", lines.len()) };
    Some(Differs { base: house.called(), count, lines: lines.iter().map(line).collect(), reasons: reasons.collect() })
}

fn reason(site: &Site<'_>, change: &ChangeDoc) -> DiffersReason {
    let doc = change.of.as_ref().and_then(|of| site.catalog.find(of.value.kind, &of.value.id));
    let of = doc.map_or_else(|| Link { text: "Rules of the house".into(), href: site.to(crate::plan::route::HOME) }, |d| site.link(d));
    let record = change.loosening.as_ref().map(|record| {
        let until = record.until.as_ref().map(|d| d.value.to_string()).unwrap_or_default();
        let by = record.approver.as_ref().map(|r| r.value.to_string()).unwrap_or_default();
        let why = record.argument.as_ref().map(|a| a.value.to_string()).unwrap_or_default();
        format!("Let through until {until}, approved by the role {by}. {why}").trim().to_string()
    });
    DiffersReason { of, reason: change.reason.value.to_string(), record }
}

/// The same for machines.
pub fn data(site: &Site<'_>, doc: DocRef) -> Value {
    let Some(differs) = of(site, doc) else { return Value::Null };
    json!({"base": differs.base, "points": differs.lines, "reasons": differs.reasons.iter().map(|r| json!({"of": r.of.text, "reason": r.reason, "record": r.record})).collect::<Vec<_>>()})
}
