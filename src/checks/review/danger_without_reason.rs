//! More exposure, or a caution, stop rule or safeguard less than in the last edition, and nobody says why.

use super::editions::{line, numbers, since};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::compare::{Change, Class, Way};
use crate::finding::Level;
use crate::model::DocName;
use std::collections::BTreeMap;

/// The check.
pub static CHECK: Check = Check {
    name: "danger-without-reason",
    summary: "a dose was raised, or a caution, stop rule or safeguard taken out, without a reason",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("danger_without_reason.md"),
};

fn is_dangerous(change: &Change) -> bool {
    change.way == Way::Looser && matches!(change.class, Class::Warning | Class::Exposure | Class::Safeguard)
}

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, pack) in case.catalog.packs.iter() {
        let edition = &*pack.edition.value;
        let Some((old, changes)) = since(case, idx, &|kept| numbers(kept) < numbers(edition)) else { continue };
        let given = |name: &DocName| pack.changes.iter().any(|c| *c.edition.value == *edition && *c.document.value == *name.to_string());
        let mut silent: BTreeMap<&DocName, Vec<&Change>> = BTreeMap::new();
        for change in changes.iter().filter(|c| is_dangerous(c)) {
            // A line about a protocol is explained by the document that was changed, or by the protocol itself.
            let explained = given(&change.document) || change.shows_on.iter().any(|d| *d != change.document && given(d));
            if !explained {
                silent.entry(&change.document).or_default().push(change);
            }
        }
        for (name, changes) in silent {
            let head = case.catalog.find(name.kind, &name.id).and_then(|d| case.catalog.head(d));
            let at = head.map_or(pack.edition.span, |h| h.at);
            let Some(first) = changes.first() else { continue };
            let message = format!("since edition {old}: {}", line(first));
            let finding = sink.report(at, "more dangerous than before", message);
            for change in changes.iter().skip(1).take(3) {
                finding.note(line(change));
            }
            finding.help(format!("say why in pack.yaml: `changes: [{{edition: {edition}, document: {name}, reason: …, role: …}}]`"));
        }
    }
}
