//! When each step starts and ends, how often the person turns, and whether it fits the appointment.

use super::steps::StepFacts;
use crate::model::Catalog;
use crate::model::docs::{Amount, Protocol};
use crate::model::interval::Interval;

/// One step on the time axis, in seconds from the start.
#[derive(Clone, Debug)]
pub struct Slot {
    /// Earliest and latest start of the step's own work, after turning and set-up.
    pub start: Interval,
    /// Earliest and latest end.
    pub end: Interval,
    /// True if the person turns before it.
    pub turn: bool,
    /// True if its duration is known.
    pub known: bool,
}

/// The whole appointment.
#[derive(Clone, Debug)]
pub struct Timeline {
    /// One for each step.
    pub slots: Vec<Slot>,
    /// Times the person turns.
    pub turns: usize,
    /// Everything but the time for notes.
    pub without_notes: Interval,
    /// Everything.
    pub total: Interval,
    /// Length of the appointment, if one is stated.
    pub appointment: Option<f64>,
}

pub(super) fn of_protocol(catalog: &Catalog, protocol: &Protocol, steps: &[StepFacts]) -> Timeline {
    let pack = &catalog.packs[protocol.head.pack];
    let seconds = |q: &Option<Amount>| q.as_ref().map_or(Interval::ZERO, |q| q.value.base());
    let turn_time = seconds(&pack.turn);
    let mut now = Interval::ZERO;
    let mut slots = Vec::with_capacity(steps.len());
    for step in steps {
        if step.turns {
            now = now + turn_time;
        }
        if let Some(technique) = step.technique {
            now = now + seconds(&catalog.techniques[technique].set_up);
        }
        let start = now;
        now = now + step.duration.unwrap_or(Interval::ZERO);
        slots.push(Slot { start, end: now, turn: step.turns, known: step.duration.is_some() });
    }
    let appointment = protocol.appointment.as_ref().or(pack.appointment.as_ref()).map(|q| q.value.base().hi);
    let turns = steps.iter().filter(|s| s.turns).count();
    Timeline { slots, turns, without_notes: now, total: now + seconds(&pack.notes_time), appointment }
}

impl Timeline {
    /// Least and most time between the end of step `a` and the start of step `b`, for `a` before `b`.
    ///
    /// Both bounds add the time of the steps between, so they do not mix the best case of one with the
    /// worst case of another.
    pub fn gap(&self, a: usize, b: usize) -> Option<Interval> {
        let (a, b) = (self.slots.get(a)?, self.slots.get(b)?);
        Some(Interval::new((b.start.lo - a.end.lo).max(0.0), (b.start.hi - a.end.hi).max(0.0)))
    }
}

/// Least and most time between the end of one step and the start of a later one, where protocols
/// follow each other without a pause. A step is its timeline and its row.
pub fn gap_between(visits: &[&Timeline], a: (usize, usize), b: (usize, usize)) -> Option<Interval> {
    let (first, second) = (visits.get(a.0)?, visits.get(b.0)?);
    if a.0 == b.0 {
        return first.gap(a.1, b.1);
    }
    let (end, start) = (first.slots.get(a.1)?.end, second.slots.get(b.1)?.start);
    let rest = Interval::new(first.without_notes.lo - end.lo, first.without_notes.hi - end.hi);
    let between: Interval = visits.get(a.0 + 1..b.0)?.iter().map(|t| t.without_notes).sum();
    Some(rest + between + start)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn timeline(durations: &[(f64, f64)]) -> Timeline {
        let mut now = Interval::ZERO;
        let slots = durations
            .iter()
            .map(|(lo, hi)| {
                let start = now;
                now = now + Interval::new(*lo, *hi);
                Slot { start, end: now, turn: false, known: true }
            })
            .collect();
        Timeline { slots, turns: 0, without_notes: now, total: now, appointment: None }
    }

    #[test]
    fn gaps_run_on_from_one_protocol_to_the_next() {
        let (a, b, c) = (timeline(&[(10.0, 20.0), (30.0, 40.0)]), timeline(&[(60.0, 60.0)]), timeline(&[(5.0, 9.0), (1.0, 1.0)]));
        let all = [&a, &b, &c];
        assert_eq!(gap_between(&all, (0, 0), (0, 1)), Some(Interval::ZERO));
        assert_eq!(gap_between(&all, (0, 0), (1, 0)), Some(Interval::new(30.0, 40.0)));
        assert_eq!(gap_between(&all, (0, 0), (2, 1)), Some(Interval::new(95.0, 109.0)));
        assert_eq!(gap_between(&all, (0, 0), (3, 0)), None);
    }
}
