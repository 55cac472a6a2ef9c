//! What a condition offers instead is barred by the same condition.

use super::row_words;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Ref;
use crate::model::docs::{Condition, Rule, Technique};

/// The check.
pub static CHECK: Check = Check {
    name: "substitute-also-blocked",
    summary: "a condition offers a technique that it bars itself",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("substitute_also_blocked.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for condition in case.catalog.conditions.rows() {
        for row in &condition.rules {
            if let Some(instead) = &row.instead {
                judge(case, condition, instead, Some(row), sink);
            }
        }
        for allowed in &condition.allows {
            judge(case, condition, allowed, None, sink);
        }
    }
}

fn judge(case: &Case<'_>, condition: &Condition, offered: &Ref<Technique>, row: Option<&Rule>, sink: &mut Sink) {
    let Some(technique) = offered.to.map(|t| &case.catalog.techniques[t]) else { return };
    let Some((exposes, bar)) = technique.exposes.iter().find_map(|e| Some((e, condition.barred(e.stressor, row)?))) else { return };
    let name = &technique.name.value;
    let offer = row.map_or_else(|| "still possible".to_string(), |r| format!("the way round {}", row_words(r)));
    let message = format!("`{name}` is offered as {offer}, and `{}` has {}", condition.name.value, row_words(bar));
    let key = if row.is_some() { "instead" } else { "allows" };
    sink.report(offered.span(), format!("exposes to {}", exposes.stressor.word()), message)
        .also(bar.strength_at, "barred here")
        .also(exposes.span, format!("how the technique exposes to {}", exposes.stressor.word()))
        .help(format!("name a technique without {} under `{key}`, or take this one out", exposes.stressor.word()));
}
