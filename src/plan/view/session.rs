//! Several protocols in one appointment.

use super::parts::{FlagGroup, FlagView, Frame, LedgerRow, Link, LinkGroup, Mark};
use super::protocol::{ledger, stop};
use crate::model::docs::Session;
use crate::model::interval::exceeds;
use crate::model::vocabulary::Strength;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, text};
use crate::plan::words;
use serde::Serialize;

/// View of `session.html`.
#[derive(Debug, Serialize)]
pub struct SessionPage {
    /// Frame.
    pub frame: Frame,
    /// Note.
    pub note: Option<String>,
    /// Protocols in order.
    pub protocols: Vec<Part>,
    /// Whole time, least to most.
    pub total: String,
    /// Appointment.
    pub appointment: Option<String>,
    /// True if the worst case does not fit.
    pub too_long: bool,
    /// Red flags of all protocols, most urgent first.
    pub flags: Vec<FlagGroup>,
    /// Cautions of all protocols, strongest first.
    pub cautions: Vec<SessionCaution>,
    /// Merged ledger.
    pub ledger: Vec<LedgerRow>,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

/// A protocol of a session.
#[derive(Debug, Serialize)]
pub struct Part {
    /// Protocol.
    pub link: Link,
    /// Time without notes.
    pub time: String,
    /// How often the person turns.
    pub turns: usize,
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
    /// Protocols that it touches.
    pub protocols: Vec<Link>,
}

impl SessionPage {
    /// Shows a session.
    pub fn new(site: &Site<'_>, idx: Idx<Session>) -> Option<SessionPage> {
        let s = &site.catalog.sessions[idx];
        let facts = site.facts.sessions.get(idx.row())?;
        let own = doc(Kind::Session, idx);
        let pack = &site.catalog.packs[s.head.pack];
        let appointment = s.appointment.as_ref().or(pack.appointment.as_ref());
        let protocols: Vec<Idx<_>> = s.protocols.iter().filter_map(|r| r.to).collect();
        let part = |p: &Idx<_>| {
            let t = &site.facts.of(*p).timeline;
            Part { link: site.link(doc(Kind::Protocol, *p)), time: words::minutes(t.without_notes), turns: t.turns }
        };
        Some(SessionPage {
            frame: site.doc_frame(own),
            note: text(&s.note),
            protocols: protocols.iter().map(part).collect(),
            total: words::minutes(facts.total),
            appointment: appointment.map(|q| q.value.shown()),
            too_long: appointment.is_some_and(|q| exceeds(facts.total.hi, q.value.base().hi)),
            flags: stop::flag_groups(flags(site, &protocols)),
            cautions: cautions(site, &protocols),
            ledger: ledger::rows(site.catalog, &facts.ledger, true, &|_, _| None),
            used_by: site.used_by(own),
        })
    }
}

fn flags(site: &Site<'_>, protocols: &[Idx<crate::model::docs::Protocol>]) -> Vec<FlagView> {
    let mut ranked: Vec<(crate::model::vocabulary::Urgency, FlagView)> = Vec::new();
    for p in protocols {
        let title = &site.catalog.protocols[*p].title.value;
        for (derived, mut view) in site.facts.of(*p).flags.flags.iter().zip(stop::flags(site, *p)) {
            let because: Vec<String> = view.because.iter().map(|b| format!("{title}: {b}")).collect();
            if let Some((_, known)) = ranked.iter_mut().find(|(_, f)| f.id == view.id) {
                known.because.extend(because);
            } else {
                view.because = because;
                let urgency = site.catalog.flags[derived.flag].urgency.unwrap_or(crate::model::vocabulary::Urgency::Now);
                ranked.push((urgency, view));
            }
        }
    }
    ranked.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.id.cmp(&b.1.id)));
    ranked.into_iter().map(|(_, f)| f).collect()
}

fn cautions(site: &Site<'_>, protocols: &[Idx<crate::model::docs::Protocol>]) -> Vec<SessionCaution> {
    let mut out = Vec::new();
    for (idx, c) in site.catalog.conditions.iter() {
        let mut strongest: Option<Strength> = None;
        let mut links = Vec::new();
        for p in protocols {
            if let Some(caution) = site.facts.of(*p).cautions.iter().find(|x| x.condition == idx) {
                strongest = Some(strongest.map_or(caution.strength, |s| s.min(caution.strength)));
                links.push(site.link(doc(Kind::Protocol, *p)));
            }
        }
        if let Some(strength) = strongest {
            out.push((
                strength,
                SessionCaution {
                    id: c.head.id.value.to_string(),
                    link: site.link(doc(Kind::Condition, idx)),
                    question: text(&c.question).unwrap_or_else(|| c.name.value.to_string()),
                    strength: words::strength(strength),
                    protocols: links,
                },
            ));
        }
    }
    out.sort_by_key(|(strength, _)| *strength);
    out.into_iter().map(|(_, c)| c).collect()
}
