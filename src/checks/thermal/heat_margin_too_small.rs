//! Heat that lies too close to, or beyond, the modelled safe time.

use super::{Warmed, names, warmed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::thermal::facts::Thermal;
use crate::compute::thermal::spoken::{degrees, safe, time};
use crate::finding::Level;
use crate::model::Idx;
use crate::model::docs::{HouseNumber, Protocol};
use crate::model::interval::exceeds;
use crate::model::quantity::number;
use crate::model::region::{Place, any_meets};
use crate::source::Span;
use std::collections::BTreeSet;

/// The check.
pub static CHECK: Check = Check {
    name: "heat-margin-too-small",
    summary: "heat lies longer than the modelled safe time, less the house factor, allows",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("heat_margin_too_small.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let all = warmed(case);
    for step in &all {
        if let Some((thermal, most)) = over(step) {
            report(step, thermal, most, sink);
        }
    }
    for (own, protocol) in case.catalog.protocols.iter() {
        let factor = &case.pack(&protocol.head).thermal.heat_factor;
        for sum in sums(&shares(&all, &[own]), factor) {
            report_sum(&sum, sum.last.at, "added to the heat before it", factor, sink);
        }
    }
    for session in case.catalog.sessions.rows() {
        let factor = &case.pack(&session.head).thermal.heat_factor;
        let (spans, parts): (Vec<Span>, Vec<Idx<Protocol>>) = session.protocols.iter().filter_map(|r| Some((r.span(), r.to?))).unzip();
        for sum in sums(&shares(&all, &parts), factor).into_iter().filter(|s| s.needs_several(factor)) {
            let at = spans.get(sum.last.part).copied().unwrap_or(session.title.span);
            report_sum(&sum, at, "together with the protocols before it", factor, sink);
        }
    }
}

/// One application of heat in an appointment: in which of its protocols, and the share of the safe time
/// that it uses. A step whose safe time the search did not find uses too little to count.
#[derive(Clone, Copy, PartialEq)]
struct Share<'a> {
    part: usize,
    at: Span,
    places: &'a [Place],
    used: f64,
}

fn shares<'a>(all: &[Warmed<'a>], parts: &[Idx<Protocol>]) -> Vec<Share<'a>> {
    let mut out = Vec::new();
    for (part, protocol) in parts.iter().enumerate() {
        for step in all.iter().filter(|w| w.item.protocol == *protocol && w.item.home.is_none()) {
            let thermal = step.item.facts.thermal.as_ref().filter(|t| t.exposure.scenario.is_heat());
            if let Some(used) = thermal.map(|t| t.exposure.share()) {
                out.push(Share { part, at: step.item.at, places: &step.item.facts.places, used });
            }
        }
    }
    out
}

/// Applications of heat that together use too much of the safe time on the same places.
struct Sum<'a> {
    places: Vec<Place>,
    shares: Vec<Share<'a>>,
    last: Share<'a>,
}

impl Sum<'_> {
    /// True if no protocol of the appointment uses too much by itself.
    fn needs_several(&self, factor: &HouseNumber) -> bool {
        let of = |part: usize| self.shares.iter().filter(|s| s.part == part).map(|s| s.used).sum::<f64>();
        self.shares.iter().all(|s| !exceeds(of(s.part), 1.0 / factor.value))
    }
}

/// Sums that pass what the factor leaves, although no single application does.
fn sums<'a>(shares: &[Share<'a>], factor: &HouseNumber) -> Vec<Sum<'a>> {
    let most = 1.0 / factor.value;
    let mut out: Vec<Sum<'a>> = Vec::new();
    for place in shares.iter().flat_map(|s| s.places).collect::<BTreeSet<_>>() {
        let here: Vec<Share<'a>> = shares.iter().filter(|s| any_meets(s.places, &[*place])).copied().collect();
        if !exceeds(here.iter().map(|s| s.used).sum(), most) || here.iter().any(|s| exceeds(s.used, most)) {
            continue;
        }
        match (out.iter_mut().find(|s| s.shares == here), here.last().copied()) {
            (Some(sum), _) => sum.places.push(*place),
            (None, Some(last)) => out.push(Sum { places: vec![*place], shares: here, last }),
            (None, None) => {}
        }
    }
    out
}

fn report_sum(sum: &Sum<'_>, at: Span, label: &str, factor: &HouseNumber, sink: &mut Sink) {
    let each: Vec<String> = sum.shares.iter().map(|s| hundredth(s.used)).collect();
    let message = format!(
        "heat lies on {} more than once: {} is {} of the safe time, and {} asks for a factor of {}",
        names(&sum.places),
        each.join(" + "),
        hundredth(sum.shares.iter().map(|s| s.used).sum()),
        factor.whose(),
        factor.shown(),
    );
    let finding = sink.report(at, label, message);
    for share in sum.shares.iter().filter(|s| s.at != at) {
        finding.also(share.at, format!("{} of the safe time", hundredth(share.used)));
    }
    if let Some(at) = factor.stated {
        finding.also(at, "the house factor");
    }
    finding
        .note("Each application is computed from skin at rest; skin that is still warm from the one before it gets hotter.")
        .help(format!("stay below {} together: shorten the applications, or leave one out", hundredth(1.0 / factor.value)));
}

fn hundredth(share: f64) -> String {
    number((share * 100.0).round() / 100.0)
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
    let used = e.used().map_or_else(|| "less than all".into(), hundredth);
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
