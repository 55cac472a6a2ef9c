//! Units and dimensions, with exact factors to the base unit of each dimension.
//!
//! Source of the factors: BIPM, The International System of Units (SI Brochure), 9th edition, tables
//! 4 and 8; NIST Special Publication 811 (2008), appendix B: 1 kgf = 9.80665 N exactly, hence
//! 1 kgf/cm2 = 98 066.5 Pa exactly. The mean month is a twelfth of a mean Gregorian year of
//! 365.25 d (a convention for review intervals only).

/// What a quantity measures.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dim {
    /// Time, s.
    Time,
    /// Length, m.
    Length,
    /// Finger-breadths of the person.
    Fingers,
    /// Area, m2.
    Area,
    /// Speed, m/s.
    Speed,
    /// Angle, deg.
    Angle,
    /// Force, N.
    Force,
    /// Pressure, Pa.
    Pressure,
    /// Temperature, degC.
    Temperature,
    /// Passes over the skin.
    Passes,
    /// Repeats.
    Reps,
    /// Sets.
    Sets,
    /// Sessions.
    Sessions,
    /// Parallel lines of a sweep.
    Lines,
    /// Cover layers.
    Layers,
    /// How often a week.
    PerWeek,
    /// Days a week.
    DaysPerWeek,
    /// Percent.
    Percent,
    /// Pain on a scale from 0 to 10.
    Pain,
}

impl Dim {
    /// Word for people.
    pub fn word(self) -> &'static str {
        match self {
            Dim::Time => "a time",
            Dim::Length => "a length",
            Dim::Fingers => "finger-breadths",
            Dim::Area => "an area",
            Dim::Speed => "a speed",
            Dim::Angle => "an angle",
            Dim::Force => "a force",
            Dim::Pressure => "a pressure",
            Dim::Temperature => "a temperature",
            Dim::Passes => "passes",
            Dim::Reps => "repeats",
            Dim::Sets => "sets",
            Dim::Sessions => "sessions",
            Dim::Lines => "lines",
            Dim::Layers => "layers",
            Dim::PerWeek => "how often a day or week",
            Dim::DaysPerWeek => "days a week",
            Dim::Percent => "percent",
            Dim::Pain => "pain out of 10",
        }
    }

    /// Values that are possible at all, in base units.
    pub fn bounds(self) -> (f64, f64) {
        match self {
            Dim::Pain => (0.0, 10.0),
            Dim::Percent => (0.0, 100.0),
            Dim::Angle => (-360.0, 360.0),
            Dim::Temperature => (-80.0, 110.0),
            Dim::DaysPerWeek => (0.0, 7.0),
            Dim::PerWeek => (0.0, 24.0 * 7.0),
            _ => (0.0, f64::INFINITY),
        }
    }

    /// True if exposures in this dimension add up.
    pub fn adds_up(self) -> bool {
        matches!(self, Dim::Time | Dim::Passes | Dim::Reps)
    }
}

/// A unit that packs may use.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// As written in packs.
    pub symbol: &'static str,
    /// Other accepted spellings.
    pub also: &'static [&'static str],
    /// As shown.
    pub shown: &'static str,
    /// As shown for exactly one.
    pub one: &'static str,
    /// What it measures.
    pub dim: Dim,
    /// How many base units it is.
    pub factor: f64,
}

const fn unit(symbol: &'static str, also: &'static [&'static str], shown: &'static str, one: &'static str, dim: Dim, factor: f64) -> Unit {
    Unit { symbol, also, shown, one, dim, factor }
}

/// All units.
pub static UNITS: &[Unit] = &[
    unit("s", &[], "s", "s", Dim::Time, 1.0),
    unit("min", &[], "min", "min", Dim::Time, 60.0),
    unit("h", &[], "h", "h", Dim::Time, 3600.0),
    unit("d", &[], "days", "day", Dim::Time, 86_400.0),
    unit("wk", &[], "weeks", "week", Dim::Time, 604_800.0),
    unit("mo", &[], "months", "month", Dim::Time, 2_629_800.0),
    unit("y", &[], "years", "year", Dim::Time, 31_557_600.0),
    unit("mm", &[], "mm", "mm", Dim::Length, 0.001),
    unit("cm", &[], "cm", "cm", Dim::Length, 0.01),
    unit("m", &[], "m", "m", Dim::Length, 1.0),
    unit("fb", &[], "finger-breadths", "finger-breadth", Dim::Fingers, 1.0),
    unit("cm2", &["cm²"], "cm²", "cm²", Dim::Area, 1e-4),
    unit("cm/s", &[], "cm/s", "cm/s", Dim::Speed, 0.01),
    unit("deg", &["°"], "°", "°", Dim::Angle, 1.0),
    unit("N", &[], "N", "N", Dim::Force, 1.0),
    unit("kgf", &[], "kgf", "kgf", Dim::Force, 9.806_65),
    unit("N/cm2", &["N/cm²"], "N/cm²", "N/cm²", Dim::Pressure, 10_000.0),
    unit("kPa", &[], "kPa", "kPa", Dim::Pressure, 1000.0),
    unit("kgf/cm2", &["kgf/cm²"], "kgf/cm²", "kgf/cm²", Dim::Pressure, 98_066.5),
    unit("degC", &["°C"], "°C", "°C", Dim::Temperature, 1.0),
    unit("passes", &["pass"], "passes", "pass", Dim::Passes, 1.0),
    unit("reps", &["rep"], "repeats", "repeat", Dim::Reps, 1.0),
    unit("sets", &["set"], "sets", "set", Dim::Sets, 1.0),
    unit("sessions", &["session"], "sessions", "session", Dim::Sessions, 1.0),
    unit("lines", &["line"], "lines", "line", Dim::Lines, 1.0),
    unit("layers", &["layer"], "layers", "layer", Dim::Layers, 1.0),
    unit("/wk", &[], "/week", "/week", Dim::PerWeek, 1.0),
    unit("/d", &[], "/day", "/day", Dim::PerWeek, 7.0),
    unit("d/wk", &[], "days a week", "day a week", Dim::DaysPerWeek, 1.0),
    unit("%", &[], "%", "%", Dim::Percent, 1.0),
    unit("/10", &[], "/10", "/10", Dim::Pain, 1.0),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST SP 811 (2008), appendix B.8: kilogram-force per square centimetre to kilopascal 98.0665.
    #[test]
    fn the_kilogram_force_per_square_centimetre_is_exact() {
        let unit = UNITS.iter().find(|u| u.symbol == "kgf/cm2").unwrap();
        assert!((unit.factor / 1000.0 - 98.0665).abs() < 1e-12);
    }

    #[test]
    fn symbols_are_unique() {
        let mut seen = std::collections::BTreeSet::new();
        for u in UNITS {
            assert!(seen.insert(u.symbol), "{}", u.symbol);
            assert!(u.also.iter().all(|a| seen.insert(a)), "{}", u.symbol);
        }
    }
}
