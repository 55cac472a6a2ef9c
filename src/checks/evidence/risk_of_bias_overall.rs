//! An overall judgement of bias that is milder than its worst domain, or that leaves domains out.

use super::shown;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::bias::{missing, worst};
use crate::finding::Level;
use crate::model::docs::{RiskOfBias, Source};

/// The check.
pub static CHECK: Check = Check {
    name: "risk-of-bias-overall",
    summary: "an overall judgement of bias is milder than a domain, or domains are missing",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("risk_of_bias_overall.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for source in case.catalog.sources.rows() {
        for bias in &source.bias {
            milder(source, bias, sink);
            incomplete(source, bias, sink);
        }
    }
}

fn milder(source: &Source, bias: &RiskOfBias, sink: &mut Sink) {
    let Some(domain) = worst(bias).filter(|d| d.judgement.value > bias.overall.value && bias.why.is_none()) else { return };
    let (overall, judged) = (bias.overall.value.word(), domain.judgement.value.word());
    let message = format!("the bias of `{}` is called {overall} overall, and {judged} for {}", source.head.id.value, domain.domain.value);
    sink.report(bias.overall.span, format!("{overall} overall"), message)
        .also(domain.judgement.span, format!("{judged} here"))
        .note("In RoB 2 the overall judgement is at least as severe as the worst domain (Sterne 2019, BMJ 366:l4898).")
        .help(format!("write `overall: {judged}`, or add `why` with the reason for a milder judgement"));
}

fn incomplete(source: &Source, bias: &RiskOfBias, sink: &mut Sink) {
    let missing = missing(bias);
    if !missing.is_empty() {
        let message = format!("the bias of `{}` is judged by {} without {}", source.head.id.value, bias.tool.value, shown::list(&missing));
        sink.report(bias.tool.span, format!("{} of 5 domains missing", missing.len()), message)
            .note("RoB 2 has five domains: randomisation process; deviations from intended interventions; missing outcome data; measurement of the outcome; selection of the reported result (Sterne 2019, BMJ 366:l4898).")
            .help("judge the domains that are missing, under these names, each with `why`");
    }
}
