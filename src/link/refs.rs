//! Walks every reference of every kind of document and resolves it.

use super::names::{Lookup, Names};
use crate::finding::{Finding, Level};
use crate::model::docs::{
    Audit, ChangeDoc, Cite, Claim, Condition, Flag, Ground, Limit, Measure, Muscle, Outcome, Pack, Page, Population, Position, Protocol,
    Question, Reliability, RestsOn, ResultRef, Session, Source, Technique, Towards,
};
use crate::model::{Backref, DocRef, Idx, Kind, Ref, nearest};
use crate::source::Span;
use std::collections::BTreeMap;

/// A document type and its kind.
pub trait Doc {
    /// The kind.
    const KIND: Kind;
}

macro_rules! kinds {
    ($($name:ident),+) => { $(impl Doc for $name { const KIND: Kind = Kind::$name; })+ };
}
impl Doc for ChangeDoc {
    const KIND: Kind = Kind::Change;
}
kinds!(Pack, Audit, Condition, Flag, Measure, Muscle, Outcome, Page, Population, Position, Protocol, Question, Session, Source, Technique);

/// Resolves references and remembers them.
pub struct Resolver<'a> {
    names: &'a Names,
    /// Short names of the results of each source.
    results: &'a BTreeMap<Box<str>, Vec<Box<str>>>,
    /// The document whose references are being resolved.
    pub from: DocRef,
    /// What could not be resolved.
    pub findings: Vec<Finding>,
    /// All references that could.
    pub backrefs: Vec<Backref>,
    /// All citations, with the documents in which they stand.
    pub cites: Vec<(DocRef, Cite)>,
}

impl<'a> Resolver<'a> {
    /// A resolver over these names.
    pub fn new(names: &'a Names, results: &'a BTreeMap<Box<str>, Vec<Box<str>>>) -> Self {
        Self { names, results, from: DocRef { kind: Kind::Pack, row: 0 }, findings: Vec::new(), backrefs: Vec::new(), cites: Vec::new() }
    }

    /// A reference on which the document rests.
    fn link<T: Doc>(&mut self, reference: &mut Ref<T>) {
        self.resolve(reference, true);
    }

    /// A reference that only names the other document: a change of that one changes nothing here.
    fn name<T: Doc>(&mut self, reference: &mut Ref<T>) {
        self.resolve(reference, false);
    }

    fn resolve<T: Doc>(&mut self, reference: &mut Ref<T>, rests: bool) {
        let at = reference.span();
        match self.names.get(T::KIND, &reference.written.value) {
            Lookup::Found(doc) => {
                reference.to = Some(Idx::new(doc.row as usize));
                self.backrefs.push(Backref { target: doc, from: self.from, at, rests });
            }
            Lookup::Broken => {}
            Lookup::Unknown => self.findings.push(unresolved(self.names, T::KIND, &reference.written.value, at)),
        }
    }

    fn some<T: Doc>(&mut self, reference: &mut Option<Ref<T>>) {
        if let Some(reference) = reference {
            self.link(reference);
        }
    }

    fn all<T: Doc>(&mut self, references: &mut [Ref<T>]) {
        references.iter_mut().for_each(|r| self.link(r));
    }

    fn cite(&mut self, cite: &mut Cite) {
        self.link(&mut cite.source);
        self.some(&mut cite.through);
        self.cites.push((self.from, cite.clone()));
    }

    fn ground(&mut self, ground: &mut Ground) {
        ground.cites.iter_mut().for_each(|c| self.cite(c));
    }

    fn claims(&mut self, claims: &mut [Claim]) {
        for claim in claims {
            self.ground(&mut claim.ground);
            let Some(effect) = &mut claim.effect else { continue };
            self.link(&mut effect.outcome);
            self.some(&mut effect.who);
            match &mut effect.rests_on {
                Some(RestsOn::Question(question)) => self.link(question),
                Some(RestsOn::Result(result)) => self.result(result),
                None => {}
            }
        }
    }

    fn result(&mut self, reference: &mut ResultRef) {
        self.link(&mut reference.source);
        let Some(known) = self.results.get(&reference.source.written.value).filter(|_| reference.source.to.is_some()) else { return };
        reference.row = known.iter().position(|r| *r == reference.result.value);
        if reference.row.is_none() {
            let (wanted, source) = (&reference.result.value, &reference.source.written.value);
            let near = nearest(wanted, known.iter().map(|r| &**r));
            let label = near.map_or_else(|| "no such result".to_string(), |n| format!("did you mean `{n}`?"));
            let message = format!("the source `{source}` has no result `{wanted}`");
            let mut finding = Finding::new("link-missing", Level::Error, reference.result.span, label, message);
            finding.help(if known.is_empty() {
                format!("enter the result under `results` of sources/{source}.yaml")
            } else {
                format!("results of `{source}`: {}", known.join(", "))
            });
            self.findings.push(finding);
        }
    }

    fn reliability(&mut self, all: &mut [Reliability]) {
        for x in all {
            self.some(&mut x.who);
            self.ground(&mut x.ground);
        }
    }

    fn limits(&mut self, limits: &mut [Limit]) {
        limits.iter_mut().for_each(|l| self.ground(&mut l.ground));
    }
}

/// The finding for a name that leads nowhere, or to the wrong kind.
pub fn unresolved(names: &Names, wanted: Kind, written: &str, at: Span) -> Finding {
    let other = Kind::ALL.into_iter().find(|k| *k != wanted && names.get(*k, written) != Lookup::Unknown);
    if let Some(other) = other {
        let message = format!("`{written}` is a {}, and a {} is wanted here", other.word(), wanted.word());
        let mut finding = Finding::new("link-wrong-kind", Level::Error, at, format!("a {}", other.word()), message);
        finding.help(format!("name a document of {}/", wanted.folder()));
        return finding;
    }
    let near = nearest(written, names.of(wanted));
    let label = near.map_or_else(|| "no such document".to_string(), |n| format!("did you mean `{n}`?"));
    let mut finding = Finding::new("link-missing", Level::Error, at, label, format!("there is no {} `{written}`", wanted.word()));
    match near {
        Some(n) => finding.help(format!("write `{n}`")),
        None => finding.help(format!(
            "add {}/{written}.yaml (`fascicle draft {} {written}` prints a start), or name another",
            wanted.folder(),
            wanted.word()
        )),
    };
    finding
}

/// A document that can visit its references.
pub trait Links {
    /// Visits each.
    fn each(&mut self, r: &mut Resolver<'_>);
}

impl Links for Pack {
    fn each(&mut self, r: &mut Resolver<'_>) {
        r.limits(&mut self.limits);
        r.ground(&mut self.house_ground);
        r.ground(&mut self.emergency_ground);
        self.glossary.iter_mut().for_each(|w| r.ground(&mut w.ground));
    }
}

impl Links for Condition {
    fn each(&mut self, r: &mut Resolver<'_>) {
        for together in &mut self.together {
            together.with.iter_mut().for_each(|c| r.name(c));
        }
        for rule in self.rules.iter_mut().chain(self.together.iter_mut().flat_map(|t| &mut t.rules)) {
            rule.instead.iter_mut().for_each(|t| r.name(t));
        }
        self.allows.iter_mut().for_each(|t| r.name(t));
        r.ground(&mut self.ground);
    }
}

impl Links for Flag {
    fn each(&mut self, r: &mut Resolver<'_>) {
        r.ground(&mut self.ground);
    }
}

impl Links for Measure {
    fn each(&mut self, r: &mut Resolver<'_>) {
        r.some(&mut self.outcome);
        for error in &mut self.errors {
            r.some(&mut error.who);
            r.ground(&mut error.ground);
        }
        for change in &mut self.meaningful {
            r.some(&mut change.who);
            r.ground(&mut change.ground);
        }
        r.reliability(&mut self.reliability);
    }
}

impl Links for Muscle {
    fn each(&mut self, r: &mut Resolver<'_>) {
        self.attachments.iter_mut().for_each(|a| r.ground(&mut a.ground));
        self.actions.iter_mut().for_each(|a| r.ground(&mut a.ground));
        self.hazards.iter_mut().for_each(|h| r.ground(&mut h.ground));
        self.neighbours.iter_mut().filter_map(|n| n.muscle.as_mut()).for_each(|m| r.name(m));
        r.ground(&mut self.nerve_ground);
        r.ground(&mut self.fibres_ground);
        r.some(&mut self.palpation.position);
        r.ground(&mut self.palpation.ground);
        self.mechanics.iter_mut().for_each(|p| r.ground(&mut p.ground));
        self.chart.iter_mut().for_each(|c| r.ground(&mut c.ground));
        self.look_alikes.iter_mut().for_each(|l| r.name(&mut l.muscle));
        for point in &mut self.points {
            for sign in &mut point.confirms {
                r.ground(&mut sign.ground);
                r.reliability(&mut sign.reliability);
            }
            if let Some(zone) = &mut point.zone {
                r.ground(&mut zone.ground);
            }
        }
    }
}

impl Links for Outcome {
    fn each(&mut self, _: &mut Resolver<'_>) {}
}

impl Links for Page {
    fn each(&mut self, _: &mut Resolver<'_>) {}
}

impl Links for Audit {
    fn each(&mut self, _: &mut Resolver<'_>) {}
}

impl Links for ChangeDoc {
    fn each(&mut self, r: &mut Resolver<'_>) {
        self.loosening.iter_mut().flat_map(|l| &mut l.cites).for_each(|c| r.cite(c));
    }
}

impl Links for Population {
    fn each(&mut self, r: &mut Resolver<'_>) {
        r.some(&mut self.within);
    }
}

impl Links for Position {
    fn each(&mut self, r: &mut Resolver<'_>) {
        self.barred_by.iter_mut().for_each(|(c, _)| r.name(c));
        r.ground(&mut self.ground);
    }
}

impl Links for Protocol {
    fn each(&mut self, r: &mut Resolver<'_>) {
        r.link(&mut self.muscle);
        r.all(&mut self.population.excludes);
        r.some(&mut self.population.who);
        r.claims(&mut self.rationale);
        r.claims(&mut self.evidence);
        r.ground(&mut self.spacing.ground);
        self.refer.iter_mut().for_each(|x| r.link(&mut x.flag));
        for step in &mut self.steps {
            r.link(&mut step.technique);
            r.some(&mut step.position);
            r.some(&mut step.measure);
            if let Some(goal) = &mut step.goal {
                r.ground(&mut goal.ground);
            }
            r.ground(&mut step.ground);
        }
        for item in &mut self.home {
            r.link(&mut item.technique);
            r.ground(&mut item.ground);
        }
    }
}

impl Links for Question {
    fn each(&mut self, r: &mut Resolver<'_>) {
        r.link(&mut self.who);
        r.some(&mut self.technique);
        for asked in &mut self.outcomes {
            r.link(&mut asked.outcome);
            r.some(&mut asked.measured_by);
            asked.results.iter_mut().for_each(|x| r.result(x));
            asked.certainty.steps.iter_mut().flat_map(|s| &mut s.cites).for_each(|c| r.cite(c));
        }
    }
}

impl Links for Session {
    fn each(&mut self, r: &mut Resolver<'_>) {
        r.all(&mut self.protocols);
    }
}

impl Links for Source {
    fn each(&mut self, r: &mut Resolver<'_>) {
        r.some(&mut self.who);
        r.all(&mut self.includes);
        self.part_of.iter_mut().for_each(|s| r.name(s));
        for result in &mut self.results {
            r.link(&mut result.outcome);
            r.some(&mut result.who);
        }
        self.conclusions.iter_mut().for_each(|c| r.some(&mut c.outcome));
    }
}

impl Links for Technique {
    fn each(&mut self, r: &mut Resolver<'_>) {
        self.parameters.iter_mut().for_each(|p| r.ground(&mut p.ground));
        for rule in &mut self.order {
            if let Some(Towards::Technique(other)) = &mut rule.towards {
                r.name(other);
            }
        }
        if let Some(sweep) = &mut self.sweep {
            r.ground(&mut sweep.ground);
        }
        r.limits(&mut self.limits);
        r.claims(&mut self.harms);
        r.ground(&mut self.ground);
    }
}
