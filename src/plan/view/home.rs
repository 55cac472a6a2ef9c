//! The start page: what is here, in which edition and state, and what needs attention.

use super::parts::{Frame, Link, Mark, Pair};
use crate::compute::currency::sign_off::State;
use crate::model::docs::Pack;
use crate::model::{DocRef, Idx, Kind};
use crate::plan::site::{Site, text, texts};
use crate::plan::{route, words};
use serde::Serialize;

/// View of `home.html`.
#[derive(Debug, Serialize)]
pub struct Home {
    /// Frame.
    pub frame: Frame,
    /// Kinds with the number of their documents.
    pub kinds: Vec<KindLine>,
    /// Packs.
    pub packs: Vec<PackView>,
    /// Protocols.
    pub protocols: Vec<ProtocolLine>,
    /// Reading, first of all.
    pub reading: Vec<Link>,
    /// How many documents stand where, most pressing first.
    pub standing: Vec<Standing>,
    /// Days by which something is to be looked at again, earliest first.
    pub due: Vec<Due>,
    /// Path of the sheet of all cards.
    pub cards: String,
}

/// A kind of document.
#[derive(Debug, Serialize)]
pub struct KindLine {
    /// Link to the list.
    pub link: Link,
    /// Number of documents.
    pub count: usize,
}

/// A pack.
#[derive(Debug, Serialize)]
pub struct PackView {
    /// Id, for the anchor.
    pub id: String,
    /// Title.
    pub title: String,
    /// Edition, language, review-by and so on.
    pub facts: Vec<Pair>,
    /// Destinations.
    pub destinations: Vec<Pair>,
    /// Open questions.
    pub questions: Vec<String>,
    /// Findings let through for a time.
    pub waivers: Vec<String>,
}

/// A protocol on the start page.
#[derive(Debug, Serialize)]
pub struct ProtocolLine {
    /// Page.
    pub link: Link,
    /// Card, unless the protocol is retired.
    pub card: Option<String>,
    /// Muscle.
    pub muscle: Option<Link>,
    /// State.
    pub state: Mark,
    /// Review-by.
    pub review_by: Option<String>,
}

/// Documents that stand alike.
#[derive(Debug, Serialize)]
pub struct Standing {
    /// Where.
    pub mark: Mark,
    /// How many.
    pub text: String,
    /// Which, if they are few and must not be used.
    pub links: Vec<Link>,
}

/// A day and what is to be looked at by then.
#[derive(Debug, Serialize)]
pub struct Due {
    /// Day.
    pub day: String,
    /// Documents.
    pub links: Vec<Link>,
    /// True if the whole pack is meant.
    pub pack: bool,
}

impl Home {
    /// Makes the start page.
    pub fn new(site: &Site<'_>) -> Home {
        let kinds = route::PAGED.into_iter().map(|kind| KindLine {
            link: Link { text: route::heading(kind).into(), href: site.to(&route::list(kind)) },
            count: site.catalog.docs(kind).count(),
        });
        let protocols: Vec<ProtocolLine> = site.catalog.docs(Kind::Protocol).map(|d| protocol(site, d)).collect();
        Home {
            frame: site.frame(&site.title()),
            kinds: kinds.filter(|k| k.count > 0).collect(),
            packs: site.catalog.packs.rows().iter().map(pack).collect(),
            standing: standing(site),
            protocols,
            reading: site.catalog.docs(Kind::Page).map(|d| site.link(d)).collect(),
            due: due(site),
            cards: site.to(route::ALL_CARDS),
        }
    }
}

/// Most documents that are named one by one.
const FEW: usize = 8;

fn standing(site: &Site<'_>) -> Vec<Standing> {
    let mut out = Vec::new();
    for state in State::ALL.iter().rev() {
        let docs: Vec<DocRef> = site.catalog.all_docs().filter(|d| site.state_of(*d) == Some(*state)).collect();
        if docs.is_empty() {
            continue;
        }
        let protocols = docs.iter().filter(|d| d.kind == Kind::Protocol).count();
        let plural = |n: usize, word: &str| format!("{n} {word}{}", if n == 1 { "" } else { "s" });
        let text = format!("{}, {} of them", plural(docs.len(), "document"), plural(protocols, "protocol"));
        let named = !state.is_in_force() && docs.len() <= FEW;
        let links = if named { docs.iter().map(|d| site.link(*d)).collect() } else { Vec::new() };
        let demonstration = site.catalog.packs.rows().iter().any(|p| p.demonstration.is_some());
        out.push(Standing { mark: words::state_in(*state, demonstration), text, links });
    }
    out
}

fn protocol(site: &Site<'_>, d: DocRef) -> ProtocolLine {
    let p = &site.catalog.protocols[Idx::new(d.row as usize)];
    ProtocolLine {
        link: site.link(d),
        card: site.card(d),
        muscle: site.follow(Kind::Muscle, &p.muscle),
        state: site.mark(d).unwrap_or(words::state(State::Draft)),
        review_by: site.review_by(d),
    }
}

fn pack(p: &Pack) -> PackView {
    let amount = |q: &Option<crate::model::docs::Amount>| q.as_ref().map(|q| q.value.shown());
    let facts = [
        ("Edition", Some(p.edition.value.to_string())),
        ("Review by", p.head.review_by.as_ref().map(|d| d.value.to_string())),
        ("Reviewed every", amount(&p.review_interval)),
        ("Scope", text(&p.practice)),
        ("Training in scope", Some(texts(&p.training).join(", ")).filter(|t| !t.is_empty())),
        ("Appointment", amount(&p.appointment)),
        ("House pain cap", amount(&p.pain_cap)),
        ("Emergency number", text(&p.emergency)),
        ("Country", Some(p.jurisdiction.value.to_string())),
        ("Licence", Some(p.licence.value.to_string())),
    ];
    let waiver = |w: &crate::model::docs::Waiver| {
        let until = w.until.as_ref().map(|d| format!(" until {}", d.value)).unwrap_or_default();
        format!("{} in {}{until}: {}", w.check.value, w.document.value, w.reason.value)
    };
    PackView {
        id: p.head.id.value.to_string(),
        title: p.title.value.to_string(),
        facts: facts.into_iter().filter_map(|(label, t)| t.map(|text| Pair { label: label.into(), text })).collect(),
        destinations: p.destinations.iter().map(|d| Pair { label: d.name.value.to_string(), text: d.how.value.to_string() }).collect(),
        questions: texts(&p.open_questions),
        waivers: p.waivers.iter().map(waiver).collect(),
    }
}

/// Days on which something falls due. Documents without a day of their own go with their pack.
fn due(site: &Site<'_>) -> Vec<Due> {
    let mut days: std::collections::BTreeMap<(String, bool), Vec<Link>> = std::collections::BTreeMap::new();
    for (idx, pack) in site.catalog.packs.iter() {
        if let Some(day) = &pack.head.review_by {
            let link = Link { text: pack.title.value.to_string(), href: format!("#pack-{}", pack.head.id.value) };
            days.entry((day.value.to_string(), true)).or_default().push(link);
        }
        for d in route::PAGED.into_iter().flat_map(|k| site.catalog.docs(k)) {
            let own = site.catalog.head(d).filter(|h| h.pack == idx).and_then(|h| h.review_by.as_ref());
            if let Some(day) = own {
                days.entry((day.value.to_string(), false)).or_default().push(site.link(d));
            }
        }
    }
    days.into_iter().map(|((day, pack), links)| Due { day, links, pack }).collect()
}
