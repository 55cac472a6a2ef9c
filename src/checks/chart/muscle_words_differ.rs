//! Muscles whose outline and whose words are different skin.

use crate::chart::chart;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::chart::MuscleFacts;
use crate::finding::Level;
use crate::model::docs::Muscle;
use crate::model::region::{Place, any_meets, parse_places};

/// The check.
pub static CHECK: Check = Check {
    name: "muscle-words-differ",
    summary: "the regions of a muscle in words and those that its outline covers differ",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("muscle_words_differ.md"),
};

/// Share of a region, and share of the outline, from which a region must be named. House practice of the tool.
const OF_REGION: f64 = 0.25;
const OF_OUTLINE: f64 = 0.1;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, muscle) in case.catalog.muscles.iter() {
        let facts = case.facts.chart.of(idx);
        unnamed(muscle, facts, sink);
        untouched(muscle, facts, sink);
    }
}

fn unnamed(muscle: &Muscle, facts: &MuscleFacts, sink: &mut Sink) {
    let mut told: Vec<Place> = Vec::new();
    for (drawing, covered) in muscle.chart.iter().zip(&facts.drawings) {
        for found in covered.iter().filter(|c| c.of_region >= OF_REGION && c.of_shape >= OF_OUTLINE) {
            if any_meets(&muscle.regions.all, &[found.place]) || told.contains(&found.place) {
                continue;
            }
            told.push(found.place);
            let (name, percent) = (found.place.shown().to_lowercase(), (found.of_region * 100.0).round());
            let message = format!("{} is drawn over {percent} % of {name}, and its words do not name it", muscle.name.value);
            let at = drawing.outline.as_ref().map_or(drawing.span, |o| o.span);
            let finding = sink.report(at, format!("covers {name}"), message);
            if let Some(words) = muscle.regions.written.first() {
                finding.also(words.span, "the words");
            }
            finding.help("name the region under `regions`, or draw the outline smaller");
        }
    }
}

fn untouched(muscle: &Muscle, facts: &MuscleFacts, sink: &mut Sink) {
    let touched: Vec<Place> = facts.drawings.iter().flatten().map(|c| c.place).collect();
    for written in &muscle.regions.written {
        let places = parse_places(&written.value).unwrap_or_default();
        let shown = muscle.chart.iter().filter(|d| d.outline.is_some()).find(|d| {
            let view = chart().view(d.view.value);
            view.is_some_and(|v| places.iter().any(|p| v.shape(p.region).is_some()))
        });
        let Some(drawing) = shown.filter(|_| !any_meets(&places, &touched)) else { continue };
        let message = format!("{} names `{}`, and no outline of it touches that region", muscle.name.value, written.value);
        let finding = sink.report(written.span, "not in the drawing", message);
        if let Some(outline) = &drawing.outline {
            finding.also(outline.span, "this view shows the region");
        }
        finding.help("draw the muscle there, or take the word out");
    }
}
