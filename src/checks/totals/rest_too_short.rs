//! Too little time between two exposures of the same skin.

use super::exposures::{Pair, Row, is_rest};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::amount::shown;
use crate::finding::{Finding, Level};
use crate::model::Idx;
use crate::model::docs::{Amount, OrderRule, Protocol, Technique};
use crate::model::interval::{Interval, exceeds};
use crate::model::unit::Dim;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "rest-too-short",
    summary: "two exposures of one region are closer than the technique allows",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("rest_too_short.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (own, _) in case.catalog.protocols.iter() {
        for short in too_short(case, &[own]) {
            let finding = sink.report(short.pair.later.1.action.span, "too soon", short.message());
            short.finish(finding);
        }
    }
    for session in case.catalog.sessions.rows() {
        let linked: Vec<(Idx<Protocol>, Span)> = session.protocols.iter().filter_map(|r| r.to.map(|p| (p, r.span()))).collect();
        let visits: Vec<Idx<Protocol>> = linked.iter().map(|(p, _)| *p).collect();
        for short in too_short(case, &visits) {
            let (earlier, later) = (short.pair.earlier.0.visit, short.pair.later.0.visit);
            if earlier != later {
                let at = linked.get(later).map_or(session.title.span, |(_, at)| *at);
                let finding = sink.report(at, "too soon after the protocol before it", short.message());
                finding.also(short.pair.later.1.action.span, "the later step");
                short.finish(finding);
            }
        }
    }
}

struct Short<'a> {
    pair: Pair<'a>,
    technique: &'a Technique,
    rule: &'a OrderRule,
    wanted: &'a Amount,
}

fn too_short<'a>(case: &Case<'a>, visits: &[Idx<Protocol>]) -> Vec<Short<'a>> {
    let row = Row::new(case, visits);
    let mut out = Vec::new();
    for (own, technique) in row.techniques(case) {
        for rule in technique.order.iter().filter(|r| is_rest(own, technique, r)) {
            let Some(wanted) = &rule.gap else { continue };
            let pairs = row.pairs(case, own, rule).into_iter().filter(|p| exceeds(wanted.value.base().lo, p.least));
            out.extend(pairs.map(|pair| Short { pair, technique, rule, wanted }));
        }
    }
    out
}

fn time(seconds: f64) -> String {
    shown(Dim::Time, Interval::exact(seconds))
}

impl Short<'_> {
    fn message(&self) -> String {
        let (earlier, later) = (self.pair.earlier.1.number.value, self.pair.later.1.number.value);
        let (place, technique, wanted) = (&self.pair.place, &self.technique.name.value, self.wanted.value.shown());
        let gap = time(self.pair.least);
        format!("step {later} can follow step {earlier} on {place} after {gap}, and {technique} wants {wanted} between them")
    }

    fn finish(&self, finding: &mut Finding) {
        finding
            .also(self.pair.earlier.1.action.span, "the earlier step")
            .also(self.wanted.span, "the least time between")
            .note(format!("The reason that the technique gives: {}", self.rule.why.value))
            .help(format!(
                "put {} more of other steps between the two, or leave one out",
                time(self.wanted.value.base().lo - self.pair.least)
            ));
    }
}
