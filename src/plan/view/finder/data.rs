//! What the script of the finder looks things up in: regions, zones and flags as short rows, and the figure.
//!
//! A place is the number of its region times 6 plus its side (same, other, left, right, both,
//! midline); a spot is the number of its region times 3 plus its side (midline, left, right).

use super::muscle_link;
use crate::compute::finder::{Half, Spot, flags, lies, unasked_anywhere, zones};
use crate::model::region::{Place, Side, regions};
use crate::plan::site::Site;
use crate::plan::words::capital;
use serde_json::{Value, json};

/// The data of the script as one value.
pub fn data(site: &Site<'_>) -> Value {
    let catalog = site.catalog;
    let list = regions();
    let zones = zones(catalog);
    let row = |muscle| zones.iter().position(|(m, _)| *m == muscle);
    let group = |id: &str| list.groups().iter().position(|g| g.id == id);
    let muscles = zones.iter().map(|(muscle, points)| {
        let link = muscle_link(site, *muscle);
        let points: Vec<Value> =
            points.iter().map(|(p, z)| json!([p.number.value, places(z.core.all.iter()), places(z.spread.all.iter())])).collect();
        let alike: Vec<usize> = site.facts.chart.look_alikes(*muscle).iter().filter_map(|(other, _)| row(*other)).collect();
        json!([&*catalog.muscles[*muscle].head.id.value, link.text, link.href, points, alike])
    });
    let under = lies(catalog, &site.facts.chart).into_iter().map(|(muscle, all)| {
        let link = muscle_link(site, muscle);
        json!([&*catalog.muscles[muscle].head.id.value, link.text, link.href, places(all.iter())])
    });
    let region = |id| {
        let r = list.get(id);
        json!([r.id, capital(&r.name), u8::from(r.paired), group(&r.group)])
    };
    let flag = |(_, f): (_, &crate::model::docs::Flag)| json!([&*f.head.id.value, places(f.regions.all.iter())]);
    let topic =
        |u: crate::compute::finder::Unasked| json!([u.topic.replace('-', " "), u.spots.iter().map(|s| spot(*s)).collect::<Vec<_>>()]);
    json!({
        "figure": super::figure::figure(),
        "regions": list.ids().map(region).collect::<Vec<_>>(),
        "groups": list.groups().iter().map(|g| capital(&g.name)).collect::<Vec<_>>(),
        "muscles": muscles.collect::<Vec<_>>(),
        "under": under.collect::<Vec<_>>(),
        "flags": flags(catalog).into_iter().map(flag).collect::<Vec<_>>(),
        "unasked": unasked_anywhere(catalog).into_iter().map(topic).collect::<Vec<_>>(),
    })
}

fn places<'a>(all: impl Iterator<Item = &'a Place>) -> Vec<u32> {
    let side = |s| match s {
        Side::Same => 0,
        Side::Other => 1,
        Side::Left => 2,
        Side::Right => 3,
        Side::Both => 4,
        Side::Midline => 5,
    };
    all.map(|p| u32::from(p.region.0) * 6 + side(p.side)).collect()
}

fn spot(spot: Spot) -> u32 {
    let side = spot.half.map_or(0, |half| if half == Half::Left { 1 } else { 2 });
    u32::from(spot.region.0) * 3 + side
}
