//! Checks of the area "chart": geometry on the body chart, and words that must agree with it.

use super::{Case, Check};
use crate::compute::chart::MarkFacts;
use crate::compute::chart::sweep::SweepFacts;
use crate::model::chart::ViewId;
use crate::model::docs::{Muscle, MuscleDrawing, Point, PointMark, Step, StepSweep, SweepFrom, SweepRule};

mod chart_text_missing;
mod coordinates_off_chart;
mod coordinates_unreadable;
mod depth_not_credible;
mod drawn_twice;
mod fibre_direction_missing;
mod look_alike_zones;
mod muscle_not_drawn;
mod muscle_words_differ;
mod outline_crosses_itself;
mod place_words_differ;
mod point_in_hazard;
mod point_outside_muscle;
mod sweep_direction_conflict;
mod sweep_over_spared_skin;
mod sweep_path_incomplete;
mod zone_as_diagnosis;
mod zone_side_flips;
mod zone_words_differ;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &chart_text_missing::CHECK,
    &coordinates_off_chart::CHECK,
    &coordinates_unreadable::CHECK,
    &depth_not_credible::CHECK,
    &drawn_twice::CHECK,
    &fibre_direction_missing::CHECK,
    &look_alike_zones::CHECK,
    &muscle_not_drawn::CHECK,
    &muscle_words_differ::CHECK,
    &outline_crosses_itself::CHECK,
    &place_words_differ::CHECK,
    &point_in_hazard::CHECK,
    &point_outside_muscle::CHECK,
    &sweep_direction_conflict::CHECK,
    &sweep_over_spared_skin::CHECK,
    &sweep_path_incomplete::CHECK,
    &zone_as_diagnosis::CHECK,
    &zone_side_flips::CHECK,
    &zone_words_differ::CHECK,
];

/// A point as it is drawn in one view.
struct Marked<'a> {
    muscle: &'a Muscle,
    point: &'a Point,
    mark: &'a PointMark,
    found: &'a MarkFacts,
}

fn marked<'a>(case: &'a Case<'_>) -> impl Iterator<Item = Marked<'a>> {
    case.catalog.muscles.iter().flat_map(|(idx, muscle)| {
        let points = muscle.points.iter().zip(&case.facts.chart.of(idx).points);
        points.flat_map(move |(point, facts)| {
            point.chart.iter().zip(&facts.marks).map(move |(mark, found)| Marked { muscle, point, mark, found })
        })
    })
}

/// True if a muscle that is drawn shows nothing of this kind in a view of the whole body, and no other finding says why.
fn blind(muscle: &Muscle, view: ViewId, shows: impl Fn(&MuscleDrawing) -> bool) -> bool {
    let unread = |d: &MuscleDrawing| d.view.value == view && d.unread;
    let seen = muscle.chart.iter().any(|d| unread(d) || (d.view.value == view && shows(d)));
    view.whole_body() && !muscle.chart.is_empty() && !seen
}

/// A step that moves along drawn lines.
struct Swept<'a> {
    muscle: &'a Muscle,
    step: &'a Step,
    sweep: &'a StepSweep,
    facts: &'a SweepFacts,
    rule: Option<&'a SweepRule>,
}

impl Swept<'_> {
    fn number(&self) -> u32 {
        self.step.number.value
    }

    /// Where each line starts: as the step says, or else the technique.
    fn from(&self) -> Option<SweepFrom> {
        let rule = || self.rule.map(|r| r.from.value);
        self.sweep.from.as_ref().map(|f| f.value).or_else(rule).filter(|f| *f != SweepFrom::Either)
    }
}

fn swept<'a>(case: &'a Case<'_>) -> Vec<Swept<'a>> {
    let mut out = Vec::new();
    for (idx, protocol) in case.catalog.protocols.iter() {
        let Some(muscle) = protocol.muscle.to.map(|m| &case.catalog.muscles[m]) else { continue };
        for (step, facts) in protocol.steps.iter().zip(&case.facts.of(idx).steps) {
            if let (Some(sweep), Some(facts)) = (&step.sweep, &facts.sweep) {
                let rule = step.technique.to.and_then(|t| case.catalog.techniques[t].sweep.as_ref());
                out.push(Swept { muscle, step, sweep, facts, rule });
            }
        }
    }
    out
}
