//! House numbers about heat and cold, and what holds where a house says nothing.
//!
//! The defaults stand here and nowhere else, each with its source. What is done with them lives in
//! `compute` and `checks`.

use crate::model::interval::Interval;
use crate::model::quantity::{Quantity, number, show, unit_named};
use crate::model::unit::Unit;
use crate::source::Span;

/// `house: thermal:` of a pack.
#[derive(Clone, Debug)]
pub struct HouseThermal {
    /// The safe time divided by the time of a heat step is at least this.
    pub heat_factor: HouseNumber,
    /// Longest time with skin above 43 degC, s.
    pub above_43: HouseNumber,
    /// Longest time from contact to the first look at the skin, s.
    pub first_check: HouseNumber,
    /// Longest time between two looks at the skin, s.
    pub check_every: HouseNumber,
    /// Lowest skin temperature under cold that rests on one spot, degC.
    pub cold_floor: HouseNumber,
    /// Lowest skin temperature under cold that moves, degC.
    pub stream_floor: HouseNumber,
    /// Longest time that one spot is under moving cold, all passes of a step together, s.
    pub dwell: HouseNumber,
    /// Longest time of cold that rests on one spot, s.
    pub cold_time: HouseNumber,
    /// Shortest time between heat and cold on one region, s.
    pub opposed_gap: HouseNumber,
    /// How long a rub or lotion bars heat and cold, s.
    pub topical: HouseNumber,
}

impl Default for HouseThermal {
    fn default() -> Self {
        Self {
            // House practice: the time must stay below two thirds of the modelled safe time.
            heat_factor: HouseNumber::plain(1.5),
            // IEC 60601-1, table 24: 43 degC for contact of 10 min and more (read in a secondary source; the
            // table itself from memory). Martin & Falder, Burns 2017;43(8):1624-1639: pain begins just above 43 degC.
            above_43: HouseNumber::of(10.0, "min"),
            // Common practice, no source.
            first_check: HouseNumber::of(5.0, "min"),
            check_every: HouseNumber::of(5.0, "min"),
            // House practice. Touching cold: 7 degC numbness, 0 degC risk of frostbite (Geng et al., Ann Occup Hyg
            // 2006;50(8):851-862). Crushed ice for 20 min brings skin to about 5 to 7 degC (Physiother Theory Pract
            // 2010;26:393).
            cold_floor: HouseNumber::of(5.0, "degC"),
            // Skin starts to freeze at about -0.55 degC (Danielsson 1996, from memory and from a secondary source).
            stream_floor: HouseNumber::of(-0.55, "degC"),
            // House practice, from a layered model of the skin under a boiling stream: three passes of 0.5 s leave the
            // surface at 0.8 degC, three of 1 s at -4.4 degC, which is below freezing.
            dwell: HouseNumber::of(1.5, "s"),
            // Common practice, no source. One 20 min ice pack over a superficial nerve has been followed by foot drop
            // (Moeller et al., Clin J Sport Med 1997;7(3):212-216).
            cold_time: HouseNumber::of(20.0, "min"),
            // House practice.
            opposed_gap: HouseNumber::of(5.0, "min"),
            topical: HouseNumber::of(24.0, "h"),
        }
    }
}

impl HouseThermal {
    /// Key in `pack.yaml` and number, in the order of the schema.
    pub fn rows(&self) -> [(&'static str, &HouseNumber); 10] {
        [
            ("heat-factor", &self.heat_factor),
            ("above-43", &self.above_43),
            ("first-check", &self.first_check),
            ("check-every", &self.check_every),
            ("cold-floor", &self.cold_floor),
            ("stream-floor", &self.stream_floor),
            ("dwell", &self.dwell),
            ("cold-time", &self.cold_time),
            ("opposed-gap", &self.opposed_gap),
            ("topical", &self.topical),
        ]
    }
}

/// A number of the house, or the default.
#[derive(Clone, Debug)]
pub struct HouseNumber {
    /// In base units (s, degC), or plain.
    pub value: f64,
    /// Unit in which it is shown; `None` for a plain number.
    pub unit: Option<&'static Unit>,
    /// Where the house says so; `None` for the default.
    pub stated: Option<Span>,
}

impl HouseNumber {
    fn plain(value: f64) -> Self {
        Self { value, unit: None, stated: None }
    }

    fn of(amount: f64, symbol: &str) -> Self {
        let unit = unit_named(symbol);
        Self { value: amount * unit.factor, unit: Some(unit), stated: None }
    }

    /// What a house wrote. Of a range the upper end counts, of `>= 5 min` the number itself.
    pub fn stated(quantity: &Quantity, at: Span) -> Self {
        let base = quantity.base();
        Self { value: if base.hi.is_finite() { base.hi } else { base.lo }, unit: Some(quantity.unit), stated: Some(at) }
    }

    /// As shown to people.
    pub fn shown(&self) -> String {
        self.unit.map_or_else(|| number(self.value), |u| show(Interval::exact(self.value / u.factor), u))
    }

    /// Whose number it is, for messages.
    pub fn whose(&self) -> &'static str {
        if self.stated.is_some() { "the house limit" } else { "the default limit" }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::quantity::parse;
    use crate::source::FileId;

    #[test]
    fn a_default_and_a_stated_number_say_what_they_are() {
        let at = Span::new(FileId(0), 3, 8);
        let house = |text: &str| HouseNumber::stated(&parse(text).unwrap(), at);
        let usual = HouseThermal::default();
        assert_eq!((usual.cold_time.value, usual.cold_time.shown().as_str()), (1200.0, "20\u{a0}min"));
        assert_eq!((usual.heat_factor.shown().as_str(), usual.stream_floor.shown().as_str()), ("1.5", "-0.55\u{a0}°C"));
        assert_eq!((house("90 s").value, house("1-2 min").value, house(">= 5 min").value), (90.0, 120.0, 300.0));
        assert_eq!((usual.dwell.stated, house("2 s").stated), (None, Some(at)));
    }
}
