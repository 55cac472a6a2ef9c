//! Sweeps whose drawing, words and technique do not agree on the direction.

use super::{Swept, swept};
use crate::checks::text::words;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::chart::sweep::{Ends, PathFacts};
use crate::finding::Level;
use crate::model::chart::ViewId;
use crate::model::docs::{Course, SweepFrom, SweepPath};

/// The check.
pub static CHECK: Check = Check {
    name: "sweep-direction-conflict",
    summary: "drawing, words and technique of a sweep disagree on its direction",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("sweep_direction_conflict.md"),
};

/// Mean angle to the fibres up to which a line runs along them, degrees, and from which it runs across.
/// House practice of the tool.
const ALONG: f64 = 30.0;
const ACROSS: f64 = 60.0;
/// Rise or fall from which a line runs up or down, cm.
const RISE: f64 = 5.0;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for one in swept(case) {
        technique(&one, sink);
        for (path, facts) in one.sweep.paths.iter().zip(&one.facts.paths) {
            wrong_end(&one, path, facts, sink);
            wrong_course(&one, path, facts, sink);
            wrong_word(&one, path, sink);
        }
    }
}

fn technique(one: &Swept<'_>, sink: &mut Sink) {
    let Some((rule, from)) = one.rule.zip(one.sweep.from.as_ref()) else { return };
    if rule.from.value == SweepFrom::Either || rule.from.value == from.value {
        return;
    }
    let (own, other) = (from.value.word(), rule.from.value.word());
    let message = format!("step {} sweeps from the {own} attachment, and its technique from the {other} one", one.number());
    sink.report(from.span, format!("{own} here"), message)
        .also(rule.from.span, format!("{other} in the technique"))
        .note("Sources disagree on the direction, so it must be one and the same everywhere.")
        .help(format!("write `from: {other}`, or change the technique and say on what it stands"));
}

fn wrong_end(one: &Swept<'_>, path: &SweepPath, facts: &PathFacts, sink: &mut Sink) {
    let Some(from) = one.from() else { return };
    let Ends { proximal: Some(proximal), distal: Some(distal) } = facts.start else { return };
    let nearer = if distal < proximal { SweepFrom::Distal } else { SweepFrom::Proximal };
    if nearer == from {
        return;
    }
    let message = format!(
        "a line of step {} starts at the {} attachment, and the sweep is from the {} one",
        one.number(),
        nearer.word(),
        from.word()
    );
    let at = path.path.points.first().map_or(path.path.span, |p| p.span);
    let finding = sink.report(at, format!("starts at the {} end", nearer.word()), message);
    if let Some(written) = one.sweep.from.as_ref() {
        finding.also(written.span, "as written");
    }
    finding.help("write the points in the order of the movement, or correct `from`");
}

fn wrong_course(one: &Swept<'_>, path: &SweepPath, facts: &PathFacts, sink: &mut Sink) {
    let (Some(rule), Some(angle)) = (one.rule, facts.angle) else { return };
    let (wanted, fits) = match rule.along.value {
        Course::Along => ("along", angle <= ALONG),
        Course::Across => ("across", angle >= ACROSS),
    };
    if fits {
        return;
    }
    let angle = angle.round();
    let message = format!("a line of step {} runs at {angle} deg to the fibres, and the technique moves {wanted} them", one.number());
    sink.report(path.path.span, format!("{angle} deg to the fibres"), message)
        .also(rule.along.span, format!("{wanted} the fibres"))
        .help(format!("along is up to {ALONG} deg on average, across from {ACROSS} deg; correct the line, or the fibres as drawn"));
}

/// Upwards and downwards in the words of the step against the line in a view of the whole body.
fn wrong_word(one: &Swept<'_>, path: &SweepPath, sink: &mut Sink) {
    if !matches!(path.view.value, ViewId::Front | ViewId::Back | ViewId::Side) {
        return;
    }
    let Some((first, last)) = path.path.points.first().zip(path.path.points.last()) else { return };
    let fall = last.value.y - first.value.y;
    let (against, runs) = match fall {
        f if f >= RISE => (["upwards", "upward"], "down"),
        f if f <= -RISE => (["downwards", "downward"], "up"),
        _ => return,
    };
    let action = &one.step.action;
    let Some(word) = words(&action.value).into_iter().find(|w| w.is_any(&against)) else { return };
    let message = format!("step {} says `{}`, and its line runs {runs}", one.number(), word.text);
    sink.report(action.span, format!("`{}`", word.text), message)
        .also(path.path.span, format!("runs {runs}"))
        .help("correct the words or the order of the points");
}
