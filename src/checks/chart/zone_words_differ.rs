//! Zones whose words and drawing name different regions.

use crate::chart::chart;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::chart::zone::Areas;
use crate::finding::Level;
use crate::model::docs::{Places, Zone};
use crate::model::region::{Place, any_meets};
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "zone-words-differ",
    summary: "the regions in words and the regions that the drawn zone covers differ",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("zone_words_differ.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, muscle) in case.catalog.muscles.iter() {
        for (point, facts) in muscle.points.iter().zip(&case.facts.chart.of(idx).points) {
            let (Some(zone), Some(areas)) = (&point.zone, &facts.zone) else { continue };
            let of = format!("of point {} of {}", point.number.value, muscle.name.value);
            let core = Part { what: "core", words: &zone.core, also: None, drawn: &areas.drawn_core, zone };
            let spread = Part { what: "spread", words: &zone.spread, also: Some(&zone.core), drawn: &areas.drawn_spread, zone };
            core.compare(&of, sink);
            spread.compare(&of, sink);
        }
    }
}

/// Core or spread of a zone, in words and as drawn.
struct Part<'a> {
    what: &'static str,
    words: &'a Places,
    /// Words that a drawing of this part may cover too.
    also: Option<&'a Places>,
    drawn: &'a Areas,
    zone: &'a Zone,
}

impl Part<'_> {
    fn outlines(&self) -> impl Iterator<Item = (crate::model::chart::ViewId, Span)> {
        let core = self.what == "core";
        self.zone.drawn.iter().flat_map(move |d| (if core { &d.core } else { &d.spread }).iter().map(|o| (d.view.value, o.span)))
    }

    fn compare(&self, of: &str, sink: &mut Sink) {
        let Some((_, at)) = self.outlines().next() else { return };
        // Words that are missing altogether are a fault of their own.
        if self.words.written.is_empty() {
            return;
        }
        for place in self.drawn.keys() {
            let known = self.words.all.iter().chain(self.also.iter().flat_map(|a| &a.all)).any(|w| w.meets(*place));
            if !known {
                let name = place.shown().to_lowercase();
                let message = format!("the drawn {} {of} covers {name}, and the words do not name it", self.what);
                let finding = sink.report(at, format!("covers {name}"), message);
                finding.also(self.zone.span, "the words");
                finding.help("name the region, or draw the outline smaller");
            }
        }
        for written in &self.words.written {
            let places = crate::model::region::parse_places(&written.value).unwrap_or_default();
            let drawn: Vec<Place> = self.drawn.keys().copied().collect();
            if places.iter().any(|p| self.shown(*p)) && !any_meets(&places, &drawn) {
                let message = format!("the {} {of} names `{}`, and the drawing leaves it out", self.what, written.value);
                sink.report(written.span, "not in the drawing", message)
                    .also(at, format!("the drawn {}", self.what))
                    .help("draw it in a view that shows it, or take the word out");
            }
        }
    }

    /// True if a view in which this part is drawn shows the place.
    fn shown(&self, place: Place) -> bool {
        self.outlines().any(|(view, _)| chart().view(view).is_some_and(|v| v.shape(place.region).is_some()))
    }
}
