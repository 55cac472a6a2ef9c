//! Converting an amount from one unit to another, the units of other houses included.
//!
//! Packs keep to the units of `model::unit`; a paper in pounds per square inch or degrees Fahrenheit
//! is converted here before it becomes a value of a pack. Factors of the other units, all exact:
//! NIST Special Publication 811 (2008), appendix B, and the SI Brochure, 9th edition (2019): pound
//! 0.45359237 kg, standard gravity 9.80665 m/s2, inch 0.0254 m, T/K = t/degC + 273.15,
//! t/degF = 1.8 t/degC + 32.

use crate::model::unit::{Dim, UNITS};

/// A unit with its way to the base unit of its dimension: `(value - zero) * factor`.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Scale {
    /// As written.
    pub symbol: &'static str,
    /// What it measures.
    pub dim: Dim,
    /// Base units for each of these.
    pub factor: f64,
    /// Where the zero of the base unit lies on this scale.
    pub zero: f64,
}

const fn scale(symbol: &'static str, dim: Dim, factor: f64, zero: f64) -> Scale {
    Scale { symbol, dim, factor, zero }
}

/// Units that no pack may use.
static OTHERS: [Scale; 8] = [
    scale("Pa", Dim::Pressure, 1.0, 0.0),
    scale("N/mm2", Dim::Pressure, 1e6, 0.0),
    scale("bar", Dim::Pressure, 1e5, 0.0),
    scale("psi", Dim::Pressure, 8_896_443_230_521.0 / 1_290_320_000.0, 0.0),
    scale("lbf", Dim::Force, 4.448_221_615_260_5, 0.0),
    scale("degF", Dim::Temperature, 5.0 / 9.0, 32.0),
    scale("K", Dim::Temperature, 1.0, ABSOLUTE_ZERO_K),
    scale("m2", Dim::Area, 1.0, 0.0),
];

/// Zero degrees Celsius on the scale of kelvins.
const ABSOLUTE_ZERO_K: f64 = 273.15;

/// What the numbers of a conversion are.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Sense {
    /// Each is a reading on the scale.
    Value,
    /// A centre and its half-width: only the centre is a reading.
    PlusMinus,
    /// Each is a difference of two readings.
    Difference,
}

/// Every unit that can be converted.
pub fn scales() -> impl Iterator<Item = Scale> {
    UNITS.iter().filter(|u| measures(u.dim)).map(|u| scale(u.symbol, u.dim, u.factor, 0.0)).chain(OTHERS)
}

/// The unit with this symbol.
pub fn named(symbol: &str) -> Option<Scale> {
    scales().find(|s| s.symbol == symbol)
}

/// True for what can be measured in more than one unit; passes and layers are counted.
fn measures(dim: Dim) -> bool {
    matches!(dim, Dim::Time | Dim::Length | Dim::Area | Dim::Speed | Dim::Force | Dim::Pressure | Dim::Temperature)
}

/// True if no body can be so cold.
pub fn below_absolute_zero(value: f64, on: Scale) -> bool {
    on.dim == Dim::Temperature && (value - on.zero) * on.factor < -ABSOLUTE_ZERO_K - 1e-9
}

/// Converts numbers of one unit to another of the same dimension.
pub fn convert(values: &[f64], sense: Sense, from: Scale, to: Scale) -> Vec<f64> {
    let difference = |v: f64| v * from.factor / to.factor;
    let reading = |v: f64| difference(v - from.zero) + to.zero;
    let one = |(i, v): (usize, &f64)| match sense {
        Sense::Value => reading(*v),
        Sense::PlusMinus if i == 0 => reading(*v),
        Sense::PlusMinus | Sense::Difference => difference(*v),
    };
    values.iter().enumerate().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn symbols_are_unique() {
        let mut symbols: Vec<&str> = scales().map(|s| s.symbol).collect();
        let n = symbols.len();
        symbols.sort_unstable();
        symbols.dedup();
        assert_eq!(symbols.len(), n);
    }

    #[test]
    fn only_temperatures_have_a_floor() {
        let scale = |symbol| named(symbol).unwrap();
        assert!(below_absolute_zero(-0.1, scale("K")) && below_absolute_zero(-460.0, scale("degF")));
        assert!(!below_absolute_zero(0.0, scale("K")) && !below_absolute_zero(-500.0, scale("kPa")));
    }
}
