//! A printed card whose code does not hold any more.

use crate::checks::{Case, Check, Run};
use crate::compute::currency::code::{Answer, Known};
use crate::finding::{Finding, Level};
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "card-superseded",
    summary: "the check code of a card is that of an earlier, withdrawn or unsigned state of its protocol",
    level: Level::Error,
    run: Run::WhenAsked,
    page: include_str!("card_superseded.md"),
};

/// The finding for a code that was asked about; `None` if the card holds. It stands at the approval that took its place, or at
/// the protocol.
pub fn finding(case: &Case<'_>, known: &Known, said: &str) -> Option<Finding> {
    if known.answer.holds() {
        return None;
    }
    let entries = || case.catalog.ledgers.iter().flat_map(|l| &l.entries).filter(|e| e.approval.document == known.protocol);
    let next = match &known.answer {
        Answer::Superseded(edition, date) => entries().find(|e| e.approval.edition == *edition && e.approval.date == *date),
        _ => None,
    };
    let head = case.catalog.find(known.protocol.kind, &known.protocol.id).and_then(|d| case.catalog.head(d));
    let pack = || case.catalog.packs.rows().first().map(|p| p.head.at);
    let at: Span = next.map(|e| e.at("edition")).or(head.map(|h| h.at)).or_else(pack)?;
    let label = if next.is_some() { "approved since" } else { "its protocol" };
    let mut finding = Finding::new(CHECK.name, CHECK.level, at, label, format!("{}, \"{}\": {said}", known.code, known.title));
    finding.help("take every copy of the card out of the rooms; `site/card-check.html` lists all codes to pull");
    Some(finding)
}
