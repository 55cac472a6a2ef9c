//! A dose above the one that its cited source studied.

use super::item::{Item, items};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::amount::shown;
use crate::compute::ledger::weekly;
use crate::compute::studied::{Against, Ours, PER_WEEK, Ratio, against, ours};
use crate::finding::Level;
use crate::model::docs::{Cite, Ground, Source};
use crate::model::interval::{Interval, exceeds};
use crate::model::quantity::number;
use crate::model::unit::Dim;

/// The check.
pub static CHECK: Check = Check {
    name: "dose-beyond-studied",
    summary: "a dose is above the one that its cited source studied",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("dose_beyond_studied.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for item in items(case) {
        for cite in open_cites(item.ground) {
            let Some(source) = cite.source.to.map(|s| &case.catalog.sources[s]) else { continue };
            let all = whole_dose(case, &item);
            let named = cite.supports.as_ref().map(|t| &*t.value);
            let arm = named.filter(|n| source.arms.iter().any(|a| &*a.name.value == *n));
            let one: Vec<Ours> = all.iter().filter(|o| named == Some(&*o.name)).cloned().collect();
            judge(&item, cite, source, against(source, if one.is_empty() { &all } else { &one }, arm), sink);
        }
        inherited(case, &item, sink);
    }
}

/// Citations of the technique's parameters. They carry the dose only where the item says nothing
/// of its own about what it stands on.
fn inherited(case: &Case<'_>, item: &Item<'_>, sink: &mut Sink) {
    if item.ground.basis.is_some() {
        return;
    }
    for entry in &item.dose.entries {
        let Some(parameter) = item.technique.parameter(&entry.name.value) else { continue };
        let Some(own) = ours(item.technique, entry) else { continue };
        for cite in open_cites(&parameter.ground) {
            let again = item.ground.cites.iter().any(|c| c.source.to == cite.source.to);
            let Some(source) = cite.source.to.filter(|_| !again).map(|s| &case.catalog.sources[s]) else { continue };
            judge(item, cite, source, against(source, std::slice::from_ref(&own), None), sink);
        }
    }
}

/// Citations that carry a dose alone; a basis next to them says that the house goes its own way.
fn open_cites(ground: &Ground) -> &[Cite] {
    if ground.basis.is_some() { &[] } else { &ground.cites }
}

/// Everything that loads the person, and how often a week.
fn whole_dose(case: &Case<'_>, item: &Item<'_>) -> Vec<Ours> {
    let mut all: Vec<Ours> = item.dose.entries.iter().filter_map(|e| ours(item.technique, e)).collect();
    let protocol = &case.catalog.protocols[item.protocol];
    let often = match item.home.and_then(|row| protocol.home.get(row)) {
        Some(home) => weekly(home).zip(home.days.as_ref().map(|d| d.span)),
        None => protocol.spacing.per_week.as_ref().map(|p| (p.value.base(), p.span)),
    };
    if let Some((often, at)) = often.filter(|(o, _)| o.hi.is_finite()) {
        all.push(Ours { name: PER_WEEK.into(), dim: Dim::PerWeek, most: often.hi, adds_up: true, at });
    }
    all
}

fn judge(item: &Item<'_>, cite: &Cite, source: &Source, found: Option<Against<'_>>, sink: &mut Sink) {
    let Some(found) = found.filter(|f| exceeds(f.most(), 1.0)) else { return };
    let most = |r: &&Ratio| r.times();
    let Some(first) = found.ratios.iter().max_by(|a, b| most(a).total_cmp(&most(b))) else { return };
    let id = &source.head.id.value;
    let list: Vec<String> = found.ratios.iter().filter(|r| exceeds(r.times(), 1.0)).map(told).collect();
    let message = format!("{} cites `{id}` and gives {} times its dose: {}", item.name, times(found.most()), list.join(", "));
    let finding = sink.report(first.ours.at, format!("{} times", times(first.times())), message);
    for ratio in &found.ratios {
        finding.also(ratio.at, format!("`{}` of the arm {}", ratio.ours.name, found.arm.name.value));
    }
    finding
        .also(cite.source.span(), "cited here")
        .note("Compared are the high ends. What adds up is multiplied; where a source has several arms, the closest one is taken.")
        .help("come down to the studied dose, or add a `basis` next to the citation that says whose decision the rest is");
}

fn told(ratio: &Ratio) -> String {
    let one = |amount: f64| shown(ratio.ours.dim, Interval::exact(amount));
    format!("`{}` {} against {}", ratio.ours.name, one(ratio.ours.most), one(ratio.theirs))
}

fn times(ratio: f64) -> String {
    number((ratio * 10.0).round() / 10.0)
}
