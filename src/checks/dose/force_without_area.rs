//! Forces on the body without the area on which they act.

use super::item::items;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::mechanics::pressure::{ALGOMETER_TIP_M2, Contact};
use crate::finding::Level;
use crate::model::docs::DoseValue;
use crate::model::quantity::number;
use crate::model::unit::Dim;
use crate::model::vocabulary::Stressor;

/// The check.
pub static CHECK: Check = Check {
    name: "force-without-area",
    summary: "a step presses with a force and does not say on what area",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("force_without_area.md"),
};

/// A broad contact to set beside the tip, m2: a thumb pad as it is commonly taken; common practice, no source.
const THUMB_PAD_M2: f64 = 3e-4;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for item in items(case) {
        if !item.technique.has(Stressor::Pressure) && !item.technique.has(Stressor::Squeeze) {
            continue;
        }
        let amounts = item.dose.entries.iter().filter_map(|e| match &e.value {
            DoseValue::Amount(q) => Some((e, q)),
            _ => None,
        });
        let (mut force, mut area) = (None, false);
        for (entry, quantity) in amounts {
            match quantity.dim() {
                Dim::Force => force = force.or(Some((entry, quantity))),
                Dim::Area => area = true,
                _ => {}
            }
        }
        let (Some((entry, quantity)), false) = (force, area) else { continue };
        let kilopascals = |area: f64| Contact::of_force(quantity.base().hi, area).map(|c| number((c.pressure / 100.0).round() / 10.0));
        let message = format!("{} presses with {}, and says nothing of the area", item.name, quantity.shown());
        let finding = sink.report(entry.span, "on what area?", message);
        if let (Ok(tip), Ok(pad)) = (kilopascals(ALGOMETER_TIP_M2), kilopascals(THUMB_PAD_M2)) {
            finding.note(format!(
                "On a tip of 1 cm2 that is {tip} kPa; on a thumb pad taken as 3 cm2 (common practice, no source) it is {pad} kPa."
            ));
        }
        finding.help("add the contact area, for instance `area: 1 cm2`, or write a pressure");
    }
}
