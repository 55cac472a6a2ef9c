//! Skin above 43 degC for longer than the house allows.

use super::{heat_margin_too_small, warmed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::thermal::spoken::{degrees, time};
use crate::finding::Level;
use crate::model::interval::exceeds;

/// The check.
pub static CHECK: Check = Check {
    name: "time-above-43",
    summary: "skin is above 43 °C for longer than the limit",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("time_above_43.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for step in &warmed(case) {
        let (item, limit) = (&step.item, &step.house().above_43);
        let Some(thermal) = item.facts.thermal.as_ref().filter(|_| heat_margin_too_small::over(step).is_none()) else { continue };
        let longest = thermal.exposure.modes.iter().max_by(|a, b| a.above_43.total_cmp(&b.above_43));
        let Some(worst) = longest.filter(|o| exceeds(o.above_43, limit.value)) else { continue };
        let above = time(worst.above_43);
        let peak = degrees(worst.skin_max);
        let message = format!(
            "{} keeps skin above 43 °C for {above} in the model (peak {peak}), and {} is {}",
            item.name,
            limit.whose(),
            limit.shown()
        );
        let finding = sink.report(item.entry_at("time"), format!("{above} above 43 °C"), message);
        if let Some(at) = limit.stated {
            finding.also(at, "the house limit");
        }
        finding.help("shorten the time, add a layer or start cooler");
    }
}
