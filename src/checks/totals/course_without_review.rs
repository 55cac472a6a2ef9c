//! A course without an end or without a decision on the way.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Protocol, Spacing};
use crate::model::interval::exceeds;

/// The check.
pub static CHECK: Check = Check {
    name: "course-without-review",
    summary: "a course of sessions has no end or no point at which it is decided",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("course_without_review.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for protocol in case.catalog.protocols.rows() {
        let missing = missing(&protocol.spacing);
        if missing.is_empty() {
            too_late(protocol, sink);
        } else if let Some(at) = protocol.spacing.span {
            let (what, keys): (Vec<&str>, Vec<&str>) = missing.into_iter().unzip();
            let message = format!("the course of `{}` has {}", protocol.head.id.value, list(&what));
            sink.report(at, "could go on without a look back", message).help(format!("add {}", list(&keys)));
        }
    }
}

/// What is not said, with what to type. A key that cannot be read counts as said: it is told elsewhere.
fn missing(spacing: &Spacing) -> Vec<(&'static str, &'static str)> {
    let written = |key: &str| spacing.keys.iter().any(|k| &*k.value == key);
    let open = spacing.sessions.as_ref().is_some_and(|s| s.value.is_open());
    let parts = [
        (open || !written("sessions"), "no last session", "`sessions` (for instance `4-6 sessions`)"),
        (!written("decide-after"), "no session after which it is decided", "`decide-after` (for instance `3 sessions`)"),
        (!written("decide"), "no rule for that decision", "`decide` (the change that makes it worth going on)"),
    ];
    parts.into_iter().filter(|(missing, ..)| *missing).map(|(_, what, key)| (what, key)).collect()
}

/// "a", "a and b", "a, b and c".
fn list(items: &[&str]) -> String {
    match items {
        [many @ .., last] if !many.is_empty() => format!("{} and {last}", many.join(", ")),
        _ => items.concat(),
    }
}

fn too_late(protocol: &Protocol, sink: &mut Sink) {
    let (Some(after), Some(sessions)) = (&protocol.spacing.decide_after, &protocol.spacing.sessions) else { return };
    if exceeds(after.value.base().hi, sessions.value.base().hi) {
        let message = format!("the decision comes after {}, and the course has {}", after.value.shown(), sessions.value.shown());
        sink.report(after.span, "after the last one", message)
            .also(sessions.span, "the whole course")
            .help("set `decide-after` to a session before the last one");
    }
}
