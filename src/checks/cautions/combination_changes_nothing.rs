//! What two conditions do together, where each alone already says as much.

use super::{listed, row_words};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Condition, Rule, Together};
use crate::model::region::Place;
use crate::model::vocabulary::Strength;
use crate::model::{Catalog, Idx};

/// The check.
pub static CHECK: Check = Check {
    name: "combination-changes-nothing",
    summary: "a row for two conditions together asks for no more than the rows of each alone",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("combination_changes_nothing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, condition) in case.catalog.conditions.iter() {
        for (place, together) in condition.together.iter().enumerate() {
            let others = together.others(idx);
            for row in &together.rules {
                judge(case.catalog, (idx, place), together, &others, row, sink);
            }
        }
    }
}

/// A row is worth its place if it asks for more with one of the conditions named.
fn judge(catalog: &Catalog, at: (Idx<Condition>, usize), together: &Together, others: &[Idx<Condition>], row: &Rule, sink: &mut Sink) {
    // A name that leads nowhere has its finding already.
    if others.is_empty() || together.with.iter().any(|w| w.to.is_none()) {
        return;
    }
    let said: Vec<Vec<Said<'_>>> = others.iter().map(|o| said(catalog, at, *o, row)).collect();
    if row.strength != Strength::None && !said.iter().all(|rows| adds_nothing(row, rows)) {
        return;
    }
    let own = &catalog.conditions[at.0].name.value;
    let names: Vec<String> = others.iter().map(|o| format!("`{}`", catalog.conditions[*o].name.value)).collect();
    let message = format!("`{own}` together with {} has {}, which changes nothing", listed(&names), row_words(row));
    let finding = sink.report(row.strength_at, "no stricter than without it", message);
    let mut shown = Vec::new();
    for at in said.into_iter().flatten().filter(|s| s.gives(row)).map(|s| s.rule.strength_at) {
        if !shown.contains(&at) {
            shown.push(at);
            finding.also(at, "said here");
        }
    }
    finding
        .note("Rows for two conditions come on top of those of each; they can tighten and never loosen.")
        .help("delete the row, or write what the two together ask for");
}

/// A row that holds without the one that is judged.
struct Said<'a> {
    rule: &'a Rule,
    /// True if it bars its stressor for whoever has the condition. What is left out where the trouble is goes on
    /// elsewhere, so a limit or a clearance there is more.
    bars: bool,
}

/// What holds without the row for a person who has both: the rows of each, and earlier rows of the same pair.
fn said<'a>(catalog: &'a Catalog, (own, place): (Idx<Condition>, usize), other: Idx<Condition>, row: &Rule) -> Vec<Said<'a>> {
    let mut all: Vec<(&Condition, &[Rule])> = [own, other].map(|c| &catalog.conditions[c]).map(|c| (c, c.rules.as_slice())).to_vec();
    for (idx, condition) in catalog.conditions.iter() {
        let pair = |t: &Together| (idx == own && t.others(idx).contains(&other)) || (idx == other && t.others(idx).contains(&own));
        // Of two rows that say the same, the later one is reported.
        let earlier = condition.together.iter().enumerate().filter(|(i, t)| pair(t) && (idx, *i) < (own, place));
        all.extend(earlier.map(|(_, t)| (condition, t.rules.as_slice())));
    }
    let of = |(condition, rules): (&'a Condition, &'a [Rule])| {
        rules.iter().map(|rule| Said { rule, bars: condition.bars(rule) }).collect::<Vec<_>>()
    };
    all.into_iter().flat_map(of).filter(|s| s.rule.stressor == row.stressor && covers(s.rule, row)).collect()
}

/// True if `rule` holds wherever `row` does.
fn covers(rule: &Rule, row: &Rule) -> bool {
    let inside = |p: &Place| rule.regions.all.contains(p);
    rule.is_everywhere() || (!row.is_everywhere() && row.regions.all.iter().all(inside))
}

fn adds_nothing(row: &Rule, said: &[Said<'_>]) -> bool {
    let limited = |name: &str| said.iter().any(|s| s.rule.strength == Strength::Limit && as_low(s.rule, row, name));
    let numbers = row.strength == Strength::Limit && row.instead.is_none() && !row.max.entries.is_empty();
    said.iter().any(|s| s.gives(row)) || (numbers && row.max.entries.iter().all(|e| limited(&e.name.value)))
}

impl Said<'_> {
    /// True if it gives all that `row` asks for. A clearance is no limit, and a limit no clearance.
    fn gives(&self, row: &Rule) -> bool {
        let rule = self.rule;
        match row.strength {
            Strength::Never => rule.strength == Strength::Never,
            Strength::NotHere => rule.strength.blocks(),
            Strength::Limit => {
                let way = |r: &Rule| r.instead.as_ref().map(|t| t.written.value.clone());
                let all = row.max.entries.iter().all(|e| as_low(rule, row, &e.name.value));
                self.bars || (rule.strength == Strength::Limit && all && way(rule) == way(row))
            }
            Strength::AskFirst => self.bars || rule.strength == Strength::AskFirst,
            Strength::Watch => self.bars || (!rule.strength.blocks() && rule.strength != Strength::None),
            Strength::None => true,
        }
    }
}

/// True if `rule` limits a parameter at least as far as `row` does. A cover of layers is a least amount.
fn as_low(rule: &Rule, row: &Rule, name: &str) -> bool {
    let Some((has, asks)) = rule.max.amount(name).zip(row.max.amount(name)) else {
        return rule.max.word(name).is_some() && rule.max.word(name) == row.max.word(name);
    };
    if has.dim() != asks.dim() {
        return false;
    }
    let (has, asks, least) = (has.base(), asks.base(), has.dim() == crate::model::unit::Dim::Layers);
    if least { has.lo >= asks.lo } else { has.hi <= asks.hi }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compute::testing;
    use crate::load::decode::Document;
    use crate::model::Kind;

    fn rules(rows: &str) -> Vec<Rule> {
        let text = format!("id: x\nname: X\nrules:\n  heat: {rows}\nreason: R.\n");
        match testing::document(Kind::Condition, &text) {
            Document::Condition(c) => c.rules,
            _ => unreachable!("a condition was decoded"),
        }
    }

    #[test]
    fn a_row_adds_nothing_where_every_part_of_it_is_said() {
        for (row, said, nothing) in [
            ("never", "never", true),
            ("never", "not here", false),
            ("not here", "never", true),
            ("watch", "ask first", true),
            ("ask first", "not here", false),
            ("[{strength: limit, max: {time: 5 min}}]", "not here", false),
            ("ask first", "[{strength: limit, max: {pain: 2/10}}]", false),
            ("ask first", "[{strength: limit, max: {pain: 2/10}}, {strength: ask first}]", true),
            ("[{strength: limit, max: {time: 5 min}}]", "ask first", false),
            ("[{strength: limit, max: {time: 5 min}}]", "never", true),
            ("[{strength: limit, max: {time: 5 min}}]", "[{strength: limit, max: {time: 4 min}}]", true),
            ("[{strength: limit, max: {time: 5 min}}]", "[{strength: limit, max: {time: 10 min}}]", false),
            ("[{strength: limit, max: {time: 5 min}}]", "[{strength: limit, max: {pain: 2/10}}]", false),
            (
                "[{strength: limit, max: {time: 5 min, pain: 3/10}}]",
                "[{strength: limit, max: {time: 5 min}}, {strength: limit, max: {pain: 2/10}}]",
                true,
            ),
            ("[{strength: never, regions: [heel]}]", "never", true),
            ("[{strength: never, regions: [heel]}]", "[{strength: never, regions: [foot]}]", true),
            ("never", "[{strength: never, regions: [foot]}]", false),
        ] {
            let (own, other) = (rules(row), rules(said));
            let covering = other.iter().filter(|r| covers(r, &own[0]));
            let covering: Vec<Said<'_>> = covering.map(|rule| Said { rule, bars: rule.strength == Strength::Never }).collect();
            assert_eq!(adds_nothing(&own[0], &covering), nothing, "{row} over {said}");
        }
    }
}
