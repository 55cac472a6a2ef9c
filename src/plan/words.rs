//! Words for people: names of dose parameters, marks of states, amounts of a ledger.

use super::view::parts::{DoseView, Link, Mark};
use crate::compute::currency::sign_off::State;
use crate::model::docs::{Dose, DoseEntry, DoseValue, Technique};
use crate::model::interval::Interval;
use crate::model::quantity::{number, show, unit_named};
use crate::model::region::Tag;
use crate::model::unit::Dim;
use crate::model::vocabulary::{Role, Strength, Urgency};

/// What every page and card says of itself.
pub const USE_NOTE: &str =
    "Supports trained practitioners; defers to local rules and licensed practice; it is no medical advice and names no diagnosis.";

/// Foot of a card face after the first.
pub const NOTICE_ON_PAGE_ONE: &str = "Notice: page 1.";

/// Banner of a card face, behind the state.
pub const DEMONSTRATION_IN_SHORT: &str = "Demo, not for treatment";

/// Banner of a demonstration on every screen of the room view; the whole banner stands above them.
pub const DEMONSTRATION_IN_THE_ROOM: &str = "Demonstration with invented data. Not for treatment.";

/// Mark of a document's state.
pub fn state(state: State) -> Mark {
    let (word, shape, class) = match state {
        State::Draft => ("Draft, not signed", "diamond", "state-draft"),
        State::InReview => ("In review, not signed", "ring", "state-review"),
        State::Approved => ("Approved", "circle", "state-approved"),
        State::Due => ("Approved, review due", "circle", "state-due"),
        State::Overdue => ("Review overdue", "triangle", "state-overdue"),
        State::Suspended => ("Suspended, do not use", "octagon", "state-suspended"),
        State::Retired => ("Retired, do not use", "square", "state-retired"),
    };
    Mark { word, shape, class }
}

/// The same in a pack that is a demonstration, whose sign-offs are as invented as the rest.
pub fn state_in(state: State, demonstration: bool) -> Mark {
    let own = match state {
        State::Approved => "Approved (invented)",
        State::Due => "Approved (invented), review due",
        _ => return self::state(state),
    };
    if demonstration { Mark { word: own, ..self::state(state) } } else { self::state(state) }
}

/// The same on a card, where the first thing to know is whether it may be used.
pub fn state_of_card(state: State, demonstration: bool) -> Mark {
    let own = match state {
        State::Draft => "Draft, not for use",
        State::InReview => "In review, not for use",
        State::Overdue => "Review overdue, not for use",
        State::Approved | State::Due if demonstration => "Sign-off invented, not reviewed",
        _ => return self::state(state),
    };
    Mark { word: own, ..self::state(state) }
}

/// Mark of an urgency.
pub fn urgency(urgency: Urgency) -> Mark {
    let (shape, class) = match urgency {
        Urgency::Now => ("octagon", "urgency-now"),
        Urgency::SameDay => ("triangle", "urgency-day"),
        Urgency::TwoWeeks => ("diamond", "urgency-weeks"),
        Urgency::Routine => ("ring", "urgency-routine"),
    };
    Mark { word: urgency.word(), shape, class }
}

/// Mark of a strength.
pub fn strength(strength: Strength) -> Mark {
    let (shape, class) = match strength {
        Strength::Never => ("octagon", "strength-never"),
        Strength::NotHere => ("square", "strength-not-here"),
        Strength::Limit => ("triangle", "strength-limit"),
        Strength::AskFirst => ("diamond", "strength-ask"),
        Strength::Watch => ("ring", "strength-watch"),
        Strength::None => ("circle", "strength-none"),
    };
    Mark { word: strength.word(), shape, class }
}

/// With which conditions something holds; one of them is enough.
pub fn together_with(others: &[Link]) -> String {
    let names: Vec<&str> = others.iter().map(|l| &*l.text).collect();
    format!("Together with {}", names.join(", or "))
}

/// What a tag of a region means for treatment. Common practice, no source.
pub fn tag_means(tag: Tag) -> &'static str {
    match tag {
        Tag::Sensitive => "Ask for consent to work here, keep it draped until it is needed, offer a chaperone, and write all three down.",
        Tag::ThinSkin => "Little lies between skin and bone: press lightly, and use less heat and less cold.",
        Tag::SuperficialNerve => {
            "A nerve lies under the skin: no pressure held on it and no cold held still; stop on tingling or numbness."
        }
        Tag::MajorVessel => "A large vessel lies near: feel for a pulse first, do not press on it, and leave at once if one is felt.",
        Tag::Internal => {
            "Inside the body: only with the training and the authority that local rules ask for, with gloves and with consent for this act."
        }
        Tag::PoorSensationCommon => {
            "Feeling is often poor here: test it before heat, cold and pressure, and do not rely on the pain number."
        }
        Tag::NotTreated => "Nobody works here: no touch, no bare skin. Pain here leads to the red flags and to a doctor.",
    }
}

/// Label of a dose parameter.
pub fn parameter(name: &str) -> String {
    match name {
        "hold" => "hold".into(),
        "rest" => "rest between".into(),
        "pain" => "pain at most".into(),
        "pace" => "time for each".into(),
        "layers" => "towel cover".into(),
        "source" => "pack temperature".into(),
        "lines" => "side by side".into(),
        "length" => "length of a line".into(),
        "reps" => "repeats".into(),
        name => name.replace(['-', '_'], " "),
    }
}

/// Label of repeats; it stands behind the number.
pub const IN_ALL: &str = "in all";
/// What stands behind passes: each line has as many.
const A_LINE: &str = "a line";

/// What stands behind a share: of what.
const OF_FULL_EFFORT: &str = "of full effort";

/// True for a label that stands behind its number, not before it.
pub fn follows(label: &str) -> bool {
    matches!(label, IN_ALL | A_LINE | OF_FULL_EFFORT)
}

/// A dose entry for people.
pub fn dose_entry(entry: &DoseEntry, technique: Option<&Technique>) -> DoseView {
    let name = &*entry.name.value;
    let peak = technique.is_some_and(|t| t.exposes.iter().any(|e| e.peak.as_ref().is_some_and(|p| &*p.value == name)));
    let (value, other) = match &entry.value {
        DoseValue::Amount(q) => (q.shown(), q.other_unit()),
        DoseValue::Word(word) => (word.to_string(), None),
        DoseValue::Unreadable => ("not readable".to_string(), None),
    };
    // Of "2 repeats" it must be clear that the first is one of them, of "3 passes" that each line has them.
    let label = match (&entry.value, name) {
        (DoseValue::Amount(_), "reps") => IN_ALL.into(),
        (DoseValue::Amount(_), "passes") => A_LINE.into(),
        (DoseValue::Amount(_), "effort") => OF_FULL_EFFORT.into(),
        (DoseValue::Amount(_), "sets") => String::new(),
        _ => parameter(name),
    };
    // Temperature and cover of a pack decide whether it burns, speed and lines of a sweep how cold the skin gets.
    let major = matches!(
        name,
        "source"
            | "layers"
            | "speed"
            | "lines"
            | "time"
            | "hold"
            | "push"
            | "stretch"
            | "reps"
            | "passes"
            | "sets"
            | "pain"
            | "effort"
            | "pressure"
            | "force"
    );
    // How long it takes to measure is no dose where the pressing or the stretch has its own.
    let own = |t: &Technique| t.exposes.iter().all(|e| !e.total.is_empty() && e.total.iter().all(|p| &*p.value != "time"));
    let around = name == "time" && technique.is_some_and(|t| t.role == Role::Measurement && !t.exposes.is_empty() && own(t));
    DoseView { label, value, other, minor: !major || around, cap: peak || name == "pain" }
}

/// A whole dose for people.
pub fn dose(dose: &Dose, technique: Option<&Technique>) -> Vec<DoseView> {
    dose.entries.iter().map(|e| dose_entry(e, technique)).collect()
}

/// A dose in one line.
pub fn dose_line(entries: &[DoseView]) -> String {
    let parts: Vec<String> = entries
        .iter()
        .map(|d| match d.label.as_str() {
            "" => d.shown(),
            label if follows(label) => format!("{} {label}", d.shown()),
            label => format!("{label} {}", d.shown()),
        })
        .collect();
    parts.join(", ")
}

/// An amount of a dimension, in a unit that suits `reach`, the largest amount beside it.
pub fn amount(dim: Dim, value: Interval, reach: f64) -> String {
    let whole = |x: f64| (x / 60.0).fract() < 1e-9;
    let (factor, symbol) = match dim {
        Dim::Time if reach > 300.0 || (reach >= 120.0 && whole(value.lo) && whole(value.hi) && whole(reach)) => (60.0, "min"),
        Dim::Time => (1.0, "s"),
        Dim::Passes => (1.0, "passes"),
        Dim::Sets => (1.0, "sets"),
        Dim::Length if reach > 1.0 => (1.0, "m"),
        Dim::Length => (0.01, "cm"),
        _ => (1.0, "reps"),
    };
    let round = |x: f64| (x / factor * 10.0).round() / 10.0;
    show(Interval::new(round(value.lo), round(value.hi)), unit_named(symbol))
}

/// Minutes of a time in seconds, as `12–18 min`.
pub fn minutes(value: Interval) -> String {
    let round = |x: f64| (x / 60.0).round();
    show(Interval::new(round(value.lo), round(value.hi)), unit_named("min"))
}

/// Minutes and seconds from the start, as `4:30`.
pub fn clock(seconds: f64) -> String {
    if !seconds.is_finite() {
        return "open".into();
    }
    let whole = seconds.round().max(0.0);
    let min = (whole / 60.0).floor();
    let rest = whole - min * 60.0;
    format!("{}:{}{}", number(min), if rest < 10.0 { "0" } else { "" }, number(rest))
}

/// `steps 3, 5 and 7`, or the single word form.
pub fn numbered(one: &str, many: &str, numbers: &[String]) -> String {
    match numbers {
        [] => String::new(),
        [n] => format!("{one} {n}"),
        [first @ .., last] => format!("{many} {} and {last}", first.join(", ")),
    }
}

/// `1–3, 5` for sorted numbers.
pub fn ranges(numbers: &[u32]) -> String {
    let mut out: Vec<(u32, u32)> = Vec::new();
    for n in numbers {
        match out.last_mut() {
            Some((_, end)) if *n == *end + 1 => *end = *n,
            Some((_, end)) if *n == *end => {}
            _ => out.push((*n, *n)),
        }
    }
    let one = |(a, b): &(u32, u32)| match b - a {
        0 => a.to_string(),
        1 => format!("{a}, {b}"),
        _ => format!("{a}–{b}"),
    };
    out.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// First letter as a capital.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_use_one_unit_for_both_ends() {
        assert_eq!(amount(Dim::Time, Interval::new(90.0, 120.0), 240.0), "90–120\u{a0}s");
        assert_eq!(amount(Dim::Time, Interval::new(120.0, 180.0), 180.0), "2–3\u{a0}min");
        assert_eq!(amount(Dim::Time, Interval::new(600.0, 900.0), 1200.0), "10–15\u{a0}min");
        assert_eq!(amount(Dim::Passes, Interval::new(2.0, 3.0), 6.0), "2–3\u{a0}passes");
        assert_eq!(clock(65.0), "1:05");
        assert_eq!(ranges(&[1, 2, 3, 5, 7, 8]), "1–3, 5, 7, 8");
        assert_eq!(numbered("step", "steps", &["3".into(), "5".into(), "7".into()]), "steps 3, 5 and 7");
    }
}
