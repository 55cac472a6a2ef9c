//! Pressure, force and contact area: any two give the third.
//!
//! Factors: 1 Pa = 1 N/m2; 1 kgf = 9.80665 N exactly (NIST Special Publication 811, 2008, appendix B),
//! hence 1 kgf/cm2 = 98 066.5 Pa exactly. The mean over the contact is all that force and area give;
//! the edge of a tip or of a thumb presses harder.

/// Contact area of the usual algometer tip, m2: a disc of 1 cm2, as in Fischer AA, Pain 1987;30:115
/// (the abstract was seen). Only with this tip does the number of kgf equal the number of kgf/cm2.
pub const ALGOMETER_TIP_M2: f64 = 1e-4;

/// Newtons of one kilogram-force, exactly.
pub const NEWTON_PER_KGF: f64 = 9.806_65;

/// Why there is no result.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum PressureError {
    /// The area is not above zero.
    Area,
    /// The force is negative or no number.
    Force,
    /// The pressure is negative or no number.
    Pressure,
}

impl std::fmt::Display for PressureError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            PressureError::Area => "the contact area is a finite area above zero",
            PressureError::Force => "the force is a finite force, zero or more",
            PressureError::Pressure => "the pressure is a finite pressure, zero or more",
        })
    }
}

/// Force on an area.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Contact {
    /// Force, N.
    pub force: f64,
    /// Area, m2.
    pub area: f64,
    /// Mean pressure, Pa.
    pub pressure: f64,
}

impl Contact {
    /// From force (N) and area (m2).
    ///
    /// # Errors
    /// If the area is not above zero or the force is negative.
    pub fn of_force(force: f64, area: f64) -> Result<Contact, PressureError> {
        let area = checked_area(area)?;
        let force = Some(force).filter(|f| f.is_finite() && *f >= 0.0).ok_or(PressureError::Force)?;
        Some(force / area).filter(|p| p.is_finite()).map(|pressure| Contact { force, area, pressure }).ok_or(PressureError::Area)
    }

    /// From mean pressure (Pa) and area (m2).
    ///
    /// # Errors
    /// If the area is not above zero or the pressure is negative.
    pub fn of_pressure(pressure: f64, area: f64) -> Result<Contact, PressureError> {
        let area = checked_area(area)?;
        let pressure = Some(pressure).filter(|p| p.is_finite() && *p >= 0.0).ok_or(PressureError::Pressure)?;
        Some(pressure * area).filter(|f| f.is_finite()).map(|force| Contact { force, area, pressure }).ok_or(PressureError::Area)
    }

    /// From force (N) and mean pressure (Pa).
    ///
    /// # Errors
    /// If either is not above zero: no area follows then.
    pub fn of_both(force: f64, pressure: f64) -> Result<Contact, PressureError> {
        let force = Some(force).filter(|f| f.is_finite() && *f > 0.0).ok_or(PressureError::Force)?;
        let pressure = Some(pressure).filter(|p| p.is_finite() && *p > 0.0).ok_or(PressureError::Pressure)?;
        let area = checked_area(force / pressure)?;
        Ok(Contact { force, area, pressure })
    }

    /// Mean pressure in kgf/cm2.
    pub fn kgf_per_cm2(self) -> f64 {
        self.pressure / (NEWTON_PER_KGF * 1e4)
    }

    /// Mean pressure in N/cm2.
    pub fn newton_per_cm2(self) -> f64 {
        self.pressure / 1e4
    }

    /// Force in kgf.
    pub fn kgf(self) -> f64 {
        self.force / NEWTON_PER_KGF
    }
}

fn checked_area(area: f64) -> Result<f64, PressureError> {
    Some(area).filter(|a| a.is_finite() && *a > 0.0).ok_or(PressureError::Area)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// NIST Special Publication 811 (2008), appendix B: exact factors.
    #[test]
    fn a_kilogram_force_on_a_square_centimetre() {
        let tip = Contact::of_force(NEWTON_PER_KGF, ALGOMETER_TIP_M2).unwrap();
        assert!((tip.pressure - 98_066.5).abs() < 1e-6);
        assert!(
            (tip.kgf_per_cm2() - 1.0).abs() < 1e-12 && (tip.newton_per_cm2() - 9.806_65).abs() < 1e-12 && (tip.kgf() - 1.0).abs() < 1e-12
        );
        let thumb = Contact::of_force(NEWTON_PER_KGF, 3e-4).unwrap();
        assert!((thumb.kgf_per_cm2() - 1.0 / 3.0).abs() < 1e-12, "the same force on three times the area");
    }

    #[test]
    fn zero_area_and_nonsense_are_refused() {
        for area in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(Contact::of_force(10.0, area), Err(PressureError::Area));
            assert_eq!(Contact::of_pressure(10.0, area), Err(PressureError::Area));
        }
        assert_eq!(Contact::of_force(-1.0, 1.0), Err(PressureError::Force));
        assert_eq!(Contact::of_pressure(f64::NAN, 1.0), Err(PressureError::Pressure));
        assert_eq!(Contact::of_both(1.0, 0.0), Err(PressureError::Pressure));
        assert_eq!(Contact::of_both(0.0, 1.0), Err(PressureError::Force));
    }

    proptest! {
        #[test]
        fn any_two_give_the_third(force in 0.01..500.0f64, area in 1e-6..1e-1f64) {
            let a = Contact::of_force(force, area).unwrap();
            let b = Contact::of_pressure(a.pressure, area).unwrap();
            let c = Contact::of_both(force, a.pressure).unwrap();
            prop_assert!((b.force / force - 1.0).abs() < 1e-9 && (c.area / area - 1.0).abs() < 1e-9);
        }
    }
}
