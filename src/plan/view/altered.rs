//! For whom a step is left out, lowered or held up, by name: what each caution says of its steps, turned round, so that
//! whoever stands at a step with large numerals need not look every condition up.
//!
//! What is left out only where the trouble is shows itself there, and pairs of conditions are many: neither is named
//! here. Card and room view send on to the cautions, which have everything.

use super::parts::Pair;
use super::protocol::steps::StepView;
use super::session::cautions::Effect;
use super::told::{AS_WRITTEN, Given, Told, told};
use crate::compute::cautions::{Caution, Hit};
use crate::model::Idx;
use crate::model::docs::Protocol;
use crate::model::vocabulary::Strength;
use crate::plan::site::Site;
use std::collections::BTreeMap;

/// Names of conditions by what they do, by the number of the step; a step may have none and yet be sent on.
#[derive(Default)]
pub struct Altered(BTreeMap<u32, BTreeMap<Told, Vec<String>>>);

impl Altered {
    /// Those that leave a protocol open.
    pub fn of_protocol(site: &Site<'_>, idx: Idx<Protocol>) -> Self {
        let mut out = Self::default();
        let excludes = &site.catalog.protocols[idx].population.excludes;
        let stays = |c: &&Caution| !excludes.iter().any(|e| e.to == Some(c.condition));
        for caution in site.facts.of(idx).cautions.iter().filter(stays) {
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
    pub fn of_session(site: &Site<'_>, effects: &[Effect]) -> Self {
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

    /// Tells a step by its number.
    pub fn tell(&self, step: &mut StepView) {
        let told = self.at(step.number);
        step.altered_more = told.is_some();
        step.altered = told.unwrap_or_default();
    }

    /// Names by what is asked for; empty where all that changes a step is local or a pair, `None` if nothing does.
    fn at(&self, step: u32) -> Option<Vec<Pair>> {
        let mut out: Vec<Pair> = Vec::new();
        for ((strength, limits), names) in self.0.get(&step)? {
            let Some(label) = label(*strength) else { continue };
            let names = names.join(", ");
            let text = if limits.is_empty() { names } else { format!("{names}: {limits}") };
            match out.last_mut().filter(|p| p.label == label) {
                Some(last) => last.text = format!("{}; {text}", last.text),
                None => out.push(Pair { label: label.into(), text }),
            }
        }
        Some(out)
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
