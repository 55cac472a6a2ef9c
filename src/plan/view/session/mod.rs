//! Several protocols in one appointment: stop-signs of all, the order in which the person turns least with the
//! reason of each turn, what is done once, the time, what adds up, and what goes first if time is short.

pub mod acts;
pub mod cautions;
pub mod reasons;

use super::parts::{FlagGroup, FlagView, Frame, LedgerRow, Link, LinkGroup};
use super::protocol::timeline::{RowOf, TimelineView, draw};
use super::protocol::{ledger, stop};
use crate::compute::session::late::Late;
use crate::compute::session::{Act, Visit, Way};
use crate::model::docs::Session;
use crate::model::interval::exceeds;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, text};
use crate::plan::words;
use acts::ActView;
use cautions::SessionCaution;
use serde::Serialize;

/// View of `session.html`.
#[derive(Debug, Serialize)]
pub struct SessionPage {
    /// Frame.
    pub frame: Frame,
    /// Note.
    pub note: Option<String>,
    /// Card.
    pub card: Option<String>,
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
    /// Topics that no flag of the pack covers.
    pub uncovered: Vec<String>,
    /// Whom which protocols are not for, in the words of their authors.
    pub not_for: Vec<NotFor>,
    /// Cautions of all protocols, strongest first.
    pub cautions: Vec<SessionCaution>,
    /// Where the order comes from.
    pub way: String,
    /// Rules that had to give way, and rules that cost turns.
    pub rules: Vec<String>,
    /// Acts in order.
    pub acts: Vec<ActView>,
    /// The acts on the time axis.
    pub timeline: TimelineView,
    /// What may be left out, first what goes first.
    pub late: Vec<LateView>,
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
    /// Time without notes, alone.
    pub time: String,
    /// How often the person turns, alone.
    pub turns: usize,
}

/// Whom protocols are not for.
#[derive(Debug, Serialize)]
pub struct NotFor {
    /// The protocols, by their places in the session.
    pub parts: Vec<usize>,
    /// The same.
    pub protocols: Vec<Link>,
    /// Whom.
    pub text: String,
}

/// Something that may be left out.
#[derive(Debug, Serialize)]
pub struct LateView {
    /// The act.
    pub act: String,
    /// Number of the act.
    pub number: usize,
    /// What goes with it.
    pub falls: Vec<String>,
    /// Time won.
    pub wins: String,
    /// Why it goes here.
    pub goes: String,
}

impl SessionPage {
    /// Shows a session.
    pub fn new(site: &Site<'_>, idx: Idx<Session>) -> Option<SessionPage> {
        let s = &site.catalog.sessions[idx];
        let facts = site.facts.sessions.get(idx.row())?;
        let visit = &facts.visit;
        let own = doc(Kind::Session, idx);
        let pack = &site.catalog.packs[s.head.pack];
        let appointment = s.appointment.as_ref().or(pack.appointment.as_ref());
        let part = |p: &Idx<_>| {
            let t = &site.facts.of(*p).timeline;
            Part { link: site.link(doc(Kind::Protocol, *p)), time: words::minutes(t.without_notes), turns: t.turns }
        };
        Some(SessionPage {
            frame: site.doc_frame(own),
            note: text(&s.note),
            card: site.card(own),
            protocols: visit.parts.iter().map(part).collect(),
            total: words::minutes(facts.total),
            appointment: appointment.map(|q| q.value.shown()),
            too_long: appointment.is_some_and(|q| exceeds(facts.total.hi, q.value.base().hi)),
            flags: stop::flag_groups(flags(site, &visit.parts)),
            uncovered: uncovered(site, visit),
            not_for: not_for(site, visit),
            cautions: cautions::views(site, visit),
            way: reasons::way(visit),
            rules: rules(site, visit),
            acts: acts::acts(site, visit),
            timeline: timeline(site, visit),
            late: late(site, visit),
            ledger: ledger::rows(site.catalog, &facts.ledger, true, &|_, _| None),
            used_by: site.used_by(own),
        })
    }
}

fn uncovered(site: &Site<'_>, visit: &Visit) -> Vec<String> {
    let topics = visit.parts.iter().flat_map(|p| &site.facts.of(*p).flags.uncovered).map(|u| u.topic.clone());
    topics.collect::<std::collections::BTreeSet<_>>().into_iter().collect()
}

/// Whom the protocols are not for; what several say in the same words stands once.
fn not_for(site: &Site<'_>, visit: &Visit) -> Vec<NotFor> {
    let mut out: Vec<NotFor> = Vec::new();
    for (part, idx) in visit.parts.iter().enumerate() {
        let Some(said) = site.catalog.protocols[*idx].not_for() else { continue };
        let link = site.link(doc(Kind::Protocol, *idx));
        match out.iter_mut().find(|n| *n.text == *said.value) {
            Some(same) => {
                same.parts.push(part);
                same.protocols.push(link);
            }
            None => out.push(NotFor { parts: vec![part], protocols: vec![link], text: said.value.to_string() }),
        }
    }
    out
}

/// Rules that had to give way, and rules that cost turns.
fn rules(site: &Site<'_>, visit: &Visit) -> Vec<String> {
    let mut out: Vec<String> = visit.forced.iter().map(|f| reasons::forced(site, visit, f)).collect();
    if visit.way == Way::Fewest && !visit.stays_kept {
        let text =
            "The person stays in a position for longer than it allows, since no other order keeps the rules. Let them move in between.";
        out.insert(0, text.into());
    }
    out
}

fn timeline(site: &Site<'_>, visit: &Visit) -> TimelineView {
    let row = |(i, act): (usize, &Act)| {
        let lead = act.steps.lead;
        let step = visit.parts.get(lead.part).and_then(|p| site.catalog.protocols[*p].steps.get(lead.step));
        RowOf {
            number: u32::try_from(i + 1).unwrap_or(u32::MAX),
            action: step.map(|s| s.action.value.to_string()).unwrap_or_default(),
            position: act.position.map(|p| site.name(doc(Kind::Position, p))),
            lasts: act.lasts,
        }
    };
    draw(&visit.timeline, visit.acts.iter().enumerate().map(row).collect(), None)
}

fn late(site: &Site<'_>, visit: &Visit) -> Vec<LateView> {
    let one = |l: &Late| LateView {
        act: words::capital(&acts::named(site, visit, l.act)),
        number: l.act + 1,
        falls: l.falls.iter().map(|row| acts::named(site, visit, *row)).collect(),
        wins: words::minutes(l.wins),
        goes: reasons::goes(l),
    };
    visit.late.iter().map(one).collect()
}

/// Red flags of all protocols, most urgent first.
pub fn flags(site: &Site<'_>, protocols: &[Idx<crate::model::docs::Protocol>]) -> Vec<FlagView> {
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
