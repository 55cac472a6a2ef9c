//! What drawings of a small muscle of the calf lead to.

use super::*;
use crate::compute::testing;
use crate::model::region::parse_places;

/// A muscle of the calf with a point in it, one beside the leg and one on the other leg.
fn calf(zone: &str) -> Muscle {
    let text = format!(
        "id: x
name: X
latin: x
regions: [calf-inner]
attachments: {{}}
actions: []
nerve: {{name: n, segments: []}}
fibres: {{text: up}}
hazards: []
palpation: {{method: flat}}
chart:
  - view: back
    outline: 4.6 136, 5.4 131, 9 129.3, 12.8 129.3, 15 134, 15 139, 14 145, 11.5 152, 8.5 152, 5.6 145
points:
  - number: 1
    region: calf-inner
    chart: [{{view: back, at: \"7 142\"}}]
    zone: {zone}
  - {{number: 2, region: calf-inner, chart: [{{view: back, at: \"2 142\"}}]}}
  - {{number: 3, region: calf-inner, chart: [{{view: back, at: \"-7 142\"}}]}}
"
    );
    testing::muscle(&text)
}

fn place(written: &str) -> Place {
    parse_places(written).unwrap()[0]
}

#[test]
fn an_outline_covers_the_regions_under_it() {
    let facts = muscle(&calf("{core: [heel]}"));
    assert_eq!(facts.places, [place("calf-inner"), place("calf-outer")]);
    let whole: f64 = facts.drawings[0].iter().map(|c| c.of_shape).sum();
    assert!((whole - 1.0).abs() < 0.02, "{whole}");
    assert!(facts.drawings[0].iter().any(|c| c.place == place("heel-cord") && !c.counts()), "an edge does not count");
}

#[test]
fn a_mark_knows_its_place_and_how_far_outside_it_lies() {
    let facts = muscle(&calf("{core: [heel]}"));
    let marks: Vec<&MarkFacts> = facts.points.iter().flat_map(|p| &p.marks).collect();
    let [inside, beside, other] = marks[..] else { panic!("three marks") };
    assert_eq!((inside.place, inside.outside), (Some(place("calf-inner")), Some(0.0)));
    assert!(beside.place.is_none() && beside.outside.is_some_and(|by| (3.0..3.5).contains(&by)), "{beside:?}");
    assert_eq!(other.place, Some(place("calf-inner other")));
    assert_eq!((&facts.points[0].places[..], &facts.points[2].places[..]), (&[place("calf-inner")][..], &[place("calf-inner other")][..]));
}

/// A zone that is drawn further than its words calls for the flags of what it covers.
#[test]
fn a_drawn_zone_reaches_places_that_no_word_names() {
    let zone = "{core: [heel], drawn: [{view: back, core: \"8 161, 12 161, 12 170, 8 170\", spread: \"6 150, 13 150, 12 158, 7 158\"}]}";
    let muscle = calf(zone);
    let zone = muscle.points[0].zone.as_ref().unwrap();
    assert_eq!(
        zone_places(zone),
        [place("heel-cord"), place("heel")].into_iter().collect::<std::collections::BTreeSet<_>>().into_iter().collect::<Vec<_>>()
    );
    let areas = areas(zone);
    let drawn = areas.core[&place("heel")];
    assert!((15.0..25.0).contains(&drawn), "the drawing is finer than the word: {drawn}");
}

#[test]
fn likeness_is_common_area_over_either() {
    let of = |zone: &str| muscle(&calf(zone)).core;
    let (heel, both) = (of("{core: [heel]}"), of("{core: [heel, sole]}"));
    let (small, large): (f64, f64) = (heel.areas.values().sum(), both.areas.values().sum());
    let found = alike(&heel, &both).unwrap();
    assert!((found.jaccard - small / large).abs() < 1e-9 && (found.of_smaller - 1.0).abs() < 1e-9);
    assert!(alike(&heel, &of("{core: [heel other]}")).unwrap().jaccard.abs() < 1e-12);
    assert!(alike(&heel, &Core::default()).is_none());
}

/// Two drawings in one region are alike only as far as they share skin; a word stands for the whole region.
#[test]
fn drawings_of_one_place_share_what_they_share() {
    let of = |drawn: &str| muscle(&calf(&format!("{{core: [heel], drawn: [{{view: back, core: \"{drawn}\"}}]}}"))).core;
    let upper = of("8 165.8, 12 165.8, 12 168, 8 168");
    for (other, wanted) in [
        (of("8 168.4, 12 168.4, 12 171, 8 171"), 0.0),
        (of("8 165.8, 12 165.8, 12 168, 8 168"), 1.0),
        (muscle(&calf("{core: [heel]}")).core, 1.0),
    ] {
        let found = alike(&upper, &other).unwrap().of_smaller;
        assert!((found - wanted).abs() < 0.01, "{found} {wanted}");
    }
}

#[test]
fn cores_inside_the_body_are_alike_too() {
    let of = |zone: &str| muscle(&calf(zone)).core;
    let found = alike(&of("{core: [pelvic-floor]}"), &of("{core: [pelvic-floor]}")).unwrap();
    assert!((found.jaccard - 1.0).abs() < 1e-12, "{found:?}");
}

#[test]
fn a_mark_knows_how_far_it_lies_from_its_words() {
    let facts = muscle(&calf("{core: [heel]}"));
    let marks: Vec<&MarkFacts> = facts.points.iter().flat_map(|p| &p.marks).collect();
    let [inside, _, other] = marks[..] else { panic!("three marks") };
    assert_eq!(inside.named, Some(0.0));
    assert!(other.named.is_some_and(|d| d > 5.0), "the other calf: {other:?}");
}

/// Facts of a sweep over the calf of which these lines are drawn on the back.
fn swept(muscle: &Muscle, paths: &[&str], leaves_out: &str) -> sweep::SweepFacts {
    use crate::model::chart::{Line, ViewId, parse_points};
    use crate::model::docs::{LeftOut, Places, StepSweep, SweepPath};
    use crate::source::{FileId, Span, Spanned};
    let span = Span::new(FileId(0), 0, 0);
    let points = |text: &str| parse_points(text).unwrap().into_iter().map(|(p, _)| Spanned::new(p, span)).collect();
    let path = |text: &&str| SweepPath { view: Spanned::new(ViewId::Back, span), path: Line { points: points(text), span } };
    let region = Places { all: parse_places(leaves_out).unwrap(), ..Places::default() };
    let why = Spanned::new("why".into(), span);
    let sweep = StepSweep { from: None, paths: paths.iter().map(path).collect(), leaves_out: vec![LeftOut { region, why }], span };
    sweep::facts(muscle, &muscle.points.iter().collect::<Vec<_>>(), &sweep, 2.0)
}

/// A sweep over the whole leg touches little of each region, and each region is swept.
#[test]
fn a_long_sweep_loses_no_region() {
    let long = swept(&calf("{core: [heel]}"), &["8 90, 8 160"], "heel");
    for region in ["back-thigh-inner", "knee-back", "calf-inner", "heel-cord"] {
        assert!(long.places.contains(&place(region)), "{region}: {:?}", long.places);
    }
    assert!(!long.places.contains(&place("heel")) && !long.places.contains(&place("calf-inner other")));
}

#[test]
fn skin_that_is_left_out_is_measured_all_the_same() {
    let muscle = calf("{core: [heel]}");
    for (path, touched) in [("8 148, 8 132", false), ("8 148, 8 118", true)] {
        let facts = swept(&muscle, &[path], "knee-back");
        let [spared] = &facts.spared[..] else { panic!("one region") };
        assert_eq!(spared.centre > 1.0 || spared.share >= sweep::OF_REGION, touched, "{path}: {spared:?}");
    }
}

/// What is drawn of a place stands for it, once for all views; a word of which nothing is drawn stays.
#[test]
fn a_drawn_patch_takes_only_its_own_word_away() {
    let drawn = "{core: [calf-inner, heel], drawn: [{view: back, core: \"6 134, 9 134, 9 144, 6 144\"}]}";
    let facts = swept(&calf(drawn), &["7.5 146, 7.5 132"], "sole");
    let of = |word: &str| facts.core.iter().filter(|t| t.place == Some(place(word))).collect::<Vec<_>>();
    let [calf] = of("calf-inner")[..] else { panic!("{:?}", facts.core) };
    assert!(calf.share > 0.6 && calf.area < 30.0, "{calf:?}");
    assert!(of("heel").iter().any(|t| t.share.abs() < 1e-9), "{:?}", facts.core);
}

/// Two patches of one zone, written one way round and the other, that share a corner.
#[test]
fn outlines_join_whichever_way_round_they_are_written() {
    let of = |second: &str| {
        let zone = format!("{{core: [heel], drawn: [{{view: back, core: [\"8 161, 12 161, 12 166, 8 166\", \"{second}\"]}}]}}");
        let muscle = calf(&zone);
        let zone = muscle.points[0].zone.as_ref().unwrap();
        cover::shape(&zone.drawn[0].core)
    };
    for second in ["10 164, 13 164, 13 168, 10 168", "10 164, 10 168, 13 168, 13 164"] {
        let area = geo::Area::unsigned_area(&of(second));
        assert!((area - 28.0).abs() < 1e-6, "{second}: {area}");
    }
}
