//! Errata: on a page of their own, and on the page of the document that they are about.

use crate::model::docs::{Erratum, Pack};
use crate::model::vocabulary::Danger;
use crate::model::{DocName, DocRef};
use crate::plan::site::Site;
use crate::plan::terms;
use crate::plan::view::parts::{Frame, Link, Mark};
use serde::Serialize;

/// View of `errata.html`.
#[derive(Debug, Serialize)]
pub struct ErrataPage {
    /// Frame.
    pub frame: Frame,
    /// Errata, newest first, those that could harm before others of the same day.
    pub rows: Vec<ErratumView>,
    /// What the words for the danger mean.
    pub key: Vec<(Mark, &'static str)>,
}

/// An erratum.
#[derive(Clone, Debug, Serialize)]
pub struct ErratumView {
    /// Day.
    pub date: String,
    /// Pack, where it is not the pack of the page itself.
    pub pack: String,
    /// Edition that has the mistake.
    pub edition: String,
    /// The document.
    pub document: Option<Link>,
    /// Place in it.
    pub place: String,
    /// What it said.
    pub was: String,
    /// What is right.
    pub is: String,
    /// Why.
    pub why: String,
    /// What it could do.
    pub danger: Option<Mark>,
}

/// The page.
pub fn page(site: &Site<'_>) -> ErrataPage {
    let mut all: Vec<(&Pack, &Erratum)> = all(site).collect();
    all.sort_by_key(|(_, e)| (std::cmp::Reverse(e.date.as_ref().map(|d| d.value)), e.danger.as_ref().map(|d| d.value)));
    ErrataPage {
        frame: super::frame(site, "Errata"),
        rows: all.into_iter().map(|(p, e)| view(site, p, e)).collect(),
        key: Danger::ALL.iter().map(|d| (mark(*d), terms::danger(*d))).collect(),
    }
}

/// Errata of every pack, and of the base of a house pack, whose prints may still lie in the house.
fn all<'a>(site: &Site<'a>) -> impl Iterator<Item = (&'a Pack, &'a Erratum)> + use<'a> {
    let bases = site.facts.houses.iter().flat_map(|h| h.catalog.packs.rows());
    site.catalog.packs.rows().iter().chain(bases).flat_map(|p| p.errata.iter().map(move |e| (p, e)))
}

/// Errata of one document.
pub fn of(site: &Site<'_>, doc: DocRef) -> Vec<ErratumView> {
    let name = site.catalog.name(doc);
    all(site).filter(|(_, e)| DocName::read(&e.document.value).as_ref() == Some(&name)).map(|(p, e)| view(site, p, e)).collect()
}

fn view(site: &Site<'_>, pack: &Pack, e: &Erratum) -> ErratumView {
    let doc = DocName::read(&e.document.value).and_then(|n| site.catalog.find(n.kind, &n.id));
    ErratumView {
        date: e.date.as_ref().map(|d| d.value.to_string()).unwrap_or_default(),
        pack: pack.title.value.to_string(),
        edition: e.edition.value.to_string(),
        document: doc.map(|d| site.link(d)),
        place: e.place.value.to_string(),
        was: e.was.value.to_string(),
        is: e.is.value.to_string(),
        why: e.why.value.to_string(),
        danger: e.danger.as_ref().map(|d| mark(d.value)),
    }
}

fn mark(danger: Danger) -> Mark {
    let (shape, class) = match danger {
        Danger::Harm => ("octagon", "strength-never"),
        Danger::Mislead => ("triangle", "strength-limit"),
        Danger::Words => ("ring", "strength-watch"),
    };
    Mark { word: danger.word(), shape, class }
}
