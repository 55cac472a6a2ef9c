//! How agreement of examiners is put into words: one table for pages, checks and data.
//!
//! House wording. The cuts are fifths of the scale; other cuts would do as well, so the number always
//! stands beside the words. Landis and Koch, Biometrics 1977;33:159-174, cut there too and say that
//! their division is arbitrary (from memory, not verified); their adjectives are left out, because
//! they flatter.

use crate::model::interval::Interval;
use crate::model::vocabulary::{Coefficient, Raters};

/// Agreement beyond chance below a value, in words.
const WORDS: [(f64, &str); 5] = [
    (0.0, "worse than by chance"),
    (0.2, "hardly better than by chance"),
    (0.4, "a little better than by chance"),
    (0.6, "in part"),
    (0.8, "for the most part"),
];
const FULL: &str = "nearly always";

/// From here on a sign may be called repeatable without further words.
pub const REPEATABLE: f64 = 0.6;

/// A value of a kappa in words.
pub fn word(value: f64) -> &'static str {
    WORDS.iter().find(|(below, _)| value < *below).map_or(FULL, |(_, w)| w)
}

/// Who was compared with whom, as the start of a sentence.
pub fn who(raters: Raters) -> &'static str {
    match raters {
        Raters::Same => "One examiner, twice",
        Raters::Two => "Examiners compared with each other",
        Raters::TwoDays => "One examiner on two days",
    }
}

fn number(value: f64) -> String {
    crate::model::quantity::number(value).replace('-', "−")
}

/// A coefficient with its value, as `kappa 0.36–0.5`.
pub fn shown(kind: Coefficient, value: Interval) -> String {
    let range = if value.lo < value.hi { format!("{} to {}", number(value.lo), number(value.hi)) } else { number(value.lo) };
    match kind {
        Coefficient::PercentAgreement => format!("{range}\u{a0}%"),
        _ => format!("{} {range}", kind.word()),
    }
}

/// Agreement on a sign in one sentence, words first and the numbers beside them.
pub fn sentence(kind: Coefficient, value: Interval, interval: Option<Interval>, raters: Raters) -> String {
    let who = who(raters);
    let shown = shown(kind, value);
    let sure = interval.map(|i| format!("; 95\u{a0}% interval {} to {}", number(i.lo), number(i.hi))).unwrap_or_default();
    if kind == Coefficient::PercentAgreement {
        return format!("{who}: the same answer in {shown} of cases{sure}. Agreement by chance is counted in.");
    }
    if !kind.is_kappa() {
        return format!("{who}: {shown}{sure}.");
    }
    let (low, high) = (word(value.lo), word(value.hi));
    let agreed = if low == high { format!("agreed {low}") } else { format!("agreed from {low} to {high}, by study or place") };
    format!("{who} {agreed} ({shown}{sure}; 0 is chance, 1 full agreement).")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_follow_the_value() {
        let said: Vec<&str> = [-0.08, 0.0, 0.215, 0.452, 0.676, 0.92].into_iter().map(word).collect();
        let wanted = [
            "worse than by chance",
            "hardly better than by chance",
            "a little better than by chance",
            "in part",
            "for the most part",
            "nearly always",
        ];
        assert_eq!(said, wanted);
    }

    #[test]
    fn numbers_always_stand_beside_the_words() {
        let said = sentence(Coefficient::Kappa, Interval::exact(0.452), Some(Interval::new(0.364, 0.54)), Raters::Two);
        assert_eq!(
            said,
            "Examiners compared with each other agreed in part (kappa 0.452; 95\u{a0}% interval 0.364 to 0.54; 0 is chance, 1 full agreement)."
        );
        let said = sentence(Coefficient::Kappa, Interval::new(-0.08, 0.75), None, Raters::Two);
        assert!(said.contains("from worse than by chance to for the most part, by study or place (kappa −0.08 to 0.75"), "{said}");
        let said = sentence(Coefficient::PercentAgreement, Interval::new(63.0, 93.0), None, Raters::Two);
        assert!(said.contains("63 to 93\u{a0}% of cases. Agreement by chance is counted in"), "{said}");
    }
}
