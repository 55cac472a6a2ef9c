//! What the last part of a key says of its number: the unit, and what is possible at all.
//!
//! The bounds are wide: they keep out slips and nonsense, not bad treatments, which is the business
//! of the calculation. They are house choices without a source.

use crate::model::unit::Dim;

/// What is known of every number under a key.
#[derive(Debug)]
pub struct Rule {
    /// End of the key for which it holds.
    ending: &'static str,
    /// The part of the key that is the unit.
    suffix: &'static str,
    /// The unit, for people.
    pub unit: &'static str,
    /// Dimension, if packs have units for it: then the key without its suffix takes text with a unit.
    pub dim: Option<Dim>,
    /// Least.
    pub least: f64,
    /// Most.
    pub most: f64,
    /// True if the least itself is not allowed.
    above: bool,
    /// An amount as a pack would write it; empty without a dimension.
    pub example: &'static str,
}

impl Rule {
    const fn new(ending: &'static str, suffix: &'static str, unit: &'static str, least: f64, most: f64) -> Self {
        Self { ending, suffix, unit, dim: None, least, most, above: false, example: "" }
    }

    const fn above(mut self) -> Self {
        self.above = true;
        self
    }

    const fn dim(mut self, dim: Dim, example: &'static str) -> Self {
        self.dim = Some(dim);
        self.example = example;
        self
    }

    /// True if the number is possible.
    pub fn allows(&self, value: f64) -> bool {
        value <= self.most && (value > self.least || (!self.above && value >= self.least))
    }

    /// The key under which text with a unit may stand instead.
    pub fn plain<'k>(&self, key: &'k str) -> Option<&'k str> {
        self.dim?;
        key.strip_suffix(self.suffix)?.strip_suffix('_').filter(|k| !k.is_empty())
    }

    /// What is possible, in words.
    pub fn range(&self) -> String {
        let show = |x: f64| if x != 0.0 && !(1e-3..1e6).contains(&x.abs()) { format!("{x:e}") } else { format!("{x}") };
        let unit = if self.unit.is_empty() { String::new() } else { format!(" {}", self.unit) };
        match (self.above, self.most.is_finite()) {
            (true, true) => format!("above {} and up to {}{unit}", show(self.least), show(self.most)),
            (true, false) => format!("above {}{unit}", show(self.least)),
            (false, true) => format!("{} to {}{unit}", show(self.least), show(self.most)),
            (false, false) => format!("{} or more{unit}", show(self.least)),
        }
    }
}

/// The first that fits holds, so the narrow ones stand first.
static RULES: &[Rule] = &[
    Rule::new("kelvin_offset", "offset", "K", 273.15, 273.15),
    Rule::new("A_1_s", "1_s", "1/s", 0.0, f64::INFINITY).above(),
    Rule::new("perfusion_1_s", "1_s", "1/s", 0.0, 1.0),
    Rule::new("E_over_R_K", "K", "K", 0.0, 1e7).above(),
    Rule::new("E_J_kmol", "J_kmol", "J/kmol", 0.0, 1e12).above(),
    Rule::new("R_J_kmolK", "J_kmolK", "J/(kmol K)", 8300.0, 8330.0),
    Rule::new("contact_W_m2K", "W_m2K", "W/(m2 K)", 0.0, 1e6).above(),
    Rule::new("W_m2K", "W_m2K", "W/(m2 K)", 0.0, 1e6),
    Rule::new("m2K_W", "m2K_W", "m2 K/W", 0.0, 1e4).above(),
    Rule::new("flux_W_m2", "W_m2", "W/m2", -1e6, 1e6),
    Rule::new("W_m2", "W_m2", "W/m2", 0.0, 1e5),
    Rule::new("W_m3", "W_m3", "W/m3", 0.0, 1e6),
    Rule::new("W_mK", "W_mK", "W/(m K)", 1e-3, 1000.0),
    Rule::new("kg_m3", "kg_m3", "kg/m3", 0.1, 30_000.0),
    Rule::new("J_kgK", "J_kgK", "J/(kg K)", 1.0, 20_000.0),
    Rule::new("J_m2K", "J_m2K", "J/(m2 K)", 1.0, 1e8),
    Rule::new("C", "C", "degC", -60.0, 150.0).dim(Dim::Temperature, "40 degC"),
    Rule::new("thickness_m", "m", "m", 1e-7, 0.5).dim(Dim::Length, "2 mm"),
    Rule::new("m", "m", "m", 0.0, 10.0).dim(Dim::Length, "2 mm"),
    Rule::new("m2", "m2", "m2", 0.0, 4.0).above().dim(Dim::Area, "1 cm2"),
    Rule::new("m_s", "m_s", "m/s", 0.0, 10.0).above().dim(Dim::Speed, "10 cm/s"),
    Rule::new("duration_s", "s", "s", 1e-3, 86_400.0).dim(Dim::Time, "10 min"),
    Rule::new("search_up_to_s", "s", "s", 1.0, 86_400.0).dim(Dim::Time, "2 h"),
    Rule::new("tau_s", "s", "s", 1.0, 86_400.0).dim(Dim::Time, "4 min"),
    Rule::new("tau_recover_s", "s", "s", 1.0, 86_400.0).dim(Dim::Time, "30 min"),
    Rule::new("necrosis_s", "s", "s", 1e-3, 1e6).dim(Dim::Time, "30 s"),
    Rule::new("s", "s", "s", 0.0, 1e6).dim(Dim::Time, "10 min"),
    Rule::new("N", "N", "N", 0.0, 1e4).dim(Dim::Force, "20 N"),
    Rule::new("Pa", "Pa", "Pa", 0.0, 1e8).dim(Dim::Pressure, "200 kPa"),
    Rule::new("deg", "deg", "deg", -360.0, 360.0).dim(Dim::Angle, "90 deg"),
    Rule::new("fibre_mm", "mm", "mm", 0.0, 1000.0).above(),
    Rule::new("mm", "mm", "mm", -1000.0, 1000.0),
    Rule::new("mm_per_rad", "mm_per_rad", "mm/rad", -1000.0, 1000.0),
];

/// A number without a unit.
static PLAIN: Rule = Rule::new("", "", "", f64::MIN, f64::MAX);

/// What is known of a key.
pub fn rule(key: &str) -> &'static Rule {
    let ends = |r: &&Rule| key.strip_suffix(r.ending).is_some_and(|k| k.is_empty() || k.ends_with('_'));
    // `m2` alone is the mean of group 2 and no area: a unit needs something that it is the unit of.
    RULES.iter().find(ends).filter(|r| key != r.suffix).unwrap_or(&PLAIN)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_end_of_a_key_is_its_unit() {
        let cases = [
            ("k_W_mK", "W/(m K)", None),
            ("T0_C", "degC", Some("T0")),
            ("t_s", "s", Some("t")),
            ("x_m", "m", Some("x")),
            ("perfusion_1_s", "1/s", None),
            ("resistances_m2K_W", "m2 K/W", None),
            ("power_W_m2", "W/m2", None),
            ("heat_capacity_J_m2K", "J/(m2 K)", None),
            ("speed_m_s", "m/s", Some("speed")),
            ("area_m2", "m2", Some("area")),
            ("limit", "", None),
            ("m2", "", None),
        ];
        for (key, unit, plain) in cases {
            let rule = rule(key);
            assert_eq!((rule.unit, rule.plain(key)), (unit, plain), "{key}");
        }
    }

    #[test]
    fn bounds_hold_at_their_ends() {
        assert!(rule("T_C").allows(150.0) && !rule("T_C").allows(150.1) && !rule("T_C").allows(f64::NAN));
        assert!(!rule("thickness_m").allows(0.0) && rule("x_m").allows(0.0));
    }
}
