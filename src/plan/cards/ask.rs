//! What is asked before anything else: red flags by urgency, then cautions; at a glance; then the questions, and what each caution changes.

use super::{after, block, piece, treat};
use crate::compute::cautions::Hit;
use crate::model::Idx;
use crate::model::docs::Protocol;
use crate::model::vocabulary::{Strength, Urgency};
use crate::plan::fit::{Block, sends_through, sends_to};
use crate::plan::site::Site;
use crate::plan::view::card::{Item, Piece, StopLine};
use crate::plan::view::parts::{CautionView, FlagView, Link, Mark};
use crate::plan::view::protocol::steps::StepView;
use crate::plan::view::protocol::stop;
use crate::plan::view::told::{Given, Rows, Told, told};
use crate::plan::words;
use std::collections::BTreeMap;

/// First bar of a card.
const MAY_I: &str = "May I treat today, here?";
/// Bar of the questions.
const QUESTIONS: &str = "If yes, do not treat: ask each";
/// Bar of what cautions change.
pub(super) const CHANGES: &str = "Cautions: ask each; what a yes changes";

/// When to go on, and where every other question is answered.
pub(super) fn go_on() -> Block {
    let stop = Some(StopLine { mark: GO_ON, text: "Ask each. All no: go on".into() });
    let pages = vec![
        Piece { mark: Some(BARRED), ..piece("A yes at this shape", "do not treat") },
        piece("Page", ""),
        sends_to(treat::ALL, "visit"),
        sends_through(treat::SET_UP, "position"),
        sends_through(treat::WHERE, "where"),
        sends_through(treat::NEXT, "steps"),
        sends_through(after::HOME, "home"),
        sends_through(QUESTIONS, "ask"),
        sends_through(CHANGES, "cautions"),
    ];
    block(MAY_I, "stop", Item { stop, lines: vec![pages], brief: true, ..Item::default() })
}

/// Shape of what is not treated: whoever is sent on, and whoever is outside.
const BARRED: Mark = Mark { word: "do not treat", shape: "octagon", class: "strength-never" };
/// Mark of going on.
const GO_ON: Mark = Mark { word: "go on", shape: "arrow", class: "state-approved" };

/// When to go on; then one stop line for each urgency and destination with the names of its flags, then the names
/// of the cautions: first those that put a person outside the protocol.
pub fn at_a_glance(site: &Site<'_>, idx: Idx<Protocol>, flags: &[FlagView], steps: &[StepView]) -> Vec<Block> {
    let mut out = vec![go_on()];
    out.extend(flag_names(flags));
    let (outside, inside): (Vec<CautionView>, Vec<CautionView>) = stop::cautions(site, idx).into_iter().partition(|c| c.excluded);
    let names = |list: Vec<CautionView>| list.into_iter().map(|c| (c.id, c.link.text)).collect::<Vec<_>>();
    out.extend(outside_of(stop::OUTSIDE, not_for(&site.catalog.protocols[idx]).into_iter().collect(), &names(outside)));
    out.extend(altered(&names(inside), steps));
    out
}

/// Whose yes changes steps: for whom numbers are not worked out, then the names of conditions.
pub(super) fn altered(names: &[(String, String)], steps: &[StepView]) -> Option<Block> {
    let mut said = not_worked_out(steps);
    let Some(mut block) = caution_names(ALTERED, names) else {
        let last = said.last_mut()?;
        last.text = last.text.trim_end_matches("\u{a0}·").to_string() + ".";
        return Some(stop_block(ALTERED, said));
    };
    if let Some(line) = block.item.lines.first_mut() {
        line.splice(0..0, said);
    }
    Some(block)
}

/// For whom the numbers of which steps are not worked out; with the steps, since no condition names them.
fn not_worked_out(steps: &[StepView]) -> Vec<Piece> {
    // Whom a condition of that name keeps from the step is named once, among the conditions.
    let named = |s: &StepView, who: &str| s.altered.kept_from.iter().any(|n| n.to_lowercase() == who.to_lowercase());
    let mut found: BTreeMap<&'static str, Vec<u32>> = BTreeMap::new();
    for s in steps {
        for who in s.thermal.iter().flat_map(|t| &t.not_for).filter(|w| !named(s, w)) {
            found.entry(*who).or_default().push(s.number);
        }
    }
    let steps = |n: &[u32]| format!("{}\u{a0}{}", if n.len() == 1 { "step" } else { "steps" }, words::ranges(n));
    found.into_iter().map(|(who, n)| piece("", format!("{} ({})\u{a0}·", words::capital(who), steps(&n)))).collect()
}

/// Who is outside: in the author's words, then by condition. Either may be all there is.
pub(super) fn outside_of(mark: Mark, words: Vec<Piece>, names: &[(String, String)]) -> Option<Block> {
    let named = caution_names(mark, names);
    let mut block = named.unwrap_or_else(|| stop_block(mark, vec![Piece::default()]));
    let line = block.item.lines.first_mut().filter(|_| !(words.is_empty() && names.is_empty()))?;
    line.retain(|p| !p.text.is_empty());
    let last = words.len().checked_sub(1).filter(|_| line.is_empty());
    let said = words.into_iter().enumerate().map(|(i, w)| Piece { text: name_in_a_list(&w.text, last == Some(i)), ..w });
    line.splice(0..0, said.collect::<Vec<_>>());
    Some(block)
}

/// For whom the protocol is not.
pub(super) fn not_for(protocol: &Protocol) -> Option<Piece> {
    protocol.not_for().map(|said| piece("", said.value.trim_end_matches('.')))
}

/// One stop line for each urgency and destination with the names of its flags.
pub(super) fn flag_names(flags: &[FlagView]) -> Vec<Block> {
    let mut out = Vec::new();
    for group in flags.chunk_by(same_way) {
        let Some(first) = group.first() else { continue };
        let names =
            group.iter().map(|f| Piece { flag: Some(f.id.clone()), ..piece("", name_in_a_list(&f.link.text, f.id == last_id(group))) });
        let item = Item { stop: Some(stop_line(first)), lines: vec![names.collect()], brief: true, ..Item::default() };
        out.push(block(MAY_I, "stop", item));
    }
    out
}

/// A stop line with the ids and names of cautions; `None` if there are none.
pub(super) fn caution_names(mark: Mark, list: &[(String, String)]) -> Option<Block> {
    let last = list.len().checked_sub(1)?;
    let name =
        |(i, (id, name)): (usize, &(String, String))| Piece { condition: Some(id.clone()), ..piece("", name_in_a_list(name, i == last)) };
    let names = list.iter().enumerate().map(name).collect();
    Some(stop_block(mark, names))
}

fn stop_block(mark: Mark, names: Vec<Piece>) -> Block {
    let stop = Some(StopLine { mark, text: words::capital(mark.word) });
    let item = Item { stop, lines: vec![names], brief: true, ..Item::default() };
    block(MAY_I, "stop", item)
}

fn last_id(group: &[FlagView]) -> &str {
    group.last().map_or("", |f| &f.id)
}

fn name_in_a_list(name: &str, last: bool) -> String {
    if last { format!("{name}.") } else { format!("{name}\u{a0}·") }
}

fn same_way(a: &FlagView, b: &FlagView) -> bool {
    a.urgency.word == b.urgency.word && a.destination == b.destination
}

fn stop_line(flag: &FlagView) -> StopLine {
    // Whoever is sent on is not treated, now or the same day: one shape for all that says so.
    StopLine { mark: Mark { shape: "octagon", ..flag.urgency }, text: format!("Send {}: {}", flag.urgency.word, flag.destination) }
}

/// Every question of a red flag under the way to send the person on, and for the most urgent what is done
/// meanwhile.
pub fn questions(flags: &[FlagView]) -> Vec<Block> {
    let mut out = Vec::new();
    for group in flags.chunk_by(same_way) {
        let Some(first) = group.first() else { continue };
        let how = format!("{}. {}", words::capital(first.clock), first.how.clone().unwrap_or_default());
        let way = vec![piece(&stop_line(first).text, how)];
        out.push(Block { keep_next: true, ..block(QUESTIONS, "questions", Item { lines: vec![way], ..Item::default() }) });
        for flag in group {
            let asked = Piece { flag: Some(flag.id.clone()), ..piece(&flag.link.text, &flag.question) };
            let urgent = flag.urgency.class == words::urgency(Urgency::Now).class;
            let meanwhile = urgent.then(|| piece("Meanwhile", &flag.meanwhile));
            let pieces = std::iter::once(asked).chain(meanwhile).collect();
            out.push(block(QUESTIONS, "questions", Item { lines: vec![pieces], ..Item::default() }));
        }
    }
    out
}

/// Mark of conditions that bar, limit or hold up single steps; which and how stands further on.
pub(super) const ALTERED: Mark = Mark { word: "if yes, leave out or change steps", shape: "triangle", class: "strength-limit" };

/// The questions behind the conditions that put a person outside, with ids and names.
pub fn outside(mark: Mark, words: Vec<Piece>, list: &[(String, String, String)]) -> Vec<Block> {
    let one = |(id, name, question): &(String, String, String)| {
        let asked = Piece { condition: Some(id.clone()), ..piece(name, question) };
        block(QUESTIONS, "questions", Item { lines: vec![vec![asked]], ..Item::default() })
    };
    let head = Item { lead: Some(words::capital(mark.word)), brief: true, ..Item::default() };
    let words = words.into_iter().map(|w| Piece { text: format!("{}.", w.text), ..w });
    let words = words.map(|w| block(QUESTIONS, "questions", Item { lines: vec![vec![w]], ..Item::default() })).collect::<Vec<_>>();
    let head = (!list.is_empty() || !words.is_empty()).then(|| Block { keep_next: true, ..block(QUESTIONS, "questions", head) });
    head.into_iter().chain(words).chain(list.iter().map(one)).collect()
}

/// What each caution that leaves the protocol open asks, and what it does to which steps.
pub fn cautions(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let (facts, combinations) = (&site.facts.of(idx).cautions, &site.facts.of(idx).combinations);
    let mut out = Vec::new();
    for (caution, view) in facts.iter().zip(stop::cautions(site, idx)).filter(|(_, v)| !v.excluded) {
        let name = Piece { condition: Some(view.id.clone()), ..piece(&view.link.text, &view.question) };
        let condition = &site.catalog.conditions[caution.condition];
        let own = effects(site, idx, (condition, &condition.rules), &caution.hits);
        let joint = combinations.iter().filter(|c| !c.partners(caution.condition).is_empty()).zip(&view.together);
        let together = joint.map(|(c, t)| with_others(&t.with, effects(site, idx, c.rows(site.catalog), &c.hits)));
        let pieces = std::iter::once(name).chain(own).chain(together).collect();
        out.push(block(CHANGES, "cautions", Item { lines: vec![pieces], ..Item::default() }));
    }
    with_legend(out)
}

/// Blocks of cautions under what their words of strength ask for.
pub(super) fn with_legend(cautions: Vec<Block>) -> Vec<Block> {
    if cautions.is_empty() { cautions } else { std::iter::once(legend()).chain(cautions).collect() }
}

/// What the words of strength ask for.
fn legend() -> Block {
    let told = [
        (Strength::Never, "leave out"),
        (Strength::NotHere, "leave out where the trouble is"),
        (Strength::Limit, "no more than this"),
        (Strength::AskFirst, "written clearance first"),
        (Strength::Watch, "watch closely"),
    ];
    let mut line = told.map(|(strength, what)| piece(&words::capital(strength.word()), what)).to_vec();
    line.push(piece("Where several meet", "the strictest holds, of limits the lowest"));
    Block { keep_next: true, ..block(CHANGES, "cautions", Item { lines: vec![line], ..Item::default() }) }
}

/// What a condition does together with others, in one piece.
pub(super) fn with_others(with: &[Link], effects: Vec<Piece>) -> Piece {
    let effects: Vec<String> = effects.into_iter().map(|p| format!("{}: {}", p.label, p.text)).collect();
    piece(&words::together_with(with), effects.join("; "))
}

/// What a caution does, by the numbers of steps and home items.
///
fn effects(site: &Site<'_>, idx: Idx<Protocol>, rows: Rows<'_>, all: &[Hit]) -> Vec<Piece> {
    let mut steps: BTreeMap<(bool, usize), Vec<&Hit>> = BTreeMap::new();
    for hit in all {
        steps.entry((hit.home, hit.step)).or_default().push(hit);
    }
    let mut groups: BTreeMap<Told, Numbers> = BTreeMap::new();
    for ((home, row), hits) in steps {
        for told in told(site, idx, rows, &hits, Given::Beyond) {
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
            (!numbers.is_empty()).then(|| format!("{word}\u{a0}{}", words::ranges(numbers).replace(' ', "\u{a0}")))
        };
        let parts = [list(&mut self.steps, "step", "steps"), list(&mut self.home, "home", "home")];
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn who_is_outside_is_said_in_words_by_condition_or_both() {
        let said = |words: Option<&str>, names: &[&str]| {
            let names: Vec<(String, String)> = names.iter().map(|n| (n.to_string(), n.to_string())).collect();
            let block = outside_of(stop::OUTSIDE, words.iter().map(|w| piece("", *w)).collect(), &names)?;
            Some(block.item.lines.iter().flatten().map(|p| p.text.replace('\u{a0}', " ")).collect::<Vec<_>>().join(" "))
        };
        assert_eq!(said(None, &[]), None);
        assert_eq!(said(Some("Children"), &[]).as_deref(), Some("Children."));
        assert_eq!(said(None, &["Fever"]).as_deref(), Some("Fever."));
        assert_eq!(said(Some("Children"), &["Fever", "Gout"]).as_deref(), Some("Children · Fever · Gout."));
    }
}
