//! The glossary: the closed lists of words with their meaning, our own words, units, plain and Latin names.

use crate::compute::coverage::Extent;
use crate::compute::currency::sign_off::State;
use crate::model::Kind;
use crate::model::docs::{Pack, Word};
use crate::model::evidence::{Certainty, Comparator, Design, Direction, Domain, HarmsStatus, Judgement, RetractionStatus};
use crate::model::region::Tag;
use crate::model::terms::OWN;
use crate::model::unit::{UNITS, Unit};
use crate::model::vocabulary::{Basis, Cover, Danger, Per, Role, Strength, Stressor, ThermalSource, Urgency};
use crate::plan::site::{Site, doc, texts};
use crate::plan::view::parts::{Frame, GroundView, Link};
use crate::plan::view::wording;
use crate::plan::{route, terms, words};
use serde::Serialize;

/// View of `glossary.html`.
#[derive(Debug, Serialize)]
pub struct GlossaryPage {
    /// Frame.
    pub frame: Frame,
    /// Words of the packs themselves.
    pub own: Vec<OwnWords>,
    /// Lists of words.
    pub groups: Vec<Group>,
    /// Muscles: plain name, Latin name, other names.
    pub names: Vec<(Link, String, Vec<String>)>,
    /// The page that says what follows from a certainty.
    pub wording: String,
}

/// Words of one pack, from A to Z.
#[derive(Debug, Serialize)]
pub struct OwnWords {
    /// Anchor.
    pub id: String,
    /// Title of the pack.
    pub pack: String,
    /// Words, each with what its meaning stands on.
    pub terms: Vec<(Term, GroundView)>,
}

/// A list of words.
#[derive(Debug, Serialize)]
pub struct Group {
    /// Anchor.
    pub id: &'static str,
    /// Heading.
    pub heading: &'static str,
    /// What the words are about.
    pub about: &'static str,
    /// Words, in the order of the list.
    pub terms: Vec<Term>,
}

/// A word.
#[derive(Debug, Serialize)]
pub struct Term {
    /// Anchor.
    pub id: String,
    /// The word.
    pub word: String,
    /// What it means here.
    pub means: String,
}

/// The page.
pub fn page(site: &Site<'_>) -> GlossaryPage {
    let names =
        site.catalog.muscles.iter().map(|(idx, m)| (site.link(doc(Kind::Muscle, idx)), m.latin.value.to_string(), texts(&m.other_names)));
    let mut names: Vec<_> = names.collect();
    names.sort();
    let own = site.catalog.packs.rows().iter().filter(|p| !p.glossary.is_empty()).map(|p| own_words(site, p)).collect();
    GlossaryPage { frame: super::frame(site, "Glossary"), own, groups: groups(), names, wording: site.to(route::WORDING) }
}

fn own_words(site: &Site<'_>, pack: &Pack) -> OwnWords {
    let id = format!("of-{}", pack.head.id.value);
    let term = |w: &Word| {
        let word = w.word.value.to_string();
        (Term { id: anchor(&id, &word), word: words::capital(&word), means: w.means.value.to_string() }, site.ground(&w.ground))
    };
    let mut terms: Vec<_> = pack.glossary.iter().map(term).collect();
    terms.sort_by_cached_key(|(t, _)| t.word.to_lowercase());
    OwnWords { pack: pack.title.value.to_string(), terms, id }
}

/// A list from its words and their meanings.
fn list<T: Copy>(
    (id, heading, about): (&'static str, &'static str, &'static str),
    all: &[T],
    word: impl Fn(T) -> &'static str,
    means: impl Fn(T) -> String,
) -> Group {
    let term = |t: &T| Term { id: anchor(id, word(*t)), word: word(*t).to_string(), means: means(*t) };
    Group { id, heading, about, terms: all.iter().map(term).collect() }
}

/// Anchor of a word of a list.
pub fn anchor(list: &str, word: &str) -> String {
    let plain: String = word.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).collect();
    format!("{list}-{}", plain.trim_matches('-'))
}

fn groups() -> Vec<Group> {
    let owned = |text: &'static str| text.to_string();
    let own = OWN.map(|(word, means)| Term { id: anchor("word", word), word: word.into(), means: means.into() });
    let tags: Vec<Tag> = Tag::ALL.iter().map(|(tag, _)| *tag).collect();
    let clock = |u: Urgency| format!("{}. {}", words::capital(u.clock()), terms::urgency(u));
    vec![
        Group { id: "words", heading: "Words of these pages", about: "From A to Z.", terms: own.into() },
        list(("loads", "Loads", "What a step does to the body."), Stressor::ALL, Stressor::word, |s| owned(terms::stressor(s))),
        list(("strength", "Cautions", "How strongly a condition acts on a load, strongest first."), Strength::ALL, Strength::word, |s| {
            owned(terms::strength(s))
        }),
        list(("urgency", "Red flags", "How fast a person is sent on, most urgent first."), Urgency::ALL, Urgency::word, clock),
        list(("state", "States", "Where a document stands."), State::ALL, |s| words::state(s).word, terms::state),
        list(("basis", "Bases", "What a value stands on where no source is named."), Basis::ALL, Basis::word, |b| owned(terms::basis(b))),
        list(("role", "Parts of a visit", "What part a technique plays."), Role::ALL, Role::word, |r| owned(terms::role(r))),
        list(("over", "What is counted together", "Over what a load is added up."), Per::ALL, Per::word, |p| owned(terms::per(p))),
        list(("source", "Sources of heat and cold", "What brings them to the skin."), ThermalSource::ALL, ThermalSource::word, |s| {
            owned(terms::thermal_source(s))
        }),
        list(("cover", "Covers", "What one layer between a pack and the skin is made of."), Cover::ALL, Cover::word, |c| {
            owned(terms::cover(c))
        }),
        list(("region", "Regions", "Properties on which rules hang."), &tags, Tag::word, |t| owned(words::tag_means(t))),
        list(("certainty", "Certainty", "How sure one can be of an answer, least first."), Certainty::ALL, Certainty::word, |c| {
            owned(wording::means(c))
        }),
        list(("direction", "Directions", "What a comparison came to."), Direction::ALL, Direction::word, |d| owned(terms::direction(d))),
        list(("against", "Comparators", "Compared with what."), Comparator::ALL, Comparator::shown, |c| owned(terms::comparator(c))),
        list(("domain", "Why certainty moves", "The first five lower it, the last three raise it."), Domain::ALL, Domain::word, |d| {
            owned(terms::domain(d))
        }),
        list(("bias", "Risk of bias", "Judged for each part of a study."), Judgement::ALL, Judgement::word, |j| owned(terms::judgement(j))),
        list(("design", "Designs", "How a study or a text was made."), Design::ALL, Design::word, |d| owned(terms::design(d))),
        list(("harms", "Harms", "What a source says of them."), HarmsStatus::ALL, HarmsStatus::word, |h| owned(terms::harms(h))),
        list(("stands", "Does a source still stand?", "Looked up by hand."), RetractionStatus::ALL, RetractionStatus::word, |r| {
            owned(terms::retraction(r))
        }),
        list(("danger", "Errata", "What a mistake could do."), Danger::ALL, Danger::word, |d| owned(terms::danger(d))),
        list(("coverage", "Coverage", "How much of a cell there is."), Extent::ALL, Extent::word, |e| owned(terms::extent(e))),
        units(),
    ]
}

fn units() -> Group {
    let base = |unit: &Unit| UNITS.iter().find(|u| u.dim == unit.dim && (u.factor - 1.0).abs() < f64::EPSILON);
    let term = |unit: &Unit| {
        let also = if unit.also.is_empty() { String::new() } else { format!(", also {}", unit.also.join(", ")) };
        let size = match base(unit).filter(|b| b.symbol != unit.symbol) {
            Some(b) => format!("; 1 {} = {} {}", unit.one, unit.factor, b.shown),
            None => String::new(),
        };
        let shown = if unit.shown == unit.symbol { String::new() } else { format!("shown as {}; ", unit.shown) };
        Term {
            id: unit_anchor(unit),
            word: unit.symbol.to_string(),
            means: words::capital(&format!("{shown}{}{size}{also}.", unit.dim.word())),
        }
    };
    let about = "As written in packs. Factors: SI Brochure, 9th edition, and NIST Special Publication 811 (2008). A month is a twelfth of a mean year and serves review intervals alone.";
    Group { id: "units", heading: "Units", about, terms: UNITS.iter().map(term).collect() }
}

/// Symbols differ by signs that no anchor keeps.
fn unit_anchor(unit: &Unit) -> String {
    let plain = unit.symbol.replace('/', "-per-").replace('%', "percent");
    anchor("unit", plain.trim_start_matches('-'))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_word_has_one_meaning_and_an_anchor_of_its_own() {
        let mut anchors = BTreeSet::new();
        for group in groups() {
            assert!(anchors.insert(group.id.to_string()), "{}", group.id);
            assert!(!group.terms.is_empty(), "{}", group.heading);
            for term in group.terms {
                assert!(anchors.insert(term.id.clone()), "{}", term.id);
                assert!(term.means.ends_with(['.', '?']) && term.means.len() > 4, "{}: {}", term.word, term.means);
                assert!(term.means.starts_with(|c: char| c.is_uppercase() || c.is_numeric()), "{}: {}", term.word, term.means);
            }
        }
    }

    #[test]
    fn our_own_words_are_in_order() {
        assert!(OWN.windows(2).all(|w| w[0].0.to_lowercase() < w[1].0.to_lowercase()));
    }

    /// NIST SP 811 (2008), appendix B: 1 kgf = 9.80665 N.
    #[test]
    fn a_unit_says_what_it_is() {
        let units = units();
        let of = |symbol: &str| units.terms.iter().find(|t| t.word == symbol).map(|t| t.means.clone()).unwrap();
        assert_eq!(of("kgf"), "A force; 1 kgf = 9.80665 N.");
        assert_eq!(of("min"), "A time; 1 min = 60 s.");
        assert_eq!(of("s"), "A time.");
    }
}
