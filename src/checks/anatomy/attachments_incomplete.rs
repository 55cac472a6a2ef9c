//! Muscles without both attachments, or with one that names no landmark.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Muscle;

/// The check.
pub static CHECK: Check = Check {
    name: "attachments-incomplete",
    summary: "an attachment or its landmarks are missing",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("attachments_incomplete.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for muscle in case.catalog.muscles.rows() {
        for end in ["proximal", "distal"] {
            judge(muscle, end, sink);
        }
    }
}

fn judge(muscle: &Muscle, end: &str, sink: &mut Sink) {
    let name = &muscle.name.value;
    let Some(attachment) = muscle.attachments.iter().find(|a| a.end == end) else {
        let finding = sink.report(muscle.name.span, format!("no {end} attachment"), format!("{name} has no {end} attachment"));
        if let Some(other) = muscle.attachments.first() {
            finding.also(other.text.span, format!("the {} attachment", other.end));
        }
        finding.help(format!("add `{end}:` with `text` and `landmarks` under `attachments`"));
        return;
    };
    if !attachment.landmarks.iter().any(|l| !l.value.trim().is_empty()) {
        let message = format!("the {end} attachment of {name} names no landmark");
        sink.report(attachment.text.span, "by which landmark?", message)
            .help("add `landmarks:` with at least one bony point that can be felt");
    }
}
