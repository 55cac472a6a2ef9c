//! Two actions in the words of one step.

use super::named;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Technique;
use crate::model::vocabulary::Stressor;
use crate::model::{DocRef, Kind};

/// The check.
pub static CHECK: Check = Check {
    name: "two-actions-one-step",
    summary: "a step tells more than one thing to do",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("two_actions_one_step.md"),
};

/// What a verb does.
#[derive(Copy, Clone, PartialEq, Eq)]
enum Does {
    Load(Stressor),
    Look,
    Measure,
    Talk,
    Hold,
}

/// Verbs that order something.
const VERBS: [(&str, Does); 34] = [
    ("press", Does::Load(Stressor::Pressure)),
    ("compress", Does::Load(Stressor::Pressure)),
    ("squeeze", Does::Load(Stressor::Squeeze)),
    ("pinch", Does::Load(Stressor::Squeeze)),
    ("lift", Does::Load(Stressor::Squeeze)),
    ("rub", Does::Load(Stressor::Topical)),
    ("knead", Does::Load(Stressor::Shear)),
    ("stroke", Does::Load(Stressor::Shear)),
    ("sweep", Does::Load(Stressor::Cold)),
    ("spray", Does::Load(Stressor::Cold)),
    ("ice", Does::Load(Stressor::Cold)),
    ("cool", Does::Load(Stressor::Cold)),
    ("warm", Does::Load(Stressor::Heat)),
    ("heat", Does::Load(Stressor::Heat)),
    ("lay", Does::Load(Stressor::Heat)),
    ("stretch", Does::Load(Stressor::Stretch)),
    ("lengthen", Does::Load(Stressor::Stretch)),
    ("guide", Does::Load(Stressor::Stretch)),
    ("bend", Does::Load(Stressor::Stretch)),
    ("resist", Does::Load(Stressor::Contraction)),
    ("let", Does::Load(Stressor::Contraction)),
    ("have", Does::Load(Stressor::Contraction)),
    ("push", Does::Load(Stressor::Contraction)),
    ("look", Does::Look),
    ("check", Does::Look),
    ("test", Does::Measure),
    ("measure", Does::Measure),
    ("re-test", Does::Measure),
    ("count", Does::Measure),
    ("ask", Does::Talk),
    ("explain", Does::Talk),
    ("tell", Does::Talk),
    ("show", Does::Talk),
    ("hold", Does::Hold),
];

/// Words after which a verb in the middle of a sentence is an order: an article, a pronoun, something pointed at.
const OBJECTS: [&str; 17] =
    ["the", "it", "them", "both", "a", "an", "each", "point", "this", "that", "his", "her", "their", "again", "for", "at", "with"];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let doc = DocRef { kind: Kind::Protocol, row: u32::try_from(idx.row()).unwrap_or(u32::MAX) };
        if case.english(doc).is_none() {
            continue;
        }
        for step in &protocol.steps {
            let technique = step.technique.to.map(|t| &case.catalog.techniques[t]);
            let Some((first, second)) = two(&step.action.value, technique) else { continue };
            let message = format!("{} says two things to do: {first} and {second}", named(step));
            let finding = sink.report(step.action.span, "two actions", message);
            if let Some(technique) = technique {
                finding.also(technique.name.span, "the technique does not do both");
            }
            finding.help(format!("make a step of its own for \"{second}\", with its technique, dose and stop rules"));
        }
    }
}

/// Two verbs of an action that are not one act of its technique.
fn two(action: &str, technique: Option<&Technique>) -> Option<(&'static str, &'static str)> {
    let found = orders(action);
    let (first, one) = found.first().copied()?;
    let own = |does: Does| matches!(does, Does::Load(s) if technique.is_some_and(|t| t.has(s)));
    let other = found.iter().skip(1).find(|(_, d)| *d != one && !(own(one) && own(*d)) && !(own(one) && *d == Does::Hold));
    other.map(|(second, _)| (first, *second))
}

/// Verbs that open the sentence, or follow "and", "then", a comma or a semicolon before something to act on.
fn orders(action: &str) -> Vec<(&'static str, Does)> {
    let lower = action.to_lowercase();
    let mut out = Vec::new();
    let mut opens = true;
    let mut words = lower.split_whitespace().peekable();
    let bare = |w: &str| w.trim_matches(|c: char| !c.is_alphanumeric() && c != '-').to_string();
    while let Some(word) = words.next() {
        let verb = VERBS.iter().find(|(v, _)| *v == bare(word));
        let object =
            words.peek().is_none_or(|next| OBJECTS.contains(&bare(next).as_str()) || matches!(bare(next).as_str(), "and" | "then"));
        if let Some((name, does)) = verb.filter(|_| opens && (out.is_empty() || object)) {
            out.push((*name, *does));
        }
        let joins = matches!(bare(word).as_str(), "and" | "then");
        opens = joins || word.ends_with([',', ';', '.', ':']) && !out.is_empty();
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orders_are_told_from_things() {
        let names = |text: &str| orders(text).into_iter().map(|(n, _)| n).collect::<Vec<_>>();
        assert_eq!(names("Sweep and stretch and hold."), ["sweep", "stretch", "hold"]);
        assert_eq!(names("Press point 1 and then stretch the muscle."), ["press", "stretch"]);
        assert_eq!(names("Press point 1; then look at the skin."), ["press", "look"]);
        assert_eq!(names("Measure neck rotation and stretch tolerance."), ["measure"]);
        assert_eq!(names("Test feeling on both sides of the neck and shoulder."), ["test"]);
        assert_eq!(names("Resist the knee while the person lifts it."), ["resist"]);
        assert_eq!(names("Squeeze point 1 between thumb and fingers."), ["squeeze"]);
    }

    #[test]
    fn two_orders_of_one_kind_are_one_action() {
        assert_eq!(two("Explain and ask for consent.", None), None);
        assert_eq!(two("Press the spot and look at the skin.", None), Some(("press", "look")));
    }
}
