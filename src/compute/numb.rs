//! Pressing on skin that a cold step has made numb.
//!
//! The times add up over the protocols of one appointment, one after the other. The shortest possible
//! time between the two steps counts: that is the worst case for the skin.

use super::ProtocolFacts;
use crate::model::interval::exceeds;
use crate::model::region::{Place, any_meets};
use crate::model::vocabulary::Stressor;

/// A step of one of the protocols of an appointment.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct At {
    /// Which protocol, in order of the appointment.
    pub part: usize,
    /// Row of the step.
    pub step: usize,
}

/// A pressing step that may come while the skin is numb.
#[derive(Clone, Debug, PartialEq)]
pub struct NumbPress {
    /// The last cold step on this skin before it.
    pub cold: At,
    /// The pressing step.
    pub press: At,
    /// Pressure or squeeze.
    pub stressor: Stressor,
    /// Skin that both act on.
    pub places: Vec<Place>,
    /// Shortest time between them, in seconds.
    pub gap: f64,
    /// Time for which the skin counts as numb, in seconds.
    pub window: f64,
}

/// Pressing steps inside the numb time of an earlier cold step on the same skin, each with the last
/// such cold step.
pub fn pressed_while_numb(parts: &[&ProtocolFacts]) -> Vec<NumbPress> {
    let mut found = Vec::new();
    for (part, facts) in parts.iter().enumerate() {
        for (step, row) in facts.steps.iter().enumerate() {
            let pressing = [Stressor::Pressure, Stressor::Squeeze].into_iter().find(|s| row.load(*s).is_some());
            if let Some(stressor) = pressing
                && let Some(hit) = last_cold(parts, At { part, step }, stressor, &row.places)
            {
                found.push(hit);
            }
        }
    }
    found
}

fn last_cold(parts: &[&ProtocolFacts], press: At, stressor: Stressor, pressed: &[Place]) -> Option<NumbPress> {
    for (part, facts) in parts.iter().enumerate().take(press.part + 1).rev() {
        let end = if part == press.part { press.step } else { facts.steps.len() };
        for (step, row) in facts.steps.iter().enumerate().take(end).rev() {
            let Some(window) = row.load(Stressor::Cold).and_then(|l| l.numbs_for) else { continue };
            let places: Vec<Place> = pressed.iter().copied().filter(|p| any_meets(&row.places, &[*p])).collect();
            let cold = At { part, step };
            if let Some(gap) = shortest_gap(parts, cold, press)
                && !places.is_empty()
                && exceeds(window, gap)
            {
                return Some(NumbPress { cold, press, stressor, places, gap, window });
            }
        }
    }
    None
}

/// Shortest time from the end of one step to the start of a later one, in seconds.
pub fn shortest_gap(parts: &[&ProtocolFacts], from: At, to: At) -> Option<f64> {
    let first = &parts.get(from.part)?.timeline;
    if from.part == to.part {
        return first.gap(from.step, to.step).map(|g| g.lo);
    }
    let rest = first.without_notes.lo - first.slots.get(from.step)?.end.lo;
    let between: f64 = parts.get(from.part + 1..to.part)?.iter().map(|p| p.timeline.without_notes.lo).sum();
    let start = parts.get(to.part)?.timeline.slots.get(to.step)?.start.lo;
    Some(rest.max(0.0) + between + start)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compute::steps::{Load, StepFacts};
    use crate::compute::timeline::{Slot, Timeline};
    use crate::model::interval::Interval;
    use crate::model::region::parse_places;

    fn step(stressor: Stressor, region: &str, numbs_for: Option<f64>) -> StepFacts {
        StepFacts {
            technique: None,
            position: None,
            turns: false,
            muscle: None,
            places: parse_places(region).unwrap(),
            point: None,
            duration: None,
            loads: vec![Load { stressor, total: None, peak: None, numbs_for }],
            stretch: None,
            sweep: None,
            thermal: None,
        }
    }

    /// Steps of 60 s each, with the given free time in front of each.
    fn facts(steps: Vec<(StepFacts, f64)>) -> ProtocolFacts {
        let mut now = 0.0;
        let mut slots = Vec::new();
        for (_, free) in &steps {
            let start = now + free;
            now = start + 60.0;
            slots.push(Slot { start: Interval::exact(start), end: Interval::exact(now), turn: false, known: true });
        }
        let all = Interval::exact(now);
        ProtocolFacts {
            steps: steps.into_iter().map(|(s, _)| s).collect(),
            home: Vec::new(),
            ledger: crate::compute::ledger::Ledger::default(),
            timeline: Timeline { slots, turns: 0, without_notes: all, total: all, appointment: None },
            cautions: Vec::new(),
            combinations: Vec::new(),
            flags: crate::compute::flags::DerivedFlags::default(),
            reporting: Vec::new(),
            thumb: crate::compute::mechanics::thumb::ThumbTime::default(),
        }
    }

    #[test]
    fn pressing_counts_until_the_numb_time_is_over() {
        let case = |free: f64, region: &str| {
            let cold = step(Stressor::Cold, "calf-inner", Some(600.0));
            let visit = facts(vec![(cold, 0.0), (step(Stressor::Pressure, region, None), free)]);
            pressed_while_numb(&[&visit]).len()
        };
        assert_eq!((case(0.0, "calf-inner"), case(599.0, "calf-inner")), (1, 1));
        assert_eq!((case(600.0, "calf-inner"), case(0.0, "calf-outer"), case(0.0, "calf-inner other")), (0, 0, 0));
    }

    #[test]
    fn the_protocols_of_an_appointment_follow_each_other() {
        let first = facts(vec![(step(Stressor::Cold, "neck-back", Some(600.0)), 0.0), (step(Stressor::Heat, "sole", None), 30.0)]);
        let second = facts(vec![(step(Stressor::Squeeze, "neck-back", None), 45.0)]);
        let found = pressed_while_numb(&[&first, &second]);
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].cold, found[0].press), (At { part: 0, step: 0 }, At { part: 1, step: 0 }));
        assert!((found[0].gap - (90.0 + 45.0)).abs() < 1e-9);
        assert!(pressed_while_numb(&[&second, &first]).is_empty());
    }
}
