//! The figure as data for the script: paths of each view once, and the pictures that are made of them.

use crate::chart::{Stroke, View, chart};
use crate::compute::finder::Half;
use crate::model::chart::ViewId;
use crate::model::region::{RegionId, regions};
use crate::plan::site::Site;
use crate::plan::view::parts::Link;
use crate::plan::words::capital;
use geo::{Intersects, Rect};
use serde::Serialize;
use serde_json::{Map, Value, json};

/// Part of a region's box that must lie inside a window for the region to be offered there.
const INSIDE: f64 = 0.35;

/// Views and pictures; `None` if there is no drawing.
pub fn figure() -> Option<Value> {
    let chart = chart();
    if chart.views.is_empty() {
        return None;
    }
    let views: Map<String, Value> = chart.views.iter().map(|v| (v.id.word().to_string(), view(v))).collect();
    Some(json!({ "views": views, "pictures": pictures() }))
}

/// A picture whose regions lead to their pages: what there is without script.
#[derive(Debug, Serialize)]
pub struct Plain {
    /// Name.
    pub name: String,
    /// Word of the view.
    pub view: &'static str,
    /// Left, top, width, height, cm.
    pub window: [f64; 4],
    /// True if the other half is the mirror image.
    pub mirror: bool,
    /// Regions.
    pub regions: Vec<PlainRegion>,
}

/// A region of it.
#[derive(Debug, Serialize)]
pub struct PlainRegion {
    /// Page of the region.
    pub link: Link,
    /// Path data.
    pub path: String,
}

/// Pictures of the whole body.
pub fn plain(site: &Site<'_>) -> Vec<Plain> {
    let whole = chart().views.iter().filter(|v| matches!(v.id, ViewId::Front | ViewId::Back));
    let region = |s: &crate::chart::Shape| PlainRegion { link: crate::plan::view::region::link(site, s.region), path: s.path.clone() };
    let picture = |v: &View| Plain {
        name: v.name.clone(),
        view: v.id.word(),
        window: [v.bounds.min().x, v.bounds.min().y, v.bounds.width(), v.bounds.height()],
        mirror: v.mirror,
        regions: v.regions.iter().map(region).collect(),
    };
    whole.map(picture).collect()
}

fn view(view: &View) -> Value {
    let edge: String = view.arcs.iter().filter(|a| a.stroke == Stroke::Outline).map(|a| a.path.as_str()).collect();
    let shape = |s: &crate::chart::Shape| {
        let centre = s.bounds.center();
        let paired = u8::from(regions().get(s.region).paired);
        json!([s.region.0, s.path, tenth(centre.x), tenth(centre.y), paired])
    };
    json!({
        "mirror": view.mirror,
        "edge": edge,
        "detail": view.details.concat(),
        "regions": view.regions.iter().map(shape).collect::<Vec<_>>(),
    })
}

fn tenth(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

/// Which pictures stand together under one choice.
fn group(view: ViewId, inset: bool) -> &'static str {
    match view {
        _ if inset => "Head and neck",
        ViewId::Front | ViewId::Back => "Whole body",
        ViewId::Side => "From the side",
        ViewId::Palm | ViewId::HandBack => "Hands",
        ViewId::Sole | ViewId::FootTop | ViewId::FootInner => "Feet",
    }
}

/// True if the picture of this half is the mirror image of the drawing, so that it looks as an
/// onlooker sees that half. A drawing that holds both halves is never turned.
fn flipped(view: ViewId, half: Half) -> bool {
    !matches!(view, ViewId::Front | ViewId::Back) && (half == Half::Right) == view.turned_on_the_right()
}

/// Seen from the front, a person's right stands at the left of the picture.
fn right_first(view: ViewId) -> bool {
    matches!(view, ViewId::Palm | ViewId::FootTop)
}

fn pictures() -> Vec<Value> {
    let mut out = Vec::new();
    let mut add = |v: &View, inset: Option<&crate::chart::Inset>| {
        let (id, name, window) = inset.map_or((v.id.word(), &v.name, v.bounds), |i| (i.id.as_str(), &i.name, i.bounds));
        let only = inset.map(|i| v.regions.iter().filter(|s| shown_in(s.bounds, i.bounds)).map(|s| s.region.0).collect::<Vec<_>>());
        // On the front the person's left is at the right of the picture, on the back at the left.
        let halves: &[Half] = match (v.mirror, v.id) {
            (true, ViewId::Back) => &[Half::Right],
            (true, _) => &[Half::Left],
            (false, _) if right_first(v.id) => &[Half::Right, Half::Left],
            _ => &Half::BOTH,
        };
        for half in halves {
            let (id, name) = if v.mirror {
                (id.to_string(), name.clone())
            } else {
                (format!("{id}-{}", half.word()), format!("{name}, {}", half.word()))
            };
            out.push(json!({
                "id": id,
                "name": name,
                "note": note(v),
                "view": v.id.word(),
                "group": group(v.id, inset.is_some()),
                "half": if *half == Half::Left { 1 } else { 2 },
                "flip": flipped(v.id, *half),
                "box": [window.min().x, window.min().y, window.width(), window.height()],
                "only": only,
            }));
        }
    };
    let chart = chart();
    chart.views.iter().for_each(|v| add(v, None));
    for inset in &chart.insets {
        chart.view(inset.of).into_iter().for_each(|v| add(v, Some(inset)));
    }
    out
}

fn note(view: &View) -> Option<&'static str> {
    match view.id {
        ViewId::Front => Some("The person's left is on your right."),
        ViewId::Back => Some("The person's left is on your left."),
        ViewId::Palm | ViewId::FootTop => Some("Seen from the front: the right one is on your left."),
        ViewId::HandBack | ViewId::Sole => Some("Seen from behind: the left one is on your left."),
        ViewId::Side | ViewId::FootInner => None,
    }
}

fn shown_in(region: Rect, window: Rect) -> bool {
    // A region of both halves reaches as far to the other side.
    let overlap = |a: (f64, f64), b: (f64, f64)| (a.1.min(b.1) - a.0.max(b.0)).max(0.0);
    let wide = overlap((region.min().x, region.max().x), (window.min().x, window.max().x));
    let high = overlap((region.min().y, region.max().y), (window.min().y, window.max().y));
    region.intersects(&window) && wide * high >= INSIDE * region.width() * region.height()
}

/// Names of regions that no picture shows, for the page: they can be marked in the list.
pub fn not_drawn() -> Vec<String> {
    let drawn = |id: RegionId| chart().views.iter().any(|v| v.shape(id).is_some());
    regions().ids().filter(|id| !drawn(*id)).map(|id| capital(&regions().get(id).name)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_half_looks_as_an_onlooker_sees_it() {
        // Facing a person whose palms face forwards, fingers down: the left thumb points to the onlooker's right.
        assert!(!flipped(ViewId::Palm, Half::Left) && flipped(ViewId::HandBack, Half::Left));
        // A left profile faces left; the inner side of the left foot is seen with the toes to the right.
        assert!(flipped(ViewId::Side, Half::Left) && !flipped(ViewId::FootInner, Half::Left));
        for view in [ViewId::Side, ViewId::Palm, ViewId::HandBack, ViewId::Sole, ViewId::FootTop, ViewId::FootInner] {
            assert_ne!(flipped(view, Half::Left), flipped(view, Half::Right), "{view:?}");
        }
    }

    #[test]
    fn every_drawn_region_can_be_marked_on_both_halves() {
        let pictures = pictures();
        for view in &chart().views {
            let halves: Vec<u64> =
                pictures.iter().filter(|p| p["view"] == view.id.word() && p["only"].is_null()).filter_map(|p| p["half"].as_u64()).collect();
            assert!(
                if view.mirror { halves.len() == 1 } else { halves == if right_first(view.id) { [2, 1] } else { [1, 2] } },
                "{:?}: {halves:?}",
                view.id
            );
        }
    }
}
