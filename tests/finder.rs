//! The finder on the demo pack: a drawing of a zone leads to its muscle, a poor drawing still does, the
//! mirror image gives the mirror image, and the command says the same as the library.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;

use fascicle::build::{Judged, judge};
use fascicle::compute::finder::{Drawing, Found, Half, Spot, Strength, find, spots, zones};
use fascicle::model::docs::Muscle;
use fascicle::model::region::{Place, Side, regions};
use fascicle::model::{Catalog, Idx};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;
use std::sync::LazyLock;

const PACK: &str = "packs/millrace-course";

fn demo() -> &'static Catalog {
    static DEMO: LazyLock<Judged> = LazyLock::new(|| judge(&[common::root().join(PACK)], common::TODAY).unwrap());
    DEMO.catalog.as_ref().unwrap()
}

fn drawing(marks: impl IntoIterator<Item = Spot>) -> Drawing {
    let mut drawing = Drawing::default();
    marks.into_iter().for_each(|spot| drawing.mark(spot, Strength::new(2).unwrap()));
    drawing
}

/// Place of a muscle and side in the list, from 1.
fn place(found: &Found, muscle: Idx<Muscle>, half: Half) -> Option<usize> {
    found.candidates.iter().position(|c| c.muscle == muscle && c.half == half).map(|i| i + 1)
}

/// Every point with a zone of the demo pack on both sides, with the spots of its zone.
fn points() -> Vec<(Idx<Muscle>, Half, u32, BTreeSet<Spot>)> {
    let mut out = Vec::new();
    for (muscle, points) in zones(demo()) {
        for (point, zone) in points {
            out.extend(Half::BOTH.map(|half| (muscle, half, point.number.value, spots(zone, half).into_keys().collect())));
        }
    }
    assert!(out.len() >= 30, "{}", out.len());
    out
}

#[test]
fn the_whole_zone_of_each_point_puts_its_muscle_among_the_first_three() {
    for (muscle, half, point, zone) in points() {
        let at = place(&find(demo(), &drawing(zone)), muscle, half);
        assert!(at.is_some_and(|at| at <= 3), "{} {half:?} point {point}: place {at:?}", demo().muscles[muscle].name.value);
    }
}

#[test]
fn all_zones_of_a_muscle_together_put_it_first() {
    for (muscle, points) in zones(demo()) {
        for half in Half::BOTH {
            let all = points.iter().flat_map(|(_, zone)| spots(zone, half).into_keys());
            assert_eq!(place(&find(demo(), &drawing(all)), muscle, half), Some(1), "{}", demo().muscles[muscle].name.value);
        }
    }
}

/// Regions beside a spot, on its own side; from the midline to both sides.
fn beside(spot: Spot) -> Vec<Spot> {
    let list = regions();
    let side = |region| match (list.get(region).paired, spot.half) {
        (false, _) => Side::Midline,
        (true, Some(_)) => Side::Same,
        (true, None) => Side::Both,
    };
    let next = list.get(spot.region).next.iter();
    next.flat_map(|region| Spot::of(Place { region: *region, side: side(*region) }, spot.half.unwrap_or(Half::Left))).collect()
}

/// Every choice of half of the spots, rounded down and up.
fn halves(zone: &BTreeSet<Spot>) -> Vec<Vec<Spot>> {
    let all: Vec<Spot> = zone.iter().copied().collect();
    let sizes = [(all.len() / 2).max(1), all.len().div_ceil(2)];
    let choice = |bits: u32| all.iter().enumerate().filter(|(i, _)| bits >> i & 1 == 1).map(|(_, s)| *s).collect::<Vec<_>>();
    (1..1_u32 << all.len()).map(choice).filter(|c| sizes.contains(&c.len())).collect()
}

#[test]
fn half_a_zone_and_any_wrong_neighbour_keep_the_muscle_among_the_first_five() {
    let mut tried = 0;
    for (muscle, half, point, zone) in points() {
        for kept in halves(&zone) {
            let wrong: BTreeSet<Spot> = kept.iter().flat_map(|s| beside(*s)).filter(|s| !zone.contains(s)).collect();
            assert!(!wrong.is_empty());
            for extra in wrong {
                tried += 1;
                let at = place(&find(demo(), &drawing(kept.iter().copied().chain([extra]))), muscle, half);
                let name = &demo().muscles[muscle].name.value;
                assert!(at.is_some_and(|at| at <= 5), "{name} {half:?} point {point}, {kept:?} and {}: place {at:?}", extra.shown());
            }
        }
    }
    assert!(tried > 400, "{tried}");
}

fn mirrored(spot: Spot) -> Spot {
    Spot { half: spot.half.map(Half::other), ..spot }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn the_mirror_image_gives_the_mirror_image(marks in prop::collection::btree_map(prop::sample::select(Spot::all()), 1_u8..=3, 1..8)) {
        let draw = |turn: fn(Spot) -> Spot| {
            let mut drawing = Drawing::default();
            marks.iter().for_each(|(spot, s)| drawing.mark(turn(*spot), Strength::new(*s).unwrap()));
            find(demo(), &drawing)
        };
        let (plain, turned) = (draw(|s| s), draw(mirrored));
        let values = |found: &Found, other: bool| -> BTreeMap<(Idx<Muscle>, Half), (u64, u64)> {
            let half = |h: Half| if other { h.other() } else { h };
            found.candidates.iter().map(|c| ((c.muscle, half(c.half)), (c.similarity.value().to_bits(), c.marked.value().to_bits()))).collect()
        };
        prop_assert_eq!(values(&plain, false), values(&turned, true));
        // No flag of the demo pack is written for one side alone.
        let flags = |found: &Found| found.flags.iter().map(|f| f.flag).collect::<Vec<_>>();
        prop_assert_eq!(flags(&plain), flags(&turned));
        for c in &plain.candidates {
            for share in [c.similarity, c.covered, c.marked] {
                prop_assert!(share.value() > 0.0 && share.value() <= 1.0 || (share == c.marked && share.value() >= 0.0), "{c:?}");
            }
        }
    }
}

#[test]
fn look_alikes_are_mutual_and_share_core() {
    let facts = fascicle::compute::compute(demo(), common::TODAY);
    let mut pairs = 0;
    for (a, muscle) in demo().muscles.iter() {
        for (other, alike) in facts.chart.look_alikes(a) {
            assert!(alike.of_smaller >= 0.5 && alike.of_smaller <= 1.0 && other != a);
            assert!(facts.chart.look_alikes(other).contains(&(a, alike)), "{}", muscle.name.value);
            pairs += 1;
        }
    }
    assert!(pairs > 0, "no pair of the demo looks alike, so nothing was tested");
}

fn run(arguments: &[&str]) -> (i32, String, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_fascicle"));
    let output = command.current_dir(common::root()).env("FASCICLE_CACHE", "").arg("find").args(arguments).output().unwrap();
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (output.status.code().unwrap(), text(&output.stdout), text(&output.stderr))
}

const PACKS: [&str; 4] = ["--today", "2026-12-01", "--packs", PACK];

#[test]
fn the_command_puts_cautions_and_flags_before_muscles() {
    let (status, out, err) = run(&[&["neck-side left=3", "ear left", "heel right=1"], &PACKS[..]].concat());
    assert_eq!(status, 0, "{err}");
    let at = |words: &str| out.find(words).unwrap_or_else(|| panic!("{words} is missing\n{out}"));
    assert!(at("no diagnosis") < at("RED FLAGS") && at("RED FLAGS") < at("MUSCLES") && at("MUSCLES") < at("Bray"));
    assert!(at("Upper trapezius, left. Similarity") < at("Soleus, right. Similarity"));
    assert!(out.contains(fascicle::plan::words::USE_NOTE) && out.contains("Because of: ") && out.contains("stop, do not treat"));
}

#[test]
fn the_command_gives_data() {
    let (status, out, err) = run(&[&["heel left=2", "--format", "json"], &PACKS[..]].concat());
    assert_eq!(status, 0, "{err}");
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!((json["muscles"][0]["id"].as_str(), json["muscles"][0]["side"].as_str()), (Some("soleus"), Some("left")));
    assert_eq!(json["marks"][0]["strength"], 2);
    assert!(json["cautions"].as_array().unwrap().len() >= 4 && json["flags"][0]["question"].is_string());
}

#[test]
fn the_command_refuses_what_it_cannot_place_and_packs_with_errors() {
    let (status, _, err) = run(&[&["hele=2"], &PACKS[..]].concat());
    assert!(status == 2 && err.contains("did you mean `heel`?") && err.contains("\n  hele=2\n  ^^^^"), "{err}");
    let dir = tempfile::tempdir().unwrap();
    common::copy(&common::root().join("tests/checks/base"), dir.path()).unwrap();
    let flag =
        walkdir::WalkDir::new(dir.path().join("flags")).into_iter().filter_map(Result::ok).find(|e| e.file_type().is_file()).unwrap();
    std::fs::write(flag.path(), "id: [").unwrap();
    let (status, out, err) = run(&["heel", "--packs", dir.path().to_str().unwrap()]);
    assert!(status == 1 && out.is_empty() && err.contains("nothing was looked up"), "{status} {out}{err}");
}
