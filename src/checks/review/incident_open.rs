//! Something suspended that is still in use, and nobody has read that.

use super::named::{documents, list};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::vocabulary::Status;
use crate::model::{DocName, Kind};

/// The check.
pub static CHECK: Check = Check {
    name: "incident-open",
    summary: "a suspended document is in use, and pack.yaml does not acknowledge it",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("incident_open.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for doc in case.catalog.all_docs() {
        let Some(head) = case.catalog.head(doc) else { continue };
        let Some(status) = head.status.as_ref().filter(|s| s.value == Status::Suspended) else { continue };
        let name = case.catalog.name(doc);
        if case.pack(head).acknowledged.iter().any(|a| *a.document.value == *name.to_string()) {
            continue;
        }
        let rest = |kind: Kind| {
            let all = case.facts.currency.all();
            all.filter(move |s| s.name.kind == kind).filter(|s| s.rests_on.contains_key(&name)).map(|s| &s.name).collect::<Vec<&DocName>>()
        };
        let (protocols, sessions) = (rest(Kind::Protocol), rest(Kind::Session));
        let because = head.because.as_ref().map(|b| format!(": {}", b.value)).unwrap_or_default();
        let message = format!("`{name}` is suspended{because}");
        let finding = sink.report(status.span, format!("{} rest on it", documents(protocols.len() + sessions.len())), message);
        finding.note(format!("Cards to take out of the rooms: {}.", none(list(protocols.into_iter()))));
        finding.note(format!("Sessions: {}.", none(list(sessions.into_iter()))));
        finding.help(format!(
            "take it out of these, or, to compile with everything marked, add to pack.yaml \
             `acknowledged: [{{document: {name}, role: …, date: …, note: …}}]`"
        ));
    }
}

fn none(list: String) -> String {
    if list.is_empty() { "none".into() } else { list }
}
