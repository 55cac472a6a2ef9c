//! Whether skin is ready for heat or cold: feeling tested, nothing rubbed on, nothing near that heat
//! or cold harms, no opposite temperature just before.

use crate::compute::ProtocolFacts;
use crate::compute::exposure::names_region;
use crate::compute::numb::{At, shortest_gap};
use crate::compute::steps::StepFacts;
use crate::model::docs::{Comes, Technique, Towards};
use crate::model::interval::exceeds;
use crate::model::region::{Place, Tag, any_meets, regions};
use crate::model::vocabulary::{Role, Stressor};
use crate::model::{Catalog, Idx};

/// The thermal stressor of a step, heat first.
pub fn stressor(step: &StepFacts) -> Option<Stressor> {
    [Stressor::Heat, Stressor::Cold].into_iter().find(|s| step.load(*s).is_some())
}

/// Places on which no sensation test among these steps was done. A test without a target is taken to
/// be about all the skin that will be treated.
pub fn untested<'a>(catalog: &Catalog, before: impl IntoIterator<Item = &'a StepFacts>, places: &[Place]) -> Vec<Place> {
    let is_test = |s: &&StepFacts| s.technique.is_some_and(|t| catalog.techniques[t].role == Role::SensationTest);
    let tested: Vec<&StepFacts> = before.into_iter().filter(is_test).collect();
    let done = |place: &Place| tested.iter().any(|t| t.places.is_empty() || any_meets(&t.places, &[*place]));
    places.iter().copied().filter(|p| !done(p)).collect()
}

/// Two steps of an appointment on the same skin, and the shortest time between them in seconds.
#[derive(Clone, Debug, PartialEq)]
pub struct Close {
    /// The earlier step.
    pub earlier: At,
    /// The later step.
    pub later: At,
    /// Skin that both act on.
    pub places: Vec<Place>,
    /// Shortest time between them, s.
    pub gap: f64,
}

/// Each step with the nearest one before it on the same skin for which `binds(earlier, later)` gives a
/// longer time in seconds than may lie between.
pub fn too_close(parts: &[&ProtocolFacts], binds: impl Fn(&StepFacts, &StepFacts) -> Option<f64>) -> Vec<Close> {
    let rows: Vec<(At, &StepFacts)> =
        parts.iter().enumerate().flat_map(|(part, f)| f.steps.iter().enumerate().map(move |(step, s)| (At { part, step }, s))).collect();
    let mut out = Vec::new();
    for (i, (later, second)) in rows.iter().enumerate() {
        let hit = rows.iter().take(i).rev().find_map(|(earlier, first)| {
            let places: Vec<Place> = second.places.iter().copied().filter(|p| any_meets(&first.places, &[*p])).collect();
            let wanted = binds(first, second).filter(|_| !places.is_empty())?;
            let gap = shortest_gap(parts, *earlier, *later).filter(|gap| exceeds(wanted, *gap))?;
            Some(Close { earlier: *earlier, later: *later, places, gap })
        });
        out.extend(hit);
    }
    out
}

/// True if every step between two has a known duration; how long the first lasts does not enter the time
/// since its end.
pub fn times_known(parts: &[&ProtocolFacts], close: &Close) -> bool {
    let (from, to) = ((close.earlier.part, close.earlier.step), (close.later.part, close.later.step));
    let all = parts.iter().enumerate().flat_map(|(part, f)| f.timeline.slots.iter().enumerate().map(move |(step, s)| ((part, step), s)));
    all.filter(|(at, _)| from < *at && *at < to).all(|(_, slot)| slot.known)
}

/// True if an order rule of either technique forbids `later` after `earlier`.
pub fn order_forbids(catalog: &Catalog, earlier: Idx<Technique>, later: Idx<Technique>) -> bool {
    let rules = |own: Idx<Technique>, comes: Comes, other: Idx<Technique>| {
        catalog.techniques[own].order.iter().any(|r| {
            r.comes == comes
                && match &r.towards {
                    Some(Towards::Stressor(s)) => catalog.techniques[other].has(*s),
                    Some(Towards::Technique(t)) => t.to == Some(other),
                    None => false,
                }
        })
    };
    rules(later, Comes::Before, earlier) || rules(earlier, Comes::After, later)
}

/// The longest gap in seconds that rules of two techniques want between them.
pub fn gap_of_rules(one: &Technique, other: &Technique) -> f64 {
    let apart = |own: &Technique, other: &Technique| {
        let meant = own.order.iter().filter(|r| r.comes == Comes::Apart && matches!(r.towards, Some(Towards::Stressor(s)) if other.has(s)));
        meant.filter_map(|r| r.gap.as_ref()).map(|g| g.value.base().lo).fold(0.0, f64::max)
    };
    apart(one, other).max(apart(other, one))
}

/// Tags of regions that heat and cold harm sooner, with words that show that a text speaks of them.
const TENDER: [(Tag, &[&str]); 3] = [
    (Tag::ThinSkin, &["thin", "bone", "bony"]),
    (Tag::SuperficialNerve, &["nerve", "tingling", "numb", "numbness"]),
    (Tag::PoorSensationCommon, &["feel", "feeling", "feels", "sensation", "numb", "numbness"]),
];

/// Why a region is harmed sooner, as far as none of `texts` speaks of it: neither of the region by
/// name nor of what makes it tender.
pub fn unanswered(place: Place, texts: &[&str]) -> Vec<Tag> {
    if texts.iter().any(|t| names_region(t, place.region)) {
        return Vec::new();
    }
    let says = |words: &[&str]| {
        let lower: Vec<String> = texts.iter().map(|t| t.to_lowercase()).collect();
        lower
            .iter()
            .flat_map(|t| t.split(|c: char| !c.is_alphanumeric()))
            .any(|w| words.contains(&w.trim_end_matches('s')) || words.contains(&w))
    };
    let tags = &regions().get(place.region).tags;
    TENDER.iter().filter(|(tag, words)| tags.contains(tag) && !says(words)).map(|(tag, _)| *tag).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::region::parse_places;

    #[test]
    fn heat_and_cold_of_the_fixture_pack_are_as_close_as_the_step_between_is_short() {
        let catalog = crate::compute::testing::base();
        let facts = crate::compute::compute(&catalog, crate::compute::testing::TODAY);
        let (visit, protocol) = (&facts.protocols[0], &catalog.protocols.rows()[0]);
        let opposed = |wanted: f64| {
            let binds = |a: &StepFacts, b: &StepFacts| (stressor(a)? != stressor(b)?).then_some(wanted);
            too_close(&[visit], binds).iter().map(|c| (c.earlier.step, c.later.step, c.gap)).collect::<Vec<_>>()
        };
        // Two holds of 45 s at least, and 10 s of rest after each.
        assert_eq!(opposed(120.0), [(4, 6, 110.0)]);
        assert_eq!(opposed(110.0), []);
        let (heat, cold) = (protocol.steps[4].technique.to.unwrap(), protocol.steps[6].technique.to.unwrap());
        assert_eq!(gap_of_rules(&catalog.techniques[heat], &catalog.techniques[cold]).to_bits(), 0.0_f64.to_bits());
        assert!(!order_forbids(&catalog, heat, cold));
        let pressure = protocol.steps[5].technique.to.unwrap();
        assert!(order_forbids(&catalog, cold, pressure) && !order_forbids(&catalog, pressure, cold));
    }

    #[test]
    fn skin_is_tested_where_a_test_before_has_touched_it() {
        let catalog = crate::compute::testing::base();
        let facts = crate::compute::compute(&catalog, crate::compute::testing::TODAY);
        let steps = &facts.protocols[0].steps;
        let open = |before: usize, region: &str| untested(&catalog, &steps[..before], &parse_places(region).unwrap()).len();
        assert_eq!((open(3, "calf-inner"), open(4, "calf-inner"), open(4, "calf-inner other"), open(4, "sole")), (1, 0, 1, 1));
    }

    #[test]
    fn a_text_answers_a_tender_region_by_name_or_by_hazard() {
        let ask = |region: &str, texts: &[&str]| unanswered(parse_places(region).unwrap()[0], texts);
        assert_eq!(ask("fibular-neck", &[]), [Tag::ThinSkin, Tag::SuperficialNerve]);
        assert_eq!(ask("fibular-neck", &["Ask about warmth."]), [Tag::ThinSkin, Tag::SuperficialNerve]);
        assert_eq!(ask("fibular-neck", &["Keep off the nerve."]), [Tag::ThinSkin]);
        assert_eq!(ask("fibular-neck", &["Stay clear of nerves and of bone."]), []);
        assert_eq!(ask("shin", &["The pack ends above the shin."]), []);
        assert_eq!(ask("calf-inner", &[]), []);
    }
}
