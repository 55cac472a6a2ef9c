//! Numbers of people and events that cannot be.

use super::arithmetic::half;
use crate::model::docs::{Arm, Data, GroupCount, Source, StudyResult};
use crate::source::{Span, Spanned};

/// What cannot be.
#[derive(Clone, Debug)]
pub enum Odd<'a> {
    /// The arms hold more people than the study, or fewer.
    Arms {
        /// People in all arms.
        sum: u32,
        /// People in the study.
        n: &'a Spanned<u32>,
    },
    /// Analysed and lost are not the people of the arm.
    Split {
        /// The arm.
        arm: &'a Arm,
        /// Analysed.
        analysed: &'a Spanned<u32>,
        /// Lost.
        lost: &'a Spanned<u32>,
    },
    /// More are analysed than are in the arm.
    Analysed {
        /// The arm.
        arm: &'a Arm,
        /// Analysed.
        analysed: &'a Spanned<u32>,
    },
    /// More events than people.
    Events {
        /// The group.
        group: &'a GroupCount,
    },
    /// A percentage that the events do not give.
    Percent {
        /// As printed.
        percent: &'a Spanned<f64>,
        /// The group.
        group: &'a GroupCount,
    },
    /// A result has more people than its arm.
    Group {
        /// People in the result.
        n: &'a Spanned<f64>,
        /// The arm.
        arm: &'a Arm,
    },
    /// A result has more people than the study.
    Result {
        /// People in the result.
        people: f64,
        /// Where they stand.
        at: Span,
        /// People in the study.
        n: &'a Spanned<u32>,
    },
}

/// Everything in a source that does not add up.
pub fn odd(source: &Source) -> Vec<Odd<'_>> {
    let mut out = Vec::new();
    arms(source, &mut out);
    source.results.iter().for_each(|r| result(source, r, &mut out));
    out
}

fn arms<'a>(source: &'a Source, out: &mut Vec<Odd<'a>>) {
    let sizes: Option<Vec<u32>> = source.arms.iter().map(|a| a.n.as_ref().map(|n| n.value)).collect();
    if let (Some(sizes), Some(n)) = (sizes, &source.n) {
        let sum = sizes.iter().fold(0, |sum: u32, n| sum.saturating_add(*n));
        // People who take part in every arm in turn are counted in each.
        let crossed = sizes.iter().all(|size| *size == n.value);
        if sum != n.value && !crossed && sizes.len() > 1 {
            out.push(Odd::Arms { sum, n });
        }
    }
    for arm in &source.arms {
        let (Some(n), Some(analysed)) = (&arm.n, &arm.analysed) else { continue };
        match &arm.lost {
            Some(lost) if analysed.value.saturating_add(lost.value) != n.value => out.push(Odd::Split { arm, analysed, lost }),
            None if analysed.value > n.value => out.push(Odd::Analysed { arm, analysed }),
            _ => {}
        }
    }
}

fn result<'a>(source: &'a Source, result: &'a StudyResult, out: &mut Vec<Odd<'a>>) {
    let counts: &[GroupCount] = match &result.data {
        Data::Counts(groups) => groups,
        Data::Share(group) => std::slice::from_ref(group),
        _ => &[],
    };
    for group in counts {
        if group.events.value > group.n.value {
            out.push(Odd::Events { group });
        } else if let Some(percent) = group.percent.as_ref().filter(|_| group.n.value > 0.0) {
            let share = 100.0 * group.events.value / group.n.value;
            if (share - percent.value).abs() > half(&percent.value.to_string()) + 1e-9 {
                out.push(Odd::Percent { percent, group });
            }
        }
    }
    let people: Vec<&Spanned<f64>> = match &result.data {
        Data::Means(groups) => groups.iter().map(|g| &g.n).collect(),
        Data::Counts(groups) => groups.iter().map(|g| &g.n).collect(),
        Data::Share(group) => vec![&group.n],
        Data::Change(c) => vec![&c.n],
        Data::Correlation { n, .. } => vec![n],
        Data::Estimate(_) | Data::Words => Vec::new(),
    };
    let mut more = false;
    for (n, name) in people.iter().zip(&result.arms) {
        if let Some(arm) = source.arm(&name.value).filter(|a| a.n.as_ref().is_some_and(|size| n.value > f64::from(size.value))) {
            out.push(Odd::Group { n, arm });
            more = true;
        }
    }
    let Some(n) = &source.n else { return };
    if let (Some(first), false) = (people.first(), more) {
        let (all, most): (f64, f64) = people.iter().fold((0.0, 0.0), |(sum, most), p| (sum + p.value, p.value.max(most)));
        // Two groups of the same people are counted twice where people cross over; without arms that cannot be told.
        let crossed = source.arms.iter().all(|a| a.n.as_ref().is_some_and(|size| size.value == n.value));
        let people = if crossed { most } else { all };
        if people > f64::from(n.value) {
            out.push(Odd::Result { people, at: first.span, n });
        }
    }
    let estimate = if let Data::Estimate(p) = &result.data { Some(p) } else { None };
    for printed in estimate.into_iter().chain(&result.printed).filter_map(|p| p.people.as_ref()).filter(|p| p.value > n.value) {
        out.push(Odd::Result { people: f64::from(printed.value), at: printed.span, n });
    }
}
