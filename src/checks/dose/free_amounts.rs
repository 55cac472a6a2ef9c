//! Amounts in leaflets, notes and pages, held against the doses of what the text is about.
//!
//! A leaflet is about its protocol, notes about their document, and a sentence of a page about the protocols,
//! techniques and muscles that it links or names; if it names none, about those of its paragraph or heading.

use super::item::Item;
use super::text_number_differs::{Field, about, agrees, fields};
use crate::checks::Case;
use crate::checks::prose::{Block, Prose, Shape};
use crate::checks::text::{taken_back, words};
use crate::compute::spoken::{Counts, Spoken, amounts};
use crate::model::docs::{Muscle, Protocol, Technique};
use crate::model::unit::Dim;
use crate::model::{DocRef, Idx, Kind, Wording, quantity};
use crate::source::Span;
use std::collections::BTreeSet;
use std::ops::Range;

/// An amount that no dose has.
pub(super) struct Stray {
    /// Where.
    pub at: Span,
    /// As written.
    pub said: String,
    /// For the message: "the leaflet of Soleus".
    pub place: String,
    /// Doses that it may be about.
    pub rivals: Vec<Field>,
}

/// Verbs of a dose. A sentence without one tells how long soreness lasts, when to come back and the like.
const DOING: [&str; 47] = [
    "hold",
    "holds",
    "held",
    "press",
    "presses",
    "pressed",
    "squeeze",
    "squeezed",
    "push",
    "pushed",
    "stretch",
    "stretches",
    "stretched",
    "lengthen",
    "lengthened",
    "sweep",
    "swept",
    "stroke",
    "repeat",
    "repeats",
    "repeated",
    "do",
    "keep",
    "kept",
    "stay",
    "let",
    "sink",
    "lean",
    "warm",
    "warmed",
    "cool",
    "cooled",
    "heat",
    "heated",
    "lie",
    "lay",
    "laid",
    "pull",
    "lift",
    "rise",
    "bend",
    "contract",
    "practise",
    "practice",
    "exercise",
    "exercises",
    "leave",
];
/// An amount so many times larger or smaller than every dose is about something else.
const FAR: f64 = 100.0;

/// All stray amounts of free texts.
pub(super) fn strays(case: &Case<'_>, items: &[Item<'_>]) -> Vec<Stray> {
    let names = Names::of(case);
    let free = case.catalog.wordings.iter().filter(|w| w.markdown && w.doc.kind != Kind::Source);
    free.flat_map(|wording| of_text(case, items, &names, wording)).collect()
}

fn of_text(case: &Case<'_>, items: &[Item<'_>], names: &Names, wording: &Wording) -> Vec<Stray> {
    let prose = Prose::of(wording);
    let leaflet = &*wording.key == "leaflet";
    let own = Subject::of(case, wording.doc);
    let mut heading = own.clone();
    let mut out = Vec::new();
    for block in &prose.blocks {
        let named = names.subject(case, &prose, block, &block.range);
        if let Shape::Heading(_) = block.shape {
            heading = if named.is_empty() { own.clone() } else { named };
            continue;
        }
        if block.shape == Shape::Code {
            continue;
        }
        for sentence in sentences(&prose, block) {
            let subject =
                if leaflet { own.clone() } else { names.subject(case, &prose, block, &sentence).or(&named).or(&heading).or(&own) };
            if subject.is_empty() {
                continue;
            }
            let text = &prose.text[sentence.clone()];
            for spoken in amounts(text) {
                let Some(rivals) = judge(case, items, &subject, leaflet, text, &spoken) else { continue };
                let at = sentence.start + spoken.at.start..sentence.start + spoken.at.end;
                let title = case.catalog.title(wording.doc);
                let place =
                    if wording.doc.kind == Kind::Page { format!("the page {title}") } else { format!("the {} of {title}", wording.key) };
                out.push(Stray { at: prose.span(at.clone()), said: prose.said(at), place, rivals });
            }
        }
    }
    out
}

/// Sentences that give a dose of our own: no question, no report of a source, no prohibition.
fn sentences(prose: &Prose<'_>, block: &Block) -> Vec<Range<usize>> {
    let inside = |sentence: &Range<usize>| sentence.start >= block.range.start && sentence.end <= block.range.end;
    let own = prose.sentences().map(|(r, _)| r).filter(inside);
    own.filter(|sentence| {
        let text = &prose.text[sentence.clone()];
        let words = words(text);
        let cites = block.links.iter().any(|(at, url)| url.starts_with("source:") && at.start >= sentence.start && at.start < sentence.end);
        let gives = words.iter().enumerate().any(|(i, w)| w.is_any(&DOING) && !taken_back(&words[..i], w, text));
        gives && !cites && !text.trim_end().ends_with('?')
    })
    .collect()
}

/// The doses that an amount contradicts; `None` if it fits one, or is about something else.
fn judge(case: &Case<'_>, items: &[Item<'_>], subject: &Subject, leaflet: bool, sentence: &str, spoken: &Spoken) -> Option<Vec<Field>> {
    let done = words(sentence).first().is_some_and(|w| w.is_any(&["we"]));
    let all: Vec<&Item<'_>> = items.iter().filter(|i| subject.covers(case, i)).collect();
    // What a leaflet asks for is done at home; what "we" did was a step.
    let home: Vec<&Item<'_>> = all.iter().copied().filter(|i| leaflet && !done && i.home.is_some()).collect();
    let rivals = |items: &[&Item<'_>]| -> Vec<Field> {
        let mut out: Vec<Field> = Vec::new();
        for item in items {
            for field in fields(case, item).into_iter().filter(|f| about(spoken.counts, f.counts)) {
                out.push(Field { name: format!("`{}` of {}", field.name, item.name), ..field });
            }
        }
        out
    };
    let mut found = rivals(&home);
    let mut judged = home;
    if found.is_empty() {
        found = rivals(&all);
        judged = all;
    }
    if !leaflet {
        found.extend(subject.allowed(case).into_iter().filter(|f| about(spoken.counts, f.counts)));
    }
    let totals = judged.iter().flat_map(|i| {
        let totals = i.facts.loads.iter().filter_map(|l| l.total).map(|(dim, amount)| (Counts::Dim(dim), amount));
        totals.chain(i.facts.duration.map(|d| (Counts::Dim(Dim::Time), d)))
    });
    let known = found.iter().any(|f| agrees(spoken, f.amount))
        || totals.into_iter().any(|(c, amount)| c == spoken.counts && agrees(spoken, amount))
        || (!leaflet && subject.writes(case, spoken));
    let far = found.iter().all(|f| spoken.amount.lo > f.amount.hi * FAR || spoken.amount.hi * FAR < f.amount.lo);
    (!known && !far).then_some(found)
}

/// What a text is about.
#[derive(Clone, Default)]
struct Subject {
    protocols: BTreeSet<Idx<Protocol>>,
    techniques: BTreeSet<Idx<Technique>>,
}

impl Subject {
    fn of(case: &Case<'_>, doc: DocRef) -> Self {
        let mut out = Self::default();
        out.add(case, doc);
        out
    }

    fn add(&mut self, case: &Case<'_>, doc: DocRef) {
        let catalog = case.catalog;
        match doc.kind {
            Kind::Protocol => self.protocols.extend(catalog.protocols.iter().map(|(i, _)| i).filter(|i| i.row() == doc.row as usize)),
            Kind::Technique => self.techniques.extend(catalog.techniques.iter().map(|(i, _)| i).filter(|i| i.row() == doc.row as usize)),
            Kind::Muscle => {
                let of = |p: &Protocol| p.muscle.to.is_some_and(|m: Idx<Muscle>| m.row() == doc.row as usize);
                self.protocols.extend(catalog.protocols.iter().filter(|(_, p)| of(p)).map(|(i, _)| i));
            }
            _ => {}
        }
    }

    fn is_empty(&self) -> bool {
        self.protocols.is_empty() && self.techniques.is_empty()
    }

    /// A sentence that names only a technique is about the protocols of its paragraph or heading.
    fn or(mut self, wider: &Self) -> Self {
        if self.is_empty() {
            return wider.clone();
        }
        if self.protocols.is_empty() {
            self.protocols.clone_from(&wider.protocols);
        }
        self
    }

    fn covers(&self, case: &Case<'_>, item: &Item<'_>) -> bool {
        let technique = |t: &Idx<Technique>| std::ptr::eq(&raw const case.catalog.techniques[*t], item.technique);
        (self.protocols.is_empty() || self.protocols.contains(&item.protocol))
            && (self.techniques.is_empty() || self.techniques.iter().any(technique))
    }

    /// What the techniques allow.
    fn allowed(&self, case: &Case<'_>) -> Vec<Field> {
        let parameters = self.techniques.iter().flat_map(|t| {
            let technique = &case.catalog.techniques[*t];
            technique.parameters.iter().filter_map(move |p| p.allowed.as_ref().map(|a| (technique, p, a)))
        });
        parameters
            .map(|(technique, p, a)| Field {
                name: format!("`{}` of {}", p.name.value, technique.name.value),
                counts: Counts::Dim(a.value.dim()),
                amount: a.value.base(),
                shown: a.value.shown(),
                at: a.span,
            })
            .collect()
    }

    /// True if one of its documents has this amount in any field.
    fn writes(&self, case: &Case<'_>, spoken: &Spoken) -> bool {
        let docs =
            self.protocols.iter().map(|p| (Kind::Protocol, p.row())).chain(self.techniques.iter().map(|t| (Kind::Technique, t.row())));
        let docs: Vec<_> = docs.collect();
        let texts = case.catalog.wordings.iter().filter(|w| docs.contains(&(w.doc.kind, w.doc.row as usize)) && !w.markdown);
        let same = |q: &quantity::Quantity| {
            let counts = Counts::Dim(q.dim());
            (counts == spoken.counts || (spoken.counts == Counts::Programme && q.dim() == Dim::Time)) && agrees(spoken, q.base())
        };
        texts.into_iter().any(|w| quantity::parse(w.text.value.trim()).is_ok_and(|q| same(&q)))
    }
}

/// Names of techniques, muscles and protocols in small letters.
struct Names(Vec<(Vec<String>, DocRef)>);

impl Names {
    fn of(case: &Case<'_>) -> Self {
        let docs = [Kind::Technique, Kind::Muscle, Kind::Protocol].into_iter().flat_map(|kind| case.catalog.docs(kind));
        Self(docs.map(|doc| (small(case.catalog.title(doc)), doc)).filter(|(name, _)| !name.is_empty()).collect())
    }

    /// What a part of a block links or names.
    fn subject(&self, case: &Case<'_>, prose: &Prose<'_>, block: &Block, part: &Range<usize>) -> Subject {
        let mut out = Subject::default();
        for (_, url) in block.links.iter().filter(|(at, _)| part.contains(&at.start)) {
            let linked = url.split_once(':').and_then(|(word, id)| case.catalog.find(Kind::from_word(word)?, id));
            linked.into_iter().for_each(|doc| out.add(case, doc));
        }
        let text = small(&prose.text[part.clone()]);
        for (name, doc) in &self.0 {
            if text.windows(name.len()).any(|w| w == name) {
                out.add(case, *doc);
            }
        }
        out
    }
}

fn small(text: &str) -> Vec<String> {
    words(text).iter().map(|w| w.letters().collect()).collect()
}
