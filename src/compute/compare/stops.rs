//! Stop rules of two sides, in one way for a technique, a step and what a step comes down to.

use super::change::Way;
use super::pairs::pair_up;
use super::{judge, show};
use crate::compute::currency::derived::StopState;
use crate::model::quantity;
use serde_json::Value;

/// A stop rule that is not the same: which way, and its words on both sides.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Moved {
    pub way: Way,
    pub old: Option<String>,
    pub new: Option<String>,
    /// True if nothing but letters and marks changed.
    pub only_words: bool,
}

/// How alike two signs must be to be one rule.
const ALIKE: f64 = 0.5;

/// All that are not the same.
pub(super) fn moved(old: &[StopState], new: &[StopState]) -> Vec<Moved> {
    let alike = |a: &StopState, b: &StopState| {
        let same = f64::from(u8::from(judge::letters(&a.sign) == judge::letters(&b.sign)));
        same + strsim::sorensen_dice(&a.sign, &b.sign)
    };
    let mut out = Vec::new();
    for pair in pair_up(old, new, ALIKE, alike) {
        let a = pair.0.and_then(|i| old.get(i));
        let b = pair.1.and_then(|j| new.get(j));
        if a == b {
            continue;
        }
        let (way, only_words) = match (a, b) {
            (Some(a), Some(b)) => both(a, b),
            (Some(_), None) => (Way::Looser, false),
            _ => (Way::Tighter, false),
        };
        out.push(Moved { way, old: a.map(words), new: b.map(words), only_words });
    }
    out
}

fn both(old: &StopState, new: &StopState) -> (Way, bool) {
    let at = threshold(old.at.as_deref(), new.at.as_deref());
    let said = |a: &str, b: &str| judge::letters(a) == judge::letters(b);
    let same = said(&old.sign, &new.sign) && said(&old.act, &new.act);
    match at {
        Some(way) => (way, false),
        None => (Way::Different, same),
    }
}

/// Which way the threshold moved; `None` if it did not. None at all is any, which is tightest.
fn threshold(old: Option<&str>, new: Option<&str>) -> Option<Way> {
    let any = |t: Option<&str>| t.filter(|t| judge::letters(t) != "any").map(str::to_string);
    match (any(old), any(new)) {
        (None, None) => None,
        (None, Some(_)) => Some(Way::Looser),
        (Some(_), None) => Some(Way::Tighter),
        (Some(a), Some(b)) if judge::letters(&a) == judge::letters(&b) => None,
        (Some(a), Some(b)) => Some(later(&a, &b)),
    }
}

/// A higher number is later, unless the words say that it is a floor. Times in two units are compared as times.
fn later(old: &str, new: &str) -> Way {
    let (Some((a, words)), Some((b, other))) = (single(old), single(new)) else { return Way::Different };
    if words != other || a == b {
        return Way::Different;
    }
    let floor = words.split(' ').any(|w| matches!(w, "below" | "under" | "less" | "fewer" | "lower" | "within"));
    if (b > a) == floor { Way::Tighter } else { Way::Looser }
}

/// The only number of a text in base units, and the text without it and its unit.
fn single(text: &str) -> Option<(f64, String)> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let starts: Vec<usize> =
        (0..words.len()).filter(|i| words.get(*i).is_some_and(|w| w.starts_with(|c: char| c.is_ascii_digit()))).collect();
    let [at] = starts[..] else { return None };
    let number = words.get(at)?;
    let with_unit = words.get(at + 1).and_then(|unit| quantity::parse(&format!("{number} {unit}")).ok()).map(|q| (q, 2));
    let alone = || quantity::parse(number).ok().map(|q| (q, 1));
    let (value, kind, taken) = match with_unit.or_else(alone) {
        Some((q, n)) => (q.base().hi, q.dim().word(), n),
        None => (number.trim_end_matches(|c: char| !c.is_ascii_digit()).parse().ok()?, "number", 1),
    };
    let rest = [words.get(..at)?, &[kind], words.get(at + taken..)?].concat();
    Some((value, rest.join(" ").to_lowercase()))
}

fn words(rule: &StopState) -> String {
    let at = rule.at.as_deref().filter(|t| judge::letters(t) != "any").map(|t| format!(", {}", show::text(t))).unwrap_or_default();
    let act = if rule.act.is_empty() { String::new() } else { format!(": {}", show::text(&rule.act)) };
    format!("{}{at}{act}", show::text(&rule.sign))
}

/// Stop rules out of content, as they come down from a document.
pub(super) fn read(list: &[Value]) -> Vec<StopState> {
    let text = |rule: &Value, key: &str| rule.get(key).map(show::value);
    list.iter()
        .map(|rule| {
            let acts = [text(rule, "do"), text(rule, "then")].into_iter().flatten().collect::<Vec<_>>().join("; then: ");
            StopState { sign: text(rule, "sign").unwrap_or_default(), at: text(rule, "at"), act: acts }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rule(sign: &str, at: Option<&str>, act: &str) -> StopState {
        StopState { sign: sign.into(), at: at.map(Into::into), act: act.into() }
    }

    #[test]
    fn a_later_threshold_is_looser() {
        let cases = [
            (None, Some("any"), None),
            (Some("any"), Some("lasts over 10 s"), Some(Way::Looser)),
            (Some("lasts over 10 s"), Some("lasts over 30 s"), Some(Way::Looser)),
            (Some("lasts over 50 s"), Some("lasts over 1 min"), Some(Way::Looser)),
            (Some("6/10"), Some("5/10"), Some(Way::Tighter)),
            (Some("over 6/10"), Some("over 7/10"), Some(Way::Looser)),
            (Some("below 5 cm/s"), Some("below 4 cm/s"), Some(Way::Looser)),
            (Some("2 times"), Some("3 times"), Some(Way::Looser)),
            (Some("lasts over 10 s"), Some("comes back after 30 s"), Some(Way::Different)),
            (Some("lasting"), Some("strong"), Some(Way::Different)),
            (Some("Lasts over 10 s."), Some("lasts over 10 s"), None),
        ];
        for (old, new, way) in cases {
            assert_eq!(threshold(old, new), way, "{old:?} {new:?}");
            assert_eq!(threshold(new, old), way.map(Way::back), "{new:?} {old:?}");
        }
    }

    #[test]
    fn rules_are_known_by_their_sign() {
        let old = [rule("sharp pain", None, "let go"), rule("numbness", Some("any"), "release")];
        let new = [rule("white skin", None, "warm"), rule("numbness", Some("lasts over 10 s"), "release")];
        let found: Vec<_> = moved(&old, &new).into_iter().map(|m| (m.way, m.old, m.new)).collect();
        let some = |t: &str| Some(t.to_string());
        assert_eq!(
            found,
            [
                (Way::Tighter, None, some("white skin: warm")),
                (Way::Looser, some("numbness: release"), some("numbness, lasts over 10 s: release")),
                (Way::Looser, some("sharp pain: let go"), None),
            ]
        );
        assert!(moved(&old, &old).is_empty());
        assert!(moved(&[rule("numbness", None, "Release.")], &[rule("numbness", None, "release")])[0].only_words);
    }
}
