//! Red flags, derived from the regions that a protocol treats and from every region to which the
//! points of its muscle refer pain.

use super::steps::StepFacts;
use crate::model::docs::{Flag, Protocol};
use crate::model::region::{Place, regions};
use crate::model::vocabulary::Urgency;
use crate::model::{Catalog, Idx};

/// Why a region matters.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// A step acts there.
    Treated(usize),
    /// A point of the muscle refers there.
    RefersFrom(u32),
}

/// A region that matters and why.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Reason {
    /// The place.
    pub place: Place,
    /// Why.
    pub why: Why,
}

/// A flag that belongs to a protocol.
#[derive(Clone, Debug)]
pub struct DerivedFlag {
    /// The flag.
    pub flag: Idx<Flag>,
    /// Why it is here.
    pub reasons: Vec<Reason>,
}

/// A topic that a region requires and no flag covers.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Uncovered {
    /// The topic.
    pub topic: String,
    /// Where and why.
    pub reason: Reason,
}

/// Flags of a protocol, and topics that nothing covers.
#[derive(Clone, Debug, Default)]
pub struct DerivedFlags {
    /// Flags, most urgent first.
    pub flags: Vec<DerivedFlag>,
    /// Topics without a flag.
    pub uncovered: Vec<Uncovered>,
}

pub(super) fn of_protocol(catalog: &Catalog, protocol: &Protocol, steps: &[StepFacts]) -> DerivedFlags {
    let reasons = reasons(catalog, protocol, steps);
    let mut flags: Vec<DerivedFlag> = catalog
        .flags
        .iter()
        .filter_map(|(flag, doc)| {
            let reasons: Vec<Reason> = reasons.iter().copied().filter(|r| doc.regions.all.iter().any(|p| p.meets(r.place))).collect();
            (!reasons.is_empty()).then_some(DerivedFlag { flag, reasons })
        })
        .collect();
    flags.sort_by_key(|f| (catalog.flags[f.flag].urgency.unwrap_or(Urgency::Now), f.flag));
    DerivedFlags { uncovered: uncovered(catalog, &reasons), flags }
}

/// Places treated and referred to, each with every reason once.
fn reasons(catalog: &Catalog, protocol: &Protocol, steps: &[StepFacts]) -> Vec<Reason> {
    let mut reasons = Vec::new();
    for (i, step) in steps.iter().enumerate().filter(|(_, s)| s.is_treatment()) {
        reasons.extend(step.places.iter().map(|place| Reason { place: *place, why: Why::Treated(i) }));
    }
    if let Some(muscle) = protocol.muscle.to {
        for point in &catalog.muscles[muscle].points {
            if let Some(zone) = &point.zone {
                let places = zone.core.all.iter().chain(&zone.spread.all);
                reasons.extend(places.map(|place| Reason { place: *place, why: Why::RefersFrom(point.number.value) }));
            }
        }
    }
    reasons.sort_unstable();
    reasons.dedup();
    reasons
}

fn uncovered(catalog: &Catalog, reasons: &[Reason]) -> Vec<Uncovered> {
    let mut out = Vec::new();
    for reason in reasons {
        for topic in &regions().get(reason.place.region).flags {
            let covered = catalog
                .flags
                .rows()
                .iter()
                .any(|f| f.covers.iter().any(|t| *t.value == **topic) && f.regions.all.iter().any(|p| p.meets(reason.place)));
            if !covered {
                out.push(Uncovered { topic: topic.clone(), reason: *reason });
            }
        }
    }
    out.sort_unstable();
    out
}
