//! Quantities as authors write them: a number or a range and a unit.
//!
//! The grammar and its errors are here; which unit fits which field is decided where a field is
//! decoded. A quantity keeps its written unit for showing and compares in the base unit of its
//! dimension.

use super::interval::Interval;
use super::unit::{Dim, UNITS, Unit};

/// A number or a range with its unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Quantity {
    /// As written, in `unit`.
    pub written: Interval,
    /// The written unit.
    pub unit: &'static Unit,
}

/// What is wrong with a quantity, and at which bytes of its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuantityError {
    /// Kind of mistake.
    pub kind: QuantityMistake,
    /// Bytes of the text.
    pub at: std::ops::Range<usize>,
    /// What is wrong there.
    pub what: String,
    /// What to type.
    pub help: String,
}

/// Kinds of mistake in a quantity.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum QuantityMistake {
    /// Not readable at all.
    Unreadable,
    /// Readable, but in a form that is known to be misread.
    Notation,
    /// The low end is above the high end.
    Inverted,
}

impl Quantity {
    /// Dimension of the unit.
    pub fn dim(&self) -> Dim {
        self.unit.dim
    }

    /// Amounts in the base unit of the dimension (s, m, m/s, deg, N, Pa, degC, count, …).
    pub fn base(&self) -> Interval {
        let f = self.unit.factor;
        Interval::new(self.written.lo * f, self.written.hi * f)
    }

    /// Amounts in the unit of this symbol; what was written in it comes back to the last digit.
    pub fn in_unit(&self, symbol: &str) -> Interval {
        if self.unit.symbol == symbol {
            return self.written;
        }
        let factor = unit_named(symbol).factor;
        Interval::new(self.base().lo / factor, self.base().hi / factor)
    }

    /// True if there is no upper bound.
    pub fn is_open(&self) -> bool {
        self.written.hi.is_infinite()
    }

    /// As shown to people: en dash in ranges, singular where it is one.
    pub fn shown(&self) -> String {
        show(self.written, self.unit)
    }

    /// As a distance on a scale.
    pub fn distance(&self) -> String {
        show(self.written, of_distance(self.unit))
    }

    /// As the ends of a scale.
    pub fn scale(&self) -> String {
        match self.dim() {
            Dim::Pain => format!("{} to {}\u{a0}points", number(self.written.lo), number(self.written.hi)),
            _ => self.shown(),
        }
    }

    /// The same amount in the other unit of a pair that the trade uses (kgf/cm2 and kPa).
    pub fn other_unit(&self) -> Option<String> {
        let other = match self.unit.symbol {
            "kgf/cm2" => "kPa",
            "kPa" => "kgf/cm2",
            _ => return None,
        };
        let unit = UNITS.iter().find(|u| u.symbol == other)?;
        let base = self.base();
        let round = |x: f64| (x / unit.factor * 100.0).round() / 100.0;
        Some(show(Interval::new(round(base.lo), round(base.hi)), unit))
    }
}

/// Shows an interval given in `unit`.
pub fn show(written: Interval, unit: &Unit) -> String {
    let range = if written.hi.is_infinite() {
        format!("{} or more", number(written.lo))
    } else if (written.hi - written.lo).abs() < 1e-9 {
        number(written.hi)
    } else {
        format!("{}–{}", number(written.lo), number(written.hi))
    };
    let symbol = if range == "1" { unit.one } else { unit.shown };
    let gap = if symbol.starts_with('/') || symbol == "°" { "" } else { "\u{a0}" };
    format!("{range}{gap}{symbol}")
}

/// Shows a computed interval of base units in `unit`, with three figures.
pub fn show_base(unit: &Unit, base: Interval) -> String {
    let three = |x: f64| {
        let x = x / unit.factor;
        let whole = [10.0, 100.0, 1000.0].into_iter().filter(|edge| x.abs() >= *edge).count();
        let step = 10_f64.powi(2 - i32::try_from(whole).unwrap_or(0));
        (x * step).round() / step
    };
    show(Interval::new(three(base.lo), three(base.hi)), unit)
}

/// Steps of a scale from 0 to 10. `/10` names a place on the scale; how far two places lie apart is told in points.
static POINTS: Unit =
    Unit { symbol: "points", also: &[], shown: "points on 0 to 10", one: "point on 0 to 10", dim: Dim::Pain, factor: 1.0 };

fn of_distance(unit: &Unit) -> &Unit {
    if unit.dim == Dim::Pain { &POINTS } else { unit }
}

/// Shows a computed distance of base units, as [`show_base`] does.
pub fn show_distance(unit: &Unit, base: Interval) -> String {
    show_base(of_distance(unit), base)
}

/// A number without needless digits: at most three decimals, none trailing.
pub fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

/// Reads a quantity.
///
/// # Errors
/// With the offending bytes, what is wrong there and what to type.
pub fn parse(text: &str) -> Result<Quantity, QuantityError> {
    Reader { text, at: 0 }.quantity()
}

/// Reads a number or a range without a unit, as `0.76`, `0.94-0.97` or `-0.08 to 0.75`.
///
/// # Errors
/// As [`parse`].
pub fn parse_bare(text: &str) -> Result<Interval, QuantityError> {
    Reader { text, at: 0 }.bare()
}

/// Decimals of the shortest text of a number: those that were printed, since a trailing zero is refused
/// for whole numbers and cannot be told from a coarser rounding elsewhere.
pub fn decimals(value: f64) -> u32 {
    let text = value.to_string();
    text.split_once('.').map_or(0, |(_, part)| u32::try_from(part.len()).unwrap_or(0))
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Reader<'a> {
    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    fn blanks(&mut self) {
        self.at += self.rest().len() - self.rest().trim_start_matches([' ', '\u{a0}', '\u{202f}']).len();
    }

    fn eat(&mut self, options: &[&str]) -> bool {
        let hit = options.iter().find(|o| self.rest().starts_with(**o));
        if let Some(o) = hit {
            self.at += o.len();
        }
        hit.is_some()
    }

    fn fail<T>(
        &self,
        kind: QuantityMistake,
        at: std::ops::Range<usize>,
        what: impl Into<String>,
        help: impl Into<String>,
    ) -> Result<T, QuantityError> {
        let start = at.start.min(self.text.len());
        Err(QuantityError { kind, at: start..at.end.clamp(start, self.text.len()), what: what.into(), help: help.into() })
    }

    fn quantity(mut self) -> Result<Quantity, QuantityError> {
        self.blanks();
        if self.eat(&["until "]) {
            return Ok(Quantity { written: Interval::new(0.0, f64::INFINITY), unit: unit_named("s") });
        }
        let cap = self.eat(&["<=", "≤"]);
        let floor = !cap && self.eat(&[">=", "≥"]);
        let (low, high, numbers) = self.range()?;
        let unit = self.unit()?;
        self.ordered(low, high, numbers)?;
        let written = match (cap, floor) {
            (true, _) => Interval::new(if high < 0.0 { f64::NEG_INFINITY } else { 0.0 }, high),
            (_, true) => Interval::new(low, f64::INFINITY),
            _ => Interval::new(low, high),
        };
        Ok(Quantity { written, unit })
    }

    fn bare(mut self) -> Result<Interval, QuantityError> {
        let (low, high, numbers) = self.range()?;
        self.blanks();
        let rest = self.at..self.text.trim_end().len();
        if !rest.is_empty() {
            return self.fail(QuantityMistake::Unreadable, rest, "text after the number", "write the number or the range alone");
        }
        self.ordered(low, high, numbers)?;
        Ok(Interval::new(low, high))
    }

    /// One number or two, and the bytes of both.
    fn range(&mut self) -> Result<(f64, f64, std::ops::Range<usize>), QuantityError> {
        self.blanks();
        let start = self.at;
        let low = self.number()?;
        let mut high = low;
        let number_end = self.at;
        self.blanks();
        if self.eat(&["-", "–", "to "]) {
            self.blanks();
            high = self.number()?;
        } else {
            self.at = number_end;
        }
        Ok((low, high, start..self.at))
    }

    fn ordered(&self, low: f64, high: f64, numbers: std::ops::Range<usize>) -> Result<(), QuantityError> {
        if low <= high {
            return Ok(());
        }
        let swapped = format!("{}-{}", number(high), number(low));
        self.fail(QuantityMistake::Inverted, numbers, "the low end is above the high end", format!("write `{swapped}` if that is meant"))
    }

    fn number(&mut self) -> Result<f64, QuantityError> {
        let start = self.at;
        self.eat(&["-", "−"]);
        let digits = |c: char| c.is_ascii_digit() || c == '.';
        let len = self.rest().find(|c| !digits(c)).unwrap_or(self.rest().len());
        let body = &self.rest()[..len];
        self.at += len;
        let here = start..self.at.max(start + self.text[start..].chars().next().map_or(0, char::len_utf8));
        if body.is_empty() {
            return self.fail(
                QuantityMistake::Unreadable,
                here,
                "a number should stand here",
                "write a number and its unit, for instance `30-90 s`",
            );
        }
        if self.rest().starts_with(',') {
            let comma = self.at..self.at + 1;
            return self.fail(QuantityMistake::Unreadable, comma, "a comma in a number", "write a point: `1.5`");
        }
        if body.starts_with('.') {
            return self.fail(
                QuantityMistake::Notation,
                here,
                "a naked decimal point is read as ten times more",
                format!("write `0{body}`"),
            );
        }
        if let Some((whole, part)) = body.split_once('.')
            && !part.is_empty()
            && part.bytes().all(|b| b == b'0')
        {
            return self.fail(QuantityMistake::Notation, here, "a trailing zero is read as ten times more", format!("write `{whole}`"));
        }
        match self.text[start..self.at].replace('−', "-").parse::<f64>() {
            Ok(value) if body.bytes().filter(|b| *b == b'.').count() <= 1 && !body.ends_with('.') => Ok(value),
            _ => self.fail(QuantityMistake::Unreadable, here, "this is not a number", "write digits, with one point at most"),
        }
    }

    fn unit(&mut self) -> Result<&'static Unit, QuantityError> {
        let glued = !self.rest().is_empty() && !self.rest().starts_with([' ', '\u{a0}', '\u{202f}', '/', '%']);
        let number_end = self.at;
        self.blanks();
        let word = self.rest().trim_end();
        let here = self.at..self.at + word.len();
        if word.is_empty() {
            let last = number_end.saturating_sub(1)..number_end;
            return self.fail(
                QuantityMistake::Unreadable,
                last,
                "the unit is missing",
                "add the unit, for instance `s`, `min`, `passes`, `/10`",
            );
        }
        let Some(unit) = UNITS.iter().find(|u| u.symbol == word || u.also.contains(&word)) else {
            return self.unknown_unit(word, here);
        };
        if glued {
            let help = format!("put a blank before `{word}`");
            return self.fail(QuantityMistake::Notation, number_end.saturating_sub(1)..here.end, "number and unit run together", help);
        }
        Ok(unit)
    }

    fn unknown_unit<T>(&self, word: &str, here: std::ops::Range<usize>) -> Result<T, QuantityError> {
        // `30 s twice` starts with a known unit: point at what follows it.
        let first = word.split(' ').next().unwrap_or(word);
        if first.len() < word.len() && UNITS.iter().any(|u| u.symbol == first || u.also.contains(&first)) {
            let rest = here.start + first.len() + 1..here.end;
            return self.fail(
                QuantityMistake::Unreadable,
                rest,
                "text after the unit",
                "a quantity ends with its unit; put words into a text field",
            );
        }
        let near = super::nearest(word, UNITS.iter().map(|u| u.symbol)).map(|n| format!("; did you mean `{n}`?")).unwrap_or_default();
        let list = UNITS.iter().map(|u| u.symbol).collect::<Vec<_>>().join(" ");
        self.fail(QuantityMistake::Unreadable, here, format!("`{word}` is no unit that packs use{near}"), format!("units: {list}"))
    }
}

/// The unit with this symbol; the fallback is never reached for a symbol of the table.
pub fn unit_named(symbol: &str) -> &'static Unit {
    UNITS.iter().find(|u| u.symbol == symbol).unwrap_or(&UNITS[0])
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn quantities_of_the_trade_are_read() {
        let cases = [
            ("30-90 s", Dim::Time, 30.0, 90.0),
            ("5–10 min", Dim::Time, 300.0, 600.0),
            ("45 to 60 s", Dim::Time, 45.0, 60.0),
            ("2-3 passes", Dim::Passes, 2.0, 3.0),
            ("1 pass", Dim::Passes, 1.0, 1.0),
            ("4 kgf/cm2", Dim::Pressure, 392_266.0, 392_266.0),
            ("10 cm/s", Dim::Speed, 0.1, 0.1),
            ("48 degC", Dim::Temperature, 48.0, 48.0),
            ("6/10", Dim::Pain, 6.0, 6.0),
            ("0-6/10", Dim::Pain, 0.0, 6.0),
            ("<= 5/10", Dim::Pain, 0.0, 5.0),
            ("3 /wk", Dim::PerWeek, 3.0, 3.0),
            ("2 /d", Dim::PerWeek, 14.0, 14.0),
            ("-30 deg", Dim::Angle, -30.0, -30.0),
            ("20 %", Dim::Percent, 20.0, 20.0),
            ("24 mo", Dim::Time, 24.0 * 2_629_800.0, 24.0 * 2_629_800.0),
        ];
        for (text, dim, lo, hi) in cases {
            let q = parse(text).unwrap_or_else(|e| panic!("{text}: {e:?}"));
            let base = q.base();
            assert_eq!(q.dim(), dim, "{text}");
            assert!((base.lo - lo).abs() < 1e-6 && (base.hi - hi).abs() < 1e-6, "{text}: {base:?}");
        }
        assert!(parse("until release").unwrap().is_open());
        assert!(parse(">= 30 s").unwrap().is_open());
    }

    #[test]
    fn mistakes_point_at_the_offending_characters() {
        use QuantityMistake::{Inverted, Notation, Unreadable};
        let cases = [
            ("3o s", Unreadable, "o s"),
            ("90-30 s", Inverted, "90-30"),
            ("30", Unreadable, "0"),
            ("30s", Notation, "0s"),
            (".5 min", Notation, ".5"),
            ("1.0 min", Notation, "1.0"),
            ("30 sek", Unreadable, "sek"),
            ("30 s twice", Unreadable, "twice"),
            ("a minute", Unreadable, "a"),
            ("1,5 min", Unreadable, ","),
            ("1.2.3 s", Unreadable, "1.2.3"),
        ];
        for (text, kind, at) in cases {
            let error = parse(text).expect_err(text);
            assert_eq!((error.kind, &text[error.at.clone()]), (kind, at), "{text}: {error:?}");
        }
    }

    #[test]
    fn computed_amounts_are_shown_with_three_figures() {
        let shown = |x: f64| show_base(unit_named("kPa"), Interval::exact(x * 1000.0));
        assert_eq!(["0.98", "2.72", "31.6", "102"].map(|t| format!("{t}\u{a0}kPa")), [0.9798, 2.7159, 31.6228, 101.615].map(shown));
    }

    #[test]
    fn coefficients_are_read_without_a_unit() {
        let read = |text: &str| parse_bare(text).map(|i| (i.lo, i.hi));
        assert_eq!(read("0.76"), Ok((0.76, 0.76)));
        assert_eq!(read("0.94-0.97"), Ok((0.94, 0.97)));
        assert_eq!(read("-0.08 to 0.75"), Ok((-0.08, 0.75)));
        assert_eq!(read("-0.3 - -0.1"), Ok((-0.3, -0.1)));
        for (text, at) in [("0.9 s", "s"), ("0.9-0.2", "0.9-0.2"), (".5", ".5"), ("about 0.5", "a")] {
            let error = parse_bare(text).expect_err(text);
            assert_eq!(&text[error.at], at, "{text}");
        }
        assert_eq!([0.452, 4.1, 4.0, 31.6].map(decimals), [3, 1, 0, 1]);
    }

    #[test]
    fn ranges_are_shown_with_an_en_dash_and_both_pressure_units() {
        assert_eq!(parse("30-90 s").unwrap().shown(), "30–90\u{a0}s");
        assert_eq!(parse("1 passes").unwrap().shown(), "1\u{a0}pass");
        assert_eq!(parse("5/10").unwrap().shown(), "5/10");
        assert_eq!(parse("2.5 kgf/cm2").unwrap().other_unit().unwrap(), "245.17\u{a0}kPa");
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused_inside_its_bounds(text in "\\PC{0,24}") {
            if let Err(error) = parse(&text) {
                prop_assert!(text.get(error.at.clone()).is_some(), "{error:?}");
            }
        }

        #[test]
        fn what_is_shown_reads_back(lo in 0u32..500, width in 0u32..500, unit in 0usize..UNITS.len()) {
            let unit = &UNITS[unit];
            let written = Interval::new(f64::from(lo), f64::from(lo + width));
            let shown = if unit.symbol.starts_with('/') && unit.symbol == "/10" { show(written, unit) } else { format!("{}-{} {}", lo, lo + width, unit.symbol) };
            prop_assert_eq!(parse(&shown.replace('°', " deg")).unwrap().written, written);
        }
    }
}
