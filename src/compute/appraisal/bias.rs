//! Judgements of bias: the worst domain, and the domains of RoB 2 (Sterne JAC et al, RoB 2, BMJ
//! 2019;366:l4898; names of the domains from memory).

use crate::model::docs::{BiasDomain, RiskOfBias};

/// The domains of RoB 2.
pub const ROB2: [&str; 5] = [
    "randomisation process",
    "deviations from intended interventions",
    "missing outcome data",
    "measurement of the outcome",
    "selection of the reported result",
];

/// The domain of the most severe judgement, the first of several.
pub fn worst(bias: &RiskOfBias) -> Option<&BiasDomain> {
    bias.domains.iter().rev().max_by_key(|d| d.judgement.value)
}

/// Domains of RoB 2 that a judgement by it leaves out; none for another instrument.
pub fn missing(bias: &RiskOfBias) -> Vec<&'static str> {
    if !bias.tool.value.trim().eq_ignore_ascii_case("rob 2") {
        return Vec::new();
    }
    let judged = |name: &str| bias.domains.iter().any(|d| d.domain.value.trim().eq_ignore_ascii_case(name));
    ROB2.into_iter().filter(|name| !judged(name)).collect()
}
