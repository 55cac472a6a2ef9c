//! A flag that sends people nowhere.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::nearest;

/// The check.
pub static CHECK: Check = Check {
    name: "destination-missing",
    summary: "a flag has no destination, or one that the pack does not list",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("destination_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for flag in case.catalog.flags.rows() {
        let name = &flag.name.value;
        let pack = case.pack(&flag.head);
        let known = pack.destinations.iter().map(|d| &*d.id.value);
        let list = known.clone().collect::<Vec<_>>().join(", ");
        let Some(destination) = &flag.destination else {
            let help = if list.is_empty() {
                "list a role under `destinations` in pack.yaml and name it here as `destination:`".to_string()
            } else {
                format!("add `destination:` with one of: {list}")
            };
            sink.report(flag.name.span, "sent on to whom?", format!("`{name}` sends people on and does not say to whom")).help(help);
            continue;
        };
        if pack.destinations.iter().any(|d| d.id.value == destination.value) {
            continue;
        }
        let label = nearest(&destination.value, known).map_or_else(|| "not on the list".to_string(), |n| format!("did you mean `{n}`?"));
        let message = format!("`{name}` sends people to `{}`, which the pack does not list", destination.value);
        let finding = sink.report(destination.span, label, message);
        if !list.is_empty() {
            finding.note(format!("Listed: {list}."));
        }
        finding.help("name a listed role, or add this one under `destinations` in pack.yaml with `name` and `how`");
    }
}
