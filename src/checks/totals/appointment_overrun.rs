//! More work than the appointment is long.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::ProtocolFacts;
use crate::compute::amount::shown;
use crate::finding::{Finding, Level};
use crate::model::docs::{Amount, Pack, Protocol};
use crate::model::interval::{Interval, exceeds};
use crate::model::quantity::number;
use crate::model::unit::Dim;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "appointment-overrun",
    summary: "set-up, steps, turns and notes take longer than the appointment",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("appointment_overrun.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (own, protocol) in case.catalog.protocols.iter() {
        let (facts, pack) = (case.facts.of(own), case.pack(&protocol.head));
        let (most, length) = (facts.timeline.total.hi, protocol.appointment.as_ref().or(pack.appointment.as_ref()));
        if let Some(length) = overrun(most, length) {
            let at = place(protocol.appointment.as_ref(), protocol.title.span);
            let finding = report(at, most, length, sink);
            longest(protocol, facts, finding);
            finding.note(breakdown(facts, pack));
        }
    }
    for (session, facts) in case.catalog.sessions.rows().iter().zip(&case.facts.sessions) {
        let length = session.appointment.as_ref().or(case.pack(&session.head).appointment.as_ref());
        // A single protocol in the usual appointment is told at the protocol.
        let own = session.protocols.len() > 1 || session.appointment.is_some();
        if let Some(length) = overrun(facts.total.hi, length).filter(|_| own) {
            report(place(session.appointment.as_ref(), session.title.span), facts.total.hi, length, sink);
        }
    }
}

fn overrun(most: f64, length: Option<&Amount>) -> Option<&Amount> {
    length.filter(|l| most.is_finite() && exceeds(most, l.value.base().hi))
}

fn place(own: Option<&Amount>, title: Span) -> Span {
    own.map_or(title, |a| a.span)
}

fn time(seconds: f64) -> String {
    shown(Dim::Time, Interval::exact(seconds))
}

fn report<'s>(at: Span, most: f64, length: &Amount, sink: &'s mut Sink) -> &'s mut Finding {
    let message = format!("the visit takes up to {}, and the appointment is {}", time(most), length.value.shown());
    let finding = sink.report(at, format!("up to {} too long", time(most - length.value.base().hi)), message);
    if at != length.span {
        finding.also(length.span, "the appointment");
    }
    finding.help("shorten a step, leave one out, or book more time; else the re-test is what gets dropped")
}

fn longest(protocol: &Protocol, facts: &ProtocolFacts, finding: &mut Finding) {
    let mut steps: Vec<(f64, Span)> =
        protocol.steps.iter().zip(&facts.steps).filter_map(|(s, f)| f.duration.map(|d| (d.hi, s.action.span))).collect();
    steps.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (most, at) in steps.into_iter().take(3) {
        finding.also(at, format!("up to {}", time(most)));
    }
}

fn breakdown(facts: &ProtocolFacts, pack: &Pack) -> String {
    let line = &facts.timeline;
    let steps: f64 = facts.steps.iter().filter_map(|s| s.duration).map(|d| d.hi).sum();
    let turns = pack.turn.as_ref().map_or(0.0, |t| t.value.base().hi) * f64::from(u32::try_from(line.turns).unwrap_or(u32::MAX));
    let set_up = (line.without_notes.hi - steps - turns).max(0.0);
    let notes = line.total.hi - line.without_notes.hi;
    let minutes = |seconds: f64| number((seconds / 6.0).round() / 10.0);
    let parts = (minutes(steps), minutes(set_up), minutes(turns), minutes(notes));
    format!("Minutes at most: steps {}, set-up {}, turns {}, notes {}.", parts.0, parts.1, parts.2, parts.3)
}
