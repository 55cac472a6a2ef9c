//! Points that nobody finds twice: landmark, direction, distance or depth is missing.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Catalog;
use crate::model::docs::Point;
use crate::source::Text;

/// The check.
pub static CHECK: Check = Check {
    name: "landmark-wording-incomplete",
    summary: "the words for a point lack landmark, direction, distance or depth",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("landmark_wording_incomplete.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for muscle in case.catalog.muscles.rows() {
        for point in &muscle.points {
            let missing = missing(case.catalog, point);
            if missing.is_empty() {
                continue;
            }
            let list = missing.join(", ");
            let message = format!("the landmark wording of point {} of {} lacks {list}", point.number.value, muscle.name.value);
            let keys = missing.iter().map(|m| format!("`{m}:`")).collect::<Vec<_>>().join(", ");
            sink.report(point.landmark_at, format!("no {list}"), message).help(format!("add {keys} under `landmark:` of the point"));
        }
    }
}

fn missing(catalog: &Catalog, point: &Point) -> Vec<&'static str> {
    let said = |text: &Option<Text>| text.as_ref().is_some_and(|t| !t.value.trim().is_empty());
    // An unreadable distance was reported.
    let unreadable = || catalog.wordings.iter().any(|w| &*w.key == "distance" && point.landmark_at.contains(w.text.span));
    let stated = [
        ("from", said(&point.from)),
        ("direction", said(&point.direction)),
        ("distance", point.distance.is_some() || unreadable()),
        ("depth", said(&point.depth)),
    ];
    stated.into_iter().filter(|(_, is)| !is).map(|(key, _)| key).collect()
}
