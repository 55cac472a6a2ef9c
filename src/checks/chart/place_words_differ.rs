//! Points whose words and whose place on the chart are different skin.

use super::{Marked, marked};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::quantity::number;
use crate::model::region::{Place, regions};

/// The check.
pub static CHECK: Check = Check {
    name: "place-words-differ",
    summary: "a palpation point is drawn away from the region that its words name",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("place_words_differ.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    marked(case).for_each(|m| one(&m, sink));
}

fn one(m: &Marked<'_>, sink: &mut Sink) {
    let Marked { muscle, point, mark, found } = *m;
    // Beside the body is a fault of its own.
    let (Some(place), Some(words)) = (found.place, point.region.written.first()) else { return };
    let agrees = match found.named {
        Some(distance) => distance <= mark.radius(),
        None => point.region.all.iter().any(|named| near(*named, place)),
    };
    if agrees {
        return;
    }
    let name = place.shown().to_lowercase();
    let away = found.named.map_or_else(
        || "which this view does not show".to_string(),
        |d| format!("which lies {} cm away", number((d * 10.0).round() / 10.0)),
    );
    let message =
        format!("point {} of {} is drawn over {name}, and its words say `{}`, {away}", point.number.value, muscle.name.value, words.value);
    sink.report(mark.at.span, name, message)
        .also(words.span, "the words")
        .note("Cautions, consent and stop-signs follow both; whoever reads one of them presses elsewhere.")
        .help(format!("correct the region or the point; `fascicle chart {}` shows it on a grid", muscle.head.id.value));
}

/// True if two places share a border on one side, or are the same.
fn near(named: Place, place: Place) -> bool {
    let borders = named.region == place.region || regions().get(named.region).next.contains(&place.region);
    borders && named.side.meets(place.side)
}
