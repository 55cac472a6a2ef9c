//! For whom a step is left out, lowered or held up, by name: what each caution says of its steps, turned round, so that
//! whoever stands at a step with large numerals need not look every condition up.
//!
//! What is left out only where the trouble is shows itself there, and pairs of conditions are many: both are sent on to
//! the bar of the cautions, which has everything.

use super::{ask, piece};
use crate::compute::cautions::Hit;
use crate::model::Idx;
use crate::model::docs::Protocol;
use crate::model::vocabulary::Strength;
use crate::plan::fit::sends_to;
use crate::plan::site::Site;
use crate::plan::view::card::Piece;
use crate::plan::view::parts::Mark;
use crate::plan::view::protocol::stop;
use crate::plan::view::session::cautions::Effect;
use crate::plan::view::told::{AS_WRITTEN, Given, Told, told};
use std::collections::BTreeMap;

/// Shape of what changes a step.
const CHANGED: Mark = Mark { word: "leave out or change", shape: "triangle", class: "strength-limit" };

/// Names of conditions by what they do, by the number of the step; a step may have none and yet be sent on.
#[derive(Default)]
pub(super) struct Altered(BTreeMap<u32, BTreeMap<Told, Vec<String>>>);

impl Altered {
    /// Those that leave a protocol open.
    pub(super) fn of_protocol(site: &Site<'_>, idx: Idx<Protocol>) -> Self {
        let mut out = Self::default();
        for (caution, _) in site.facts.of(idx).cautions.iter().zip(stop::cautions(site, idx)).filter(|(_, v)| !v.excluded) {
            let condition = &site.catalog.conditions[caution.condition];
            for (row, step) in site.catalog.protocols[idx].steps.iter().enumerate() {
                let here: Vec<&Hit> = caution.hits.iter().filter(|h| !h.home && h.step == row).collect();
                if !here.is_empty() {
                    let told = told(site, idx, (condition, &condition.rules), &here, Given::Beyond);
                    told.iter().for_each(|t| out.put(step.number.value, t, &condition.name.value));
                }
            }
        }
        out
    }

    /// Those that leave a session open.
    pub(super) fn of_session(site: &Site<'_>, effects: &[Effect]) -> Self {
        let mut out = Self::default();
        for effect in effects {
            let name = &site.catalog.conditions[effect.condition].name.value;
            effect.told.each(|told, number| out.put(number, told, name));
        }
        out
    }

    /// Watching, and a limit that the step keeps to, change nothing.
    fn put(&mut self, step: u32, told: &Told, name: &str) {
        if told.0 < Strength::Watch && told.1 != AS_WRITTEN {
            self.0.entry(step).or_default().entry(told.clone()).or_default().push(name.to_string());
        }
    }

    /// What is said of a step; empty if nobody changes it.
    pub(super) fn at(&self, step: u32) -> Vec<Piece> {
        let Some(told) = self.0.get(&step) else { return Vec::new() };
        let mut out: Vec<Piece> = Vec::new();
        for ((strength, limits), names) in told {
            let Some(label) = label(*strength) else { continue };
            let names = names.join(", ");
            let text = if limits.is_empty() { names } else { format!("{names}: {limits}") };
            match out.last_mut().filter(|p| p.label == label) {
                Some(last) => last.text = format!("{}; {text}", last.text),
                None => out.push(piece(label, text)),
            }
        }
        let rest = if out.is_empty() { "Cautions: page" } else { "Where there is trouble, and pairs: page" };
        if let Some(last) = out.last_mut() {
            last.text.push_str("\u{a0}·");
        }
        out.push(sends_to(ask::CHANGES, rest));
        if let Some(first) = out.first_mut() {
            first.mark = Some(CHANGED);
        }
        out
    }
}

/// What is asked of whoever carries the step out; `None` for what is told where it holds.
fn label(strength: Strength) -> Option<&'static str> {
    match strength {
        Strength::Never => Some("Leave out for"),
        Strength::Limit => Some("Lower for"),
        Strength::AskFirst => Some("Written clearance first for"),
        Strength::NotHere | Strength::Watch | Strength::None => None,
    }
}
