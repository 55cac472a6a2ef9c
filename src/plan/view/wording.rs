//! How sure: what each certainty means, the words that it carries, and the numbers behind a proposal.

use super::effect::plain;
use super::parts::{Frame, Pair};
use crate::compute::appraisal::EGGER_LEAST;
use crate::compute::appraisal::certainty::{EGGER_P, EVENTS_LEAST, FLAWED_SHARE, I2_STEPS, PEOPLE_LEAST};
use crate::compute::appraisal::wording::TABLE;
use crate::model::evidence::Certainty;
use crate::plan::site::Site;
use serde::Serialize;

/// Title of the page.
pub const TITLE: &str = "How sure: what the words mean";

/// View of `wording.html`.
#[derive(Debug, Serialize)]
pub struct WordingPage {
    /// Frame.
    pub frame: Frame,
    /// Certainties, highest first.
    pub rows: Vec<WordRow>,
    /// Domains with their thresholds.
    pub thresholds: Vec<Threshold>,
    /// Words for directions.
    pub directions: Vec<Pair>,
}

/// A certainty.
#[derive(Debug, Serialize)]
pub struct WordRow {
    /// Word.
    pub certainty: &'static str,
    /// What it means.
    pub means: &'static str,
    /// Words to use.
    pub say: &'static str,
    /// Words that outrun it.
    pub not: &'static str,
}

/// A threshold.
#[derive(Debug, Serialize)]
pub struct Threshold {
    /// Domain.
    pub domain: &'static str,
    /// What is counted and when it makes a step.
    pub rule: String,
    /// Where it is from.
    pub from: &'static str,
}

impl WordingPage {
    /// Makes the page.
    pub fn new(site: &Site<'_>) -> WordingPage {
        let row = |r: &crate::compute::appraisal::wording::Row| WordRow {
            certainty: r.certainty.word(),
            means: means(r.certainty),
            say: r.say,
            not: r.not,
        };
        WordingPage { frame: site.frame(TITLE), rows: TABLE.iter().map(row).collect(), thresholds: thresholds(), directions: directions() }
    }
}

/// What a certainty means.
pub fn means(certainty: Certainty) -> &'static str {
    match certainty {
        Certainty::High => "The true effect very probably lies close to the number here.",
        Certainty::Moderate => "The true effect is probably close to it, and may still be clearly different.",
        Certainty::Low => "The true effect may be clearly different from it.",
        Certainty::VeryLow => "The number is hardly a guide: the true effect is probably clearly different from it.",
    }
}

fn thresholds() -> Vec<Threshold> {
    const HOUSE: &str = "house practice of the tool, no source";
    let [one, two] = I2_STEPS.map(plain);
    let share = plain(FLAWED_SHARE);
    let row = |domain, rule: String, from| Threshold { domain, rule, from };
    vec![
        row(
            "Risk of bias",
            format!(
                "Two steps if results at high risk carry {share} % of the weight or more; one step if high risk, some concerns and not judged carry that much together."
            ),
            HOUSE,
        ),
        row(
            "Inconsistency",
            format!(
                "One step from I² {one} %, two from {two} %; one step if the prediction interval includes the value of no effect and the interval of the mean does not."
            ),
            "house practice of the tool; the bands of the Cochrane Handbook, chapter 10, overlap there (from memory)",
        ),
        row(
            "Indirectness",
            format!(
                "One step if {share} % of the weight or more is from other people than asked about, one if that much is against another comparator. The treatment itself is not compared here: a person judges it."
            ),
            HOUSE,
        ),
        row(
            "Imprecision",
            format!(
                "Two steps if the interval holds effects that matter on both sides; one step if it includes the value of no effect and an effect that matters, with fewer than {} people, or with fewer than {} events.",
                plain(PEOPLE_LEAST),
                plain(EVENTS_LEAST)
            ),
            "people and events: rule of thumb in GRADE guidelines 6 (Guyatt 2011, J Clin Epidemiol 64:1283–1293, from memory); the rest is house practice of the tool",
        ),
        row(
            "Publication bias",
            format!(
                "One step if p of the regression on the standard error is below {}; it is made from {EGGER_LEAST} results on. What was never published cannot be counted.",
                plain(EGGER_P)
            ),
            "Egger 1997, BMJ 315:629–634 (from memory); at least ten: Cochrane Handbook, chapter 13 (from memory)",
        ),
    ]
}

fn directions() -> Vec<Pair> {
    let rows = [
        (
            "better, worse",
            "The 95 % interval leaves out the value of no effect. It says nothing of whether the effect is large enough to matter.",
        ),
        ("no difference", "The interval includes the value of no effect and leaves out every effect that matters."),
        (
            "unclear",
            "The interval includes the value of no effect, and effects that matter are not ruled out; or nobody has said which effect matters.",
        ),
        ("as the source says", "The source states the direction in words; there is no interval against which it could be held."),
    ];
    rows.into_iter().map(|(label, text)| Pair { label: label.into(), text: text.into() }).collect()
}
