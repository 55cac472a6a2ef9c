//! A technique that loads the body and has no stop rule that can be followed.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{StopRule, Technique};

/// The check.
pub static CHECK: Check = Check {
    name: "stop-rule-missing",
    summary: "a technique that loads the body has no stop rule with sign, threshold and action",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("stop_rule_missing.md"),
};

/// Words that stand where a sign should be.
const NO_SIGN: [&str; 6] = ["if needed", "as needed", "when needed", "if necessary", "as required", "if required"];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for technique in case.catalog.techniques.rows().iter().filter(|t| !t.exposes.is_empty()) {
        if !technique.stop.iter().any(|rule| lacks(rule).is_empty()) {
            report(technique, sink);
        }
    }
}

/// What a rule lacks.
fn lacks(rule: &StopRule) -> Vec<&'static str> {
    let sign = rule.sign.value.trim().to_lowercase();
    let empty = |t: &Option<crate::source::Text>| t.as_ref().is_none_or(|t| t.value.trim().is_empty());
    let parts = [
        ("an observable sign", sign.is_empty() || NO_SIGN.contains(&sign.trim_end_matches('.'))),
        ("`at`", empty(&rule.at)),
        ("`do`", empty(&rule.act)),
    ];
    parts.into_iter().filter(|(_, missing)| *missing).map(|(name, _)| name).collect()
}

fn report(technique: &Technique, sink: &mut Sink) {
    let (name, stressor) = (&technique.name.value, technique.exposes.first().map_or("", |e| e.stressor.word()));
    let help = "write one rule with the sign, its threshold and the action: `{sign: numbness or tingling, at: lasts over 10 s, do: release, then: end step}`";
    let Some(first) = technique.stop.first() else {
        sink.report(technique.name.span, "no `stop` here", format!("{name} gives {stressor} and has no stop rule")).help(help);
        return;
    };
    let message = format!("{name} gives {stressor} and none of its stop rules has sign, threshold and action");
    let finding = sink.report(first.sign.span, format!("lacks {}", lacks(first).join(" and ")), message);
    for rule in technique.stop.iter().skip(1) {
        finding.also(rule.sign.span, format!("lacks {}", lacks(rule).join(" and ")));
    }
    finding.help(help);
}
