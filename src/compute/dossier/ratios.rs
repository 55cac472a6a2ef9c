//! The dose of each step and home item beside the dose of each source that carries it.

use crate::compute::ledger::weekly;
use crate::compute::studied::{Against, Ours, PER_WEEK, Said, against, ours, said};
use crate::model::docs::{Cite, Dose, Ground, Protocol, Source, Technique};
use crate::model::interval::Interval;
use crate::model::unit::Dim;
use crate::model::{Catalog, Idx};
use crate::source::Span;

/// A dose beside one source.
#[derive(Debug)]
pub struct Beside<'a> {
    /// Protocol.
    pub protocol: Idx<Protocol>,
    /// Path of the step or home item.
    pub path: String,
    /// Source.
    pub source: Idx<Source>,
    /// Place in it.
    pub at: Option<&'a str>,
    /// True if the source carries the technique and not the step itself.
    pub inherited: bool,
    /// True if a basis beside the source says that the house goes its own way.
    pub own_way: bool,
    /// Our amounts that load the person.
    pub ours: Vec<Ours>,
    /// The arm that comes closest, with a ratio for each parameter that both give; `None` if none can be compared.
    pub against: Option<Against<'a>>,
    /// Our parameters that an arm names without giving them.
    pub not_reported: Vec<String>,
}

/// Every dose beside every source that carries it.
pub fn all(catalog: &Catalog) -> Vec<Beside<'_>> {
    let mut out = Vec::new();
    for (idx, p) in catalog.protocols.iter() {
        let often = p.spacing.per_week.as_ref().map(|q| (q.value.base(), q.span));
        for s in &p.steps {
            item(catalog, idx, &format!("steps/{}", s.number.value), s.technique.to, &s.dose, &s.ground, often, &mut out);
        }
        for h in &p.home {
            let often = weekly(h).zip(h.days.as_ref().map(|d| d.span));
            item(catalog, idx, &super::numbers::home_path(h), h.technique.to, &h.dose, &h.ground, often, &mut out);
        }
    }
    out
}

#[allow(clippy::too_many_arguments, reason = "a step and a home item share these parts and no type")]
fn item<'a>(
    catalog: &'a Catalog,
    protocol: Idx<Protocol>,
    path: &str,
    technique: Option<Idx<Technique>>,
    dose: &'a Dose,
    ground: &'a Ground,
    often: Option<(Interval, Span)>,
    out: &mut Vec<Beside<'a>>,
) {
    let Some(t) = technique.map(|t| &catalog.techniques[t]) else { return };
    let mut mine: Vec<Ours> = dose.entries.iter().filter_map(|e| ours(t, e)).collect();
    if mine.is_empty() {
        return;
    }
    if let Some((often, at)) = often.filter(|(o, _)| o.hi.is_finite()) {
        mine.push(Ours { name: PER_WEEK.into(), dim: Dim::PerWeek, most: often.hi, adds_up: true, at });
    }
    let mut put = |cite: &'a Cite, inherited: bool, own_way: bool, mine: &[Ours]| {
        let Some(source) = cite.source.to else { return };
        let named = cite.supports.as_ref().map(|s| &*s.value);
        let arm = named.filter(|n| catalog.sources[source].arms.iter().any(|a| &*a.name.value == *n));
        let silent = |o: &&Ours| matches!(said(&catalog.sources[source], &o.name), Said::NotReported(_));
        out.push(Beside {
            protocol,
            path: path.to_string(),
            source,
            at: cite.at.as_ref().map(|a| &*a.value),
            inherited,
            own_way,
            against: against(&catalog.sources[source], mine, arm),
            not_reported: mine.iter().filter(silent).map(|o| o.name.clone()).collect(),
            ours: mine.to_vec(),
        });
    };
    ground.cites.iter().for_each(|c| put(c, false, ground.basis.is_some(), &mine));
    // What the technique rests on is told beside a step of the house's own, too: the reader is to see how far it goes.
    for entry in &dose.entries {
        let (Some(parameter), Some(own)) = (t.parameter(&entry.name.value), ours(t, entry)) else { continue };
        let own_way = ground.basis.is_some() || parameter.ground.basis.is_some();
        parameter.ground.cites.iter().for_each(|c| put(c, true, own_way, std::slice::from_ref(&own)));
    }
}
