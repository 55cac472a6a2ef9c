//! Zones on the other side of the body that stand on no source.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Zone;
use crate::model::region::{Place, Side};
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "zone-side-flips",
    summary: "a pain zone lies on the other side and no source is cited for it",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("zone_side_flips.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, muscle) in case.catalog.muscles.iter() {
        for (point, facts) in muscle.points.iter().zip(&case.facts.chart.of(idx).points) {
            let Some(zone) = point.zone.as_ref().filter(|z| z.ground.cites.is_empty()) else { continue };
            let drawn = facts.zone.iter().flat_map(|a| a.drawn_core.keys().chain(a.drawn_spread.keys()));
            let words = zone.core.all.iter().chain(&zone.spread.all);
            let Some(place) = words.chain(drawn).find(|p| flips(p.side)) else { continue };
            let message =
                format!("the pain zone of point {} of {} reaches {}", point.number.value, muscle.name.value, place.shown().to_lowercase());
            sink.report(at(zone, *place), "not the treated side", message)
                .note("A zone on the other side is usually a slip: a point at x < 0, or a word too many.")
                .help("correct the side, or cite the source that reports it");
        }
    }
}

/// A side that is not, or need not be, the treated one.
fn flips(side: Side) -> bool {
    matches!(side, Side::Other | Side::Left | Side::Right | Side::Both)
}

/// The word, or the first drawing of the zone.
fn at(zone: &Zone, place: Place) -> Span {
    let words = zone.core.written.iter().chain(&zone.spread.written);
    let word = words.filter(|w| crate::model::region::parse_places(&w.value).is_ok_and(|p| p.contains(&place))).map(|w| w.span).next();
    let negative = |o: &&crate::model::chart::Outline| o.points.iter().any(|p| p.value.x < 0.0);
    let drawn = || zone.drawn.iter().flat_map(|d| d.core.iter().chain(&d.spread)).find(negative).map(|o| o.span);
    word.or_else(drawn).unwrap_or(zone.span)
}
