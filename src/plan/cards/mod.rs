//! What stands on a card: the answers to the eight questions of the moment of use, each under its own bar,
//! then the questions of the stop-signs and what each caution changes.
//!
//! A card says nothing that the page does not say, and less: it is read from the trolley with the hands
//! full. Every question of a red flag and of a condition, every caution with what it changes, every dose and
//! every stop rule of a step that treats, tests or measures is on it; reasons, grounds and the full text of
//! consent stay on the page.

mod after;
mod ask;
pub mod session;
mod treat;

use super::fit::{Block, deal};
use super::paper::{A5, Paper};
use super::site::{Site, doc};
use super::view::card::{Cards, Face, Item, Piece};
use super::view::parts::{Link, StopView};
use super::view::pictogram;
use super::view::protocol::{self, steps, stop};
use super::{qr, route, words};
use crate::compute::currency::code::Code;
use crate::compute::currency::sign_off::State;
use crate::model::docs::{Pack, Protocol};
use crate::model::{DocRef, Idx, Kind};

/// The card of one protocol.
pub fn one(site: &Site<'_>, idx: Idx<Protocol>) -> Cards {
    let own = doc(Kind::Protocol, idx);
    let mut frame = site.doc_frame(own);
    frame.title = format!("Card: {}", frame.title);
    let check = Link { text: "Does a printed card still hold?".into(), href: site.to(route::CARD_CHECK) };
    let all = Link { text: "All cards".into(), href: site.to(route::ALL_CARDS) };
    let page = Link { text: "Page of the protocol".into(), href: site.href(own) };
    Cards { frame, links: vec![page, all, check], faces: faces(site, idx, A5), left_out: None }
}

/// With more cards the sheet of all is a list: a browser would have to print a thousand pages. House figure, no source.
const ON_A_SHEET: usize = 40;

/// The sheet of all cards.
pub fn all(site: &Site<'_>) -> Cards {
    let protocols = site.catalog.protocols.iter().filter_map(|(idx, p)| Some((idx, p, site.card(doc(Kind::Protocol, idx))?)));
    let protocols: Vec<_> = protocols.collect();
    let sessions = site.catalog.sessions.iter().filter(|(idx, _)| site.facts.sessions.get(idx.row()).is_some());
    let sessions: Vec<_> = sessions.filter_map(|(idx, s)| Some((idx, s, site.card(doc(Kind::Session, idx))?))).collect();
    let of_protocols = protocols.iter().map(|(_, p, href)| Link { text: p.title.value.to_string(), href: href.clone() });
    let of_sessions = sessions.iter().map(|(_, s, href)| Link { text: s.title.value.to_string(), href: href.clone() });
    let links: Vec<Link> = of_protocols.chain(of_sessions).collect();
    let left_out = Some(links.len()).filter(|n| *n > ON_A_SHEET);
    let mut on_it = Vec::new();
    if left_out.is_none() {
        on_it.extend(protocols.iter().flat_map(|(idx, _, _)| faces(site, *idx, A5)));
        on_it.extend(sessions.iter().filter_map(|(idx, _, _)| session::faces(site, *idx, A5)).flatten());
    }
    Cards { frame: site.frame("Cards"), links, faces: on_it, left_out }
}

/// Faces of a protocol.
pub fn faces(site: &Site<'_>, idx: Idx<Protocol>, paper: Paper) -> Vec<Face> {
    let flags = stop::flags(site, idx);
    let steps = steps::steps(site, idx);
    let home = after::at_a_glance(site, idx);
    let mut blocks = ask::at_a_glance(site, idx, &flags, &steps);
    blocks.extend(treat::whole(treat::begin(site, idx), &steps, &home));
    blocks.extend(treat::set_up(site, idx));
    blocks.extend(treat::tailoring(&site.catalog.protocols[idx]));
    blocks.extend(treat::find(site, idx));
    blocks.extend(treat::at_a_glance(&steps));
    blocks.extend(home);
    blocks.extend(ask::questions(&flags));
    let outside = stop::cautions(site, idx).into_iter().filter(|c| c.excluded).map(|c| (c.id, c.link.text, c.question));
    blocks.extend(ask::outside(
        stop::OUTSIDE,
        ask::not_for(&site.catalog.protocols[idx]).into_iter().collect(),
        &outside.collect::<Vec<_>>(),
    ));
    blocks.extend(ask::cautions(site, idx));
    blocks.extend(after::behind(site, idx));
    deal(&blocks, &blank(site, idx), paper)
}

/// A card to be set for printing.
pub struct Printed {
    /// Its protocol or session.
    pub doc: DocRef,
    /// Language of its words.
    pub language: String,
    /// Where its protocol stands.
    pub state: State,
    /// Its faces; there is at least one.
    pub faces: Vec<Face>,
}

/// Every card for a paper, in the order of the sheet of all cards.
pub fn printed(site: &Site<'_>, paper: Paper) -> Vec<Printed> {
    let one = |own: DocRef, pack: Idx<Pack>, faces: Vec<Face>| {
        let language = site.catalog.packs[pack].language.value.to_string();
        Printed { doc: own, language, state: site.state(own), faces }
    };
    let mut out = Vec::new();
    for (idx, p) in site.catalog.protocols.iter() {
        let own = doc(Kind::Protocol, idx);
        out.extend(site.card(own).map(|_| one(own, p.head.pack, faces(site, idx, paper))));
    }
    for (idx, s) in site.catalog.sessions.iter() {
        let own = doc(Kind::Session, idx);
        out.extend(site.card(own).and_then(|_| session::faces(site, idx, paper)).map(|faces| one(own, s.head.pack, faces)));
    }
    out
}

fn blank(site: &Site<'_>, idx: Idx<Protocol>) -> Face {
    let p = &site.catalog.protocols[idx];
    let id = &p.head.id.value;
    let muscle = p.muscle.to.map(|m| site.catalog.muscles[m].name.value.to_string()).unwrap_or_default();
    let title = p.title.value.to_string();
    let side = side(p);
    let subject = if title.starts_with(&muscle) { String::new() } else { muscle };
    let identity = (format!("card-{id}"), title, subject);
    let blank = blank_of(site, (doc(Kind::Protocol, idx), &site.catalog.packs[p.head.pack]), &route::card(id), identity);
    Face { figures: pictogram::of(site, &treated(site, &[idx])), treated_side: words::capital(&side), ..blank }
}

/// The side in the head of a card: a row to tick, with a pen that can be wiped off, if it is not known yet.
fn side(p: &Protocol) -> String {
    match &*p.side.value {
        "either" => "left [\u{a0}\u{a0}\u{a0}] right [\u{a0}\u{a0}\u{a0}] tick one".into(),
        _ => protocol::side(p),
    }
}

/// Muscles of protocols with their sides.
fn treated<'a>(site: &Site<'a>, protocols: &[Idx<Protocol>]) -> Vec<pictogram::Treated<'a>> {
    let protocols = protocols.iter().map(|p| &site.catalog.protocols[*p]);
    protocols.filter_map(|p| Some((p.muscle.to?, &*p.side.value))).collect()
}

/// A face that says which document it is of, and nothing else: `identity` is the anchor, the title and the subject.
fn blank_of(site: &Site<'_>, (own, pack): (DocRef, &Pack), path: &str, (id, title, subject): (String, String, String)) -> Face {
    let code = site.facts.currency.of(site.catalog, own).map(|s| Code::of(s.digest).to_string()).unwrap_or_default();
    let site_of = pack.published.as_ref().map(|p| p.value.to_string());
    let link = site_of.map_or_else(|| code.clone(), |s| format!("{s}{path}#{code}"));
    let differs = super::view::differs::of(site, own);
    let differs = differs.map(|d| format!(". {}", super::view::differs::mark(&d.base))).unwrap_or_default();
    let (name, rest) = title.split_once(": ").unwrap_or((&title, ""));
    Face {
        id,
        name: name.into(),
        rest: words::capital(rest),
        title,
        subject,
        treated_side: String::new(),
        figures: Vec::new(),
        edition: format!("{}, edition {}{differs}", pack.title.value, pack.edition.value),
        state: words::state_of_card(site.state(own), pack.demonstration.is_some()),
        review_by: site.review_by(own).map_or_else(|| "Review day not set".into(), |d| format!("Review by {d}")),
        square: qr::square(&link),
        code,
        page: 0,
        pages: 0,
        goes_on: None,
        side: "front",
        notice: pack.notice.value.to_string(),
        demonstration: pack.demonstration.as_ref().map(|_| words::DEMONSTRATION_IN_SHORT),
        use_note: words::USE_NOTE,
        sections: Vec::new(),
        overfull: false,
    }
}

fn block(heading: &'static str, class: &'static str, item: Item) -> Block {
    Block { heading, class, keep_next: false, one_face: false, item }
}

fn piece(label: &str, text: impl Into<String>) -> Piece {
    Piece { label: label.to_string(), text: text.into(), ..Piece::default() }
}

fn line(label: &str, text: impl Into<String>) -> Vec<Piece> {
    vec![piece(label, text)]
}

/// Labelled pieces that have a text.
fn run(pieces: Vec<(&str, Option<String>)>) -> Vec<Piece> {
    pieces.into_iter().filter_map(|(label, text)| text.filter(|t| !t.is_empty()).map(|t| piece(label, t))).collect()
}

/// Stop rules: the signs, then what to do and, if asked for, what ends with it; at home that is said only where nothing else is. Signs
/// that are met in the same way stand together, whatever step they come from; but not with one that has a threshold, or its threshold
/// would be read for all.
fn signs_of<'a>(rules: impl Iterator<Item = &'a StopView>, ends: bool) -> Vec<Piece> {
    let sign = |r: &StopView| r.sign.clone() + &r.at.as_ref().map(|a| format!(" ({a})")).unwrap_or_default();
    let mut runs: Vec<(&StopView, Vec<String>)> = Vec::new();
    for rule in rules {
        match runs.iter_mut().find(|(first, _)| (&first.act, &first.then, &first.at) == (&rule.act, &rule.then, &rule.at)) {
            Some((_, signs)) if signs.contains(&sign(rule)) => {}
            Some((_, signs)) => signs.push(sign(rule)),
            None => runs.push((rule, vec![sign(rule)])),
        }
    }
    let one = |(rule, signs): (&StopView, Vec<String>)| {
        let signs = words::capital(&signs.join(", or "));
        let ends = rule.then.as_deref().filter(|t| *t != "end step" && (ends || rule.act.is_none()));
        let met: Vec<&str> = rule.act.as_deref().into_iter().chain(ends).collect();
        if met.is_empty() { piece("", signs) } else { piece(&signs, met.join(", ")) }
    };
    runs.into_iter().map(one).collect()
}
