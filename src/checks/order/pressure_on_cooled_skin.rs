//! Pressure or squeeze on skin that an earlier cold step has made numb.

use super::{named, time};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::ProtocolFacts;
use crate::compute::numb::{At, NumbPress, pressed_while_numb};
use crate::finding::{Finding, Level};
use crate::model::docs::{Protocol, Step};
use crate::model::{Catalog, Idx};
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "pressure-on-cooled-skin",
    summary: "a step presses skin that is still numb from cold",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("pressure_on_cooled_skin.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        for hit in pressed_while_numb(&[case.facts.of(idx)]) {
            if let (Some(cold), Some(press)) = (protocol.steps.get(hit.cold.step), protocol.steps.get(hit.press.step)) {
                let message = message(&hit, &named(press), &named(cold));
                let finding = sink.report(press.action.span, "pressed while the skin is numb", message);
                explain(finding, case.catalog, &hit, cold);
                finding.help(format!("move {} before {}, or put {} between them", named(press), named(cold), time(hit.window)));
            }
        }
    }
    for session in case.catalog.sessions.rows() {
        let parts: Vec<(Span, Idx<Protocol>)> = session.protocols.iter().filter_map(|r| Some((r.span(), r.to?))).collect();
        let facts: Vec<&ProtocolFacts> = parts.iter().map(|(_, p)| case.facts.of(*p)).collect();
        for hit in pressed_while_numb(&facts).into_iter().filter(|h| h.cold.part != h.press.part) {
            between_protocols(case.catalog, &parts, &hit, sink);
        }
    }
}

fn between_protocols(catalog: &Catalog, parts: &[(Span, Idx<Protocol>)], hit: &NumbPress, sink: &mut Sink) {
    let find = |at: At| {
        let (span, protocol) = parts.get(at.part)?;
        let protocol = &catalog.protocols[*protocol];
        Some((*span, protocol, protocol.steps.get(at.step)?))
    };
    let (Some((first, cools, cold)), Some((second, presses, press))) = (find(hit.cold), find(hit.press)) else { return };
    let (cools, presses) = (&cools.head.id.value, &presses.head.id.value);
    let message = message(hit, &format!("{} of {presses}", named(press)), &format!("{} of {cools}", named(cold)));
    let finding = sink.report(second, "presses while the skin is numb", message);
    finding.also(first, "cools the skin first").also(press.action.span, "the pressing");
    explain(finding, catalog, hit, cold);
    finding.help(format!("put `{presses}` before `{cools}`, or give them in two appointments"));
}

fn message(hit: &NumbPress, press: &str, cold: &str) -> String {
    let places: Vec<String> = hit.places.iter().map(|p| p.shown()).collect();
    let verb = hit.stressor.word();
    let later = if hit.gap < 1.0 { "right before it".to_string() } else { format!("and only {} may lie between", time(hit.gap)) };
    format!("{press} puts {verb} on skin that {cold} cooled {later} ({})", places.join(", "))
}

fn explain(finding: &mut Finding, catalog: &Catalog, hit: &NumbPress, cold: &Step) {
    finding.also(cold.action.span, "the cold");
    let exposes = cold.technique.to.and_then(|t| catalog.techniques[t].exposes.iter().find(|e| e.numbs_for.is_some()));
    if let Some(amount) = exposes.and_then(|e| e.numbs_for.as_ref()).filter(|a| a.value.base().hi >= hit.window) {
        finding.also(amount.span, "how long the skin counts as numb");
    }
    finding.note(format!("Within {} of this cold a pain cap does not protect: numb skin reports too little.", time(hit.window)));
}
