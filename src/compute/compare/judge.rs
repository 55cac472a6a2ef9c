//! Which way a single value went, and whether the change counts for more than its words.

use super::change::{Topic, Way};
use super::fields::{Judge, Rule};
use super::show::{self, Amount};
use crate::model::unit::Dim;
use serde_json::Value;

/// A judgement.
#[derive(Copy, Clone, Debug, PartialEq)]
pub(super) struct Verdict {
    pub topic: Topic,
    pub way: Way,
    pub ratio: Option<f64>,
}

/// What is gone (or, backwards, new).
pub(super) fn presence(rule: Rule, gone: bool) -> Verdict {
    let way = match rule.judge {
        Judge::Up | Judge::Down | Judge::Wider | Judge::Guard | Judge::Keep => Way::Looser,
        // A dose that is not stated is no cap that is gone; the check for missing parameters speaks of it.
        Judge::Dose if rule.topic == Topic::Dose => Way::Different,
        Judge::Dose => Way::Looser,
        Judge::Gain => Way::Tighter,
        Judge::Rank(_) | Judge::Said | Judge::Prose | Judge::Any => Way::Different,
    };
    Verdict { topic: rule.topic, way: if gone { way } else { way.back() }, ratio: None }
}

/// What a dose parameter measures with: its name, and what the technique brings to the skin.
#[derive(Copy, Clone, Debug, Default)]
pub(super) struct About<'a> {
    /// Name of the parameter.
    pub parameter: &'a str,
    /// True for heat, false for cold, `None` for neither or both.
    pub heat: Option<bool>,
}

/// A value that is there on both sides and not the same.
pub(super) fn changed(rule: Rule, old: &Value, new: &Value, about: About<'_>) -> Verdict {
    let verdict = |topic, way, ratio| Verdict { topic, way, ratio };
    if let (Some(a), Some(b)) = (Amount::read(old), Amount::read(new)) {
        let (way, ratio) = amounts(rule.judge, a, b, about);
        return verdict(rule.topic, way, ratio);
    }
    let (a, b) = (show::value(old), show::value(new));
    match rule.judge {
        Judge::Rank(list) => {
            let place = |word: &str| list.iter().position(|w| *w == word);
            let way = match place(&a).zip(place(&b)) {
                Some((a, b)) if b > a => Way::Looser,
                Some((a, b)) if b < a => Way::Tighter,
                _ => Way::Different,
            };
            verdict(rule.topic, way, None)
        }
        Judge::Said | Judge::Keep => verdict(words(rule.topic, letters(&a) != letters(&b)), Way::Different, None),
        Judge::Guard | Judge::Prose => verdict(words(rule.topic, weighty(&a, &b)), Way::Different, None),
        _ => {
            let counts = if sentence(&a) || sentence(&b) { weighty(&a, &b) } else { letters(&a) != letters(&b) };
            verdict(words(rule.topic, counts), Way::Different, None)
        }
    }
}

/// Words that do not count are wording; in a note they are part of the note.
pub(super) fn words(topic: Topic, counts: bool) -> Topic {
    if counts || topic == Topic::Note { topic } else { Topic::Wording }
}

/// Which way an amount went under a judgement.
pub(super) fn amounts(judge: Judge, old: Amount, new: Amount, about: About<'_>) -> (Way, Option<f64>) {
    let (a, b) = (old.ends, new.ends);
    if old.dim != new.dim {
        return (Way::Different, None);
    }
    let (way, ratio) = match judge {
        Judge::Up => show::judge(a, b, true),
        Judge::Down => show::judge(a, b, false),
        Judge::Dose => match more_is_looser(about, old.dim) {
            Some(up) => show::judge(a, b, up),
            None => (Way::Different, None),
        },
        Judge::Wider => match (a.within(b), b.within(a)) {
            (true, false) => (Way::Looser, None),
            (false, true) => (Way::Tighter, None),
            _ => (Way::Different, None),
        },
        _ => (Way::Different, show::judge(a, b, true).1),
    };
    // A degree Celsius is no share of another.
    (way, ratio.filter(|_| old.dim != Some(Dim::Temperature)))
}

/// True if more of a dose parameter is looser, false if less is; `None` if neither can be said.
pub(super) fn more_is_looser(about: About<'_>, dim: Option<Dim>) -> Option<bool> {
    match (about.parameter, dim?) {
        ("rest" | "pause" | "gap", _) | (_, Dim::Layers) => Some(false),
        (_, Dim::Temperature) => about.heat,
        (_, Dim::Speed | Dim::Length | Dim::Fingers | Dim::Area | Dim::Lines) => None,
        _ => Some(true),
    }
}

/// Letters and digits in lower case: texts that share them differ in nothing that is said.
pub(super) fn letters(text: &str) -> String {
    let plain = |c: char| if c.is_alphanumeric() || "/<>=+%-.,".contains(c) { c } else { ' ' };
    let lower: String = text.to_lowercase().chars().map(plain).collect();
    lower.split(' ').map(|w| w.trim_end_matches(['.', ','])).filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ")
}

/// True for a sentence or more: ends like one, or has more than three words.
fn sentence(text: &str) -> bool {
    text.ends_with(['.', '?', '!']) || text.split(' ').count() > 3
}

const DENIALS: [&str; 12] = ["not", "no", "never", "without", "nobody", "none", "nor", "neither", "unless", "except", "only", "don't"];

/// True if two texts differ in a number or in a denial, so that they cannot be taken for the same in other words.
pub(super) fn weighty(old: &str, new: &str) -> bool {
    let marks = |text: &str| {
        let heavy = |w: &&str| w.contains(|c: char| c.is_ascii_digit()) || DENIALS.contains(w);
        let mut found: Vec<String> = letters(text).split(' ').filter(heavy).map(str::to_string).collect();
        found.sort();
        found
    };
    marks(old) != marks(new)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn quantity(text: &str) -> Value {
        let node = crate::load::yaml::parse(crate::source::FileId(0), &format!("q: {text}")).root.expect("is YAML");
        crate::model::content::Content::of(&node).value()["q"].clone()
    }

    #[test]
    fn amounts_go_the_way_of_their_judgement_and_back() {
        let at = |parameter, heat| About { parameter, heat };
        let cases = [
            (Judge::Up, "5/10", "6/10", at("", None), Way::Looser, Some(1.2)),
            (Judge::Down, "48 h", "24 h", at("", None), Way::Looser, Some(0.5)),
            (Judge::Wider, "18-75 y", "16-75 y", at("", None), Way::Looser, None),
            (Judge::Wider, "18-75 y", "16-70 y", at("", None), Way::Different, None),
            (Judge::Dose, "45-60 s", "45-90 s", at("hold", None), Way::Looser, Some(1.5)),
            (Judge::Dose, "45-60 s", "30-60 s", at("hold", None), Way::Different, None),
            (Judge::Dose, "10 s", "5 s", at("rest", None), Way::Looser, Some(0.5)),
            (Judge::Dose, "8 layers", "6 layers", at("layers", None), Way::Looser, Some(0.75)),
            (Judge::Dose, "70 degC", "75 degC", at("source", Some(true)), Way::Looser, None),
            (Judge::Dose, "-5 degC", "0 degC", at("source", Some(false)), Way::Tighter, None),
            (Judge::Dose, "10 cm/s", "8 cm/s", at("speed", None), Way::Different, None),
            (Judge::Said, "10 s", "20 s", at("", None), Way::Different, Some(2.0)),
        ];
        for (judge, old, new, about, way, ratio) in cases {
            let rule = Rule { topic: Topic::Limit, judge };
            let there = changed(rule, &quantity(old), &quantity(new), about);
            assert_eq!((there.way, there.ratio), (way, ratio), "{judge:?} {old} {new}");
            assert_eq!(changed(rule, &quantity(new), &quantity(old), about).way, way.back(), "{judge:?} {new} {old}");
        }
    }

    #[test]
    fn words_count_where_they_must() {
        let cases = [
            (Judge::Said, "Press on.", "press on", Topic::Wording),
            (Judge::Said, "Press on.", "Press harder.", Topic::Method),
            (Judge::Prose, "Press on.", "Press harder.", Topic::Wording),
            (Judge::Prose, "Do not press.", "Press.", Topic::Method),
            (Judge::Guard, "Calf 3 cm thicker.", "Calf 5 cm thicker.", Topic::Method),
            (Judge::Any, "Watch the skin while it warms.", "Watch the skin as it warms.", Topic::Wording),
            (Judge::Any, "thumb", "elbow", Topic::Method),
        ];
        for (judge, old, new, topic) in cases {
            let rule = Rule { topic: Topic::Method, judge };
            let verdict = changed(rule, &json!(old), &json!(new), About::default());
            assert_eq!((verdict.topic, verdict.way), (topic, Way::Different), "{judge:?} {old} {new}");
        }
        let rank = Rule { topic: Topic::Urgency, judge: Judge::Rank(&["now", "same day"]) };
        assert_eq!(changed(rank, &json!("now"), &json!("same day"), About::default()).way, Way::Looser);
        assert_eq!(changed(rank, &json!("same day"), &json!("now"), About::default()).way, Way::Tighter);
        assert_eq!(changed(rank, &json!("now"), &json!("soon"), About::default()).way, Way::Different);
    }
}
