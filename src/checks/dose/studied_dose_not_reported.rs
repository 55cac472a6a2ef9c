//! A dose said to be the studied one, where the source does not report it.

use super::item::{Item, items};
use super::studied_words::{claimed, parameters_of};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::studied::{Said, said};
use crate::finding::Level;
use crate::model::Wording;
use crate::model::docs::{Cite, Claim, Source};
use crate::source::{Span, Text};
use std::collections::HashMap;

/// The check.
pub static CHECK: Check = Check {
    name: "studied-dose-not-reported",
    summary: "a dose is said to be the studied one, and the source does not report it",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("studied_dose_not_reported.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let wordings: HashMap<Span, &Wording> = case.catalog.wordings.iter().map(|w| (w.text.span, w)).collect();
    let find = |text: &Text| wordings.get(&text.span).copied();
    for item in items(case) {
        item.ground.cites.iter().for_each(|cite| cited_for_dose(case, &item, cite, sink));
        let own: Vec<String> = item.dose.entries.iter().map(|e| e.name.value.to_string()).collect();
        let of_technique = item.technique.parameters.iter().flat_map(|p| &p.ground.cites);
        let sources = sources(case, item.ground.cites.iter().chain(of_technique));
        item.texts.iter().filter_map(|(_, t)| find(t)).for_each(|w| in_words(w, &own, &sources, sink));
    }
    for technique in case.catalog.techniques.rows() {
        for parameter in &technique.parameters {
            parameter.ground.cites.iter().for_each(|cite| cited_for(case, &parameter.name.value, cite, sink));
            let sources = sources(case, &parameter.ground.cites);
            let wording = parameter.means.as_ref().and_then(find);
            wording.into_iter().for_each(|w| in_words(w, &[parameter.name.value.to_string()], &sources, sink));
        }
    }
    for claim in claims(case) {
        let sources = sources(case, &claim.ground.cites);
        find(&claim.text).into_iter().for_each(|w| in_words(w, &parameters_of(&sources), &sources, sink));
    }
}

fn claims<'a>(case: &Case<'a>) -> impl Iterator<Item = &'a Claim> {
    let protocols = case.catalog.protocols.rows().iter().flat_map(|p| p.rationale.iter().chain(&p.evidence));
    protocols.chain(case.catalog.techniques.rows().iter().flat_map(|t| &t.harms))
}

fn sources<'a>(case: &Case<'a>, cites: impl IntoIterator<Item = &'a Cite>) -> Vec<&'a Source> {
    let mut rows: Vec<_> = cites.into_iter().filter_map(|c| c.source.to).collect();
    rows.sort_unstable();
    rows.dedup();
    rows.into_iter().map(|s| &case.catalog.sources[s]).collect()
}

/// A citation of a step: for one parameter, or for a dose of which the source gives nothing.
fn cited_for_dose(case: &Case<'_>, item: &Item<'_>, cite: &Cite, sink: &mut Sink) {
    let Some(source) = cite.source.to.map(|s| &case.catalog.sources[s]) else { return };
    match &cite.supports {
        Some(name) if item.dose.entry(&name.value).is_some() => cited_for(case, &name.value, cite, sink),
        Some(_) => {}
        None => {
            let all: Vec<Said> = item.dose.entries.iter().map(|e| said(source, &e.name.value)).collect();
            let silent = all.iter().find_map(|s| if let Said::NotReported(at) = s { Some(*at) } else { None });
            let Some(at) = silent.filter(|_| !all.iter().any(|s| matches!(s, Said::Given))) else { return };
            let message = format!("{} cites `{}` for its dose, and the source reports nothing of it", item.name, source.head.id.value);
            sink.report(cite.source.span(), "cited for this dose", message)
                .also(at, "not reported, and nothing else of the dose is given")
                .help("give the dose a `basis`, and cite the source where it supports something");
        }
    }
}

fn cited_for(case: &Case<'_>, name: &str, cite: &Cite, sink: &mut Sink) {
    let Some(source) = cite.source.to.map(|s| &case.catalog.sources[s]) else { return };
    if let Said::NotReported(at) = said(source, name) {
        let message = format!("`{}` is cited for `{name}` and does not report it", source.head.id.value);
        sink.report(cite.source.span(), format!("cited for `{name}`"), message)
            .also(at, "not reported")
            .help(format!("give `{name}` a `basis`, or cite a source that reports it"));
    }
}

/// A text that says "as studied" of something that no cited source reports.
fn in_words(wording: &Wording, own: &[String], sources: &[&Source], sink: &mut Sink) {
    for claim in claimed(&wording.text.value, own) {
        let unreported = claim.parameters.iter().find_map(|name| {
            let all: Vec<(&Source, Said)> = sources.iter().map(|s| (*s, said(s, name))).collect();
            let given = all.iter().any(|(_, s)| matches!(s, Said::Given));
            let silent = all.into_iter().find_map(|(source, s)| if let Said::NotReported(at) = s { Some((source, at)) } else { None });
            silent.filter(|_| !given).map(|(source, at)| (name, source, at))
        });
        let Some((name, source, at)) = unreported else { continue };
        let words = wording.text.value.get(claim.at.clone()).unwrap_or_default();
        let message = format!("the text says `{words}`, and `{}` does not report `{name}`", source.head.id.value);
        sink.report(wording.span_of(claim.at), "this cannot be true", message)
            .also(at, "not reported")
            .help(format!("take `{words}` out, and give `{name}` a basis of its own"));
    }
}
