//! A change right after treatment that is told without saying so. English only.

use crate::checks::text::{sentences, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Kind;
use std::ops::Range;

/// The check.
pub static CHECK: Check = Check {
    name: "immediate-effect-unlabelled",
    summary: "a change right after treatment is told as if it lasted",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("immediate_effect_unlabelled.md"),
};

/// What comes before the change.
const AFTER: [&str; 18] = [
    "treatment",
    "session",
    "visit",
    "step",
    "pressure",
    "pressing",
    "squeeze",
    "sweep",
    "stretch",
    "stretching",
    "hold",
    "cold",
    "heat",
    "massage",
    "appointment",
    "release",
    "it",
    "this",
];
/// What is said to have changed, for the better.
const CHANGED: [&str; 22] = [
    "better",
    "less",
    "improves",
    "improve",
    "improved",
    "improvement",
    "eases",
    "eased",
    "easier",
    "relieves",
    "relieved",
    "relief",
    "looser",
    "freer",
    "reduces",
    "reduced",
    "lowers",
    "lower",
    "further",
    "gains",
    "decreases",
    "decreased",
];
/// Says how long, or that nobody knows.
const LABELS: [&str; 29] = [
    "immediate",
    "immediately",
    "minutes",
    "min",
    "h",
    "wk",
    "minute",
    "hours",
    "hour",
    "day",
    "days",
    "week",
    "weeks",
    "month",
    "months",
    "today",
    "tonight",
    "tomorrow",
    "short",
    "now",
    "brief",
    "briefly",
    "lasts",
    "last",
    "long",
    "temporary",
    "while",
    "next",
    "same",
];
/// No claim of a change.
const DENIED: [&str; 14] =
    ["no", "not", "never", "nothing", "cannot", "whether", "unless", "uncertain", "unclear", "if", "until", "should", "error", "worse"];

fn run(case: &Case<'_>, sink: &mut Sink) {
    let speaks = |k: Kind| matches!(k, Kind::Protocol | Kind::Technique | Kind::Page | Kind::Muscle);
    for wording in case.catalog.wordings.iter().filter(|w| speaks(w.doc.kind) && case.english(w.doc).is_some()) {
        for at in unlabelled(&wording.text.value) {
            let said = wording.text.value.get(at.clone()).unwrap_or_default().replace('\n', " ");
            sink.report(wording.span_of(at), "for how long?", format!("the text says `{said}` and not for how long"))
                .note("A change between two measurings of one visit is an immediate effect; it says nothing about days or weeks.")
                .help("add what is known: `right after, for minutes`, `at the next visit`, or `how long is not known`");
        }
    }
}

fn unlabelled(text: &str) -> Vec<Range<usize>> {
    let all = words(text);
    let mut out = Vec::new();
    for sentence in sentences(text) {
        let inside: Vec<_> = all.iter().filter(|w| w.range.start >= sentence.start && w.range.end <= sentence.end).collect();
        let after = inside.iter().enumerate().position(|(i, w)| {
            w.is_any(&["afterwards", "afterward"])
                || (w.is_any(&["after"]) && inside.iter().skip(i + 1).take(3).any(|n| n.is_any(&AFTER)))
                || (w.is_any(&["after"]) && inside.len() == i + 1)
        });
        let changed = inside.iter().position(|w| w.is_any(&CHANGED));
        let (Some(after), Some(changed)) = (after, changed) else { continue };
        if text.get(sentence.clone()).is_some_and(|s| s.ends_with('?')) || inside.iter().any(|w| w.is_any(&LABELS) || w.is_any(&DENIED)) {
            continue;
        }
        let (first, last) = (after.min(changed), after.max(changed));
        if let (Some(first), Some(last)) = (inside.get(first), inside.get(last)) {
            out.push(first.range.start..last.range.end);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_after_treatment_needs_its_time() {
        for (text, found) in [
            ("You will feel better after the treatment.", 1),
            ("After the squeeze the neck turns further.", 1),
            ("Pain is less afterwards.", 1),
            ("Better after.", 1),
            ("After this, pain is lower right after the visit, for minutes to hours.", 0),
            ("After the treatment pain may be less; how long is not known.", 0),
            ("After the treatment pain may be less, and nobody knows for how long.", 0),
            ("Does it feel better after the session?", 0),
            ("Stop if it is not better after the visit.", 0),
            ("Less pressure. After the visit, write it down.", 0),
        ] {
            assert_eq!(unlabelled(text).len(), found, "{text}");
        }
    }
}
