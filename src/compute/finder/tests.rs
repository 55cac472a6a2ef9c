//! Tests of the finder on drawings and zones that are written here.

use super::super::testing;
use super::*;
use crate::model::region::parse_places;

fn spots_of(text: &str, treated: Half) -> Vec<Spot> {
    text.split(", ").flat_map(|t| parse_places(t).unwrap()).flat_map(|p| Spot::of(p, treated)).collect()
}

fn drawing(text: &str) -> Drawing {
    let mut drawing = Drawing::default();
    for mark in text.split(", ") {
        let (place, strength) = mark.split_once('=').unwrap_or((mark, "3"));
        for spot in spots_of(place, Half::Left) {
            drawing.mark(spot, Strength::new(strength.parse().unwrap()).unwrap());
        }
    }
    drawing
}

fn zone(core: &str, spread: &str) -> BTreeMap<Spot, Part> {
    let part = |text: &str, part| spots_of(text, Half::Left).into_iter().map(move |s| (s, part)).collect::<Vec<_>>();
    let spread = if spread.is_empty() { Vec::new() } else { part(spread, Part::Spread) };
    spread.into_iter().chain(part(core, Part::Core)).collect()
}

#[test]
fn the_measure_agrees_with_values_computed_elsewhere() {
    // Examples of scipy.spatial.distance.braycurtis in the documentation of SciPy 1.x:
    // (1,0,0) with (0,1,0) is 1; (1,1,0) with (0,1,0) is 1/3.
    let like = |marks: &str, core: &str| 1.0 - similarity(&drawing(marks), &zone(core, "")).value();
    assert!((like("temple left", "ear left") - 1.0).abs() < 1e-12);
    assert!((like("temple left, ear left", "ear left") - 1.0 / 3.0).abs() < 1e-12);
    // By hand: values 1, 2/3 and 1, 1/2: 2 (1 + 1/2) / (5/3 + 3/2) = 18/19.
    let share = similarity(&drawing("temple left=3, ear left=2"), &zone("temple left", "ear left"));
    assert!((share.value() - 18.0 / 19.0).abs() < 1e-12, "{share:?}");
}

#[test]
fn only_the_strength_of_marks_against_each_other_counts() {
    let zone = zone("temple left, ear left", "cheek left");
    let of = |text| similarity(&drawing(text), &zone);
    assert_eq!(of("temple left=1, cheek left=1"), of("temple left=3, cheek left=3"));
    assert!(of("temple left=3, nose=1").value() > of("temple left=1, nose=3").value());
}

#[test]
fn a_region_that_is_core_and_spread_is_core() {
    assert_eq!(zone("ear left", "ear left, temple left").values().filter(|p| **p == Part::Core).count(), 1);
}

#[test]
fn sides_follow_the_treated_side_and_the_midline_has_none() {
    let sides = |text, treated| spots_of(text, treated).into_iter().map(Spot::side).collect::<Vec<_>>();
    assert_eq!(sides("temple", Half::Right), ["right"]);
    assert_eq!(sides("temple other", Half::Right), ["left"]);
    assert_eq!(sides("temple left", Half::Right), ["left"]);
    assert_eq!(sides("temple both", Half::Right), ["left", "right"]);
    assert_eq!(sides("sacrum", Half::Right), ["midline"]);
}

#[test]
fn a_drawing_of_the_base_pack_leads_to_its_muscle_with_reasons() {
    let catalog = testing::base();
    let found = find(&catalog, &drawing("heel left=2, sole left=1, nose=1"));
    let [first] = &found.candidates[..] else { panic!("{:?}", found.candidates) };
    assert_eq!((first.half, first.closest.as_slice()), (Half::Left, &[1][..]));
    assert_eq!(first.covered, Share { part: 3, whole: 4 });
    let reasons: Vec<_> = first.reasons.iter().map(|r| (r.spot.shown(), r.zones.clone())).collect();
    assert_eq!(reasons, [("Heel, left".to_string(), vec![(1, Part::Core)]), ("Sole, left".to_string(), vec![(1, Part::Spread)])]);
    assert!(find(&catalog, &Drawing::default()) == Found::default());
}

#[test]
fn muscles_under_the_marks_are_named_whether_or_not_a_zone_is_marked() {
    let catalog = testing::base();
    let facts = crate::compute::compute(&catalog, crate::compute::testing::TODAY);
    let named = |text| under(&catalog, &facts.chart, &drawing(text)).into_iter().map(|l| (l.half, l.spots)).collect::<Vec<_>>();
    assert_eq!(named("calf-inner right"), [(Half::Right, spots_of("calf-inner right", Half::Right))]);
    assert_eq!(named("nose"), []);
}

#[test]
fn flags_of_marked_regions_come_most_urgent_first_and_gaps_are_said() {
    let catalog = testing::base();
    let found = find(&catalog, &drawing("calf-inner right, eye left"));
    let urgency = |f: &FlagHit| catalog.flags[f.flag].urgency;
    assert!(!found.flags.is_empty() && found.flags.is_sorted_by_key(urgency));
    assert!(found.flags.iter().all(|f| f.spots == spots_of("calf-inner right", Half::Left)));
    assert!(found.unasked.iter().any(|u| u.topic == "giant-cell-arteritis"), "{:?}", found.unasked);
}
