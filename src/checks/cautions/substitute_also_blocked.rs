//! What a condition offers instead is barred by the same condition.

use super::row_words;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::cautions;
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
    for (idx, condition) in case.catalog.conditions.iter() {
        for row in condition.rules.iter().filter(|r| r.instead.is_some()) {
            judge(case, &[(condition, &condition.rules)], Offer::Instead(row), sink);
        }
        for allowed in &condition.allows {
            judge(case, &[(condition, &condition.rules)], Offer::Allowed(allowed), sink);
        }
        for together in &condition.together {
            // A person with both has the rows of both.
            let mut bars = vec![(condition, &together.rules), (condition, &condition.rules)];
            bars.extend(together.others(idx).into_iter().map(|o| &case.catalog.conditions[o]).map(|o| (o, &o.rules)));
            for row in together.rules.iter().filter(|r| r.instead.is_some()) {
                judge(case, &bars, Offer::Instead(row), sink);
            }
        }
    }
}

/// What is offered: the way round a row, or what stays possible.
#[derive(Copy, Clone)]
enum Offer<'a> {
    Instead(&'a Rule),
    Allowed(&'a Ref<Technique>),
}

impl<'a> Offer<'a> {
    fn technique(self) -> Option<&'a Ref<Technique>> {
        match self {
            Offer::Instead(row) => row.instead.as_ref(),
            Offer::Allowed(technique) => Some(technique),
        }
    }

    fn words(self) -> (String, &'static str) {
        match self {
            Offer::Instead(row) => (format!("the way round {}", row_words(row)), "instead"),
            Offer::Allowed(_) => ("still possible".into(), "allows"),
        }
    }
}

fn judge(case: &Case<'_>, bars: &[(&Condition, &Vec<Rule>)], offer: Offer<'_>, sink: &mut Sink) {
    let within = if let Offer::Instead(row) = offer { Some(row) } else { None };
    let Some((offered, technique)) = offer.technique().and_then(|r| Some((r, &case.catalog.techniques[r.to?]))) else { return };
    let barred = |(c, rules): &(&'_ Condition, &'_ Vec<Rule>)| {
        technique.exposes.iter().find_map(|e| Some((e, c.name.value.clone(), cautions::barred(rules, e.stressor, within)?.clone())))
    };
    let Some((exposes, whose, bar)) = bars.iter().find_map(barred) else { return };
    let (what, key) = offer.words();
    let message = format!("`{}` is offered as {what}, and `{whose}` has {}", technique.name.value, row_words(&bar));
    sink.report(offered.span(), format!("exposes to {}", exposes.stressor.word()), message)
        .also(bar.strength_at, "barred here")
        .also(exposes.span, format!("how the technique exposes to {}", exposes.stressor.word()))
        .help(format!("name a technique without {} under `{key}`, or take this one out", exposes.stressor.word()));
}
