//! Red flags, derived from the regions that a protocol treats, at home too, and from every region to which the
//! points of its muscle refer pain, in words or as drawn.

use super::chart::zone_places;
use super::steps::StepFacts;
use crate::model::docs::{Flag, Protocol};
use crate::model::region::{Place, Side, regions};
use crate::model::vocabulary::Urgency;
use crate::model::{Catalog, Idx, Kind};

/// Why a region matters.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// A step acts there.
    Treated(usize),
    /// A home item acts there.
    AtHome(usize),
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

pub(super) fn of_protocol(catalog: &Catalog, protocol: &Protocol, steps: &[StepFacts], home: &[StepFacts]) -> DerivedFlags {
    let reasons = reasons(catalog, protocol, steps, home);
    let mut flags: Vec<DerivedFlag> = catalog
        .flags
        .iter()
        .filter_map(|(flag, doc)| {
            let reasons: Vec<Reason> = reasons.iter().copied().filter(|r| looks_at(doc, r.place)).collect();
            (!reasons.is_empty()).then_some(DerivedFlag { flag, reasons })
        })
        .collect();
    flags.sort_by_key(|f| (catalog.flags[f.flag].urgency.unwrap_or(Urgency::Now), f.flag));
    DerivedFlags { uncovered: uncovered(catalog, &reasons), flags }
}

/// Places treated and referred to, each with every reason once.
fn reasons(catalog: &Catalog, protocol: &Protocol, steps: &[StepFacts], home: &[StepFacts]) -> Vec<Reason> {
    let mut reasons = Vec::new();
    for (i, step) in steps.iter().enumerate().filter(|(_, s)| s.is_treatment()) {
        reasons.extend(step.places.iter().map(|place| Reason { place: *place, why: Why::Treated(i) }));
    }
    for (i, item) in home.iter().enumerate().filter(|(_, s)| s.is_treatment()) {
        reasons.extend(item.places.iter().map(|place| Reason { place: *place, why: Why::AtHome(i) }));
    }
    if let Some(muscle) = protocol.muscle.to {
        for point in &catalog.muscles[muscle].points {
            if let Some(zone) = &point.zone {
                let why = Why::RefersFrom(point.number.value);
                reasons.extend(zone_places(zone).into_iter().map(|place| Reason { place, why }));
            }
        }
    }
    reasons.sort_unstable();
    reasons.dedup();
    reasons
}

fn uncovered(catalog: &Catalog, reasons: &[Reason]) -> Vec<Uncovered> {
    let mut out = Vec::new();
    // A flag that could not be read may cover the topic; its own fault is reported already.
    if catalog.unread.contains(&Kind::Flag) {
        return out;
    }
    for reason in reasons {
        for topic in &regions().get(reason.place.region).flags {
            let covered = catalog.flags.rows().iter().any(|f| f.covers.iter().any(|t| *t.value == **topic) && looks_at(f, reason.place));
            if !covered {
                out.push(Uncovered { topic: topic.clone(), reason: *reason });
            }
        }
    }
    out.sort_unstable();
    out
}

/// True if a flag asks about a place. A region that it names without a side is that region of either side.
fn looks_at(flag: &Flag, place: Place) -> bool {
    flag.regions.all.iter().any(|p| p.meets(place) || (p.side == Side::Same && Place { side: place.side, ..*p }.meets(place)))
}

#[cfg(test)]
mod tests {
    use super::super::testing;
    use super::*;
    use crate::load::decode::Document;
    use crate::model::{Kind, Table};

    fn flag(topic: &str, regions_written: &str, urgency: &str) -> Flag {
        let text = format!(
            "id: x\nname: X\ncovers: [{topic}]\npresentation: P.\nquestion: Q?\nregions: [{regions_written}]\nurgency: {urgency}\ntreatment: stop\nmeanwhile: M.\n"
        );
        match testing::document(Kind::Flag, &text) {
            Document::Flag(flag) => *flag,
            _ => unreachable!("a flag was decoded"),
        }
    }

    /// Flags of the protocol of the base pack when the pack has only these.
    fn derived(flags: Vec<Flag>) -> (Vec<usize>, DerivedFlags) {
        let mut catalog = testing::base();
        catalog.flags = Table::new(flags);
        let facts = crate::compute::compute(&catalog, crate::compute::testing::TODAY).protocols.remove(0).flags;
        (facts.flags.iter().map(|f| f.flag.row()).collect(), facts)
    }

    fn whys(derived: &DerivedFlags) -> Vec<Why> {
        derived.flags.iter().flat_map(|f| f.reasons.iter().map(|r| r.why)).collect()
    }

    #[test]
    fn a_flag_comes_from_the_place_that_is_treated_and_says_which_step() {
        let (_, facts) = derived(vec![flag("deep-vein-clot", "calf-inner", "same day")]);
        assert_eq!(whys(&facts), [Why::Treated(4), Why::Treated(5), Why::Treated(6), Why::Treated(7), Why::AtHome(0)]);
    }

    #[test]
    fn a_flag_comes_from_a_zone_too_and_says_which_point() {
        let (_, facts) = derived(vec![flag("limb-ischaemia", "sole", "now")]);
        assert_eq!(whys(&facts), [Why::RefersFrom(1)]);
        let (_, facts) = derived(vec![flag("deep-vein-clot", "heel-cord", "now")]);
        assert_eq!(whys(&facts), [Why::Treated(7), Why::AtHome(0), Why::RefersFrom(1)], "the test of feeling is no treatment");
    }

    #[test]
    fn the_other_side_is_no_reason() {
        assert!(derived(vec![flag("deep-vein-clot", "leg other", "same day")]).0.is_empty());
        assert_eq!(derived(vec![flag("deep-vein-clot", "leg left", "same day")]).0, [0]);
        assert!(derived(vec![flag("acute-coronary", "chest-wall", "now")]).0.is_empty());
    }

    #[test]
    fn a_region_without_a_side_is_that_of_either_side() {
        let place = |written: &str| crate::model::region::parse_places(written).unwrap()[0];
        let cases = [
            ("leg", "calf-inner other", true),
            ("leg other", "calf-inner", false),
            ("leg left", "calf-inner other", true),
            ("leg", "sole other", false),
        ];
        for (of_flag, at, wanted) in cases {
            assert_eq!(looks_at(&flag("deep-vein-clot", of_flag, "now"), place(at)), wanted, "{of_flag} and {at}");
        }
    }

    #[test]
    fn the_most_urgent_flag_comes_first() {
        let flags = ["routine", "now", "same day"].map(|urgency| flag("deep-vein-clot", "leg", urgency)).to_vec();
        assert_eq!(derived(flags).0, [1, 2, 0]);
    }

    #[test]
    fn a_topic_is_covered_only_where_a_flag_looks() {
        assert!(derived(vec![flag("deep-vein-clot, limb-ischaemia", "leg, foot", "now")]).1.uncovered.is_empty());
        let (_, facts) = derived(vec![flag("deep-vein-clot, limb-ischaemia", "leg", "now")]);
        let open: Vec<_> = facts.uncovered.iter().map(|u| (u.topic.as_str(), u.reason.place.shown(), u.reason.why)).collect();
        assert_eq!(open, [("limb-ischaemia", "Sole".to_string(), Why::RefersFrom(1))]);
        let (_, facts) = derived(Vec::new());
        assert!(facts.uncovered.iter().any(|u| u.reason.why == Why::Treated(5)) && facts.flags.is_empty());
    }
}
