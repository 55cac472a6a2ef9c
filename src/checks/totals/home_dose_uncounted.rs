//! A home item that the ledger cannot count.

use crate::checks::dose::item::{Item, items};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{DoseValue, Exposes, HomeItem};
use crate::model::vocabulary::Stressor;

/// The check.
pub static CHECK: Check = Check {
    name: "home-dose-uncounted",
    summary: "a home item lacks what is needed to add it up",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("home_dose_uncounted.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for item in items(case) {
        let Some(row) = item.home else { continue };
        if item.technique.exposes.iter().any(|e| e.stressor != Stressor::Position) {
            judge(&item, &case.catalog.protocols[item.protocol].home[row], sink);
        }
    }
}

/// A key that is missing, and what to type.
type Missing = (String, String);

fn judge(item: &Item<'_>, home: &HomeItem, sink: &mut Sink) {
    let written = |key: &str| home.keys.iter().any(|k| &*k.value == key);
    let frequency = [("per-day", "per-day: 2 /d"), ("days", "days: 5 d/wk")];
    let mut missing: Vec<Missing> =
        frequency.iter().filter(|(key, _)| !written(key)).map(|(key, example)| (format!("`{key}`"), format!("`{example}`"))).collect();
    for exposes in &item.technique.exposes {
        missing.extend(uncounted(item, exposes));
        let aimless = home.target.regions.written.is_empty() && home.target.point.is_none();
        if on_skin(exposes) && item.facts.places.is_empty() && aimless {
            missing.push(("`target`".into(), "`target` with the regions on which it acts".into()));
        }
    }
    missing.dedup();
    if missing.is_empty() {
        return;
    }
    let (keys, texts): (Vec<String>, Vec<String>) = missing.into_iter().unzip();
    let message = format!("{} cannot be counted in the weekly total: it has no {}", item.name, keys.join(" and no "));
    sink.report(home.name.span, "left out of the week", message)
        .note("The limit for the week does not guard what is not counted.")
        .help(format!("add {}, with the amounts that are meant", texts.join(" and ")));
}

/// Optional parameters that the total needs and the dose lacks; required ones are told elsewhere.
fn uncounted(item: &Item<'_>, exposes: &Exposes) -> Vec<Missing> {
    let lacks = |name: &str| {
        let parameter = item.technique.parameter(name);
        match item.dose.entry(name).map(|e| &e.value) {
            None => parameter.is_none_or(|p| !p.required),
            Some(DoseValue::Word(_)) => parameter.is_none_or(|p| p.allowed.is_none()),
            Some(_) => false,
        }
    };
    let missing = |name: &str| (format!("`{name}`"), format!("`{name}` in the dose"));
    exposes.total.iter().filter(|n| lacks(&n.value)).map(|n| missing(&n.value)).collect()
}

fn on_skin(exposes: &Exposes) -> bool {
    !matches!(exposes.stressor, Stressor::Stretch | Stressor::Contraction | Stressor::Position)
}
