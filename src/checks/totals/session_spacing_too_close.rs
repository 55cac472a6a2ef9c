//! Sessions closer than a technique needs to recover.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::amount::shown;
use crate::compute::ledger::weekly;
use crate::finding::Level;
use crate::model::docs::{Amount, HomeItem, Protocol, Technique};
use crate::model::interval::{Interval, exceeds};
use crate::model::unit::Dim;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "session-spacing-too-close",
    summary: "sessions or home days are closer than a technique needs to recover",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("session_spacing_too_close.md"),
};

const WEEK: f64 = 604_800.0;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (own, protocol) in case.catalog.protocols.iter() {
        let facts = case.facts.of(own);
        let techniques = facts.steps.iter().filter_map(|s| s.technique).map(|t| &case.catalog.techniques[t]);
        let slowest = techniques.filter_map(|t| t.recovery.as_ref().map(|r| (t, r))).max_by(|a, b| most(a.1).total_cmp(&most(b.1)));
        if let Some((technique, recovery)) = slowest {
            clinic(protocol, technique, recovery, sink);
        }
        for (item, home) in protocol.home.iter().zip(&facts.home) {
            if let Some(technique) = home.technique {
                at_home(item, &case.catalog.techniques[technique], sink);
            }
        }
    }
}

fn most(recovery: &Amount) -> f64 {
    recovery.value.base().hi
}

fn time(seconds: f64) -> String {
    shown(Dim::Time, Interval::exact(seconds))
}

fn clinic(protocol: &Protocol, technique: &Technique, recovery: &Amount, sink: &mut Sink) {
    let (spacing, needs) = (&protocol.spacing, needs(technique, recovery));
    if let Some(gap) = spacing.gap.as_ref().filter(|g| exceeds(most(recovery), g.value.base().lo)) {
        let message = format!("sessions can be {} apart, and {needs}", time(gap.value.base().lo));
        report(gap.span, message, technique, recovery, "raise the low end of `gap`", sink);
    } else if let Some(per_week) = spacing.per_week.as_ref().filter(|p| exceeds(most(recovery), WEEK / p.value.base().hi)) {
        let message = format!(
            "up to {} a week leaves {} from one session to the next, and {needs}",
            number(per_week),
            time(WEEK / per_week.value.base().hi)
        );
        report(per_week.span, message, technique, recovery, "lower the high end of `per-week`", sink);
    }
}

fn number(per_week: &Amount) -> String {
    crate::model::quantity::number(per_week.value.base().hi)
}

fn needs(technique: &Technique, recovery: &Amount) -> String {
    format!("{} needs {} to recover", technique.name.value, recovery.value.shown())
}

fn at_home(item: &HomeItem, technique: &Technique, sink: &mut Sink) {
    let (Some(recovery), Some(often), Some(days)) = (&technique.recovery, weekly(item), &item.days) else { return };
    if often.hi > 0.0 && exceeds(most(recovery), WEEK / often.hi) {
        let message = format!("home item `{}` comes every {}, and {}", item.name.value, time(WEEK / often.hi), needs(technique, recovery));
        report(days.span, message, technique, recovery, "give it on fewer days", sink);
    }
}

fn report(at: Span, message: String, technique: &Technique, recovery: &Amount, help: &str, sink: &mut Sink) {
    sink.report(at, "too close", message)
        .also(recovery.span, format!("the time that {} needs", technique.name.value))
        .help(format!("{help}, so that {} or more lie between", recovery.value.shown()));
}
