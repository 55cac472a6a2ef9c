//! A source.

use super::parts::{DoseView, Frame, LinkGroup, Pair};
use crate::model::docs::{Source, Told};
use crate::model::evidence::{Disclosure, HarmsStatus};
use crate::model::{Idx, Kind};
use crate::plan::references::Layout;
use crate::plan::site::{Site, doc, pairs, text};
use crate::plan::words;
use serde::Serialize;

/// View of `source.html`.
#[derive(Debug, Serialize)]
pub struct SourcePage {
    /// Frame.
    pub frame: Frame,
    /// Author and year.
    pub short: String,
    /// Whole reference in one line.
    pub reference: String,
    /// Identifiers.
    pub identifiers: Vec<Pair>,
    /// Design.
    pub design: String,
    /// Population, number of people, setting and so on.
    pub facts: Vec<Pair>,
    /// Arms with their doses.
    pub arms: Vec<ArmView>,
    /// Outcomes.
    pub outcomes: Vec<OutcomeView>,
    /// Retraction status and when it was looked up.
    pub retraction: Option<String>,
    /// How far the entry was checked, and what was read.
    pub seen: Vec<Pair>,
    /// Who cites it.
    pub used_by: Vec<LinkGroup>,
}

/// An arm.
#[derive(Debug, Serialize)]
pub struct ArmView {
    /// Name.
    pub name: String,
    /// What was done.
    pub technique: Option<String>,
    /// Dose.
    pub dose: Vec<DoseView>,
}

/// An outcome.
#[derive(Debug, Serialize)]
pub struct OutcomeView {
    /// Name.
    pub name: String,
    /// Result.
    pub result: String,
    /// Where.
    pub at: Option<String>,
}

impl SourcePage {
    /// Shows a source.
    pub fn new(site: &Site<'_>, idx: Idx<Source>) -> SourcePage {
        let s = &site.catalog.sources[idx];
        let own = doc(Kind::Source, idx);
        let checked = s.retraction_checked.as_ref().map(|d| format!(", looked up {}", d.value)).unwrap_or_default();
        let seen = [("How far checked", &s.seen), ("What was read", &s.seen_what)];
        SourcePage {
            frame: site.doc_frame(own),
            short: site.references.label(idx).to_string(),
            reference: site.references.line(Layout::AuthorDate, idx).to_string(),
            identifiers: identifiers(s),
            design: s.design.as_ref().map(|d| d.value.word().to_string()).unwrap_or_default(),
            facts: pairs(&s.facts).into_iter().chain(told(s)).collect(),
            arms: s
                .arms
                .iter()
                .map(|a| ArmView { name: a.name.value.to_string(), technique: text(&a.technique), dose: words::dose(&a.dose, None) })
                .collect(),
            outcomes: s
                .findings
                .iter()
                .map(|o| OutcomeView { name: o.name.value.to_string(), result: o.result.value.to_string(), at: text(&o.at) })
                .collect(),
            retraction: s.retraction.as_ref().map(|r| format!("{}{checked}", r.value.word())),
            seen: seen.into_iter().filter_map(|(label, t)| text(t).map(|text| Pair { label: label.into(), text })).collect(),
            used_by: site.used_by(own),
        }
    }
}

/// Harms, funding and interests: the word, and what was said.
fn told(s: &Source) -> Vec<Pair> {
    fn line<T: Copy>(label: &str, told: &Option<Told<T>>, word: impl Fn(T) -> &'static str) -> Option<Pair> {
        let told = told.as_ref()?;
        let text = told.what.as_ref().map_or_else(|| word(told.status.value).to_string(), |w| w.value.to_string());
        Some(Pair { label: label.into(), text })
    }
    let all = [
        line("Harms", &s.harms, HarmsStatus::word),
        line("Funding", &s.funding, Disclosure::word),
        line("Interests", &s.interests, Disclosure::word),
    ];
    all.into_iter().flatten().collect()
}
fn identifiers(s: &Source) -> Vec<Pair> {
    let b = &s.bibliography;
    let numbers = b.identifiers.iter().map(|i| Pair { label: i.value.scheme().label().into(), text: i.value.plain().into() });
    numbers.chain(text(&b.url).map(|text| Pair { label: "Address".into(), text })).collect()
}
