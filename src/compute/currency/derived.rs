//! What a protocol or session comes down to, in a form that outlives a run: the cells by which two editions, or a base
//! pack and a house pack, are compared. Fields can move the tight way while a cell moves the loose way.
//!
//! Steps are known by technique and turn (`held-pressure 2` is the second step with that technique), never by number:
//! a step put in front moves no other. Judging which way a cell moved is not here; see `compute/compare`.

use crate::compute::cautions::Hit;
use crate::compute::ledger::Ledger;
use crate::compute::steps::StepFacts;
use crate::compute::{Facts, ProtocolFacts};
use crate::model::docs::{Condition, Dose, Protocol, Rule, StopRule};
use crate::model::vocabulary::{Per, Role, Strength, Stressor, Urgency};
use crate::model::{Catalog, DocName, DocRef, Idx, Kind};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// All cells of one protocol or session.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Derived {
    /// Steps in order, home items after them. Empty for a session.
    pub steps: Vec<StepState>,
    /// Totals of session and week.
    pub totals: Vec<Total>,
    /// Red flags.
    pub flags: Vec<FlagState>,
    /// Seconds from first step to last, least and most; `None` for an open end.
    pub seconds: (f64, Option<f64>),
}

/// One step or home item.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct StepState {
    /// Technique and which turn of it.
    pub key: String,
    /// Number as shown on page and card; `home` and its name for a home item.
    pub shown: String,
    /// What is done.
    pub action: String,
    /// What the technique is for.
    pub role: Option<Role>,
    /// Id of the position, own or carried on.
    pub position: Option<String>,
    /// Palpation point and places, in words.
    pub target: Vec<String>,
    /// Stressors in the order of the technique, with the highest pain allowed.
    pub loads: Vec<(Stressor, Option<f64>)>,
    /// Strongest row of each condition and stressor.
    pub cautions: Vec<CautionState>,
    /// Stop rules, those of the technique first.
    pub stops: Vec<StopState>,
    /// Monitoring, own or of the technique.
    pub monitoring: Option<String>,
    /// Longest time between two looks, in seconds.
    pub monitoring_every: Option<f64>,
    /// Dose parameters in base units, least and most; words as they are.
    pub dose: BTreeMap<String, DoseState>,
}

/// A dose parameter.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DoseState {
    /// What it measures, least and most in base units; `None` for an open end.
    Amount(String, Option<f64>, Option<f64>),
    /// A word.
    Word(String),
}

/// A cell of the caution matrix.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct CautionState {
    /// The condition.
    pub condition: DocName,
    /// The other one of a pair, by name the later of the two; none for a condition alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub with: Option<DocName>,
    /// What it bears on.
    pub stressor: Stressor,
    /// How strongly.
    pub strength: Strength,
    /// Numbers of a limit.
    pub max: BTreeMap<String, DoseState>,
}

/// A stop rule.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct StopState {
    /// Sign.
    pub sign: String,
    /// Threshold.
    pub at: Option<String>,
    /// What to do, and where to go from there.
    pub act: String,
}

/// A total of the ledger, in base units.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Total {
    /// Skin, point or muscle in words.
    pub place: String,
    /// What adds up.
    pub stressor: Stressor,
    /// Time, passes or repeats.
    pub dim: String,
    /// Session or week.
    pub per: Per,
    /// Best case.
    pub least: f64,
    /// Worst case; `None` for an open end.
    pub most: Option<f64>,
}

/// A red flag of a protocol.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct FlagState {
    /// The flag.
    pub flag: DocName,
    /// How soon.
    pub urgency: Option<Urgency>,
    /// Where to.
    pub destination: Option<String>,
}

/// The cells of every protocol and session of a catalogue.
pub fn all(catalog: &Catalog, facts: &Facts) -> BTreeMap<DocName, Derived> {
    let protocols = catalog.docs(Kind::Protocol).zip(catalog.protocols.rows().iter().zip(&facts.protocols));
    let sessions = catalog.docs(Kind::Session).zip(&facts.sessions);
    protocols
        .map(|(doc, (protocol, facts))| (catalog.name(doc), of_protocol(catalog, protocol, facts)))
        .chain(sessions.map(|(doc, facts)| {
            let seconds = (facts.total.lo, end(facts.total.hi));
            (catalog.name(doc), Derived { totals: totals(catalog, &facts.ledger), seconds, ..Derived::default() })
        }))
        .collect()
}

fn of_protocol(catalog: &Catalog, protocol: &Protocol, facts: &ProtocolFacts) -> Derived {
    let mut turns: BTreeMap<String, usize> = BTreeMap::new();
    let mut key = |technique: &str| {
        let turn = turns.entry(technique.to_string()).or_default();
        *turn += 1;
        format!("{technique} {turn}")
    };
    let mut steps: Vec<StepState> = Vec::new();
    for (i, (step, own)) in protocol.steps.iter().zip(&facts.steps).enumerate() {
        let technique = &step.technique.written.value;
        steps.push(StepState {
            shown: step.number.value.to_string(),
            action: step.action.value.to_string(),
            monitoring: step.monitoring.as_ref().map(|t| t.value.to_string()),
            stops: step.stop.iter().map(stop).collect(),
            dose: dose(&step.dose),
            ..state(catalog, facts, own, key(technique), (i, false))
        });
    }
    for (i, (item, own)) in protocol.home.iter().zip(&facts.home).enumerate() {
        let technique = format!("home {}", item.technique.written.value);
        steps.push(StepState {
            shown: format!("home, {}", item.name.value),
            action: item.action.value.to_string(),
            stops: item.stop.iter().map(stop).collect(),
            dose: dose(&item.dose),
            ..state(catalog, facts, own, key(&technique), (i, true))
        });
    }
    for (step, own) in steps.iter_mut().zip(facts.steps.iter().chain(&facts.home)) {
        let Some(technique) = own.technique.map(|t| &catalog.techniques[t]) else { continue };
        step.stops.splice(0..0, technique.stop.iter().map(stop));
        step.monitoring = step.monitoring.take().or_else(|| technique.monitoring.as_ref().map(|t| t.value.to_string()));
    }
    let flags = facts.flags.flags.iter().map(|f| &catalog.flags[f.flag]).map(|flag| FlagState {
        flag: DocName { kind: Kind::Flag, id: flag.head.id.value.clone() },
        urgency: flag.urgency,
        destination: flag.destination.as_ref().map(|d| d.value.to_string()),
    });
    let total = facts.timeline.total;
    Derived { steps, totals: totals(catalog, &facts.ledger), flags: flags.collect(), seconds: (total.lo, end(total.hi)) }
}

/// What follows for a step; what is written is filled in by the caller.
fn state(catalog: &Catalog, facts: &ProtocolFacts, own: &StepFacts, key: String, at: (usize, bool)) -> StepState {
    let technique = own.technique.map(|t| &catalog.techniques[t]);
    let point = own.point.map(|n| format!("point {n}"));
    StepState {
        key,
        shown: String::new(),
        action: String::new(),
        role: technique.map(|t| t.role),
        position: own.position.map(|p| catalog.positions[p].head.id.value.to_string()),
        target: point.into_iter().chain(own.places.iter().map(|p| p.shown())).collect(),
        loads: own.loads.iter().map(|l| (l.stressor, l.peak)).collect(),
        cautions: cautions(catalog, facts, at),
        stops: Vec::new(),
        monitoring: None,
        monitoring_every: technique.and_then(|t| t.monitoring_every.as_ref()).map(|q| q.value.base().hi),
        dose: BTreeMap::new(),
    }
}

fn cautions(catalog: &Catalog, facts: &ProtocolFacts, (step, home): (usize, bool)) -> Vec<CautionState> {
    let name = |c: Idx<Condition>| catalog.name(DocRef { kind: Kind::Condition, row: u32::try_from(c.row()).unwrap_or(u32::MAX) });
    let state = |condition: DocName, with: Option<DocName>, rules: &[Rule], hit: &Hit| {
        let max = rules.get(hit.rule).map(|r| dose(&r.max)).unwrap_or_default();
        CautionState { condition, with, stressor: hit.stressor, strength: hit.strength, max }
    };
    let here = |h: &&Hit| (h.step, h.home) == (step, home);
    let mut out = Vec::new();
    for caution in &facts.cautions {
        let rules = &catalog.conditions[caution.condition].rules;
        out.extend(caution.hits.iter().filter(here).map(|h| state(name(caution.condition), None, rules, h)));
    }
    for c in &facts.combinations {
        for other in &c.others {
            // The same pair, whichever of the two it is written at.
            let (a, b) = (name(c.condition), name(*other));
            let (first, second) = if a <= b { (a, b) } else { (b, a) };
            let rules = c.rules(catalog);
            out.extend(c.hits.iter().filter(here).map(|h| state(first.clone(), Some(second.clone()), rules, h)));
        }
    }
    // Of several rows of one pair the strongest stands for them.
    out.sort_by(|a, b| (&a.condition, &a.with, a.stressor, a.strength).cmp(&(&b.condition, &b.with, b.stressor, b.strength)));
    out.dedup_by(|b, a| a.with.is_some() && (&a.condition, &a.with, a.stressor) == (&b.condition, &b.with, b.stressor));
    out
}

fn dose(dose: &Dose) -> BTreeMap<String, DoseState> {
    let entries = dose.entries.iter().filter_map(|e| {
        let name = &*e.name.value;
        let state = match dose.amount(name) {
            Some(amount) => {
                let base = amount.base();
                DoseState::Amount(amount.dim().word().to_string(), end(base.lo), end(base.hi))
            }
            None => DoseState::Word(dose.word(name)?.to_string()),
        };
        Some((name.to_string(), state))
    });
    entries.collect()
}

/// An end of a range; an open one is none, since JSON has no infinity.
fn end(x: f64) -> Option<f64> {
    x.is_finite().then_some(x)
}

fn stop(rule: &StopRule) -> StopState {
    let text = |t: &Option<crate::source::Text>| t.as_ref().map(|t| t.value.to_string());
    let act = [text(&rule.act), text(&rule.then)].into_iter().flatten().collect::<Vec<_>>().join("; then: ");
    StopState { sign: rule.sign.value.to_string(), at: text(&rule.at), act }
}

fn totals(catalog: &Catalog, ledger: &Ledger) -> Vec<Total> {
    let mut out = Vec::new();
    for cell in &ledger.cells {
        for per in [Per::Session, Per::Week] {
            let total = cell.total(per);
            let (place, dim) = (cell.key.shown(catalog), cell.dim.word().to_string());
            out.push(Total { place, stressor: cell.stressor, dim, per, least: total.lo, most: end(total.hi) });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::super::super::testing;
    use super::*;

    #[test]
    fn cells_outlive_a_run_as_json() {
        let catalog = testing::base();
        let all = all(&catalog, &crate::compute::compute(&catalog, crate::compute::testing::TODAY));
        let text = serde_json::to_string(&all).expect("can be written");
        assert_eq!(serde_json::from_str::<BTreeMap<DocName, Derived>>(&text).expect("can be read"), all);
        let soleus = &all[&DocName::read("protocols/soleus").expect("is a name")];
        let keys: Vec<&str> = soleus.steps.iter().map(|s| &*s.key).collect();
        assert!(keys.iter().any(|k| k.starts_with("home ")) && keys.iter().all(|k| k.ends_with(char::is_numeric)), "{keys:?}");
        assert!(soleus.totals.iter().any(|t| t.per == Per::Week && t.most.is_some_and(|x| x > 0.0)));
        assert!(soleus.steps.iter().any(|s| !s.cautions.is_empty() && !s.stops.is_empty()));
        assert!(!soleus.flags.is_empty() && soleus.seconds.1.is_some_and(|s| s > 0.0));
    }
}
