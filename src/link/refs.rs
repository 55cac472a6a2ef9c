//! Walks every reference of every kind of document and resolves it.

use super::names::{Lookup, Names};
use crate::finding::{Finding, Level};
use crate::model::docs::{
    Cite, Claim, Condition, Flag, Ground, Limit, Measure, Muscle, Pack, Page, Position, Protocol, Session, Source, Technique, Towards,
};
use crate::model::{Backref, DocRef, Idx, Kind, Ref, nearest};
use crate::source::Span;

/// A document type and its kind.
pub trait Doc {
    /// The kind.
    const KIND: Kind;
}

macro_rules! kinds {
    ($($name:ident),+) => { $(impl Doc for $name { const KIND: Kind = Kind::$name; })+ };
}
kinds!(Pack, Condition, Flag, Measure, Muscle, Page, Position, Protocol, Session, Source, Technique);

/// Resolves references and remembers them.
pub struct Resolver<'a> {
    names: &'a Names,
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
    pub fn new(names: &'a Names) -> Self {
        Self { names, from: DocRef { kind: Kind::Pack, row: 0 }, findings: Vec::new(), backrefs: Vec::new(), cites: Vec::new() }
    }

    fn link<T: Doc>(&mut self, reference: &mut Ref<T>) {
        let at = reference.span();
        match self.names.get(T::KIND, &reference.written.value) {
            Lookup::Found(doc) => {
                reference.to = Some(Idx::new(doc.row as usize));
                self.backrefs.push(Backref { target: doc, from: self.from, at });
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

    fn ground(&mut self, ground: &mut Ground) {
        for cite in &mut ground.cites {
            self.link(&mut cite.source);
            self.some(&mut cite.through);
            self.cites.push((self.from, cite.clone()));
        }
    }

    fn claims(&mut self, claims: &mut [Claim]) {
        claims.iter_mut().for_each(|c| self.ground(&mut c.ground));
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
    }
}

impl Links for Condition {
    fn each(&mut self, r: &mut Resolver<'_>) {
        for rule in &mut self.rules {
            r.some(&mut rule.instead);
        }
        r.all(&mut self.allows);
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
        self.errors.iter_mut().for_each(|e| r.ground(&mut e.ground));
        self.meaningful.iter_mut().for_each(|m| r.ground(&mut m.ground));
    }
}

impl Links for Muscle {
    fn each(&mut self, r: &mut Resolver<'_>) {
        self.attachments.iter_mut().for_each(|a| r.ground(&mut a.ground));
        self.actions.iter_mut().for_each(|a| r.ground(&mut a.ground));
        self.hazards.iter_mut().for_each(|h| r.ground(&mut h.ground));
        self.neighbours.iter_mut().for_each(|n| r.some(&mut n.muscle));
        r.ground(&mut self.nerve_ground);
        r.ground(&mut self.fibres_ground);
        r.some(&mut self.palpation.position);
        r.ground(&mut self.palpation.ground);
        self.mechanics.iter_mut().for_each(|p| r.ground(&mut p.ground));
        self.chart.iter_mut().for_each(|c| r.ground(&mut c.ground));
        self.look_alikes.iter_mut().for_each(|l| r.link(&mut l.muscle));
        for point in &mut self.points {
            point.confirms.iter_mut().for_each(|s| r.ground(&mut s.ground));
            if let Some(zone) = &mut point.zone {
                r.ground(&mut zone.ground);
            }
        }
    }
}

impl Links for Page {
    fn each(&mut self, _: &mut Resolver<'_>) {}
}

impl Links for Position {
    fn each(&mut self, r: &mut Resolver<'_>) {
        self.barred_by.iter_mut().for_each(|(c, _)| r.link(c));
        r.ground(&mut self.ground);
    }
}

impl Links for Protocol {
    fn each(&mut self, r: &mut Resolver<'_>) {
        r.link(&mut self.muscle);
        r.all(&mut self.population.excludes);
        r.claims(&mut self.rationale);
        r.claims(&mut self.evidence);
        r.ground(&mut self.spacing.ground);
        self.refer.iter_mut().for_each(|x| r.link(&mut x.flag));
        for step in &mut self.steps {
            r.link(&mut step.technique);
            r.some(&mut step.position);
            r.some(&mut step.measure);
            r.ground(&mut step.ground);
        }
        for item in &mut self.home {
            r.link(&mut item.technique);
            r.ground(&mut item.ground);
        }
    }
}

impl Links for Session {
    fn each(&mut self, r: &mut Resolver<'_>) {
        r.all(&mut self.protocols);
    }
}

impl Links for Source {
    fn each(&mut self, _: &mut Resolver<'_>) {}
}

impl Links for Technique {
    fn each(&mut self, r: &mut Resolver<'_>) {
        self.parameters.iter_mut().for_each(|p| r.ground(&mut p.ground));
        for rule in &mut self.order {
            if let Some(Towards::Technique(other)) = &mut rule.towards {
                r.link(other);
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
