//! One condition that gives two answers for one cell.

use super::row_words;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Condition, Rule};
use crate::model::region::Place;

/// The check.
pub static CHECK: Check = Check {
    name: "caution-inconsistent",
    summary: "a condition has two strengths for one stressor at one place",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("caution_inconsistent.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for condition in case.catalog.conditions.rows() {
        for rules in std::iter::once(&condition.rules).chain(condition.together.iter().map(|t| &t.rules)) {
            for (i, later) in rules.iter().enumerate() {
                if let Some(earlier) = rules.iter().take(i).find(|earlier| conflict(earlier, later)) {
                    report(condition, earlier, later, sink);
                }
            }
        }
    }
}

/// Rows of the same reach must agree; a row for named regions may only be stricter than the general
/// one.
fn conflict(a: &Rule, b: &Rule) -> bool {
    if !a.overlaps(b) {
        return false;
    }
    match (a.is_everywhere(), b.is_everywhere()) {
        (true, false) => b.is_looser_than(a),
        (false, true) => a.is_looser_than(b),
        _ => a.is_looser_than(b) || b.is_looser_than(a),
    }
}

fn report(condition: &Condition, earlier: &Rule, later: &Rule, sink: &mut Sink) {
    let (loose, strict) = if later.is_looser_than(earlier) { (later, earlier) } else { (earlier, later) };
    let place = shared(loose, strict).map_or_else(|| "one place".to_string(), |p| format!("`{}`", p.shown().to_lowercase()));
    let words = if loose.strength == strict.strength {
        format!("two limits for `{}`", loose.stressor.word())
    } else {
        format!("{} and {}", row_words(loose), row_words(strict))
    };
    let whence = if loose.is_everywhere() && strict.is_everywhere() { String::new() } else { format!(" at {place}") };
    let message = format!("`{}` has {words}{whence}", condition.name.value);
    let help = if loose.is_everywhere() {
        "keep one of the two rows, the stricter one if in doubt"
    } else {
        "make the two agree, take the shared region out of one of them, or delete the looser row"
    };
    sink.report(loose.strength_at, "looser here", message)
        .also(strict.strength_at, "stricter here")
        .note("The stricter row is the one that pages and cards show; whoever reads the other picks the easier one.")
        .help(help);
}

/// A place at which both rows hold.
fn shared(a: &Rule, b: &Rule) -> Option<Place> {
    if a.is_everywhere() {
        return b.regions.all.first().copied();
    }
    a.regions.all.iter().copied().find(|p| b.is_everywhere() || b.regions.all.iter().any(|q| p.meets(*q)))
}
