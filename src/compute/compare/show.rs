//! Values in words: two amounts in one unit, two long texts by the part in which they differ.

use super::change::Way;
use crate::model::content::QUANTITY;
use crate::model::interval::{Interval, exceeds};
use crate::model::quantity::{self, number};
use crate::model::unit::{Dim, UNITS, Unit};
use serde_json::Value;

/// Least and most in base units; the most is infinite for an open end.
#[derive(Copy, Clone, Debug, PartialEq)]
pub(super) struct Amount {
    /// What it measures; `None` for a plain number.
    pub dim: Option<Dim>,
    /// Both ends.
    pub ends: Interval,
}

/// Units in which each dimension is shown, largest first: the first in which both amounts are whole is taken.
const SHOWN: [(Dim, &[&str]); 6] = [
    (Dim::Time, &["y", "mo", "wk", "d", "h", "min", "s"]),
    (Dim::Length, &["cm"]),
    (Dim::Speed, &["cm/s"]),
    (Dim::Pressure, &["kPa"]),
    (Dim::Force, &["N"]),
    (Dim::PerWeek, &["/d", "/wk"]),
];

impl Amount {
    /// From the words of a dimension and two ends.
    pub fn of(word: &str, least: Option<f64>, most: Option<f64>) -> Amount {
        let dim = UNITS.iter().map(|u| u.dim).find(|d| d.word() == word);
        Amount { dim, ends: Interval::new(least.unwrap_or(f64::NEG_INFINITY), most.unwrap_or(f64::INFINITY)) }
    }

    /// From content.
    pub fn read(value: &Value) -> Option<Amount> {
        match value {
            Value::Number(n) => Some(Amount { dim: None, ends: Interval::exact(n.as_f64()?) }),
            Value::Object(map) => {
                let word = map.get(QUANTITY)?.as_str()?;
                let end = |key: &str| map.get(key).and_then(Value::as_f64);
                Some(Amount::of(word, end("least"), end("most")))
            }
            _ => None,
        }
    }

    fn unit(self, other: Option<Amount>) -> Option<&'static Unit> {
        let dim = self.dim?;
        let both = [Some(self), other.filter(|o| o.dim == self.dim)];
        let ends: Vec<f64> = both.into_iter().flatten().flat_map(|a| [a.ends.lo, a.ends.hi]).filter(|x| x.is_finite()).collect();
        let whole = |unit: &Unit| ends.iter().all(|x| (x / unit.factor - (x / unit.factor).round()).abs() < 1e-9);
        let symbols = SHOWN.iter().find(|(d, _)| *d == dim).map_or(&[][..], |(_, s)| *s);
        let options: Vec<&'static Unit> = symbols.iter().filter_map(|s| UNITS.iter().find(|u| u.symbol == *s)).collect();
        // All zero is whole in years too.
        let none = ends.iter().all(|x| *x == 0.0);
        let first = options.iter().find(|u| whole(u) && !none);
        first.or(options.last()).copied().or_else(|| UNITS.iter().find(|u| u.dim == dim))
    }

    /// In a unit that suits the other too.
    pub fn shown(self, other: Option<Amount>) -> String {
        if self.ends.lo == f64::NEG_INFINITY {
            let upper = Amount { ends: Interval::exact(self.ends.hi), ..self };
            return if self.ends.hi.is_finite() { format!("up to {}", upper.shown(other)) } else { "any".into() };
        }
        match self.unit(other) {
            Some(unit) => quantity::show(Interval::new(self.ends.lo / unit.factor, self.ends.hi / unit.factor), unit),
            None if (self.ends.hi - self.ends.lo).abs() < 1e-12 => plain(self.ends.hi),
            None => format!("{}–{}", plain(self.ends.lo), plain(self.ends.hi)),
        }
    }
}

/// A plain number to the last digit, so that no change is rounded away.
fn plain(x: f64) -> String {
    if (x * 1000.0).fract() == 0.0 { number(x) } else { x.to_string() }
}

/// Two amounts in one unit. Where rounding would hide the difference, all digits are shown.
pub(super) fn amounts(old: Amount, new: Amount) -> (String, String) {
    let (a, b) = (old.shown(Some(new)), new.shown(Some(old)));
    if a != b || old == new {
        return (a, b);
    }
    let full = |x: Amount| format!("{} to {} (base unit)", x.ends.lo, x.ends.hi);
    (full(old), full(new))
}

/// A text, which may be an amount.
pub(super) fn text(written: &str) -> String {
    let read = quantity::parse(written).ok().filter(|_| !written.trim_start().starts_with("until"));
    read.map_or_else(
        || written.split_whitespace().collect::<Vec<_>>().join(" "),
        |q| Amount { dim: Some(q.dim()), ends: q.base() }.shown(None),
    )
}

/// Any value in one line.
pub(super) fn value(value: &Value) -> String {
    if let Some(amount) = Amount::read(value) {
        return amount.shown(None);
    }
    match value {
        Value::Null => String::new(),
        Value::Bool(b) => if *b { "yes" } else { "no" }.into(),
        Value::String(text) => text.clone(),
        Value::Array(items) => items.iter().map(self::value).collect::<Vec<_>>().join(", "),
        Value::Object(map) if map.is_empty() => "nothing".into(),
        Value::Object(map) => {
            map.iter().map(|(k, v)| format!("{}: {}", k.replace('-', " "), self::value(v))).collect::<Vec<_>>().join("; ")
        }
        other => other.to_string(),
    }
}

/// Two values, in one unit where they are amounts, cut to where they differ where they are long texts.
pub(super) fn both(old: &Value, new: &Value) -> (String, String) {
    match (Amount::read(old), Amount::read(new)) {
        (Some(a), Some(b)) => amounts(a, b),
        _ => cut(value(old), value(new)),
    }
}

/// Longest text that is shown whole.
const WHOLE: usize = 160;

/// Words left in front of and behind the part in which two texts differ.
const AROUND: usize = 4;

/// Two long texts without most of what they share at both ends.
fn cut(old: String, new: String) -> (String, String) {
    if old.len().max(new.len()) <= WHOLE {
        return (old, new);
    }
    let (a, b): (Vec<&str>, Vec<&str>) = (old.split(' ').collect(), new.split(' ').collect());
    let front = a.iter().zip(&b).take_while(|(x, y)| x == y).count();
    let most = a.len().min(b.len()) - front;
    let back = a.iter().rev().zip(b.iter().rev()).take(most).take_while(|(x, y)| x == y).count();
    let part = |words: &[&str]| {
        let (from, to) = (front.saturating_sub(AROUND), (words.len() - back + AROUND).min(words.len()));
        let before = if from > 0 { "… " } else { "" };
        let after = if to < words.len() { " …" } else { "" };
        format!("{before}{}{after}", words.get(from..to).unwrap_or_default().join(" "))
    };
    (part(&a), part(&b))
}

/// Which way an amount went, and new over old. `up` says that more is looser. The end that counts is the most where
/// more is looser, else the least; if only the other end moved, the change is neither.
pub(super) fn judge(old: Interval, new: Interval, up: bool) -> (Way, Option<f64>) {
    let (a, b) = if up { (old.hi, new.hi) } else { (old.lo, new.lo) };
    let (more, less) = (exceeds(b, a), exceeds(a, b));
    let ratio = (a.is_finite() && b.is_finite() && a > 0.0 && (more || less)).then_some(b / a);
    let way = match (more, less) {
        (false, false) => Way::Different,
        (more, _) if more == up => Way::Looser,
        _ => Way::Tighter,
    };
    (way, ratio)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn amount(text: &str) -> Amount {
        let q = quantity::parse(text).expect("is an amount");
        Amount { dim: Some(q.dim()), ends: q.base() }
    }

    #[test]
    fn two_amounts_are_shown_in_one_unit() {
        let cases = [
            ("60 s", "90 s", "60\u{a0}s", "90\u{a0}s"),
            ("10-15 min", "20 min", "10–15\u{a0}min", "20\u{a0}min"),
            ("24 mo", "36 mo", "2\u{a0}years", "3\u{a0}years"),
            ("3-7 d", "1 wk", "3–7\u{a0}days", "7\u{a0}days"),
            ("2 /d", "10 /wk", "14/week", "10/week"),
            ("1 kgf/cm2", "100 kPa", "98.067\u{a0}kPa", "100\u{a0}kPa"),
            ("5/10", "6/10", "5/10", "6/10"),
            ("0 min", "5 min", "0\u{a0}min", "5\u{a0}min"),
            ("70 degC", "75 degC", "70\u{a0}°C", "75\u{a0}°C"),
        ];
        for (old, new, a, b) in cases {
            assert_eq!(amounts(amount(old), amount(new)), (a.into(), b.into()), "{old} {new}");
        }
    }

    #[test]
    fn rounding_hides_no_change() {
        let (a, b) = amounts(amount("1 kPa"), Amount { ends: Interval::exact(1000.0001), ..amount("1 kPa") });
        assert_ne!(a, b);
    }

    #[test]
    fn long_texts_are_cut_to_where_they_differ() {
        let long = "word ".repeat(60);
        let (a, b) = cut(format!("{long}one {long}"), format!("{long}two {long}"));
        assert_eq!(a, "… word word word word one word word word word …");
        assert_eq!(b, a.replace("one", "two"));
        assert_eq!(cut("one".into(), "two".into()), ("one".into(), "two".into()));
        let (a, b) = cut(long.clone(), format!("{long}more"));
        assert!(a.len() < 60 && b.ends_with("more"), "{a} / {b}");
    }
}
