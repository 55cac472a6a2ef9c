//! Whether printed numbers of measurement error fit each other, within the rounding of their digits.
//!
//! A printed 4.1 stands for 4.05 to 4.15. Two numbers fit if what one allows overlaps what the other
//! allows; nothing is called a slip that rounding can explain.

use super::{Level, mdc_of, sem_of};
use crate::model::docs::{Amount, MeasureError};
use crate::model::interval::Interval;
use crate::model::quantity::decimals;

/// Two printed numbers that do not fit.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Misfit {
    /// The standard error does not follow from spread and correlation.
    Error {
        /// What follows.
        computed: Interval,
    },
    /// The detectable change belongs to the other level.
    OtherLevel {
        /// Level as stated.
        stated: Level,
        /// What follows at the stated level.
        computed: Interval,
    },
    /// The detectable change fits neither level.
    Neither {
        /// What follows at 90 %.
        at90: Interval,
        /// What follows at 95 %.
        at95: Interval,
    },
}

/// Everything in an entry that does not fit, in base units.
pub fn misfits(e: &MeasureError) -> Vec<Misfit> {
    let mut out = Vec::new();
    if let (Some(spread), Some(sem)) = (spread(e), &e.sem)
        && !ends(sem).iter().all(|end| meet(*end, spread))
    {
        let (Some(sd), Some(icc)) = (&e.sd, &e.icc) else { return out };
        let sd = sd.value.base();
        out.push(Misfit::Error { computed: Interval::new(sem_of(sd.lo, icc.value.hi), sem_of(sd.hi, icc.value.lo)) });
    }
    let (Some(sem), Some(_)) = (errors(e), &e.mdc) else { return out };
    let plain = plain(e).unwrap_or(Interval::new(sem[0].lo, sem[1].hi));
    let at = |level: Level| Interval::new(mdc_of(plain.lo, level), mdc_of(plain.hi, level));
    match e.level.as_ref().and_then(|l| Level::of(l.value)) {
        Some(stated) if fits(e, stated) => {}
        Some(stated) if fits(e, stated.other()) => out.push(Misfit::OtherLevel { stated, computed: at(stated) }),
        None if Level::ALL.into_iter().any(|l| fits(e, l)) => {}
        _ => out.push(Misfit::Neither { at90: at(Level::P90), at95: at(Level::P95) }),
    }
    out
}

/// The one level that the printed error and change fit, if they fit just one.
pub fn implied(e: &MeasureError) -> Option<Level> {
    let mut fitting = Level::ALL.into_iter().filter(|l| fits(e, *l));
    let one = fitting.next()?;
    fitting.next().is_none().then_some(one)
}

fn fits(e: &MeasureError, level: Level) -> bool {
    let (Some(sem), Some(mdc)) = (errors(e), &e.mdc) else { return false };
    let wanted = sem.map(|s| Interval::new(mdc_of(s.lo, level), mdc_of(s.hi, level)));
    ends(mdc).iter().zip(wanted).all(|(end, wanted)| meet(*end, wanted))
}

/// The standard error as printed, or as it follows, without the rounding.
fn plain(e: &MeasureError) -> Option<Interval> {
    if let Some(sem) = &e.sem {
        return Some(sem.value.base());
    }
    let (sd, icc) = (e.sd.as_ref()?.value.base(), e.icc.as_ref()?.value);
    Some(Interval::new(sem_of(sd.lo, icc.hi), sem_of(sd.hi, icc.lo)))
}

/// What low and high end of the standard error may be. A range over sites pairs low with low; where
/// it must be derived from two ranges, nothing says which values belong together.
fn errors(e: &MeasureError) -> Option<[Interval; 2]> {
    e.sem.as_ref().map(ends).or_else(|| spread(e).map(|s| [s, s]))
}

fn spread(e: &MeasureError) -> Option<Interval> {
    let (sd, icc) = (ends(e.sd.as_ref()?), e.icc.as_ref()?.value);
    let (low, high) = (rounded(icc.lo, 1.0), rounded(icc.hi, 1.0));
    Some(Interval::new(sem_of(sd[0].lo, high.hi), sem_of(sd[1].hi, low.lo)))
}

/// What low and high end may have been before they were rounded.
fn ends(a: &Amount) -> [Interval; 2] {
    let q = &a.value;
    [q.written.lo, q.written.hi].map(|v| rounded(v, q.unit.factor))
}

fn rounded(value: f64, factor: f64) -> Interval {
    let half = 0.5 * 0.1_f64.powi(i32::try_from(decimals(value)).unwrap_or(0));
    Interval::new((value - half) * factor, (value + half) * factor)
}

fn meet(a: Interval, b: Interval) -> bool {
    let slack = 1e-9 * a.hi.abs().max(b.hi.abs());
    a.lo <= b.hi + slack && b.lo <= a.hi + slack
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::docs::Ground;
    use crate::model::quantity;
    use crate::source::{FileId, Span, Spanned};

    fn entry(sd: &str, icc: Option<f64>, sem: &str, mdc: &str, level: Option<i64>) -> MeasureError {
        let at = Span::new(FileId(0), 0, 0);
        let amount = |t: &str| quantity::parse(t).ok().map(|q| Spanned::new(q, at));
        MeasureError {
            population: Spanned::new("adults".into(), at),
            who: None,
            rater: None,
            site: None,
            sd: amount(sd),
            icc: icc.map(|i| Spanned::new(Interval::exact(i), at)),
            sem: amount(sem),
            mdc: amount(mdc),
            level: level.map(|l| Spanned::new(l, at)),
            unknown: None,
            note: None,
            ground: Ground::default(),
        }
    }

    /// Fletcher and Bandy 2008, doi:10.2519/jospt.2008.2680, abstract: SEM 2.3 to 4.1 deg, MDC 5.4 to
    /// 9.6 deg, no level printed; Anwar 2022, doi:10.35975/apic.v26i4.1957: 1.5 to 2.9 and 3.5 to 6.8.
    #[test]
    fn a_change_printed_without_a_level_gives_its_level_away() {
        for (sem, mdc) in [("2.3-4.1 deg", "5.4-9.6 deg"), ("1.5-2.9 deg", "3.5-6.8 deg")] {
            let e = entry("", None, sem, mdc, None);
            assert_eq!(implied(&e), Some(Level::P90), "{mdc}");
            assert_eq!(misfits(&e), []);
            let e = entry("", None, sem, mdc, Some(95));
            assert!(matches!(misfits(&e)[..], [Misfit::OtherLevel { stated: Level::P95, .. }]), "{mdc}");
        }
    }

    #[test]
    fn rounding_is_no_slip_and_a_slip_is_no_rounding() {
        assert_eq!(misfits(&entry("100 kPa", Some(0.9), "31.6 kPa", "88 kPa", Some(95))), []);
        assert_eq!(misfits(&entry("100 kPa", Some(0.9), "", "88 kPa", Some(95))), []);
        assert_eq!(misfits(&entry("", None, "0.32 kgf/cm2", "87 kPa", Some(95))), []);
        assert!(matches!(misfits(&entry("", None, "31.6 kPa", "31.6 kPa", Some(95)))[..], [Misfit::Neither { .. }]));
        assert!(matches!(misfits(&entry("100 kPa", Some(0.9), "10 kPa", "", None))[..], [Misfit::Error { .. }]));
    }

    #[test]
    fn digits_too_coarse_to_tell_imply_no_level() {
        assert_eq!(implied(&entry("", None, "1 deg", "3 deg", None)), None);
        assert_eq!(misfits(&entry("", None, "1 deg", "3 deg", Some(90))), []);
    }
}
