//! Stop-signs of a protocol: derived red flags by urgency, then derived cautions by strength.

use super::trace;
use crate::compute::cautions::{Caution, Hit};
use crate::compute::flags::{DerivedFlag, Reason, Why};
use crate::compute::together::Combination;
use crate::model::docs::{Condition, DoseEntry, Pack, Protocol, Rule};
use crate::model::vocabulary::{Strength, Stressor};
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, places, text};
use crate::plan::view::condition::numbers_of;
use crate::plan::view::flag;
use crate::plan::view::parts::{CautionGroup, CautionRow, CautionView, FlagGroup, FlagView, Mark, TogetherView};
use crate::plan::words;

/// Flags of a protocol, most urgent first.
pub fn flags(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<FlagView> {
    let pack = &site.catalog.packs[site.catalog.protocols[idx].head.pack];
    site.facts.of(idx).flags.flags.iter().map(|f| one_flag(site, idx, pack, f)).collect()
}

fn one_flag(site: &Site<'_>, idx: Idx<Protocol>, pack: &Pack, derived: &DerivedFlag) -> FlagView {
    let protocol = &site.catalog.protocols[idx];
    let restated = protocol.refer.iter().find(|r| r.flag.to == Some(derived.flag));
    FlagView {
        because: because(protocol, &derived.reasons),
        note: restated.and_then(|r| text(&r.note)),
        trace: trace::flag(site, doc(Kind::Protocol, idx), derived.flag),
        ..flag::view(site, derived.flag, pack)
    }
}

/// Reasons in words: what is treated, and what each point refers to.
fn because(protocol: &Protocol, reasons: &[Reason]) -> Vec<String> {
    let (mut treated, mut home) = (Vec::new(), Vec::new());
    let mut referred: std::collections::BTreeMap<u32, Vec<String>> = std::collections::BTreeMap::new();
    for reason in reasons {
        let name = reason.place.shown();
        let list = match reason.why {
            Why::Treated(_) => &mut treated,
            Why::AtHome(_) => &mut home,
            Why::RefersFrom(point) => referred.entry(point).or_default(),
        };
        if !list.contains(&name) {
            list.push(name);
        }
    }
    let mut out = Vec::new();
    if !treated.is_empty() {
        let steps = treated_steps(protocol, reasons);
        out.push(format!("treated: {} ({steps})", treated.join(", ")));
    }
    if !home.is_empty() {
        out.push(format!("home programme: {}", home.join(", ")));
    }
    out.extend(referred.iter().map(|(point, names)| format!("point {point} may refer to: {}", names.join(", "))));
    out
}

fn treated_steps(protocol: &Protocol, reasons: &[Reason]) -> String {
    let mut rows: Vec<usize> = reasons.iter().filter_map(|r| if let Why::Treated(i) = r.why { Some(i) } else { None }).collect();
    rows.sort_unstable();
    rows.dedup();
    words::numbered("step", "steps", &step_numbers(protocol, &rows))
}

fn step_numbers(protocol: &Protocol, rows: &[usize]) -> Vec<String> {
    rows.iter().filter_map(|i| protocol.steps.get(*i)).map(|s| s.number.value.to_string()).collect()
}

/// Flags under one heading for each urgency and destination, in the order given.
pub fn flag_groups(flags: Vec<FlagView>) -> Vec<FlagGroup> {
    let mut out: Vec<FlagGroup> = Vec::new();
    for flag in flags {
        let fits = |g: &&mut FlagGroup| g.urgency.word == flag.urgency.word && g.destination == flag.destination;
        match out.iter_mut().find(fits) {
            Some(group) => group.flags.push(flag),
            None => out.push(FlagGroup {
                urgency: flag.urgency,
                clock: flag.clock,
                destination: flag.destination.clone(),
                how: flag.how.clone(),
                flags: vec![flag],
            }),
        }
    }
    out
}

/// Cautions under one heading for each strength; those that put a person outside come first.
pub fn caution_groups(cautions: Vec<CautionView>) -> Vec<CautionGroup> {
    let mut out: Vec<CautionGroup> = Vec::new();
    let (outside, inside): (Vec<_>, Vec<_>) = cautions.into_iter().partition(|c| c.excluded);
    for caution in outside.into_iter().chain(inside) {
        let strength = if caution.excluded { OUTSIDE } else { caution.strength };
        match out.iter_mut().find(|g| g.strength.word == strength.word) {
            Some(group) => group.cautions.push(caution),
            None => out.push(CautionGroup { strength, act: act(strength.word), cautions: vec![caution] }),
        }
    }
    out
}

/// Mark of conditions that put a person outside the protocol.
pub const OUTSIDE: Mark = Mark { word: "if yes, not this protocol", shape: "octagon", class: "strength-never" };

/// Mark of conditions that change nothing alone.
const ONLY_TOGETHER: Mark = Mark { word: "only together with another", shape: "triangle", class: "strength-limit" };

/// Mark of the strongest strength of a caution.
pub fn mark(strength: Strength) -> Mark {
    if strength == Strength::None { ONLY_TOGETHER } else { words::strength(strength) }
}

fn act(word: &str) -> &'static str {
    match word {
        "if yes, not this protocol" => "The protocol is not for people with one of these.",
        "never" => "Some steps must be left out, wherever on the body.",
        "not here" => "Some steps must be left out where the trouble is.",
        "limit" => "Some steps stay below the numbers given.",
        "only together with another" => "Nothing changes, unless the person has another one named with it.",
        "ask first" => "Some steps need written clearance first.",
        _ => "Watch closely in the steps named.",
    }
}

/// Cautions of a protocol, strongest first.
pub fn cautions(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<CautionView> {
    let protocol = &site.catalog.protocols[idx];
    site.facts.of(idx).cautions.iter().map(|c| one_caution(site, idx, protocol, c)).collect()
}

fn one_caution(site: &Site<'_>, idx: Idx<Protocol>, protocol: &Protocol, caution: &Caution) -> CautionView {
    let c = &site.catalog.conditions[caution.condition];
    let look_for = text(&c.look_for);
    CautionView {
        id: c.head.id.value.to_string(),
        link: site.link(doc(Kind::Condition, caution.condition)),
        question: text(&c.question).or_else(|| look_for.clone()).unwrap_or_else(|| c.name.value.to_string()),
        look_for,
        strength: mark(caution.strength),
        rows: rows(site, idx, caution),
        together: together(site, idx, caution.condition),
        reason: c.reason.value.to_string(),
        clears: text(&c.clears),
        excluded: protocol.population.excludes.iter().any(|r| r.to == Some(caution.condition)),
    }
}

/// What a condition does to which steps together with others, strongest first.
fn together(site: &Site<'_>, idx: Idx<Protocol>, condition: Idx<Condition>) -> Vec<TogetherView> {
    let own = |c: &&Combination| !c.partners(condition).is_empty();
    let view = |c: &Combination| TogetherView {
        with: c.partners(condition).iter().map(|o| site.link(doc(Kind::Condition, *o))).collect(),
        strength: words::strength(c.strength),
        rows: combined_rows(site, idx, c),
        reason: c.written(site.catalog).map_or_else(String::new, |t| t.reason.value.to_string()),
    };
    site.facts.of(idx).combinations.iter().filter(own).map(view).collect()
}

/// What a caution does to which steps: hits under the same rule stand in one row, strongest first.
pub fn rows(site: &Site<'_>, idx: Idx<Protocol>, caution: &Caution) -> Vec<CautionRow> {
    let rules = &site.catalog.conditions[caution.condition].rules;
    let trace = |s: Stressor| trace::caution(site, doc(Kind::Protocol, idx), caution.condition, s);
    rows_of(site, idx, rules, &caution.hits, &trace)
}

/// The same for a combination.
pub fn combined_rows(site: &Site<'_>, idx: Idx<Protocol>, combination: &Combination) -> Vec<CautionRow> {
    let trace = |s: Stressor| trace::combination(site, doc(Kind::Protocol, idx), combination, s);
    rows_of(site, idx, combination.rules(site.catalog), &combination.hits, &trace)
}

type TraceOf<'a> = &'a dyn Fn(Stressor) -> Option<String>;

fn rows_of(site: &Site<'_>, idx: Idx<Protocol>, rules: &[Rule], hits: &[Hit], trace: TraceOf<'_>) -> Vec<CautionRow> {
    let mut keys: Vec<(Strength, usize)> = hits.iter().map(|h| (h.strength, h.rule)).collect();
    keys.sort_unstable();
    keys.dedup();
    let one = |(_, rule): (Strength, usize)| {
        let under: Vec<Hit> = hits.iter().copied().filter(|h| h.rule == rule).collect();
        Some(row(site, idx, rules.get(rule)?, &under, trace))
    };
    keys.into_iter().filter_map(one).collect()
}

fn row(site: &Site<'_>, idx: Idx<Protocol>, r: &Rule, hits: &[Hit], trace: TraceOf<'_>) -> CautionRow {
    let protocol = &site.catalog.protocols[idx];
    let of = |home: bool| -> Vec<usize> {
        let mut rows: Vec<usize> = hits.iter().filter(|h| h.home == home).map(|h| h.step).collect();
        rows.sort_unstable();
        rows.dedup();
        rows
    };
    let home: Vec<String> = of(true).iter().map(|i| (i + 1).to_string()).collect();
    let steps = [words::numbered("step", "steps", &step_numbers(protocol, &of(false))), words::numbered("home item", "home items", &home)];
    CautionRow {
        stressor: r.stressor.word(),
        strength: r.strength.word(),
        numbers: numbers_of(r, |e| hits.iter().any(|h| speaks_to(site, idx, r, e, h))),
        steps: steps.into_iter().filter(|s| !s.is_empty()).collect::<Vec<_>>().join("; "),
        places: places(&r.regions.all),
        why: text(&r.why),
        instead: r.instead.as_ref().and_then(|t| site.follow(Kind::Technique, t)),
        trace: trace(r.stressor),
    }
}

/// True if a number of a limit is to be told at the step of a hit.
pub fn speaks_to(site: &Site<'_>, idx: Idx<Protocol>, rule: &Rule, entry: &DoseEntry, hit: &Hit) -> bool {
    let technique = site.facts.of(idx).technique_of(hit).map(|t| &site.catalog.techniques[t]);
    technique.is_none_or(|t| rule.at(t).told.iter().any(|told| std::ptr::eq(*told, entry)))
}
