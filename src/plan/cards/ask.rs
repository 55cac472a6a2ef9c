//! What is asked before anything else: red flags by urgency, then cautions by strength.

use super::{block, line, piece};
use crate::compute::cautions::{Caution, Hit};
use crate::model::docs::{Condition, Protocol, Rule};
use crate::model::vocabulary::Strength;
use crate::model::{Idx, Kind};
use crate::plan::fit::Block;
use crate::plan::site::{Site, text};
use crate::plan::view::card::{Item, Piece, StopLine};
use crate::plan::view::condition::numbers;
use crate::plan::view::parts::{CautionView, FlagView, Mark};
use crate::plan::view::protocol::stop;
use crate::plan::words;
use std::collections::BTreeMap;

/// Flags under one stop line for each urgency and destination.
pub fn flags(flags: &[FlagView]) -> Vec<Block> {
    const HEADING: &str = "Stop: if yes, do not treat today";
    let mut out = Vec::new();
    let mut last = None;
    for flag in flags {
        let group = (flag.urgency.word, flag.destination.clone());
        if last.as_ref() != Some(&group) {
            let text = format!("{}: {}", words::capital(flag.urgency.word), flag.destination);
            let how = flag.how.clone().unwrap_or_default();
            let lines = vec![line(&words::capital(flag.clock), how)];
            let item = Item { stop: Some(StopLine { mark: flag.urgency, text }), lines, ..Item::default() };
            out.push(Block { keep_next: true, ..block(HEADING, "stop", item) });
            last = Some(group);
        }
        let lines = vec![vec![piece(&flag.link.text, &flag.question), piece("Meanwhile", &flag.meanwhile)]];
        out.push(block(HEADING, "stop", Item { flag: Some(flag.id.clone()), lines, ..Item::default() }));
    }
    out
}

/// Mark of conditions that bar, limit or hold up single steps; which and how stands at each question.
const CHANGES: Mark = Mark { word: "if yes, change the steps named", shape: "triangle", class: "strength-limit" };

/// Cautions: first those that put a person outside the protocol, then by strength.
pub fn cautions(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    const HEADING: &str = "Cautions: ask each";
    let facts = &site.facts.of(idx).cautions;
    let views = stop::cautions(site, idx);
    let mut pairs: Vec<(&Caution, CautionView)> = facts.iter().zip(views).collect();
    pairs.sort_by_key(|(_, v)| !v.excluded);
    let mut out = Vec::new();
    let mut last = "";
    for (caution, view) in pairs {
        let mark = if view.excluded { stop::OUTSIDE } else { CHANGES };
        if last != mark.word {
            let item = Item { stop: Some(StopLine { mark, text: words::capital(mark.word) }), ..Item::default() };
            out.push(Block { keep_next: true, ..block(HEADING, "cautions", item) });
            last = mark.word;
        }
        let mut pieces = line("", &view.question);
        if !view.excluded {
            pieces.extend(effects(site, idx, caution));
        }
        out.push(block(HEADING, "cautions", Item { condition: Some(view.id), lines: vec![pieces], ..Item::default() }));
    }
    out
}

/// What one step is told: the strength and the numbers of its limits.
pub(super) type Told = (Strength, String);

/// What a caution does, by the numbers of steps and home items.
///
/// A step that is barred is named under that alone; a limit and a clearance stand side by side; where
/// there is either, watching goes without saying.
fn effects(site: &Site<'_>, idx: Idx<Protocol>, caution: &Caution) -> Vec<Piece> {
    let condition = &site.catalog.conditions[caution.condition];
    let mut steps: BTreeMap<(bool, usize), Vec<&Hit>> = BTreeMap::new();
    for hit in &caution.hits {
        steps.entry((hit.home, hit.step)).or_default().push(hit);
    }
    let mut groups: BTreeMap<Told, Numbers> = BTreeMap::new();
    for ((home, row), hits) in steps {
        for told in told(site, condition, &hits) {
            let numbers = groups.entry(told).or_default();
            if home {
                numbers.home.push(u32::try_from(row + 1).unwrap_or(u32::MAX));
            } else {
                numbers.steps.extend(site.catalog.protocols[idx].steps.get(row).map(|s| s.number.value));
            }
        }
    }
    groups
        .into_iter()
        .map(|((strength, limits), numbers)| {
            let limits = if limits.is_empty() { limits } else { format!(": {limits}") };
            piece(&words::capital(strength.word()), numbers.shown() + &limits)
        })
        .collect()
}

/// What a limit allows: its numbers, or what else is to be done.
fn limit(site: &Site<'_>, rule: &Rule) -> Option<String> {
    let most = numbers(rule);
    if !most.is_empty() {
        return Some(most);
    }
    let why = text(&rule.why).map(|w| w.trim_end_matches('.').to_string());
    let instead = rule.instead.as_ref().and_then(|t| site.follow(Kind::Technique, t)).map(|t| format!("else {}", t.text));
    let words: Vec<String> = why.into_iter().chain(instead).collect();
    (!words.is_empty()).then(|| words.join("; "))
}

pub(super) fn told(site: &Site<'_>, condition: &Condition, hits: &[&Hit]) -> Vec<Told> {
    let any = |strength: Strength| hits.iter().any(|h| h.strength == strength).then(|| (strength, String::new()));
    if let Some(barred) = any(Strength::Never).or_else(|| any(Strength::NotHere)) {
        return vec![barred];
    }
    let limits = hits.iter().filter(|h| h.strength == Strength::Limit);
    let mut limits: Vec<String> = limits.filter_map(|h| limit(site, condition.rules.get(h.rule)?)).collect();
    limits.sort_unstable();
    limits.dedup();
    let limit = (!limits.is_empty()).then(|| (Strength::Limit, limits.join("; ")));
    let out: Vec<Told> = limit.into_iter().chain(any(Strength::AskFirst)).collect();
    if out.is_empty() { any(Strength::Watch).into_iter().collect() } else { out }
}

/// Numbers of steps and home items.
#[derive(Default)]
struct Numbers {
    steps: Vec<u32>,
    home: Vec<u32>,
}

impl Numbers {
    fn shown(mut self) -> String {
        let list = |numbers: &mut Vec<u32>, one: &str, many: &str| {
            numbers.sort_unstable();
            let word = if numbers.len() == 1 { one } else { many };
            (!numbers.is_empty()).then(|| format!("{word} {}", words::ranges(numbers)))
        };
        let parts = [list(&mut self.steps, "step", "steps"), list(&mut self.home, "home", "home")];
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}
