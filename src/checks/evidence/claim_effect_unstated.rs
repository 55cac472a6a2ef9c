//! A claim that states an effect in words alone, so that nothing of it can be checked.

use crate::checks::text::sentences;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::claims;
use crate::compute::appraisal::wording;
use crate::finding::Level;
use crate::model::Kind;

/// The check.
pub static CHECK: Check = Check {
    name: "claim-effect-unstated",
    summary: "a claim states an effect in words and names no outcome",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("claim_effect_unstated.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let claims =
        claims::all(case.catalog).filter(|(doc, _, c)| doc.kind == Kind::Protocol && c.effect.is_none() && case.english(*doc).is_some());
    for (_, _, claim) in claims {
        let text = &claim.text.value;
        let stated = sentences(text).into_iter().find_map(|s| {
            let verb = wording::stated(&text[s.clone()])?;
            Some(s.start + verb.start..s.start + verb.end)
        });
        if let Some(verb) = stated {
            let message = format!("a claim states an effect with `{}` and names no outcome", &text[verb.clone()]);
            sink.report(case.place(&claim.text, verb), "states an effect", message)
                .note("Without an outcome neither direction, people, comparator nor certainty can be held against the source.")
                .help("add `outcome`, `direction`, `who`, `comparator` and the `question` or `result` that carries it");
        }
    }
}
