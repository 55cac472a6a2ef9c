//! Editions that the pack keeps, newest first, each with what changed from the one before.

use crate::compute::compare::Side;
use crate::compute::currency::kept::{Kept, Moment};
use crate::model::Idx;
use crate::model::docs::Pack;
use crate::plan::changes::{self, Listing};
use crate::plan::site::Site;
use crate::plan::view::audit::Section;
use crate::plan::view::parts::Frame;
use serde::Serialize;

/// View of `editions.html`.
#[derive(Debug, Serialize)]
pub struct EditionsPage {
    /// Frame.
    pub frame: Frame,
    /// What the lists of changes are not.
    pub caution: &'static str,
    /// Editions.
    pub editions: Vec<Edition>,
}

/// An edition.
#[derive(Debug, Serialize)]
pub struct Edition {
    /// Anchor.
    pub id: String,
    /// Pack.
    pub pack: String,
    /// Number.
    pub number: String,
    /// `present` or `superseded`.
    pub stands: &'static str,
    /// Days on which it was signed, first and last.
    pub signed: Option<String>,
    /// How many documents were signed in it.
    pub documents: usize,
    /// File in which it is kept, seen from the folder of the pack.
    pub kept: Option<String>,
    /// The edition with which it is compared, and how many changes there are.
    pub changed: Option<String>,
    /// Changes by class, most dangerous first.
    pub sections: Vec<Section>,
}

/// The page.
pub fn page(site: &Site<'_>) -> EditionsPage {
    let editions = site.catalog.packs.iter().flat_map(|(idx, pack)| of_pack(site, idx, pack)).collect();
    EditionsPage { frame: super::frame(site, "Editions"), caution: changes::CAUTION, editions }
}

/// The three numbers of an edition.
fn numbers(edition: &str) -> Vec<u64> {
    edition.split('.').filter_map(|n| n.parse().ok()).collect()
}

fn of_pack(site: &Site<'_>, idx: Idx<Pack>, pack: &Pack) -> Vec<Edition> {
    let present = &*pack.edition.value;
    let all = site.catalog.kept.iter().zip(&site.facts.currency.kept).filter(|(text, _)| text.pack == idx);
    let mut kept: Vec<(&Kept, &Moment)> = all.filter_map(|(_, k)| k.as_ref().ok()).filter_map(|k| Some((k, k.states.last()?))).collect();
    kept.sort_by_key(|(k, _)| numbers(&k.edition));
    let older = |than: &str| kept.iter().rev().find(|(k, _)| numbers(&k.edition) < numbers(than));
    let mut out = Vec::new();
    // Several packs meet in one catalogue, and a kept edition holds but one of them.
    let alone = site.catalog.packs.len() == 1;
    let now = alone.then(|| Side::of(site.catalog, site.facts));
    out.push(blank(pack, present, "present", kept.iter().find(|(k, _)| k.edition == present).map(|(k, _)| *k)));
    for (k, _) in kept.iter().rev().filter(|(k, _)| k.edition != present) {
        out.push(blank(pack, &k.edition, "superseded", Some(k)));
    }
    for edition in &mut out {
        let Some((before, moment)) = older(&edition.number) else { continue };
        let own = kept.iter().find(|(k, _)| k.edition == edition.number).map(|(k, m)| Side::kept(k, m));
        let Some(after) = (if edition.stands == "present" { now.clone() } else { own }) else { continue };
        let listing = Listing::new((&before.edition, &Side::kept(before, moment)), (&edition.number, &after));
        let prefix = edition.id.clone();
        edition.changed = Some(changes::page::headline(&listing));
        edition.sections =
            changes::page::by_class(&listing).into_iter().map(|s| Section { id: format!("{prefix}-{}", s.id), ..s }).collect();
    }
    out
}

fn blank(pack: &Pack, number: &str, stands: &'static str, kept: Option<&Kept>) -> Edition {
    let days = kept.map(|k| k.states.iter().map(|s| s.date).collect::<Vec<_>>()).unwrap_or_default();
    let signed = match (days.iter().min(), days.iter().max()) {
        (Some(a), Some(b)) if a == b => Some(a.to_string()),
        (Some(a), Some(b)) => Some(format!("{a} to {b}")),
        _ => None,
    };
    let mut documents: Vec<_> = kept.iter().flat_map(|k| &k.states).flat_map(|s| s.signed.keys()).collect();
    documents.sort();
    documents.dedup();
    Edition {
        id: format!("{}-{}", pack.head.id.value, number.replace('.', "-")),
        pack: pack.title.value.to_string(),
        number: number.to_string(),
        stands,
        signed,
        documents: documents.len(),
        kept: kept.map(|k| format!("editions/{}.json", k.edition)),
        changed: None,
        sections: Vec::new(),
    }
}
