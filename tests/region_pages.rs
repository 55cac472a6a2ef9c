//! Every region has its page: red flags first, then what lies, refers and is treated there, and an empty
//! section says that it is empty.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking, and names its own files")]

mod common;

use fascicle::build::{Judged, judge};
use fascicle::chart::chart;
use fascicle::model::docs::Zone;
use fascicle::model::region::{RegionId, regions};
use fascicle::render::{Templates, render};
use std::collections::BTreeMap;

const DEMO: &str = "packs/millrace-course";

fn judged(pack: &std::path::Path) -> Judged {
    judge(&[pack.to_path_buf()], common::TODAY).unwrap()
}

/// Pages of regions by path, in plain text.
fn pages(judged: &Judged) -> BTreeMap<String, String> {
    let plan = fascicle::plan::plan(judged.catalog.as_ref().unwrap(), &judged.facts).unwrap();
    let built = render(&plan, Templates::shipped()).unwrap();
    let plain = |html: &str| html.replace("&#39;", "'").replace("&quot;", "\"").replace("&amp;", "&");
    built.iter().filter(|b| b.path.starts_with("regions/")).map(|b| (b.path.clone(), plain(b.text()))).collect()
}

fn demo() -> (Judged, BTreeMap<String, String>) {
    let judged = judged(&common::root().join(DEMO));
    let pages = pages(&judged);
    (judged, pages)
}

fn page<'a>(pages: &'a BTreeMap<String, String>, id: &str) -> &'a str {
    &pages[&format!("regions/{id}.html")]
}

/// What stands between the heading with this id and the next section.
fn section<'a>(html: &'a str, id: &str) -> &'a str {
    let from = html.find(&format!("<h2 id=\"{id}\"")).unwrap_or_else(|| panic!("no section {id}"));
    let rest = &html[from..];
    rest.find("<section aria-labelledby").map_or(rest, |to| &rest[..to])
}

fn holds(zone: &Zone, id: RegionId) -> bool {
    zone.core.all.iter().chain(&zone.spread.all).any(|p| p.region == id)
}

#[test]
fn every_region_has_a_page_and_a_row_of_the_overview_that_leads_to_it() {
    let (_, pages) = demo();
    assert_eq!(pages.len(), regions().ids().count() + 1);
    let overview = page(&pages, "index");
    for id in regions().ids() {
        let region = &regions().get(id).id;
        assert!(overview.contains(&format!("<li id=\"{region}\"><a class=\"main-link\" href=\"{region}.html\">")), "{region}");
        for next in &regions().get(id).next {
            assert!(section(page(&pages, region), "next").contains(&format!("href=\"{}.html\"", regions().get(*next).id)), "{region}");
        }
    }
}

#[test]
fn red_flags_stand_first_and_all_of_them() {
    let (judged, pages) = demo();
    let catalog = judged.catalog.as_ref().unwrap();
    for id in regions().ids() {
        let region = &regions().get(id).id;
        let html = page(&pages, region);
        let at = |id: &str| html.find(&format!("<h2 id=\"{id}\"")).unwrap();
        assert!(["hazards", "chart", "muscles", "zones", "protocols", "limits"].iter().all(|later| at("flags") < at(later)), "{region}");
        let mut count = 0;
        for flag in catalog.flags.rows().iter().filter(|f| f.regions.all.iter().any(|p| p.region == id)) {
            let asked = html.find(&*flag.question.value).unwrap_or_else(|| panic!("{region}: {}", flag.name.value));
            assert!(asked < at("hazards"), "{region}: {}", flag.name.value);
            count += 1;
        }
        assert_eq!(html.matches("data-flag=").count(), count, "{region}");
    }
}

#[test]
fn a_topic_that_no_red_flag_covers_is_named() {
    let dir = tempfile::tempdir().unwrap();
    common::copy(&common::root().join(DEMO), dir.path()).unwrap();
    std::fs::remove_file(dir.path().join("flags/neck-artery.yaml")).unwrap();
    let without = pages(&judged(dir.path()));
    let gap = "No red flag of this edition asks here about:";
    assert!(section(page(&without, "neck-side"), "flags").contains(gap));
    assert!(page(&without, "neck-side").contains("neck artery"));
    assert!(!section(page(&demo().1, "neck-side"), "flags").contains(gap));
}

#[test]
fn a_region_names_the_points_that_refer_to_it_and_no_others() {
    let (judged, pages) = demo();
    let muscles = &judged.catalog.as_ref().unwrap().muscles;
    let mut seen = 0;
    for muscle in muscles.rows() {
        for point in &muscle.points {
            let Some(zone) = point.zone.as_ref().filter(|z| z.drawn.is_empty()) else { continue };
            let link = format!("href=\"../muscles/{}.html#point-{}\"", muscle.head.id.value, point.number.value);
            for id in regions().ids() {
                let region = &regions().get(id).id;
                let zones = section(page(&pages, region), "zones");
                assert_eq!(zones.contains(&link), holds(zone, id), "{region}: {link}");
                assert!(zones.contains("It is no diagnosis"), "{region}");
                seen += usize::from(holds(zone, id));
            }
        }
    }
    assert!(seen > 10, "{seen}");
}

#[test]
fn muscles_lie_in_a_region_by_words_or_by_outline_with_the_share_that_it_covers() {
    let (judged, pages) = demo();
    let mut shares = 0;
    for (idx, muscle) in judged.catalog.as_ref().unwrap().muscles.iter() {
        let facts = judged.facts.chart.of(idx);
        for id in regions().ids() {
            let covered = facts.drawings.iter().flatten().filter(|c| c.place.region == id && c.counts());
            let named = muscle.regions.all.iter().any(|p| p.region == id);
            let region = &regions().get(id).id;
            let lies = section(page(&pages, region), "muscles");
            let link = format!("href=\"../muscles/{}.html\"", muscle.head.id.value);
            assert_eq!(lies.contains(&link), named || covered.clone().count() > 0, "{region}: {link}");
            for c in covered {
                shares += 1;
                let share = format!("about {}\u{a0}% of the region", (c.of_region * 100.0).round().max(1.0));
                assert!(lies.contains(&share), "{region}: {link}: {share}");
            }
        }
    }
    assert!(shares > 10, "{shares}");
}

#[test]
fn a_region_in_no_picture_says_so_and_every_other_is_drawn() {
    let (_, pages) = demo();
    let mut hidden = Vec::new();
    for id in regions().ids() {
        let region = &regions().get(id).id;
        let drawn = chart().views.iter().any(|v| v.shape(id).is_some());
        let place = section(page(&pages, region), "chart");
        assert_eq!(place.contains("class=\"c-place\""), drawn, "{region}");
        assert_eq!(place.contains("No picture of the body chart shows this region"), !drawn, "{region}");
        if !drawn {
            hidden.push(region.as_str());
        }
    }
    assert_eq!(hidden, ["inside-mouth", "pelvic-floor"]);
}

#[test]
fn an_empty_section_says_that_it_is_empty() {
    let (_, pages) = demo();
    let html = page(&pages, "pelvic-floor");
    for (id, words) in [
        ("muscles", "No muscle of this edition lies here."),
        ("zones", "No muscle of this edition refers pain here."),
        ("protocols", "No protocol of this edition treats here."),
    ] {
        assert!(section(html, id).contains(words), "{id}");
    }
}

#[test]
fn protocols_stand_where_their_steps_act_with_what_they_load() {
    let (judged, pages) = demo();
    let mut seen = 0;
    for (idx, protocol) in judged.catalog.as_ref().unwrap().protocols.iter() {
        let facts = judged.facts.of(idx);
        for id in regions().ids() {
            let acts = |s: &&fascicle::compute::steps::StepFacts| s.is_treatment() && s.places.iter().any(|p| p.region == id);
            let treats = section(page(&pages, &regions().get(id).id), "protocols");
            let link = format!("href=\"../protocols/{}.html\"", protocol.head.id.value);
            let line = treats.split("<li>").find(|l| l.contains(&link));
            let steps: Vec<_> = facts.steps.iter().chain(&facts.home).filter(acts).collect();
            assert_eq!(line.is_some(), !steps.is_empty(), "{}: {link}", regions().get(id).id);
            for load in steps.iter().flat_map(|s| &s.loads) {
                assert!(line.unwrap().to_lowercase().contains(load.stressor.word()), "{}: {}", regions().get(id).id, load.stressor.word());
                seen += 1;
            }
        }
    }
    assert!(seen > 10, "{seen}");
}

/// A part that is told apart from its neighbour is asked for the same red flags: between two flagged
/// regions no gap may open.
#[test]
fn a_part_is_asked_for_the_red_flags_of_the_region_beside_it() {
    let judged = judged(&common::root().join(DEMO));
    let catalog = judged.catalog.as_ref().unwrap();
    let flags = |id: &str| {
        let region = regions().find(id).unwrap();
        let covers = |f: &fascicle::model::docs::Flag| f.regions.all.iter().any(|p| p.region == region);
        catalog.flags.rows().iter().filter(|f| covers(f)).map(|f| f.name.value.to_string()).collect::<Vec<_>>()
    };
    let mut wrong = Vec::new();
    for (part, beside) in [
        ("shoulder-point", "shoulder-top"),
        ("above-blade-spine", "shoulder-top"),
        ("shoulder-cap-side", "shoulder-cap-front"),
        ("spine-neck", "neck-back"),
        ("behind-ear", "ear"),
        ("jaw-joint", "ear"),
        ("trochanter", "hip-side"),
        ("hip-front", "hip-side"),
        ("shin-muscle", "shin"),
        ("ball-of-foot", "sole"),
        ("thumb-ball", "palm"),
        ("little-finger-ball", "palm"),
    ] {
        let (own, other) = (flags(part), flags(beside));
        assert!(!other.is_empty(), "{beside}");
        wrong.extend(other.into_iter().filter(|f| !own.contains(f)).map(|f| format!("{part} lacks `{f}` of {beside}")));
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
