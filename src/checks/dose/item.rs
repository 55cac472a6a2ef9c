//! Steps and home items seen alike: what carries a dose, with its technique.

use crate::checks::Case;
use crate::compute::steps::StepFacts;
use crate::model::Idx;
use crate::model::docs::{Dose, Ground, JointAngle, Pack, Protocol, Technique};
use crate::source::{Span, Text};

/// A step or home item whose technique is known.
pub struct Item<'a> {
    /// Its protocol.
    pub protocol: Idx<Protocol>,
    /// Pack of the protocol.
    pub pack: &'a Pack,
    /// For messages: "step 6".
    pub name: String,
    /// What is done.
    pub technique: &'a Technique,
    /// Dose.
    pub dose: &'a Dose,
    /// Ground of the dose.
    pub ground: &'a Ground,
    /// Joint angles that it sets.
    pub joints: &'a [JointAngle],
    /// What was computed.
    pub facts: &'a StepFacts,
    /// Instruction, for labels.
    pub at: Span,
    /// Keys and texts that a person reads next to the dose.
    pub texts: Vec<(&'static str, &'a Text)>,
    /// Row of the home item; `None` for a step.
    pub home: Option<usize>,
}

impl Item<'_> {
    /// Where the dose stands, or the instruction if there is none.
    pub fn dose_at(&self) -> Span {
        self.dose.span.unwrap_or(self.at)
    }

    /// Where the value of a parameter stands, or the dose.
    pub fn entry_at(&self, name: &str) -> Span {
        self.dose.entry(name).map_or_else(|| self.dose_at(), |e| e.span)
    }
}

/// All steps, then all home items, of each protocol in turn.
pub fn items<'a>(case: &Case<'a>) -> Vec<Item<'a>> {
    let mut out = Vec::new();
    for (own, protocol) in case.catalog.protocols.iter() {
        let (facts, pack) = (case.facts.of(own), &case.catalog.packs[protocol.head.pack]);
        for (step, facts) in protocol.steps.iter().zip(&facts.steps) {
            let Some(technique) = step.technique.to else { continue };
            out.push(Item {
                protocol: own,
                pack,
                name: format!("step {}", step.number.value),
                technique: &case.catalog.techniques[technique],
                dose: &step.dose,
                ground: &step.ground,
                joints: &step.joints,
                facts,
                at: step.action.span,
                texts: texts(&[("do", Some(&step.action)), ("success", step.success.as_ref()), ("monitoring", step.monitoring.as_ref())]),
                home: None,
            });
        }
        for (i, (item, facts)) in protocol.home.iter().zip(&facts.home).enumerate() {
            let Some(technique) = item.technique.to else { continue };
            out.push(Item {
                protocol: own,
                pack,
                name: format!("home item `{}`", item.name.value),
                technique: &case.catalog.techniques[technique],
                dose: &item.dose,
                ground: &item.ground,
                joints: &item.joints,
                facts,
                at: item.action.span,
                texts: texts(&[("name", Some(&item.name)), ("do", Some(&item.action))]),
                home: Some(i),
            });
        }
    }
    out
}

fn texts<'a>(all: &[(&'static str, Option<&'a Text>)]) -> Vec<(&'static str, &'a Text)> {
    all.iter().filter_map(|(key, text)| text.map(|t| (*key, t))).collect()
}

/// A name as it stands inside a sentence: its first letter small.
pub fn inside(name: &str) -> String {
    let mut rest = name.chars();
    rest.next().map_or_else(String::new, |first| first.to_lowercase().chain(rest).collect())
}
