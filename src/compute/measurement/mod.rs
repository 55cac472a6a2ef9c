//! Measurement error: what repeated measuring alone gives, and whether a change is larger.
//!
//! SEM = SD · √(1 − ICC), and the smallest detectable change is MDC = z · √2 · SEM: Weir JP,
//! Quantifying test-retest reliability using the intraclass correlation coefficient and the SEM,
//! Journal of Strength and Conditioning Research 2005;19(1):231-240. Amounts are in base units of
//! their dimension. Pages, checks, data and the calculator on the page of a measure all read from here.

pub mod arithmetic;
pub mod sign;

use crate::model::docs::{Meaningful, Measure, MeasureError, Population, Protocol};
use crate::model::interval::{Interval, exceeds};
use crate::model::unit::Unit;
use crate::model::{Catalog, Idx};
use std::f64::consts::SQRT_2;

/// How sure a detectable change is.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Level {
    /// 90 of 100 steady people differ by less.
    P90,
    /// 95 of 100.
    P95,
}

impl Level {
    /// Both.
    pub const ALL: [Level; 2] = [Level::P90, Level::P95];

    /// From percent.
    pub fn of(percent: i64) -> Option<Level> {
        Self::ALL.into_iter().find(|l| l.percent() == percent)
    }

    /// In percent.
    pub fn percent(self) -> i64 {
        match self {
            Level::P90 => 90,
            Level::P95 => 95,
        }
    }

    /// The other one.
    pub fn other(self) -> Level {
        match self {
            Level::P90 => Level::P95,
            Level::P95 => Level::P90,
        }
    }

    /// Quantile of the normal distribution that leaves half the rest on each side, exact to the last
    /// digit of a double; print shows 1.645 and 1.96.
    pub fn z(self) -> f64 {
        match self {
            Level::P90 => 1.644_853_626_951_472_2,
            Level::P95 => 1.959_963_984_540_054,
        }
    }
}

/// Standard error of measurement from the spread between people and the intraclass correlation.
pub fn sem_of(sd: f64, icc: f64) -> f64 {
    sd * (1.0 - icc).max(0.0).sqrt()
}

/// Smallest detectable change from the standard error.
pub fn mdc_of(sem: f64, level: Level) -> f64 {
    level.z() * SQRT_2 * sem
}

/// Where a number comes from.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Printed in the source.
    Printed,
    /// Computed from the standard error.
    FromError,
    /// Computed from spread and intraclass correlation.
    FromSpread,
    /// Computed from the detectable change at the other level.
    FromOtherLevel,
}

/// An amount and where it comes from.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Known {
    /// Amount, least and most over sites and movements.
    pub amount: Interval,
    /// Where it comes from.
    pub origin: Origin,
}

/// What follows from one entry of a measure's error.
#[derive(Copy, Clone, Debug)]
pub struct ErrorFacts {
    /// Unit in which it is shown.
    pub unit: Option<&'static Unit>,
    /// Standard error.
    pub sem: Option<Known>,
    /// Detectable change at 90 %.
    pub at90: Option<Known>,
    /// Detectable change at 95 %.
    pub at95: Option<Known>,
    /// Level of the printed change, stated or implied by the standard error.
    pub level: Option<Level>,
    /// True if the level was not stated and follows from the arithmetic.
    pub implied: bool,
    /// Change against which a person's change is judged.
    pub threshold: Option<Threshold>,
}

/// The change that repeated measuring alone can give.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Threshold {
    /// Least and most over what the source reports.
    pub change: Interval,
    /// Level, if it is known.
    pub level: Option<Level>,
    /// Where it comes from.
    pub origin: Origin,
}

impl ErrorFacts {
    /// Reads one entry.
    pub fn of(e: &MeasureError) -> ErrorFacts {
        let sem = e.sem.as_ref().map(|s| known(s.value.base(), Origin::Printed)).or_else(|| {
            let (sd, icc) = (e.sd.as_ref()?.value.base(), e.icc.as_ref()?.value);
            Some(known(Interval::new(sem_of(sd.lo, icc.hi), sem_of(sd.hi, icc.lo)), Origin::FromSpread))
        });
        let stated = e.level.as_ref().and_then(|l| Level::of(l.value));
        let level = stated.or_else(|| arithmetic::implied(e));
        let printed = e.mdc.as_ref().map(|m| m.value.base());
        let at = |wanted: Level| change_at(wanted, printed, level, sem);
        let threshold = printed.map(|change| Threshold { change, level, origin: Origin::Printed }).or_else(|| {
            let k = at(Level::P95)?;
            Some(Threshold { change: k.amount, level: Some(Level::P95), origin: k.origin })
        });
        ErrorFacts {
            unit: [&e.mdc, &e.sem, &e.sd].into_iter().flatten().next().map(|a| a.value.unit),
            sem: sem.or_else(|| Some(known(scaled(printed?, 1.0 / mdc_of(1.0, level?)), Origin::FromOtherLevel))),
            at90: at(Level::P90),
            at95: at(Level::P95),
            level,
            implied: stated.is_none() && level.is_some(),
            threshold,
        }
    }
}

fn known(amount: Interval, origin: Origin) -> Known {
    Known { amount, origin }
}

fn scaled(i: Interval, factor: f64) -> Interval {
    Interval::new(i.lo * factor, i.hi * factor)
}

fn change_at(wanted: Level, printed: Option<Interval>, level: Option<Level>, sem: Option<Known>) -> Option<Known> {
    if level == Some(wanted)
        && let Some(printed) = printed
    {
        return Some(known(printed, Origin::Printed));
    }
    match (sem, printed, level) {
        (Some(sem), ..) => {
            let origin = if sem.origin == Origin::Printed { Origin::FromError } else { sem.origin };
            Some(known(scaled(sem.amount, mdc_of(1.0, wanted)), origin))
        }
        (None, Some(printed), Some(level)) => Some(known(scaled(printed, wanted.z() / level.z()), Origin::FromOtherLevel)),
        _ => None,
    }
}

/// What can be said of one person's change.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Smaller than the smallest reported error.
    Within,
    /// Between the smallest and the largest.
    Unclear,
    /// As large as the largest or larger.
    Beyond,
}

impl Threshold {
    /// Judges the size of a change.
    pub fn judge(&self, change: f64) -> Verdict {
        if exceeds(self.change.lo, change) {
            Verdict::Within
        } else if exceeds(self.change.hi, change) {
            Verdict::Unclear
        } else {
            Verdict::Beyond
        }
    }

    /// True if the change can be error.
    pub fn covers(&self, change: f64) -> bool {
        self.judge(change) != Verdict::Beyond
    }
}

/// The error that a change is held against.
#[derive(Copy, Clone, Debug)]
pub struct Yardstick<'m> {
    /// The entry.
    pub error: &'m MeasureError,
    /// Its threshold.
    pub threshold: Threshold,
    /// True if it was measured in the people in question.
    pub same_people: bool,
}

/// The largest error among the entries that fit; where none fits, the largest of all.
pub fn yardstick<'m>(m: &'m Measure, fits: &dyn Fn(&MeasureError) -> bool) -> Option<Yardstick<'m>> {
    let all = || m.errors.iter().filter_map(|error| Some((error, ErrorFacts::of(error).threshold?)));
    let largest = |a: &(&MeasureError, Threshold), b: &(&MeasureError, Threshold)| a.1.change.hi.total_cmp(&b.1.change.hi);
    let own = all().filter(|(e, _)| fits(e)).max_by(largest);
    let same_people = own.is_some();
    own.or_else(|| all().max_by(largest)).map(|(error, threshold)| Yardstick { error, threshold, same_people })
}

/// True if the people of `who` belong to `group`: the same, or a narrower group inside it.
pub fn belongs(catalog: &Catalog, who: Idx<Population>, group: Idx<Population>) -> bool {
    let wider = |p: &Idx<Population>| catalog.populations[*p].within.as_ref().and_then(|w| w.to);
    // A ring of groups ends the walk after every group was met once.
    std::iter::successors(Some(who), wider).take(catalog.populations.len()).any(|p| p == group)
}

/// The error that a change in the people of a protocol is held against. Where the protocol does not
/// say who they are, every entry for its muscle fits.
pub fn for_protocol<'m>(catalog: &Catalog, m: &'m Measure, protocol: &Protocol) -> Option<Yardstick<'m>> {
    let who = protocol.population.who.as_ref().and_then(|w| w.to);
    let people = |e: &MeasureError| match (who, e.who.as_ref().and_then(|w| w.to)) {
        (Some(who), Some(group)) => belongs(catalog, who, group),
        (Some(_), None) => false,
        (None, _) => true,
    };
    let muscle = protocol.muscle.to.map(|m| catalog.muscles[m].name.value.to_lowercase());
    let site = |e: &MeasureError| match (&e.site, &muscle) {
        (Some(site), Some(muscle)) => site.value.to_lowercase().contains(muscle),
        _ => true,
    };
    yardstick(m, &|e| people(e) && site(e))
}

/// The error that a meaningful change is held against, and the size of the change.
pub fn against<'m>(catalog: &Catalog, m: &'m Measure, c: &Meaningful) -> Option<(Yardstick<'m>, f64)> {
    let change = c.change.as_ref()?.value.base().lo;
    let words = |t: &str| t.trim().to_lowercase();
    let fits = |e: &MeasureError| match (c.who.as_ref().and_then(|w| w.to), e.who.as_ref().and_then(|w| w.to)) {
        (Some(who), Some(group)) => belongs(catalog, who, group),
        _ => words(&e.population.value) == words(&c.population.value),
    };
    Some((yardstick(m, &fits)?, change))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, wanted: f64, tolerance: f64) {
        assert!((got - wanted).abs() <= tolerance, "{got} is not {wanted}");
    }

    /// Weir 2005, formulas; the values are computed from them with z printed as 1.645 and 1.96, which
    /// differs from the exact quantile by 2 in 100,000 and by 1 in 10,000.
    #[test]
    fn error_and_detectable_change_follow_the_published_formulas() {
        for (sd, icc, sem, at95, at90) in
            [(100.0, 0.9, 31.623, 87.654, Some(73.567)), (2.0, 0.76, 0.980, 2.716, None), (80.0, 0.79, 36.661, 101.618, None)]
        {
            let got = sem_of(sd, icc);
            near(got, sem, 0.0005);
            near(mdc_of(got, Level::P95), at95, at95 * 1e-4);
            if let Some(at90) = at90 {
                near(mdc_of(got, Level::P90), at90, at90 * 2e-4);
            }
        }
        near(mdc_of(1.0, Level::P90), 2.326, 0.0005);
        near(mdc_of(1.0, Level::P95), 2.772, 0.0005);
    }

    #[test]
    fn a_perfect_coefficient_leaves_no_error_and_rounding_above_one_no_nonsense() {
        near(sem_of(5.0, 1.0), 0.0, 0.0);
        near(sem_of(5.0, 1.000_000_1), 0.0, 0.0);
        near(sem_of(5.0, -0.25), 5.590_17, 1e-5);
    }

    #[test]
    fn a_change_is_judged_at_both_ends_of_the_reported_error() {
        let t = Threshold { change: Interval::new(5.4, 9.6), level: Some(Level::P90), origin: Origin::Printed };
        let said: Vec<Verdict> = [5.0, 5.4, 9.5, 9.6, 12.0].into_iter().map(|c| t.judge(c)).collect();
        assert_eq!(said, [Verdict::Within, Verdict::Unclear, Verdict::Unclear, Verdict::Beyond, Verdict::Beyond]);
        assert!(t.covers(9.5) && !t.covers(9.6));
    }
}
