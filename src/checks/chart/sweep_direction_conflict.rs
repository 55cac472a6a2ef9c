//! Sweeps whose drawing, words and technique do not agree on the direction.

use super::{Swept, swept};
use crate::checks::text::{Word, parts, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::chart::sweep::{Ends, PathFacts};
use crate::finding::Level;
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
/// Words that deny what follows them, those that end a denial, and how many words it reaches.
const DENIES: [&str; 8] = ["no", "not", "never", "without", "nor", "don't", "cannot", "avoid"];
const TURNS: [&str; 4] = ["but", "then", "instead", "only"];
const REACH: usize = 5;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for one in swept(case) {
        technique(&one, sink);
        for (path, facts) in one.sweep.paths.iter().zip(&one.facts.paths) {
            wrong_end(&one, path, facts, sink);
            wrong_course(&one, path, facts, sink);
        }
        different_ends(&one, sink);
        wrong_word(&one, sink);
    }
}

fn technique(one: &Swept<'_>, sink: &mut Sink) {
    let Some(rule) = one.rule else { return };
    let Some(from) = &one.sweep.from else {
        if rule.from.value == SweepFrom::Either {
            let message = format!("step {} does not say at which attachment its sweep starts", one.number());
            sink.report(one.sweep.span, "from where?", message)
                .also(rule.from.span, "either; the step says which")
                .note("Sources disagree on the direction, so it must be one and the same everywhere.")
                .help("add `from: proximal` or `from: distal`");
        }
        return;
    };
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

/// The attachment that is nearer to the start of a line.
fn nearer(facts: &PathFacts) -> Option<SweepFrom> {
    let Ends { proximal: Some(proximal), distal: Some(distal) } = facts.start else { return None };
    Some(if distal < proximal { SweepFrom::Distal } else { SweepFrom::Proximal })
}

/// Lines of one step from both ends, where nothing says which end it is.
fn different_ends(one: &Swept<'_>, sink: &mut Sink) {
    let mut starts = one.sweep.paths.iter().zip(&one.facts.paths).filter_map(|(path, facts)| Some((path, nearer(facts)?)));
    let (None, Some((first, end))) = (one.from(), starts.next()) else { return };
    let Some((path, other)) = starts.find(|(_, e)| *e != end) else { return };
    let at = |p: &SweepPath| p.path.points.first().map_or(p.path.span, |p| p.span);
    let message = format!("lines of step {} start at different attachments", one.number());
    sink.report(at(path), format!("starts at the {} end", other.word()), message)
        .also(at(first), format!("starts at the {} end", end.word()))
        .help("let all lines run one way, or make two steps of it");
}

fn wrong_end(one: &Swept<'_>, path: &SweepPath, facts: &PathFacts, sink: &mut Sink) {
    let Some(from) = one.from() else { return };
    let Some(nearer) = nearer(facts).filter(|n| *n != from) else { return };
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

/// Upwards and downwards in the words of the step against the lines in a view of the whole body; once for a step.
fn wrong_word(one: &Swept<'_>, sink: &mut Sink) {
    let action = &one.step.action;
    for path in one.sweep.paths.iter().filter(|p| p.view.value.whole_body()) {
        let Some((first, last)) = path.path.points.first().zip(path.path.points.last()) else { continue };
        let (against, runs) = match last.value.y - first.value.y {
            f if f >= RISE => (["upwards", "upward"], "down"),
            f if f <= -RISE => (["downwards", "downward"], "up"),
            _ => continue,
        };
        let Some(word) = says(&action.value, &against) else { continue };
        let message = format!("step {} says `{word}`, and its line runs {runs}", one.number());
        sink.report(action.span, format!("`{word}`"), message)
            .also(path.path.span, format!("runs {runs}"))
            .help("correct the words or the order of the points");
        return;
    }
}

/// The first of these words that is said and not denied.
fn says<'t>(text: &'t str, wanted: &[&str]) -> Option<&'t str> {
    let all = words(text);
    let found = all.iter().enumerate().find(|(i, w)| w.is_any(wanted) && !denied(text, &all, *i));
    found.map(|(_, w)| w.text)
}

/// True if a negation stands shortly before a word, in the same clause.
fn denied(text: &str, all: &[Word<'_>], i: usize) -> bool {
    let mut after = all.get(i).map_or(0, |w| w.range.start);
    for word in all.iter().take(i).rev().take(REACH) {
        let between = text.get(word.range.end..after).unwrap_or_default();
        if parts(between) || between.contains(',') || word.is_any(&TURNS) {
            return false;
        }
        if word.is_any(&DENIES) {
            return true;
        }
        after = word.range.start;
    }
    false
}

#[cfg(test)]
mod tests {
    use super::says;

    #[test]
    fn a_word_that_is_denied_is_not_said() {
        for (text, said) in [
            ("Sweep downwards.", true),
            ("Never sweep downwards.", false),
            ("Sweep up, not downwards.", false),
            ("Do not lead the ice downwards.", false),
            ("Sweep not upwards but downwards.", true),
            ("Do not press. Sweep downwards.", true),
            ("Never stop, sweep downwards.", true),
            ("Never sweep downwards; lift off and go downwards in the air.", true),
        ] {
            assert_eq!(says(text, &["downwards"]).is_some(), said, "{text}");
        }
    }
}
