//! Words by which a text claims that its dose is the studied one.

use crate::checks::text;
use crate::model::docs::Source;
use std::ops::Range;

/// Such a claim.
pub struct Claimed {
    /// Bytes of the words.
    pub at: Range<usize>,
    /// Parameters that are claimed.
    pub parameters: Vec<String>,
}

/// Parameters that any arm of these sources names.
pub fn parameters_of(sources: &[&Source]) -> Vec<String> {
    let entries = sources.iter().flat_map(|s| &s.arms).flat_map(|a| &a.dose.entries);
    let mut names: Vec<String> = entries.map(|e| e.name.value.to_string()).collect();
    names.sort_unstable();
    names.dedup();
    names
}

/// Claims in a text: `as studied`, `the studied dose`, `at the studied pressure`, `as in the trial`.
/// A noun after `studied` claims that parameter; the others claim all of `own`.
pub fn claimed(text: &str, own: &[String]) -> Vec<Claimed> {
    let words: Vec<(Range<usize>, String)> = text::words(text).into_iter().map(|w| (w.range, w.text.to_lowercase())).collect();
    let word = |i: usize| words.get(i).map_or("", |w| &w.1);
    let span = |from: usize, to: usize| match (words.get(from), words.get(to)) {
        (Some(a), Some(b)) => a.0.start..b.0.end,
        _ => 0..0,
    };
    let mut out = Vec::new();
    for i in 0..words.len() {
        let (one, two, three) = (word(i), word(i + 1), word(i + 2));
        if one == "as" && two == "studied" {
            out.push(Claimed { at: span(i, i + 1), parameters: own.to_vec() });
        } else if one == "as" && two == "in" && three == "the" && ["trial", "study"].contains(&word(i + 3)) {
            out.push(Claimed { at: span(i, i + 3), parameters: own.to_vec() });
        } else if ["the", "at"].contains(&one) && two == "studied" {
            let parameters = named(three, own);
            if !parameters.is_empty() {
                out.push(Claimed { at: span(i, i + 2), parameters });
            }
        }
    }
    out
}

/// Parameters behind a noun; empty if it names something else, such as a muscle.
fn named(noun: &str, own: &[String]) -> Vec<String> {
    match noun {
        "dose" | "doses" | "amount" => own.to_vec(),
        "pressure" | "force" => vec!["pressure".into(), "force".into()],
        "repeats" | "repetitions" => vec!["reps".into()],
        "frequency" => vec!["per-week".into(), "per-day".into()],
        "time" | "duration" => vec!["time".into(), "hold".into()],
        _ if own.iter().any(|n| n == noun) => vec![noun.to_string()],
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::claimed;

    #[test]
    fn claims_are_told_from_other_uses_of_the_word() {
        let own = ["hold".to_string(), "reps".to_string()];
        let found = |text: &str| claimed(text, &own).into_iter().map(|c| (text[c.at].to_string(), c.parameters.len())).collect::<Vec<_>>();
        assert_eq!(found("Press at the studied pressure."), [("the studied pressure".to_string(), 2)]);
        assert_eq!(found("Press as studied."), [("as studied".to_string(), 2)]);
        assert_eq!(
            found("Give the studied hold as in the trial."),
            [("the studied hold".to_string(), 1), ("as in the trial".to_string(), 2)]
        );
        assert!(found("No source studied it alone; the studied muscle was another one.").is_empty());
    }
}
