//! Which steps of several protocols are done once in one appointment.
//!
//! Two steps are one if they are the same act: the same technique in the same position, and the same words, dose
//! or measure at the same place, or a place that the other covers. What is about something else in each protocol
//! (the plan, the after-care) is said in one go, and takes at most as long as both; what is one act takes as long
//! as the longer of the two. Steps stay apart if doing them together would turn the order of a protocol round.

use super::{Once, Part};
use crate::compute::numb::At;
use crate::compute::steps::StepFacts;
use crate::model::docs::{Dose, DoseValue, Position, Step};
use crate::model::interval::Interval;
use crate::model::region::{Tag, regions};
use crate::model::unit::Dim;
use crate::model::vocabulary::{Role, Stressor};
use crate::model::{Catalog, Idx, quantity};
use crate::source::Text;
use std::collections::BTreeSet;

/// Steps that are one act.
#[derive(Clone, Debug)]
pub struct Group {
    /// The step that is carried out: its places cover those of the others.
    pub lead: At,
    /// All steps, in order of the protocols.
    pub members: Vec<At>,
    /// What makes them one, if they are several.
    pub once: Option<Once>,
}

/// Every step on its own.
pub fn apart(parts: &[Part<'_>]) -> Vec<Group> {
    let of = |(part, p): (usize, &Part<'_>)| (0..p.doc.steps.len().min(p.facts.steps.len())).map(move |step| At { part, step });
    parts.iter().enumerate().flat_map(of).map(|at| Group { lead: at, members: vec![at], once: None }).collect()
}

/// Steps with what is done once taken together.
pub fn together(catalog: &Catalog, parts: &[Part<'_>]) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for single in apart(parts) {
        let fits = (0..groups.len()).find_map(|g| {
            let joined = join(catalog, parts, &groups, g, single.lead)?;
            let mut trial = groups.clone();
            trial[g] = joined.clone();
            in_order(&trial).then_some((g, joined))
        });
        match fits {
            Some((g, joined)) => groups[g] = joined,
            None => groups.push(single),
        }
    }
    groups
}

/// A group with one more step; `None` if it does not belong there.
fn join(catalog: &Catalog, parts: &[Part<'_>], groups: &[Group], g: usize, at: At) -> Option<Group> {
    let group = groups.get(g)?;
    if group.members.iter().any(|m| m.part == at.part) {
        return None;
    }
    let mut once = None;
    for member in &group.members {
        let one = same(catalog, parts, groups, *member, at)?;
        if once.is_some_and(|o| o != one) {
            return None;
        }
        once = Some(one);
    }
    let members: Vec<At> = group.members.iter().copied().chain([at]).collect();
    let facts = |at: At| step(parts, at).map(|(_, f)| f);
    let covers = |lead: &At| members.iter().all(|m| facts(*lead).zip(facts(*m)).is_some_and(|(l, m)| covers(l, m)));
    let lead = match once? {
        Once::Tested | Once::Warmed | Once::Looked => members.iter().copied().find(|m| covers(m))?,
        _ => members.iter().copied().find(|m| needs(catalog, parts, *m).is_some()).unwrap_or(group.lead),
    };
    Some(Group { lead, members, once })
}

/// A step with what follows from it.
pub fn step<'a>(parts: &[Part<'a>], at: At) -> Option<(&'a Step, &'a StepFacts)> {
    let part = parts.get(at.part)?;
    Some((part.doc.steps.get(at.step)?, part.facts.steps.get(at.step)?))
}

/// The position in which a step has to be done; `None` if the person may stay as they are. Talk that names no
/// position needs none: whoever lies covered can be asked and told as well.
pub fn needs(catalog: &Catalog, parts: &[Part<'_>], at: At) -> Option<Idx<Position>> {
    let (own, facts) = step(parts, at)?;
    let role = facts.technique.map(|t| catalog.techniques[t].role);
    let talk = matches!(role, Some(Role::Consent | Role::Education)) && own.position.is_none();
    facts.position.filter(|_| !talk)
}

fn covers(outer: &StepFacts, inner: &StepFacts) -> bool {
    inner.places.iter().all(|p| outer.places.contains(p))
}

/// What makes two steps of different protocols one; `None` if they are two.
fn same(catalog: &Catalog, parts: &[Part<'_>], groups: &[Group], a: At, b: At) -> Option<Once> {
    let ((first, x), (second, y)) = (step(parts, a)?, step(parts, b)?);
    if x.technique.is_none() || x.technique != y.technique {
        return None;
    }
    if let (Some(p), Some(q)) = (needs(catalog, parts, a), needs(catalog, parts, b))
        && p != q
    {
        return None;
    }
    let words = first.action.value.trim().eq_ignore_ascii_case(second.action.value.trim());
    let one_covers = covers(x, y) || covers(y, x);
    match catalog.techniques[x.technique?].role {
        Role::Screening => Some(Once::Asked),
        Role::Consent => (words && about_the_plan(catalog, parts, a) && about_the_plan(catalog, parts, b)).then_some(Once::Agreed),
        Role::Education => (words && x.places.is_empty() && y.places.is_empty()).then_some(Once::Told),
        Role::Measurement => measured(catalog, (first, x), (second, y)).then_some(Once::Measured),
        Role::SensationTest => one_covers.then_some(Once::Tested),
        Role::Treatment => {
            let heat = x.load(Stressor::Heat).is_some() && x.loads.len() == 1;
            (heat && one_covers && doses(&first.dose, &second.dose)).then_some(Once::Warmed)
        }
        Role::Pause => {
            let warmed = groups.iter().any(|g| g.once == Some(Once::Warmed) && [a, b].iter().all(|at| follows_one(*at, &g.members)));
            (warmed && one_covers && doses(&first.dose, &second.dose)).then_some(Once::Looked)
        }
        Role::Movement => None,
    }
}

fn follows_one(at: At, members: &[At]) -> bool {
    members.iter().any(|m| m.part == at.part && m.step + 1 == at.step)
}

/// True for the consent that opens a protocol. Consent to uncover is asked each time, right before it.
fn about_the_plan(catalog: &Catalog, parts: &[Part<'_>], at: At) -> bool {
    first_consent(catalog, parts, at.part) == Some(at.step)
        && step(parts, at).is_some_and(|(_, f)| f.places.is_empty())
        && !asks_to_bare(catalog, parts, at)
}

/// Row of the first consent of a protocol.
pub fn first_consent(catalog: &Catalog, parts: &[Part<'_>], part: usize) -> Option<usize> {
    parts.get(part)?.facts.steps.iter().position(|f| f.technique.is_some_and(|t| catalog.techniques[t].role == Role::Consent))
}

/// True if a consent is about what the next step uncovers: it is not the first of its protocol, or a sensitive
/// region comes next.
pub fn asks_to_bare(catalog: &Catalog, parts: &[Part<'_>], at: At) -> bool {
    let next = step(parts, At { step: at.step + 1, ..at });
    let sensitive = |f: &StepFacts| f.places.iter().any(|p| regions().get(p.region).tags.contains(&Tag::Sensitive));
    next.is_some_and(|(_, f)| sensitive(f) || first_consent(catalog, parts, at.part) != Some(at.step))
}

/// The same measure at the same time of the visit, taken in the same way at the same place. A measure in degrees
/// names its joint; a number that a person gives is about the place that hurts, so it needs the same muscle.
fn measured(catalog: &Catalog, (first, x): (&Step, &StepFacts), (second, y): (&Step, &StepFacts)) -> bool {
    let measure = |s: &Step| s.measure.as_ref().and_then(|m| m.to);
    let Some(one) = measure(first).filter(|m| measure(second) == Some(*m)) else { return false };
    let word = |t: &Option<Text>| t.as_ref().map(|t| t.value.to_string());
    let taken = |s: &Step| [word(&s.when), word(&s.taken.instrument), word(&s.taken.repeats), word(&s.taken.rater)];
    let joint = quantity::parse(&format!("1 {}", catalog.measures[one].unit.value)).is_ok_and(|q| q.dim() == Dim::Angle);
    let muscle = x.muscle.is_some() && x.muscle == y.muscle;
    let place = if x.places.is_empty() && y.places.is_empty() { joint || muscle } else { covers(x, y) && covers(y, x) && muscle };
    taken(first) == taken(second) && place
}

fn doses(a: &Dose, b: &Dose) -> bool {
    let value = |v: &DoseValue| match v {
        DoseValue::Amount(q) => Some((Some((q.dim(), q.base().lo.to_bits(), q.base().hi.to_bits())), None)),
        DoseValue::Word(w) => Some((None, Some(w.clone()))),
        DoseValue::Unreadable => None,
    };
    let all = |d: &Dose| d.entries.iter().map(|e| Some((e.name.value.clone(), value(&e.value)?))).collect::<Option<Vec<_>>>();
    let sorted = |d: &Dose| {
        all(d).map(|mut v| {
            v.sort_by(|a, b| a.0.cmp(&b.0));
            v
        })
    };
    sorted(a).is_some_and(|x| sorted(b) == Some(x))
}

/// True if the groups can be done so that each protocol keeps its own order.
fn in_order(groups: &[Group]) -> bool {
    let mut left: Vec<&Group> = groups.iter().collect();
    let ahead = |g: &Group, left: &[&Group]| {
        left.iter().flat_map(|o| &o.members).any(|o| g.members.iter().any(|m| o.part == m.part && o.step < m.step))
    };
    while let Some(i) = left.iter().position(|g| !ahead(g, &left)) {
        left.remove(i);
    }
    left.is_empty()
}

/// How long a group takes; `None` if that is not known of one of its steps.
pub fn lasts(parts: &[Part<'_>], group: &Group) -> Option<Interval> {
    let all: Vec<Interval> = group.members.iter().map(|m| step(parts, *m)?.1.duration).collect::<Option<_>>()?;
    let longest = Interval::new(all.iter().map(|i| i.lo).fold(0.0, f64::max), all.iter().map(|i| i.hi).fold(0.0, f64::max));
    let sum = all.iter().map(|i| i.hi).sum();
    match group.once {
        Some(Once::Agreed | Once::Told) => Some(Interval::new(longest.lo, sum)),
        Some(Once::Asked) if !one_asks_all(parts, group) => Some(Interval::new(longest.lo, sum)),
        _ => Some(longest),
    }
}

/// True if the questions of one protocol are all that the others ask.
fn one_asks_all(parts: &[Part<'_>], group: &Group) -> bool {
    let asked: Vec<BTreeSet<(u8, usize)>> = group
        .members
        .iter()
        .filter_map(|m| parts.get(m.part))
        .map(|p| {
            let flags = p.facts.flags.flags.iter().map(|f| (0, f.flag.row()));
            flags.chain(p.facts.cautions.iter().map(|c| (1, c.condition.row()))).collect()
        })
        .collect();
    asked.iter().any(|one| asked.iter().all(|other| other.is_subset(one)))
}
