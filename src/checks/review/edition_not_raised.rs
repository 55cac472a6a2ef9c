//! A pack that changed more than its edition says.

use super::editions::{line, numbers, since};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::compare::{demanded, enough};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "edition-not-raised",
    summary: "the edition was not raised as far as the changes since the last sign-off demand",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("edition_not_raised.md"),
};

/// Changes that a message shows.
const SHOWN: usize = 4;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, pack) in case.catalog.packs.iter() {
        let edition = &*pack.edition.value;
        let Some((old, changes)) = since(case, idx, &|kept| numbers(kept) <= numbers(edition)) else { continue };
        let Some(step) = demanded(&changes).filter(|_| !enough(&old, edition, &changes)) else { continue };
        let wanted = step.beyond(&old).unwrap_or_default();
        let message = format!("edition {old} was signed, and what has changed since demands a {} step, to {wanted} at least", step.word());
        let more = changes.len().saturating_sub(SHOWN);
        let finding = sink.report(pack.edition.span, format!("demanded: {wanted}"), message);
        for change in changes.iter().take(SHOWN) {
            finding.note(line(change));
        }
        if more > 0 {
            finding.note(format!("and {more} more"));
        }
        finding.help(format!("write `edition: {wanted}`; `fascicle compare` lists every change, most dangerous first"));
    }
}
