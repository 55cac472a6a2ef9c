//! A number or a statement of effect that stands on nothing.

use crate::checks::text::{paragraphs, parts, quantity, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Catalog;
use crate::model::docs::{Claim, Dose, Ground, Limit, Muscle, Protocol, Technique};
use crate::source::Span;
use std::ops::Range;

/// The check.
pub static CHECK: Check = Check {
    name: "claim-uncited",
    summary: "a number or a statement of effect has neither a source nor a basis",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("claim_uncited.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let catalog = case.catalog;
    let mut values = Values { sink };
    catalog.protocols.rows().iter().for_each(|p| values.protocol(catalog, p));
    catalog.techniques.rows().iter().for_each(|t| values.technique(t));
    catalog.muscles.rows().iter().for_each(|m| values.muscle(m));
    for pack in catalog.packs.rows() {
        values.limits(&pack.limits, &pack.title.value);
        if let Some(number) = &pack.emergency {
            values.judge(&pack.emergency_ground, number.span, || format!("the emergency number {}", number.value));
        }
    }
    for measure in catalog.measures.rows() {
        let name = &measure.name.value;
        for error in &measure.errors {
            if let Some(amount) = error.mdc.as_ref().or(error.sem.as_ref()) {
                values.judge(&error.ground, amount.span, || format!("the error of {name}, {},", amount.value.shown()));
            }
        }
        for change in &measure.meaningful {
            if let Some(amount) = &change.change {
                values.judge(&change.ground, amount.span, || format!("the meaningful change of {name}, {},", amount.value.shown()));
            }
        }
    }
    for wording in catalog.wordings.iter().filter(|w| w.markdown) {
        for (part, what) in bare(&wording.text.value) {
            let said = wording.text.value[part.clone()].replace('\n', " ");
            values
                .sink
                .report(wording.span_of(part), what, format!("`{said}` stands in a paragraph that names no source"))
                .help("link the source in this paragraph as `[words](source:id)`, or write that it is house practice, common practice or has no source");
        }
    }
}

struct Values<'a> {
    sink: &'a mut Sink,
}

impl Values<'_> {
    fn judge(&mut self, ground: &Ground, at: Span, what: impl FnOnce() -> String) {
        if ground.is_silent() {
            let what = what();
            self.sink
                .report(at, "stands on nothing", format!("{what} has neither a source nor a basis"))
                .help("add `cite: [{source: …, at: …}]`; without a source write `basis: house practice` for a decision of the house or `basis: common practice` for a habit of the trade");
        }
    }

    fn claims(&mut self, claims: &[Claim], what: &str) {
        for claim in claims {
            self.judge(&claim.ground, claim.text.span, || format!("{what} `{}`", claim.text.value));
        }
    }

    fn limits(&mut self, limits: &[Limit], whose: &str) {
        for limit in limits {
            let at = limit.max.as_ref().map_or(limit.span, |m| m.span);
            self.judge(&limit.ground, at, || format!("a limit on {} in {whose}", limit.stressor.word()));
        }
    }

    fn dose(&mut self, dose: &Dose, ground: &Ground, what: impl FnOnce() -> String) {
        if let (Some(at), false) = (dose.span, dose.entries.is_empty()) {
            self.judge(ground, at, what);
        }
    }

    fn protocol(&mut self, catalog: &Catalog, protocol: &Protocol) {
        let loads = |t: Option<crate::model::Idx<Technique>>| t.is_some_and(|t| !catalog.techniques[t].exposes.is_empty());
        for step in protocol.steps.iter().filter(|s| loads(s.technique.to)) {
            self.dose(&step.dose, &step.ground, || format!("the dose of step {}", step.number.value));
        }
        for item in protocol.home.iter().filter(|h| loads(h.technique.to)) {
            self.dose(&item.dose, &item.ground, || format!("the dose of the home item `{}`", item.name.value));
        }
        let spacing = &protocol.spacing;
        if let (Some(at), true) = (spacing.span, spacing.gap.is_some() || spacing.per_week.is_some() || spacing.sessions.is_some()) {
            self.judge(&spacing.ground, at, || "the spacing of sessions".into());
        }
        self.claims(&protocol.rationale, "the rationale");
        self.claims(&protocol.evidence, "the evidence line");
    }

    fn technique(&mut self, technique: &Technique) {
        let name = &technique.name.value;
        for parameter in &technique.parameters {
            self.judge(&parameter.ground, parameter.name.span, || format!("`{}` of {name}", parameter.name.value));
        }
        self.limits(&technique.limits, name);
        self.claims(&technique.harms, "the harm");
    }

    fn muscle(&mut self, muscle: &Muscle) {
        let name = &muscle.name.value;
        for attachment in &muscle.attachments {
            self.judge(&attachment.ground, attachment.text.span, || format!("the {} attachment of {name}", attachment.end));
        }
        for action in &muscle.actions {
            let Some(motion) = &action.motion else { continue };
            self.judge(&action.ground, motion.span, || format!("the action `{}` of {name}", motion.value.shown()));
        }
        for hazard in &muscle.hazards {
            self.judge(&hazard.ground, hazard.text.span, || format!("the hazard `{}`", hazard.text.value));
        }
        for part in &muscle.mechanics {
            self.judge(&part.ground, part.name.span, || format!("the moment arms of {name}, {}", part.name.value));
        }
        for (text, ground, what) in
            [(&muscle.nerve, &muscle.nerve_ground, "nerve supply"), (&muscle.fibres, &muscle.fibres_ground, "fibre direction")]
        {
            if let Some(text) = text {
                self.judge(ground, text.span, || format!("the {what} of {name}"));
            }
        }
    }
}

/// Finite forms only: "reduced feeling" is no claim.
const EFFECTS: [&str; 9] = ["improves", "improved", "reduces", "relieves", "eases", "lessens", "prevents", "superior", "effective"];
const PAIRS: [(&str, &str); 5] = [("works", "best"), ("works", "better"), ("better", "than"), ("helps", "best"), ("worse", "than")];
const GROUNDS: [&str; 4] = ["(source:", "house practice", "common practice", "no source"];

/// First number or word of effect of each paragraph that names no ground.
fn bare(text: &str) -> Vec<(Range<usize>, &'static str)> {
    let mut out = Vec::new();
    for paragraph in paragraphs(text) {
        let block = &text[paragraph.clone()];
        let folded = block.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        if GROUNDS.iter().any(|g| folded.contains(g)) {
            continue;
        }
        let found = match effect(block) {
            Some(range) => Some((range, "a statement of effect")),
            None => quantity(block).map(|range| (range, "a number")),
        };
        out.extend(found.map(|(r, what)| (paragraph.start + r.start..paragraph.start + r.end, what)));
    }
    out
}

fn effect(block: &str) -> Option<Range<usize>> {
    let words = words(block);
    words.iter().enumerate().find_map(|(i, word)| {
        if is_asked(&block[word.range.end..]) {
            return None;
        }
        if word.is_any(&EFFECTS) {
            return Some(word.range.clone());
        }
        let next = words.get(i + 1)?;
        let pair = PAIRS.iter().any(|(a, b)| word.is_any(&[a]) && next.is_any(&[b]));
        (pair && !parts(&block[word.range.end..next.range.start])).then_some(word.range.start..next.range.end)
    })
}

/// A question claims nothing.
fn is_asked(rest: &str) -> bool {
    rest.find(['.', '!', '?', ';']).is_some_and(|i| rest[i..].starts_with('?'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_paragraphs_without_a_ground_are_bare() {
        let text = "# 5 s\n\nIt works\nbest.\n\nIs it better than rest?\n\nReduced feeling.\n\nHold 45 s ([Lu](source:lu)).\n\nHold 45 s; house\npractice.\n\nHold 30 s.\n";
        let found: Vec<&str> = bare(text).into_iter().map(|(r, _)| &text[r]).collect();
        assert_eq!(found, ["works\nbest", "30 s"]);
    }
}
