//! Heat or cold on a region that it harms sooner, with no word on that.

use crate::checks::dose::item::{Item, items};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::ledger::holds_at;
use crate::compute::thermal::readiness::{stressor, unanswered};
use crate::finding::Level;
use crate::model::docs::{Limit, StopRule};
use crate::model::region::{Place, Tag};
use crate::model::vocabulary::Stressor;

/// The check.
pub static CHECK: Check = Check {
    name: "thermal-thin-skin",
    summary: "heat or cold on thin skin, a near nerve or poor feeling, and the step does not speak of it",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("thermal_thin_skin.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for item in items(case) {
        let Some(load) = stressor(item.facts) else { continue };
        let said: Vec<&str> = item.texts.iter().map(|(_, t)| &*t.value).chain(stops(case, &item)).collect();
        let limits = || item.pack.limits.iter().chain(&item.technique.limits);
        let open = |place: &Place| (!limits().any(|l| limited(l, load, *place))).then(|| unanswered(*place, &said));
        let tender: Vec<(Place, Vec<Tag>)> =
            item.facts.places.iter().filter_map(|p| Some((*p, open(p)?))).filter(|(_, tags)| !tags.is_empty()).collect();
        if !tender.is_empty() {
            report(&item, load, &tender, sink);
        }
    }
}

/// Signs of the stop rules that the step itself adds.
fn stops<'a>(case: &Case<'a>, item: &Item<'a>) -> Vec<&'a str> {
    let protocol = &case.catalog.protocols[item.protocol];
    let steps = protocol.steps.iter().filter(|s| s.action.span == item.at).flat_map(|s| &s.stop);
    let home = protocol.home.iter().filter(|h| h.action.span == item.at).flat_map(|h| &h.stop);
    steps.chain(home).map(|s: &StopRule| &*s.sign.value).collect()
}

/// True if a limit for this stressor is made for places such as this.
fn limited(limit: &Limit, load: Stressor, place: Place) -> bool {
    let particular = !limit.regions.all.is_empty() || !limit.tags.is_empty();
    limit.stressor == load && particular && holds_at(limit, &[place])
}

fn report(item: &Item<'_>, load: Stressor, tender: &[(Place, Vec<Tag>)], sink: &mut Sink) {
    let why = |tag: &Tag| match tag {
        Tag::ThinSkin => "thin skin over bone",
        Tag::SuperficialNerve => "a nerve under the skin",
        _ => "feeling is often poor",
    };
    let one = |(place, tags): &(Place, Vec<Tag>)| format!("{} ({})", place.shown(), tags.iter().map(why).collect::<Vec<_>>().join(", "));
    let places = tender.iter().map(one).collect::<Vec<_>>().join("; ");
    let message = format!("{} puts {} on {places}, and does not say what is done about it", item.name, load.word());
    sink.report(item.at, "harmed sooner than other skin", message)
        .note("Little tissue there takes up heat or cold; an ice pack of 20 min has harmed a nerve near the surface.")
        .help("say in `monitoring` or `stop` of the step what is watched or kept clear there, set a limit for such regions, or leave the region out");
}
