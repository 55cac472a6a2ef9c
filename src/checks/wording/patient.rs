//! What the person on the table reads or is told.

use crate::checks::Case;
use crate::model::docs::Pack;
use crate::model::{DocRef, Kind, Wording};
use crate::source::Text;
use std::collections::HashMap;

/// Texts that are read or heard together.
pub(super) struct Told<'a> {
    /// For messages: "the leaflet".
    pub what: &'static str,
    /// Document.
    pub doc: DocRef,
    /// Its pack, which is in English.
    pub pack: &'a Pack,
    /// The texts, in order.
    pub texts: Vec<&'a Wording>,
}

/// Everything that people are told, document by document.
pub(super) fn told<'a>(case: &'a Case<'_>) -> Vec<Told<'a>> {
    let catalog = case.catalog;
    let by_place: HashMap<_, _> = catalog.wordings.iter().map(|w| (w.text.span, w)).collect();
    let mut out = Vec::new();
    let mut add = |what: &'static str, doc: DocRef, texts: Vec<&Text>| {
        let Some(pack) = case.english(doc) else { return };
        let texts: Vec<&Wording> = texts.into_iter().filter_map(|t| by_place.get(&t.span).copied()).collect();
        if !texts.is_empty() {
            out.push(Told { what, doc, pack, texts });
        }
    };
    for doc in catalog.docs(Kind::Protocol) {
        let Some(protocol) = catalog.protocols.rows().get(doc.row as usize) else { continue };
        add("the consent script", doc, protocol.consent.iter().map(|(_, text)| text).collect());
        let home = protocol.home.iter().flat_map(|h| {
            let stop = h.stop.iter().flat_map(|s| std::iter::once(&s.sign).chain(&s.act));
            std::iter::once(&h.action).chain(stop)
        });
        add("the after-care with the home programme", doc, protocol.aftercare.iter().chain(home).collect());
        add("the leaflet", doc, protocol.leaflet.iter().collect());
    }
    for doc in catalog.docs(Kind::Technique) {
        let cues = catalog.wordings.iter().filter(|w| w.doc == doc && &*w.key == "cue");
        add("the cue", doc, cues.map(|w| &w.text).collect());
    }
    for kind in [Kind::Condition, Kind::Flag] {
        for doc in catalog.docs(kind) {
            let asked = catalog.wordings.iter().filter(|w| w.doc == doc && ["question", "say", "safety-net"].contains(&&*w.key));
            add(if kind == Kind::Flag { "what the flag asks and says" } else { "the question" }, doc, asked.map(|w| &w.text).collect());
        }
    }
    out
}
