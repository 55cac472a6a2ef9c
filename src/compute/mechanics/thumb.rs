//! How long the clinician presses with the thumb: the longest hold and the sum over a protocol.
//!
//! A technique is done with the thumb if a word of its contact says so. Where it names other contacts
//! as well the thumb is assumed, which is the worst case.

use crate::compute::steps::StepFacts;
use crate::model::Catalog;
use crate::model::docs::{Protocol, Technique};
use crate::model::interval::Interval;
use crate::model::unit::Dim;
use crate::model::vocabulary::Stressor;

/// Time of pressure with the thumb.
#[derive(Clone, Debug, Default)]
pub struct ThumbTime {
    /// Seconds of the longest single hold, with its step (row).
    pub longest: Option<(usize, Interval)>,
    /// Seconds of all steps.
    pub total: Option<Interval>,
    /// Steps that count (rows).
    pub steps: Vec<usize>,
}

/// True if the technique is done with the thumb.
pub fn with_thumb(technique: &Technique) -> bool {
    technique.contact.iter().any(|c| c.value.to_lowercase().split(|ch: char| !ch.is_alphabetic()).any(|w| w == "thumb" || w == "thumbs"))
}

pub(crate) fn of_protocol(catalog: &Catalog, protocol: &Protocol, steps: &[StepFacts]) -> ThumbTime {
    let mut thumb = ThumbTime::default();
    for (row, (step, facts)) in protocol.steps.iter().zip(steps).enumerate() {
        let Some(technique) = facts.technique.map(|t| &catalog.techniques[t]).filter(|t| with_thumb(t)) else { continue };
        for exposure in technique.exposes.iter().filter(|e| matches!(e.stressor, Stressor::Pressure | Stressor::Squeeze)) {
            let Some((Dim::Time, total)) = facts.load(exposure.stressor).and_then(|l| l.total) else { continue };
            let holds = exposure.total.iter().filter_map(|name| step.dose.amount(&name.value)).filter(|q| q.dim() == Dim::Time);
            let Some(hold) = holds.map(crate::model::quantity::Quantity::base).reduce(Interval::hull) else { continue };
            if thumb.longest.is_none_or(|(_, longest)| hold.hi > longest.hi) {
                thumb.longest = Some((row, hold));
            }
            thumb.total = Some(thumb.total.unwrap_or(Interval::ZERO) + total);
            thumb.steps.push(row);
        }
    }
    thumb
}
