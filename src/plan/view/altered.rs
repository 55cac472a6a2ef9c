//! For whom a step or home item is left out, lowered or held up, by name: what each caution says of its steps, turned round, so
//! that whoever stands at a step with large numerals need not look every condition up.
//!
//! What is left out only where the trouble is shows itself there, and pairs of conditions are many: neither is named
//! here. Where a step has one, card, page and room view send on to the cautions, which have everything.

use super::parts::Pair;
use super::session::cautions::Effect;
use super::told::{AS_WRITTEN, Given, Told, told};
use crate::compute::cautions::{Caution, Hit};
use crate::compute::session::Visit;
use crate::model::Idx;
use crate::model::docs::Protocol;
use crate::model::vocabulary::Strength;
use crate::plan::site::Site;
use crate::plan::words;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// What conditions do to one step or home item.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Changes {
    /// For whom it is left out, lower, or waits for clearance, by name.
    pub rows: Vec<Pair>,
    /// True if something local or two conditions together change it; the cautions say what.
    pub more: bool,
    /// Names of those for whom it is left out or waits for clearance.
    #[serde(skip)]
    pub kept_from: Vec<String>,
}

/// What conditions do to steps, by the numbers of the steps; or to home items, by theirs.
#[derive(Default)]
pub struct Altered {
    /// Names of conditions by what they do.
    named: BTreeMap<u32, BTreeMap<Told, Vec<String>>>,
    /// Steps that something local or a pair changes.
    more: BTreeSet<u32>,
}

impl Altered {
    /// Those that leave a protocol open, at its steps.
    pub fn of_protocol(site: &Site<'_>, idx: Idx<Protocol>) -> Self {
        Self::at(site, idx, false, site.catalog.protocols[idx].steps.iter().map(|s| s.number.value))
    }

    /// The same at its home items, which are numbered from 1.
    pub fn of_home(site: &Site<'_>, idx: Idx<Protocol>) -> Self {
        Self::at(site, idx, true, (1..).take(site.catalog.protocols[idx].home.len()))
    }

    fn at(site: &Site<'_>, idx: Idx<Protocol>, home: bool, numbers: impl Iterator<Item = u32>) -> Self {
        let mut out = Self::default();
        let (protocol, facts) = (&site.catalog.protocols[idx], site.facts.of(idx));
        let stays = |c: &&Caution| !protocol.population.excludes.iter().any(|e| e.to == Some(c.condition));
        for (row, number) in numbers.enumerate() {
            let here = |hits: &[Hit]| hits.iter().filter(|h| h.home == home && h.step == row).copied().collect::<Vec<_>>();
            for caution in facts.cautions.iter().filter(stays) {
                let (condition, hits) = (&site.catalog.conditions[caution.condition], here(&caution.hits));
                let hits: Vec<&Hit> = hits.iter().collect();
                if !hits.is_empty() {
                    let told = told(site, idx, (condition, &condition.rules), &hits, Given::Beyond);
                    told.iter().for_each(|t| out.put(number, t, &condition.name.value));
                }
            }
            let pairs = facts.combinations.iter().flat_map(|c| here(&c.hits));
            out.more.extend(pairs.filter(|h| h.strength < Strength::Watch).map(|_| number));
        }
        out
    }

    /// Those that leave a session open. Whoever is outside one of its protocols is named at the acts of that protocol.
    pub fn of_session(site: &Site<'_>, visit: &Visit, effects: &[Effect]) -> Self {
        let mut out = Self::default();
        for effect in effects {
            let name = &site.catalog.conditions[effect.condition].name.value;
            effect.told.each(|told, number| out.put(number, told, name));
            for joint in &effect.together {
                joint.told.each(|told, number| out.more.extend((told.0 < Strength::Watch).then_some(number)));
            }
            if effect.outside.len() == visit.parts.len() {
                continue;
            }
            for (number, act) in (1..).zip(&visit.acts) {
                if act.steps.members.iter().all(|m| effect.outside.contains(&m.part)) {
                    out.put(number, &(Strength::Never, String::new()), name);
                }
            }
        }
        out
    }

    /// Watching, and a limit that the step keeps to, change nothing. One act may stand for several protocols.
    fn put(&mut self, step: u32, told: &Told, name: &str) {
        if told.0 >= Strength::Watch || told.1 == AS_WRITTEN {
            return;
        }
        if told.0 == Strength::NotHere {
            self.more.insert(step);
        } else {
            let names = self.named.entry(step).or_default().entry(told.clone()).or_default();
            if !names.iter().any(|n| n == name) {
                names.push(name.to_string());
            }
        }
    }

    /// What they do to a step or home item, by its number.
    pub fn of(&self, number: u32) -> Changes {
        let rows = self.named.get(&number).into_iter().flatten();
        let kept_from = rows.clone().filter(|((strength, _), _)| matches!(strength, Strength::Never | Strength::AskFirst));
        Changes {
            rows: rows.map(|((strength, limits), names)| said(*strength, limits, &names.join("; "))).collect(),
            more: self.more.contains(&number),
            kept_from: kept_from.flat_map(|(_, names)| names.clone()).collect(),
        }
    }
}

/// A row for each thing that is asked for, the number first, so that it is read as that of all the names behind it and of no other.
fn said(strength: Strength, limits: &str, names: &str) -> Pair {
    let (label, text) = match limits.strip_prefix(AS_WRITTEN).and_then(|rest| rest.strip_prefix("; ")) {
        Some(instead) => ("Instead for".into(), format!("{names}: {instead}")),
        None if strength == Strength::Never => ("Leave out for".into(), names.into()),
        None if strength == Strength::AskFirst => ("Written clearance first for".into(), names.into()),
        None if are_numbers(limits) => (format!("{} for", words::capital(limits)), names.into()),
        None => ("Lower for".into(), format!("{names}: {limits}")),
    };
    Pair { label, text }
}

/// True if a limit says numbers and nothing else: no reason, and no alternative, which is never read as part of a label.
fn are_numbers(limits: &str) -> bool {
    limits.split("; ").flat_map(|l| l.split(", ")).all(|l| l.contains("at most ") || l.contains(" layers"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_row_has_the_names_and_the_numbers_of_one_thing() {
        let mut altered = Altered::default();
        let told = [
            (Strength::Limit, "pain at most 2/10", "A"),
            (Strength::Limit, "pain at most 2/10", "B, or b"),
            (Strength::Limit, "no more than written; else rest", "C"),
            (Strength::Limit, "hold at most 5 s; else rest; pain at most 2/10", "I"),
            (Strength::Limit, "seen 2 times", "J"),
            (Strength::Limit, AS_WRITTEN, "D"),
            (Strength::Never, "", "E"),
            (Strength::Never, "", "E"),
            (Strength::AskFirst, "", "F"),
            (Strength::Watch, "", "G"),
            (Strength::NotHere, "", "H"),
        ];
        for (strength, limits, name) in told {
            altered.put(7, &(strength, limits.to_string()), name);
        }
        let rows = altered.named[&7].iter().map(|((s, l), n)| said(*s, l, &n.join("; ")));
        let rows: Vec<String> = rows.map(|p| format!("{} {}", p.label, p.text)).collect();
        let wanted = [
            "Leave out for E",
            "Lower for I: hold at most 5 s; else rest; pain at most 2/10",
            "Instead for C: else rest",
            "Pain at most 2/10 for A; B, or b",
            "Lower for J: seen 2 times",
            "Written clearance first for F",
        ];
        assert_eq!(rows, wanted);
        assert!(altered.more.contains(&7));
    }
}
