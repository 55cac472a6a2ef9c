//! Heat that lies too close to, or beyond, the modelled safe time.

use super::{Warmed, warmed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::thermal::facts::Thermal;
use crate::compute::thermal::spoken::{degrees, safe, time};
use crate::finding::Level;
use crate::model::interval::exceeds;
use crate::model::quantity::number;

/// The check.
pub static CHECK: Check = Check {
    name: "heat-margin-too-small",
    summary: "heat lies longer than the modelled safe time, less the house factor, allows",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("heat_margin_too_small.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for step in &warmed(case) {
        if let Some((thermal, most)) = over(step) {
            report(step, thermal, most, sink);
        }
    }
}

/// The exposure of a step that lies too long, and the longest time in s that the house factor leaves.
pub(super) fn over<'a>(step: &Warmed<'a>) -> Option<(&'a Thermal, f64)> {
    let thermal = step.item.facts.thermal.as_ref().filter(|t| t.exposure.scenario.is_heat())?;
    let most = thermal.exposure.worst().safe.unwrap_or(thermal.exposure.scenario.searched()) / step.house().heat_factor.value;
    exceeds(thermal.exposure.scenario.lasts(), most).then_some((thermal, most))
}

fn report(step: &Warmed<'_>, thermal: &Thermal, most: f64, sink: &mut Sink) {
    let (item, e, factor) = (&step.item, &thermal.exposure, &step.house().heat_factor);
    let worst = e.worst();
    let lies = time(e.scenario.lasts());
    let used = e.used().map_or_else(String::new, |u| number((u * 100.0).round() / 100.0));
    let message = format!(
        "{} brings skin to {} in the model: {lies} is {used} of the safe time of {}, and {} asks for a factor of {}",
        item.name,
        degrees(worst.skin_max),
        safe(e, worst),
        factor.whose(),
        factor.shown(),
    );
    let finding = sink.report(item.entry_at("time"), format!("{lies} at most"), message);
    for name in ["source", "layers"] {
        if let Some(entry) = item.dose.entry(name) {
            finding.also(entry.span, if name == "source" { "the hottest counts" } else { "the fewest count" });
        }
    }
    if let Some(at) = factor.stated {
        finding.also(at, "the house factor");
    }
    finding.note(format!(
        "Skin is above 43 °C for {}; the burn integral is {:.3} of 0.53. Without blood flow in the skin, the worst of the three ways that are computed.",
        time(worst.above_43),
        worst.burn,
    ));
    if !thermal.beyond.is_empty() {
        let why: Vec<&str> = thermal.beyond.iter().map(|b| b.words()).collect();
        finding.note(format!("The numbers are for healthy adult skin, and {}.", why.join("; ")));
    }
    let minutes = (most / 60.0).floor();
    finding.help(if minutes >= 1.0 {
        format!("at most {} min under these layers, or more layers, or a cooler source", number(minutes))
    } else {
        "more layers, or a cooler source".to_string()
    });
}
