//! Protocols that do not say whom they are for.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::ForWhom;
use crate::model::{Catalog, DocRef, Kind};

/// The check.
pub static CHECK: Check = Check {
    name: "population-unstated",
    summary: "a protocol leaves open for whom it is, which ages, pregnancy or capacity",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("population_unstated.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (row, protocol) in (0u32..).zip(case.catalog.protocols.rows()) {
        let doc = DocRef { kind: Kind::Protocol, row };
        let missing = missing(&protocol.population, ages_written(case.catalog, doc));
        if missing.is_empty() {
            continue;
        }
        let list = missing.join(", ");
        let at = protocol.population.span.unwrap_or(protocol.title.span);
        let keys = missing.iter().map(|m| format!("`{m}:`")).collect::<Vec<_>>().join(", ");
        sink.report(at, format!("not stated: {list}"), format!("{} does not say for whom it is: {list} missing", protocol.head.id.value))
            .help(format!("add {keys} under `population:`"));
    }
}

/// True if ages were written; unreadable ones were reported.
fn ages_written(catalog: &Catalog, doc: DocRef) -> bool {
    catalog.wordings.iter().any(|w| w.doc == doc && &*w.key == "ages")
}

fn missing(population: &ForWhom, ages_written: bool) -> Vec<&'static str> {
    let says = |label: &str| population.words.iter().any(|(l, t)| *l == label && !t.value.trim().is_empty());
    let stated = [
        ("for", says("For")),
        ("ages", population.ages.is_some() || ages_written),
        ("pregnancy", population.pregnancy.is_some()),
        ("capacity", says("Capacity")),
    ];
    stated.into_iter().filter(|(_, is)| !is).map(|(key, _)| key).collect()
}
