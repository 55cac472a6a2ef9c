//! A source: its record, arms, results beside what it prints and concludes, bias, level, money, retraction.

mod appraisal;

use super::parts::{Frame, Link, LinkGroup, Pair};
use super::result::{ResultRow, row};
use crate::model::docs::{Arm, Source};
use crate::model::vocabulary::Citing;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, pairs, text};
use crate::plan::words;
use crate::source::Spanned;
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
    /// True if it was made up for a demonstration.
    pub invented: bool,
    /// Level of evidence, and what it is not.
    pub level: Option<String>,
    /// Arms with their doses.
    pub arms: Vec<ArmView>,
    /// Results.
    pub results: Vec<ResultRow>,
    /// What the authors conclude.
    pub conclusions: Vec<ConclusionView>,
    /// Judgements of bias.
    pub bias: Vec<BiasView>,
    /// Harms, funding, interests.
    pub told: Vec<Pair>,
    /// Trials inside a review.
    pub includes: Vec<Link>,
    /// Reviews that include it.
    pub included_in: Vec<Link>,
    /// The study of which this is another report.
    pub part_of: Option<Link>,
    /// Other reports of this study.
    pub reports: Vec<Link>,
    /// What else was read.
    pub outcomes: Vec<OutcomeView>,
    /// Retraction status and when it was looked up.
    pub retraction: Option<String>,
    /// True if it does not stand as it was published.
    pub shaken: bool,
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
    /// People put into it, analysed, lost.
    pub people: [String; 3],
    /// What was done.
    pub technique: Option<String>,
    /// Dose, each value in words.
    pub dose: Vec<String>,
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

/// What the authors conclude.
#[derive(Debug, Serialize)]
pub struct ConclusionView {
    /// In words.
    pub words: String,
    /// About which outcome.
    pub outcome: Option<Link>,
    /// Which way.
    pub found: Option<&'static str>,
    /// What the results about that outcome come to.
    pub results: Vec<String>,
    /// Where.
    pub at: Option<String>,
}

/// Judgements of bias for some results.
#[derive(Debug, Serialize)]
pub struct BiasView {
    /// Instrument.
    pub tool: String,
    /// Results; empty for all.
    pub results: Vec<String>,
    /// Overall.
    pub overall: &'static str,
    /// Why it differs from the worst domain.
    pub why: Option<String>,
    /// Who judged.
    pub by: Option<String>,
    /// Domain, judgement, reason.
    pub domains: Vec<[String; 3]>,
}

impl SourcePage {
    /// Shows a source.
    pub fn new(site: &Site<'_>, idx: Idx<Source>) -> SourcePage {
        let s = &site.catalog.sources[idx];
        let own = doc(Kind::Source, idx);
        let seen = [("How far checked", &s.seen), ("What was read", &s.seen_what)];
        let people = s.n.as_ref().map(|n| Pair { label: "People".into(), text: n.value.to_string() });
        SourcePage {
            frame: site.doc_frame(own),
            short: site.references.label(idx).to_string(),
            reference: site.references.line(Citing::AuthorDate, idx).to_string(),
            identifiers: identifiers(s),
            design: s.design.as_ref().map(|d| d.value.word().to_string()).unwrap_or_default(),
            facts: pairs(&s.facts).into_iter().chain(people).collect(),
            invented: s.is_invented(),
            level: appraisal::level(s).filter(|_| !s.is_invented()),
            arms: s.arms.iter().map(arm).collect(),
            results: s.results.iter().map(|r| row(site, idx, r)).collect(),
            conclusions: appraisal::conclusions(site, s),
            bias: s.bias.iter().map(appraisal::bias).collect(),
            told: appraisal::told(s),
            includes: site.follow_all(Kind::Source, &s.includes),
            included_in: appraisal::sources(site, |other| other.includes.iter().any(|r| r.to == Some(idx))),
            part_of: s.part_of.as_ref().and_then(|p| site.follow(Kind::Source, p)),
            reports: appraisal::sources(site, |other| other.part_of.as_ref().is_some_and(|p| p.to == Some(idx))),
            outcomes: s
                .findings
                .iter()
                .map(|o| OutcomeView { name: o.name.value.to_string(), result: o.result.value.to_string(), at: text(&o.at) })
                .collect(),
            retraction: appraisal::retraction(s).filter(|_| !s.is_invented()),
            shaken: appraisal::shaken(s),
            seen: seen
                .into_iter()
                .filter(|_| !s.is_invented())
                .filter_map(|(label, t)| text(t).map(|text| Pair { label: label.into(), text }))
                .collect(),
            used_by: site.used_by(own),
        }
    }
}

fn arm(a: &Arm) -> ArmView {
    let count = |n: &Option<Spanned<u32>>| n.as_ref().map_or("not given".into(), |n| n.value.to_string());
    ArmView {
        name: a.name.value.to_string(),
        people: [count(&a.n), count(&a.analysed), count(&a.lost)],
        technique: text(&a.technique),
        dose: words::dose(&a.dose, None).iter().map(|d| words::dose_line(std::slice::from_ref(d))).collect(),
    }
}

fn identifiers(s: &Source) -> Vec<Pair> {
    let b = &s.bibliography;
    let numbers = b.identifiers.iter().map(|i| Pair { label: i.value.scheme().label().into(), text: i.value.plain().into() });
    numbers.chain(text(&b.url).map(|text| Pair { label: "Address".into(), text })).collect()
}
