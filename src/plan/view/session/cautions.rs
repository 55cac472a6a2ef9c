//! What each condition does in an appointment, by the numbers of its acts: alone and together with others. The page and
//! the card of a session show the same, gathered here once.

use super::acts::{number, short};
use crate::compute::cautions::Hit;
use crate::compute::numb::At;
use crate::compute::session::Visit;
use crate::compute::together::Combination;
use crate::model::docs::{Condition, Protocol};
use crate::model::vocabulary::Strength;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, text};
use crate::plan::view::parts::{Link, Mark};
use crate::plan::view::protocol::stop;
use crate::plan::view::told::{Given, Rows, Told, told};
use crate::plan::words;
use serde::Serialize;
use std::collections::BTreeMap;

/// What a condition does in an appointment.
pub struct Effect {
    /// The condition.
    pub condition: Idx<Condition>,
    /// Strongest strength over all protocols.
    pub strength: Strength,
    /// Protocols that are left out on a yes, by their places in the appointment.
    pub outside: Vec<usize>,
    /// Protocols of which it changes or watches steps.
    pub touched: Vec<usize>,
    /// What it does to which acts and home items.
    pub told: ByAct,
    /// Together with others, one of which is enough.
    pub together: Vec<Joint>,
}

/// What several conditions do together.
pub struct Joint {
    /// The others.
    pub with: Vec<Idx<Condition>>,
    /// Strongest strength.
    pub strength: Strength,
    /// Why.
    pub reason: String,
    /// What they do to which acts and home items.
    pub told: ByAct,
}

impl Effect {
    /// What a yes comes to: the whole session or a protocol is left out, or the strongest that it does to a step.
    pub fn mark(&self, visit: &Visit) -> Mark {
        match self.outside.len() {
            0 => stop::mark(self.strength),
            n if n == visit.parts.len() => OUTSIDE_ALL,
            _ => OUTSIDE,
        }
    }
}

/// What is told, with the numbers of acts and the home items that it is told of.
#[derive(Default)]
pub struct ByAct(BTreeMap<Told, (Vec<u32>, Vec<String>)>);

impl ByAct {
    fn add(&mut self, site: &Site<'_>, (visit, part): (&Visit, usize), rows: Rows<'_>, hits: &[Hit], given: Given) {
        let mut steps: BTreeMap<(bool, usize), Vec<&Hit>> = BTreeMap::new();
        for hit in hits {
            steps.entry((hit.home, hit.step)).or_default().push(hit);
        }
        let Some(protocol) = visit.parts.get(part) else { return };
        for ((home, row), hits) in steps {
            for told in told(site, *protocol, rows, &hits, given) {
                let (numbers, homes) = self.0.entry(told).or_default();
                if home {
                    homes.push(format!("home {} of {}", row + 1, short(site, visit, part)));
                } else {
                    numbers.extend(number(visit, At { part, step: row }));
                }
            }
        }
    }

    /// What is told of which act, each in turn.
    pub fn each(&self, mut say: impl FnMut(&Told, u32)) {
        for (told, (numbers, _)) in &self.0 {
            numbers.iter().for_each(|n| say(told, *n));
        }
    }

    /// Strength and text of each, strongest first: `steps 4–7, home 1 of Soleus: pain at most 2/10`.
    pub fn lines(self) -> Vec<(Strength, String)> {
        let one = |((strength, limits), (mut numbers, mut places)): (Told, (Vec<u32>, Vec<String>))| {
            numbers.sort_unstable();
            numbers.dedup();
            if !numbers.is_empty() {
                let word = if numbers.len() == 1 { "step" } else { "steps" };
                places.insert(0, format!("{word} {}", words::ranges(&numbers)));
            }
            let limits = if limits.is_empty() { limits } else { format!(": {limits}") };
            (strength, places.join(", ") + &limits)
        };
        self.0.into_iter().map(one).collect()
    }
}

/// Cautions of all protocols: first those that put a person outside all of them, then outside one, then by strength.
pub fn effects(site: &Site<'_>, visit: &Visit, given: Given) -> Vec<Effect> {
    let mut out: Vec<Effect> = site.catalog.conditions.iter().filter_map(|(idx, _)| effect(site, visit, idx, given)).collect();
    out.sort_by_key(|e| (std::cmp::Reverse(e.outside.len() == visit.parts.len()), e.outside.is_empty(), e.strength));
    out
}

fn effect(site: &Site<'_>, visit: &Visit, condition: Idx<Condition>, given: Given) -> Option<Effect> {
    let doc = &site.catalog.conditions[condition];
    let rows: Rows<'_> = (doc, &doc.rules);
    let mut strengths = Vec::new();
    let (mut outside, mut touched, mut own, mut together) = (Vec::new(), Vec::new(), ByAct::default(), Vec::new());
    for (part, protocol) in visit.parts.iter().enumerate() {
        let facts = site.facts.of(*protocol);
        let Some(caution) = facts.cautions.iter().find(|c| c.condition == condition) else { continue };
        strengths.push(caution.strength);
        if excludes(&site.catalog.protocols[*protocol], condition) {
            outside.push(part);
        } else {
            own.add(site, (visit, part), rows, &caution.hits, given);
            // What matters only together with another condition stands under that.
            touched.extend((!caution.hits.is_empty()).then_some(part));
        }
        for c in facts.combinations.iter().filter(|c| !c.partners(condition).is_empty()) {
            joint(site, &mut together, condition, c).told.add(site, (visit, part), c.rows(site.catalog), &c.hits, given);
        }
    }
    together.sort_by(|a, b| (a.strength, &a.with).cmp(&(b.strength, &b.with)));
    Some(Effect { condition, strength: strengths.into_iter().min()?, outside, touched, told: own, together })
}

fn excludes(protocol: &Protocol, condition: Idx<Condition>) -> bool {
    protocol.population.excludes.iter().any(|r| r.to == Some(condition))
}

/// The entry of a combination, which several protocols may share.
fn joint<'a>(site: &Site<'_>, all: &'a mut Vec<Joint>, own: Idx<Condition>, c: &Combination) -> &'a mut Joint {
    let reason = c.written(site.catalog).map_or_else(String::new, |t| t.reason.value.to_string());
    let known = all.iter().position(|j| j.with == c.partners(own) && j.reason == reason);
    let at = known.unwrap_or(all.len());
    if known.is_none() {
        all.push(Joint { with: c.partners(own).to_vec(), strength: c.strength, reason, told: ByAct::default() });
    }
    let joint = &mut all[at];
    joint.strength = joint.strength.min(c.strength);
    joint
}

/// A caution of a session.
#[derive(Debug, Serialize)]
pub struct SessionCaution {
    /// Id.
    pub id: String,
    /// Condition.
    pub link: Link,
    /// Question.
    pub question: String,
    /// Strongest strength with its shape.
    pub strength: Mark,
    /// Protocols that are left out on a yes.
    pub outside: Vec<Link>,
    /// Protocols of which it changes or watches some steps.
    pub protocols: Vec<Link>,
    /// What it does to which acts.
    pub effects: Vec<EffectView>,
    /// What it does together with others.
    pub together: Vec<SessionTogether>,
}

/// What is told of some acts.
#[derive(Debug, Serialize)]
pub struct EffectView {
    /// Strength with its shape.
    pub strength: Mark,
    /// Which acts and home items, and the numbers of limits.
    pub text: String,
}

/// What a condition does together with others in a session.
#[derive(Debug, Serialize)]
pub struct SessionTogether {
    /// The others: one of them is enough.
    pub with: Vec<Link>,
    /// Why.
    pub reason: String,
    /// What they do to which acts.
    pub effects: Vec<EffectView>,
}

/// Mark of conditions that put a person outside all protocols.
pub const OUTSIDE_ALL: Mark = Mark { word: "if yes, not this session", shape: "octagon", class: "strength-never" };
/// Mark of conditions that put a person outside some of the protocols.
pub const OUTSIDE: Mark = Mark { word: "if yes, a protocol is left out", shape: "square", class: "strength-not-here" };

/// Cautions for the page.
pub(super) fn views(site: &Site<'_>, visit: &Visit) -> Vec<SessionCaution> {
    effects(site, visit, Given::All).into_iter().map(|e| view(site, visit, e)).collect()
}

fn view(site: &Site<'_>, visit: &Visit, effect: Effect) -> SessionCaution {
    let c = &site.catalog.conditions[effect.condition];
    let strength = effect.mark(visit);
    let links = |parts: &[usize]| parts.iter().filter_map(|p| visit.parts.get(*p)).map(|p| site.link(doc(Kind::Protocol, *p))).collect();
    let together =
        effect.together.into_iter().map(|j| SessionTogether { with: with(site, &j.with), reason: j.reason, effects: shown(j.told) });
    SessionCaution {
        id: c.head.id.value.to_string(),
        link: site.link(doc(Kind::Condition, effect.condition)),
        question: text(&c.question).unwrap_or_else(|| c.name.value.to_string()),
        strength,
        outside: links(&effect.outside),
        protocols: links(&effect.touched),
        effects: shown(effect.told),
        together: together.collect(),
    }
}

fn shown(told: ByAct) -> Vec<EffectView> {
    told.lines().into_iter().map(|(strength, text)| EffectView { strength: words::strength(strength), text }).collect()
}

/// Links to conditions.
pub fn with(site: &Site<'_>, conditions: &[Idx<Condition>]) -> Vec<Link> {
    conditions.iter().map(|o| site.link(doc(Kind::Condition, *o))).collect()
}
