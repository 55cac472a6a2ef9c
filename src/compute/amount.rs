//! Computed amounts for people: base units back to the unit in which the trade says them.

use crate::model::interval::Interval;
use crate::model::quantity::{number, show, unit_named};
use crate::model::unit::Dim;

/// An amount in base units as shown to people: `90–180 s`, `4.5 min`, `3 passes`, `5/10`.
pub fn shown(dim: Dim, base: Interval) -> String {
    let unit = unit_named(symbol(dim, base.hi));
    let (digits, factor) = if dim == Dim::Time { (10.0, unit.factor) } else { (1000.0, unit.factor) };
    let round = |x: f64| (x / factor * digits).round() / digits;
    show(Interval::new(round(base.lo), round(base.hi)), unit)
}

/// A length of the model for people, mm: a decimal below 10, none above.
pub fn millimetres(mm: f64) -> String {
    format!("{}\u{a0}mm", rounded(mm))
}

/// An angle for people, to a whole degree.
pub fn degrees(degrees: f64) -> String {
    format!("{}°", number(degrees.round()))
}

/// A computed number for people: a decimal below 10, none above.
pub fn rounded(value: f64) -> String {
    if value.abs() < 9.95 { number((value * 10.0).round() / 10.0) } else { number(value.round()) }
}

/// The unit of a dimension; times take the one that keeps the number short.
fn symbol(dim: Dim, most: f64) -> &'static str {
    match dim {
        Dim::Time if most >= 86_400.0 => "d",
        Dim::Time if most >= 2.0 * 3600.0 => "h",
        Dim::Time if most >= 240.0 => "min",
        Dim::Time => "s",
        Dim::Length => "cm",
        Dim::Fingers => "fb",
        Dim::Area => "cm2",
        Dim::Speed => "cm/s",
        Dim::Angle => "deg",
        Dim::Force => "N",
        Dim::Pressure => "kPa",
        Dim::Temperature => "degC",
        Dim::Passes => "passes",
        Dim::Reps => "reps",
        Dim::Sets => "sets",
        Dim::Sessions => "sessions",
        Dim::Lines => "lines",
        Dim::Layers => "layers",
        Dim::PerWeek => "/wk",
        Dim::DaysPerWeek => "d/wk",
        Dim::Percent => "%",
        Dim::Pain => "/10",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_change_their_unit_where_numbers_would_grow() {
        let cases = [
            (Dim::Time, 90.0, 180.0, "90–180\u{a0}s"),
            (Dim::Time, 90.0, 270.0, "1.5–4.5\u{a0}min"),
            (Dim::Time, 172_800.0, 172_800.0, "2\u{a0}days"),
            (Dim::Time, 7200.0, 7200.0, "2\u{a0}h"),
            (Dim::Passes, 5.0, 7.0, "5–7\u{a0}passes"),
            (Dim::Pain, 5.0, 5.0, "5/10"),
            (Dim::PerWeek, 14.0, 14.0, "14/week"),
        ];
        for (dim, lo, hi, wanted) in cases {
            assert_eq!(shown(dim, Interval::new(lo, hi)), wanted);
        }
    }
}
