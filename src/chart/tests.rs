//! The shipped drawing keeps its promises, and a slip in a source is shown with its line.

use super::*;
use crate::model::region::{Tag, regions};
use geo::{BooleanOps, Distance, Euclidean, MultiPolygon, Point, Polygon, unary_union};
use std::collections::{BTreeMap, BTreeSet};

/// Area that counts as drawing error, cm2: a square of about 2 mm.
const SLIVER: f64 = 0.05;

fn source() -> &'static str {
    include_str!("body.svg")
}

/// Regions on both halves, so that a view is whole.
fn whole(view: &View) -> Vec<(RegionId, MultiPolygon)> {
    let mut all = Vec::new();
    for shape in &view.regions {
        all.push((shape.region, shape.shape.clone()));
        if view.mirror && regions().get(shape.region).paired {
            all.push((shape.region, mirrored(&shape.shape)));
        }
    }
    all
}

fn none(wrong: &[String]) {
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn the_shipped_chart_can_be_read() {
    let chart = parse(source()).unwrap_or_else(|e| panic!("{e}"));
    assert!(!chart.views.is_empty() && chart.height > 100.0);
}

#[test]
fn every_region_of_the_surface_is_drawn() {
    let drawn: BTreeSet<RegionId> = chart().views.iter().flat_map(|v| v.regions.iter().map(|s| s.region)).collect();
    let mut wrong = Vec::new();
    for id in regions().ids() {
        let region = regions().get(id);
        if region.tags.contains(&Tag::Internal) == drawn.contains(&id) {
            wrong.push(format!("{}: an inner region is not drawn, any other is", region.id));
        }
    }
    none(&wrong);
}

#[test]
fn regions_of_a_view_do_not_overlap() {
    let mut wrong = Vec::new();
    for view in &chart().views {
        let all = whole(view);
        for (i, (a, one)) in all.iter().enumerate() {
            for (b, two) in &all[i + 1..] {
                let area = one.intersection(two).unsigned_area();
                if area > SLIVER {
                    wrong.push(format!("{}: {} and {} share {area:.2} cm2", view.id.word(), name(*a), name(*b)));
                }
            }
        }
    }
    none(&wrong);
}

fn name(id: RegionId) -> &'static str {
    &regions().get(id).id
}

/// How often each arc of a view bounds a region.
fn uses(view: &View) -> BTreeMap<&str, usize> {
    let mut count: BTreeMap<&str, usize> = view.arcs.iter().map(|a| (a.id.as_str(), 0)).collect();
    for ring in source().split("data-ring=\"").skip(1).filter_map(|r| r.split('"').next()) {
        for arc in ring.split_whitespace() {
            if let Some(n) = count.get_mut(arc.trim_start_matches('-')) {
                *n += 1;
            }
        }
    }
    count
}

/// A seam with a region on each side and an edge with a region on one leave no gap, and no hole is left
/// between regions but one that the edge of the body runs round. Where a view of a hand or foot is cut
/// off, its last seam has a region on one side.
#[test]
fn regions_fill_the_body_to_its_edge() {
    let mut wrong = Vec::new();
    for view in &chart().views {
        let uses = uses(view);
        let cut_off = !matches!(view.id, ViewId::Front | ViewId::Back | ViewId::Side);
        for arc in &view.arcs {
            let used = uses.get(arc.id.as_str()).copied().unwrap_or(0);
            if used == 0 || used > 2 || (arc.stroke == Stroke::Seam && used != 2 && !cut_off) {
                wrong.push(format!("{}: {} bounds {used} regions", view.id.word(), arc.id));
            }
        }
        let polygons: Vec<Polygon> = whole(view).into_iter().flat_map(|(_, m)| m.0).collect();
        let covered = unary_union(&polygons);
        for hole in
            covered.0.iter().flat_map(Polygon::interiors).filter(|h| Polygon::new((*h).clone(), Vec::new()).unsigned_area() > SLIVER)
        {
            let free = hole.0.iter().all(|c| {
                let c = Point::new(if view.mirror { c.x.abs() } else { c.x }, c.y);
                view.arcs.iter().any(|a| a.stroke == Stroke::Outline && Euclidean.distance(&c, &a.line) < 0.02)
            });
            if !free {
                let at = hole.0.first().copied().unwrap_or_default();
                wrong.push(format!("{}: a hole near {:.1} {:.1}", view.id.word(), at.x, at.y));
            }
        }
    }
    none(&wrong);
}

#[test]
fn every_arc_lies_in_the_box_of_its_view() {
    let mut wrong = Vec::new();
    for view in &chart().views {
        let (least, most) = (view.bounds.min(), view.bounds.max());
        for arc in &view.arcs {
            if arc.line.0.iter().any(|c| c.x < least.x || c.x > most.x || c.y < least.y || c.y > most.y) {
                wrong.push(format!("{}: {} leaves the box", view.id.word(), arc.id));
            }
        }
    }
    none(&wrong);
}

/// Regions that share more than a node in a view are neighbours in the list.
#[test]
fn neighbours_in_the_drawing_are_neighbours_in_the_list() {
    let mut wrong = BTreeSet::new();
    for view in &chart().views {
        for (a, b) in view.neighbours() {
            if !regions().get(a).next.contains(&b) {
                wrong.insert(format!("{} - {} ({})", name(a), name(b), view.id.word()));
            }
        }
    }
    none(&wrong.into_iter().collect::<Vec<_>>());
}

#[test]
fn insets_lie_in_their_views() {
    for inset in &chart().insets {
        let view = chart().view(inset.of).unwrap_or_else(|| panic!("{}: its view is not drawn", inset.id));
        assert!(view.bounds.min().x <= inset.bounds.min().x && view.bounds.max().x >= inset.bounds.max().x, "{}", inset.id);
        assert!(view.bounds.min().y <= inset.bounds.min().y && view.bounds.max().y >= inset.bounds.max().y, "{}", inset.id);
    }
}

/// A front view of two squares at the midline and one beside them.
fn small(edit: (&str, &str)) -> Result<Chart, ChartError> {
    let text = r#"<svg xmlns="http://www.w3.org/2000/svg" data-height="170">
<g data-view="front" data-name="Front" data-mirror="yes" data-box="-10 0 20 20" transform="translate(50 3)">
<path id="a" class="outline" d="M0 0L4 0L4 4"/>
<path id="b" class="seam" d="M4 4L0 4"/>
<path id="c" class="outline" d="M4 4L4 8"/>
<path id="d" class="outline" d="M4 8L0 8"/>
<path class="detail" d="M1 1q1 1 2 0"/>
<path class="region" data-region="forehead" data-ring="a b"/>
<path class="region" data-region="cheek" data-ring="-b c d"/>
</g>
<rect data-inset="head" data-name="Head" data-of="front" x="-5" y="0" width="10" height="5"/>
</svg>"#;
    assert!(text.contains(edit.0));
    parse(&text.replacen(edit.0, edit.1, 1))
}

#[test]
fn a_midline_region_is_closed_by_its_mirror_image_and_a_paired_one_by_the_midline() {
    let chart = small(("", "")).unwrap();
    let view = chart.view(ViewId::Front).unwrap();
    let area = |word| view.shape(regions().find(word).unwrap()).unwrap().area;
    assert!((area("forehead") - 32.0).abs() < 1e-9 && (area("cheek") - 16.0).abs() < 1e-9);
    assert_eq!(view.shape(regions().find("forehead").unwrap()).unwrap().path, "M0 0L4 0L4 4L0 4L-4 4L-4 0L0 0Z");
    assert_eq!((view.origin, view.details[0].as_str()), ((50.0, 3.0), "M1 1Q2 2 3 1"));
    assert_eq!(chart.insets[0].of, ViewId::Front);
    let pair = (regions().find("forehead").unwrap(), regions().find("cheek").unwrap());
    let listed = view.neighbours();
    assert!(listed.contains(&pair) || listed.contains(&(pair.1, pair.0)), "{listed:?}");
}

#[test]
fn slips_in_the_source_are_shown_with_their_line() {
    for (edit, line, part) in [
        (("data-height=\"170\"", ""), 1, "`data-height` is missing"),
        (("data-view=\"front\"", "data-view=\"top\""), 2, "no view `top`"),
        (("data-box=\"-10 0 20 20\"", "data-box=\"-10 0\""), 2, "`data-box`"),
        (("data-box=\"-10 0 20 20\"", "data-box=\"-10 0 20 NaN\""), 2, "no number"),
        (("translate(50 3)", "rotate(50)"), 2, "translate"),
        (("M0 0L4 0L4 4", "M0 0l4 0L4 4"), 3, "only M, L and C"),
        (("id=\"b\"", "id=\"a\""), 4, "stands twice"),
        (("class=\"seam\"", "class=\"seem\""), 4, "no class `seem`"),
        (("forehead", "brow"), 8, "no region `brow`"),
        (("\"a b\"", "\"a x\""), 8, "no arc `x`"),
        (("\"a b\"", "\"a -b\""), 8, "starts at 0.00 4.00"),
        (("\"a b\"", "\"a\""), 8, "is open"),
        (("\"a b\"", "\"\""), 8, "is empty"),
        (("data-of=\"front\"", "data-of=\"back\" y2=\"0\""), 0, ""),
        (("</g>", ""), 12, ""),
    ] {
        match small(edit) {
            Err(e) => assert!(e.line == line && e.message.contains(part), "{edit:?}: {e}"),
            Ok(_) => assert_eq!(line, 0, "{edit:?} was read"),
        }
    }
}
