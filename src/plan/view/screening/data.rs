//! What the answers to the questions mean, for the script of the page and for other programs: the rows of the
//! caution matrix that touch steps, the red flags, and what a step that is left out does to others.

use crate::compute::cautions::Hit;
use crate::compute::together::Combination;
use crate::compute::{finder, order};
use crate::model::docs::{Condition, DoseEntry, DoseValue, Protocol, Rule, Together};
use crate::model::unit::Dim;
use crate::model::vocabulary::{Strength, Urgency};
use crate::model::{Catalog, Idx, Kind};
use crate::plan::site::{Site, doc, places, text};
use crate::plan::view::condition::{numbers, numbers_of};
use crate::plan::view::protocol::stop;
use crate::plan::{export, route, words};
use serde::Serialize;
use std::collections::BTreeMap;

/// The whole table.
#[derive(Debug, Serialize)]
pub struct Data {
    version: u32,
    kind: &'static str,
    #[serde(rename = "use")]
    use_note: &'static str,
    flags: Vec<FlagRow>,
    conditions: Vec<ConditionRow>,
    combinations: Vec<CombinationRow>,
    protocols: Vec<ProtocolRow>,
}

/// A red flag: a yes stops everything.
#[derive(Debug, Serialize)]
struct FlagRow {
    id: String,
    name: String,
    question: String,
    urgency: &'static str,
    clock: &'static str,
    destination: String,
    how: Option<String>,
    meanwhile: String,
}

/// A condition with the rows of its matrix.
#[derive(Debug, Serialize)]
struct ConditionRow {
    id: String,
    name: String,
    question: String,
    reason: String,
    clears: Option<String>,
    rules: Vec<RuleRow>,
}

/// What a condition and any of some others do together.
#[derive(Debug, Serialize)]
struct CombinationRow {
    condition: String,
    with: Vec<String>,
    reason: String,
    rules: Vec<RuleRow>,
}

/// A row of the matrix.
#[derive(Debug, Serialize)]
struct RuleRow {
    rule: usize,
    stressor: &'static str,
    strength: &'static str,
    /// True if whoever has the condition cannot have the step; false where it is barred only at the place of the trouble.
    bars: bool,
    numbers: String,
    limits: Vec<LimitRow>,
    /// Limits that are words; they hold at every step.
    words: String,
    places: Vec<String>,
    why: Option<String>,
    instead: Option<String>,
}

/// A number of a limit.
#[derive(Debug, Serialize)]
struct LimitRow {
    parameter: String,
    label: String,
    /// In the base unit of its dimension.
    base: f64,
    dimension: &'static str,
    /// True for a least amount: of two, the higher holds.
    least: bool,
    text: String,
}

/// A protocol and what touches it.
#[derive(Debug, Serialize)]
struct ProtocolRow {
    id: String,
    title: String,
    page: String,
    /// Why nobody may use it, whatever the answers.
    barred: Option<&'static str>,
    /// Whom it is not for, in the author's words; no question asks for it.
    not_for: Option<String>,
    excludes: Vec<String>,
    steps: Vec<StepRow>,
    home: Vec<StepRow>,
    touches: Vec<Touch>,
    together: Vec<TouchTogether>,
    needs: Vec<NeedRow>,
    apart: Vec<ApartRow>,
}

/// A step or an item of the home programme.
#[derive(Debug, Serialize)]
struct StepRow {
    number: u32,
    action: String,
    dose: String,
    treats: bool,
}

/// What a condition does to a protocol.
#[derive(Debug, Serialize)]
struct Touch {
    condition: String,
    rows: Vec<TouchRow>,
}

/// What a combination does to a protocol.
#[derive(Debug, Serialize)]
struct TouchTogether {
    /// Its place in the list of combinations.
    combination: usize,
    rows: Vec<TouchRow>,
}

/// Steps under one row of a condition, by their numbers.
#[derive(Debug, Serialize)]
struct TouchRow {
    rule: usize,
    /// Names of its limits that are meant for these steps.
    limits: Vec<String>,
    steps: Vec<u32>,
    home: Vec<u32>,
}

/// A step that may only come after another.
#[derive(Debug, Serialize)]
struct NeedRow {
    step: u32,
    any_of: Vec<u32>,
    why: String,
}

/// Two steps with a time between them that other steps help to fill.
#[derive(Debug, Serialize)]
struct ApartRow {
    earlier: u32,
    later: u32,
    gap: String,
    why: String,
}

impl Data {
    /// Gathers everything.
    pub fn new(site: &Site<'_>) -> Data {
        let catalog = site.catalog;
        let all = combinations(catalog);
        Data {
            version: export::VERSION,
            kind: "screening",
            use_note: words::USE_NOTE,
            flags: finder::flags(catalog).into_iter().map(|(idx, _)| flag(site, idx)).collect(),
            conditions: catalog.conditions.iter().map(|(_, c)| condition(site, c)).collect(),
            combinations: all.iter().map(|(idx, _, t)| combination(site, *idx, t)).collect(),
            protocols: super::offered(site).into_iter().map(|idx| protocol(site, idx, &all)).collect(),
        }
    }
}

fn flag(site: &Site<'_>, idx: Idx<crate::model::docs::Flag>) -> FlagRow {
    let flag = &site.catalog.flags[idx];
    let view = crate::plan::view::flag::view(site, idx, &site.catalog.packs[flag.head.pack]);
    FlagRow {
        id: view.id,
        name: view.link.text,
        question: view.question,
        urgency: flag.urgency.unwrap_or(Urgency::Now).word(),
        clock: view.clock,
        destination: view.destination,
        how: view.how,
        meanwhile: view.meanwhile,
    }
}

/// Everything that conditions do together, with the place where it is written.
type Written<'a> = (Idx<Condition>, usize, &'a Together);

fn combinations(catalog: &Catalog) -> Vec<Written<'_>> {
    catalog.conditions.iter().flat_map(|(idx, c)| c.together.iter().enumerate().map(move |(row, t)| (idx, row, t))).collect()
}

fn combination(site: &Site<'_>, idx: Idx<Condition>, together: &Together) -> CombinationRow {
    CombinationRow {
        condition: id(site.catalog, idx),
        with: together.others(idx).into_iter().map(|o| id(site.catalog, o)).collect(),
        reason: together.reason.value.to_string(),
        rules: rules(site, &site.catalog.conditions[idx], &together.rules),
    }
}

/// Rows that restrict something, with their place among all.
fn rules(site: &Site<'_>, c: &Condition, all: &[Rule]) -> Vec<RuleRow> {
    let restricting = all.iter().enumerate().filter(|(_, r)| r.strength != Strength::None);
    restricting.map(|(row, r)| rule(site, c, row, r)).collect()
}

fn condition(site: &Site<'_>, c: &Condition) -> ConditionRow {
    ConditionRow {
        id: c.head.id.value.to_string(),
        name: c.name.value.to_string(),
        question: super::question(c),
        reason: c.reason.value.to_string(),
        clears: text(&c.clears),
        rules: rules(site, c, &c.rules),
    }
}

fn rule(site: &Site<'_>, c: &Condition, row: usize, r: &Rule) -> RuleRow {
    RuleRow {
        rule: row,
        stressor: r.stressor.word(),
        strength: r.strength.word(),
        bars: c.bars(r),
        numbers: numbers(r),
        limits: if r.strength == Strength::Limit { limits(r) } else { Vec::new() },
        words: numbers_of(r, |e| matches!(e.value, DoseValue::Word(_))),
        places: places(&r.regions.all),
        why: text(&r.why),
        instead: r.instead.as_ref().and_then(|t| t.to).map(|t| site.name(doc(Kind::Technique, t))),
    }
}

/// What stands in front of the number of a limit; repeats and passes name themselves.
fn label(parameter: &str) -> String {
    let named = matches!(parameter, "reps" | "passes" | "sets");
    if named { String::new() } else { words::parameter(parameter).trim_end_matches(" at most").to_string() }
}

/// Limits that are amounts; words of a limit stand in `numbers` alone.
fn limits(r: &Rule) -> Vec<LimitRow> {
    let limit = |e: &crate::model::docs::DoseEntry| {
        let amount = r.max.amount(&e.name.value)?;
        Some(LimitRow {
            parameter: e.name.value.to_string(),
            label: label(&e.name.value),
            base: amount.base().hi,
            dimension: amount.dim().word(),
            least: amount.dim() == Dim::Layers,
            text: amount.shown(),
        })
    };
    r.max.entries.iter().filter_map(limit).collect()
}

fn protocol(site: &Site<'_>, idx: Idx<Protocol>, all: &[Written<'_>]) -> ProtocolRow {
    let catalog = site.catalog;
    let (p, facts) = (&catalog.protocols[idx], site.facts.of(idx));
    let own = doc(Kind::Protocol, idx);
    let number = |row: &usize| p.steps.get(*row).map(|s| s.number.value);
    let steps = p.steps.iter().zip(&facts.steps).map(|(s, f)| StepRow {
        number: s.number.value,
        action: s.action.value.to_string(),
        dose: words::dose_line(&words::dose(&s.dose, f.technique.map(|t| &catalog.techniques[t]))),
        treats: f.is_treatment(),
    });
    let home = p.home.iter().zip(&facts.home).enumerate().map(|(row, (h, f))| StepRow {
        number: ordinal(row),
        action: h.name.value.to_string(),
        dose: words::dose_line(&words::dose(&h.dose, f.technique.map(|t| &catalog.techniques[t]))),
        treats: f.is_treatment(),
    });
    let needs = order::needs(catalog, &facts.steps).into_iter().filter_map(|n| {
        Some(NeedRow { step: number(&n.step)?, any_of: n.any_of.iter().filter_map(number).collect(), why: n.rule.why.value.to_string() })
    });
    let apart = order::apart(catalog, &facts.steps).into_iter().filter_map(|a| {
        let gap = a.rule.gap.as_ref()?.value.shown();
        Some(ApartRow { earlier: number(&a.earlier)?, later: number(&a.later)?, gap, why: a.rule.why.value.to_string() })
    });
    ProtocolRow {
        id: catalog.id(own).to_string(),
        title: p.title.value.to_string(),
        page: route::page(catalog, own),
        barred: super::barred(site, idx),
        not_for: p.not_for().map(|t| t.value.to_string()),
        excludes: p.population.excludes.iter().filter_map(|c| Some(id(catalog, c.to?))).collect(),
        steps: steps.collect(),
        home: home.collect(),
        touches: facts
            .cautions
            .iter()
            .filter(|c| !c.hits.is_empty())
            .map(|c| Touch {
                condition: id(catalog, c.condition),
                rows: touch_rows(site, idx, &catalog.conditions[c.condition].rules, &c.hits),
            })
            .collect(),
        together: facts.combinations.iter().filter_map(|c| touch_together(site, idx, c, all)).collect(),
        needs: needs.collect(),
        apart: apart.collect(),
    }
}

fn id(catalog: &Catalog, condition: Idx<Condition>) -> String {
    catalog.id(doc(Kind::Condition, condition)).to_string()
}

fn touch_together(site: &Site<'_>, idx: Idx<Protocol>, c: &Combination, all: &[Written<'_>]) -> Option<TouchTogether> {
    let combination = all.iter().position(|(idx, row, _)| (*idx, *row) == (c.condition, c.row))?;
    Some(TouchTogether { combination, rows: touch_rows(site, idx, c.rules(site.catalog), &c.hits) })
}

fn touch_rows(site: &Site<'_>, idx: Idx<Protocol>, rules: &[Rule], hits: &[Hit]) -> Vec<TouchRow> {
    let mut rows: BTreeMap<(usize, Vec<String>), TouchRow> = BTreeMap::new();
    for (hit, rule) in hits.iter().filter_map(|h| Some((h, rules.get(h.rule)?))) {
        let told = |e: &&DoseEntry| rule.strength == Strength::Limit && stop::speaks_to(site, idx, rule, e, hit);
        let limits: Vec<String> = rule.max.entries.iter().filter(told).map(|e| e.name.value.to_string()).collect();
        let new = TouchRow { rule: hit.rule, limits: limits.clone(), steps: Vec::new(), home: Vec::new() };
        let row = rows.entry((hit.rule, limits)).or_insert(new);
        if hit.home {
            row.home.push(ordinal(hit.step));
        } else {
            row.steps.extend(site.catalog.protocols[idx].steps.get(hit.step).map(|s| s.number.value));
        }
    }
    let mut rows: Vec<TouchRow> = rows.into_values().collect();
    for numbers in rows.iter_mut().flat_map(|r| [&mut r.steps, &mut r.home]) {
        numbers.sort_unstable();
        numbers.dedup();
    }
    rows
}

/// Home items are counted from 1.
fn ordinal(row: usize) -> u32 {
    u32::try_from(row + 1).unwrap_or(u32::MAX)
}
