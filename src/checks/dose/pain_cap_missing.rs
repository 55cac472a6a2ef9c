//! Pressure, squeeze or end-range stretch without a cap on pain.

use super::item::items;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Exposes, Parameter, Technique};
use crate::model::unit::Dim;
use crate::model::vocabulary::Stressor;

/// The check.
pub static CHECK: Check = Check {
    name: "pain-cap-missing",
    summary: "pressure, squeeze or end-range stretch has no cap on pain, or the cap no scale",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("pain_cap_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for technique in case.catalog.techniques.rows() {
        technique.exposes.iter().filter(|e| needs_cap(e)).for_each(|e| judge(technique, e, sink));
    }
    for item in items(case) {
        let caps = item.technique.exposes.iter().filter(|e| needs_cap(e)).filter_map(|e| cap(item.technique, e).map(|p| (e, p)));
        for (exposes, parameter) in caps {
            let name = &parameter.name.value;
            if parameter.required || item.dose.entry(name).is_some() {
                continue;
            }
            let message = format!("{} gives {} without a cap on pain", item.name, exposes.stressor.word());
            sink.report(item.dose_at(), format!("no `{name}` here"), message)
                .also(parameter.name.span, "the cap of the technique; its steps may leave it out")
                .help(format!("add `{name}` to the dose, and set `required: true` in the technique"));
        }
    }
}

fn needs_cap(exposes: &Exposes) -> bool {
    matches!(exposes.stressor, Stressor::Pressure | Stressor::Squeeze | Stressor::Stretch)
}

/// The parameter that caps pain.
fn cap<'a>(technique: &'a Technique, exposes: &Exposes) -> Option<&'a Parameter> {
    technique.parameter(&exposes.peak.as_ref()?.value)
}

fn judge(technique: &Technique, exposes: &Exposes, sink: &mut Sink) {
    let (name, stressor) = (&technique.name.value, exposes.stressor.word());
    let Some(parameter) = cap(technique, exposes) else {
        let message = format!("{name} gives {stressor} without a cap on pain");
        sink.report(exposes.span, "no `peak` that leads to a parameter", message)
            .help("add `peak: pain`, and a parameter `pain` with its range and the meaning of 0 and 10");
        return;
    };
    let on_scale = parameter.allowed.as_ref().is_none_or(|a| a.value.dim() == Dim::Pain);
    if !on_scale || (parameter.allowed.is_none() && !parameter.words.is_empty()) {
        let message = format!("the cap of {name} for {stressor} is no number on the pain scale");
        sink.report(parameter.name.span, "not out of 10", message).help("write the range as a pain number, for instance `0-6/10`");
    } else if parameter.means.is_none() {
        let message = format!("the pain cap of {name} does not say what its numbers mean");
        sink.report(parameter.name.span, "no `means`", message).help("add `means` with the words for 0 and for 10");
    }
}
