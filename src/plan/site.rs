//! What a page is made from: the catalogue, the facts, and where the page lies.
//!
//! Views ask this for links, grounds and frames, so that each is made in one way everywhere.

use super::hosting;
use super::menu;
use super::references::References;
use super::route;
use super::view::parts::{
    CiteView, ClaimView, Frame, GroundView, LimitView, Link, LinkGroup, Mark, PackLine, Pair, Prose, ProseLink, StopView,
};
use super::words;
use crate::compute::Facts;
use crate::compute::appraisal::is_invented;
use crate::compute::currency::sign_off::State;
use crate::model::docs::{Cite, Claim, Ground, Limit, Pack, Source, StopRule};
use crate::model::ids::Ref;
use crate::model::region::Place;
use crate::model::vocabulary::Citing;
use crate::model::{Catalog, DocRef, Idx, Kind};
use crate::source::Text;

/// The place from which a page is written.
#[derive(Clone, Copy)]
pub struct Site<'a> {
    /// Linked documents.
    pub catalog: &'a Catalog,
    /// Derived facts.
    pub facts: &'a Facts,
    /// References, laid out.
    pub references: &'a References,
    /// Path of the file that is made.
    pub path: &'a str,
}

/// A document of a table row.
pub fn doc<T>(kind: Kind, idx: Idx<T>) -> DocRef {
    DocRef { kind, row: u32::try_from(idx.row()).unwrap_or(u32::MAX) }
}

/// Text as owned; empty text is none.
pub fn text(text: &Option<Text>) -> Option<String> {
    text.as_ref().map(|t| t.value.to_string()).filter(|t| !t.is_empty())
}

/// Texts as owned.
pub fn texts(texts: &[Text]) -> Vec<String> {
    texts.iter().map(|t| t.value.to_string()).collect()
}

/// Labelled texts as owned.
pub fn pairs(pairs: &[(&'static str, Text)]) -> Vec<Pair> {
    pairs.iter().map(|(label, text)| Pair { label: (*label).to_string(), text: text.value.to_string() }).collect()
}

/// Places by name, each once.
pub fn places(all: &[Place]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for place in all {
        let name = place.shown();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// Stop rules for people.
pub fn stops(rules: &[StopRule], added: bool) -> Vec<StopView> {
    let view = |r: &StopRule| StopView {
        sign: r.sign.value.to_string(),
        at: text(&r.at).filter(|at| at != "any"),
        act: text(&r.act),
        then: text(&r.then),
        added,
    };
    rules.iter().map(view).collect()
}

impl Site<'_> {
    /// Link to any file of the site.
    pub fn to(&self, path: &str) -> String {
        route::relative(self.path, path)
    }

    /// Link to the page of a document.
    pub fn href(&self, doc: DocRef) -> String {
        self.to(&route::page(self.catalog, doc))
    }

    /// Link to the page of a document under its name; a source goes by author and year.
    pub fn link(&self, doc: DocRef) -> Link {
        Link { text: self.name(doc), href: self.href(doc) }
    }

    /// Name of a document in links.
    pub fn name(&self, doc: DocRef) -> String {
        match doc.kind {
            Kind::Source => self.references.label(Idx::new(doc.row as usize)).to_string(),
            _ => self.catalog.title(doc).to_string(),
        }
    }

    /// Link of a reference; a reference that leads nowhere was reported and yields none.
    pub fn follow<T>(&self, kind: Kind, reference: &Ref<T>) -> Option<Link> {
        reference.to.map(|idx| self.link(doc(kind, idx)))
    }

    /// Links of references.
    pub fn follow_all<T>(&self, kind: Kind, references: &[Ref<T>]) -> Vec<Link> {
        references.iter().filter_map(|r| self.follow(kind, r)).collect()
    }

    /// How the pack cites; the last pack builds on the others.
    pub fn citing(&self) -> Citing {
        let stated = self.catalog.packs.rows().last().and_then(|p| p.references.as_ref());
        stated.map_or(Citing::AuthorDate, |c| c.value)
    }

    /// A source as it is cited beside a value.
    fn cited(&self, source: Idx<Source>) -> Link {
        let link = self.link(doc(Kind::Source, source));
        match self.citing() {
            Citing::AuthorDate => link,
            Citing::Numbered => Link { text: format!("[{}]", self.references.number(source)), ..link },
        }
    }

    /// Ground of a value.
    pub fn ground(&self, ground: &Ground) -> GroundView {
        let cite = |source: Idx<Source>, c: &Cite| CiteView {
            source: self.cited(source),
            at: text(&c.at),
            through: c.through.as_ref().and_then(|t| t.to).map(|t| self.cited(t)),
            supports: text(&c.supports),
        };
        GroundView {
            cites: ground.cites.iter().filter_map(|c| c.source.to.map(|s| cite(s, c))).collect(),
            basis: ground.basis.as_ref().map(|b| b.value.word()),
        }
    }

    /// Claims with their grounds.
    pub fn claims(&self, claims: &[Claim]) -> Vec<ClaimView> {
        claims.iter().map(|c| super::view::claim::view(self, c)).collect()
    }

    /// Limits with their grounds.
    pub fn limits(&self, limits: &[Limit]) -> Vec<LimitView> {
        let view = |l: &Limit| {
            let tags = l.tags.iter().map(|t| format!("{} regions", t.word().replace('-', " ")));
            LimitView {
                stressor: l.stressor.word(),
                per: l.per.word(),
                max: l.max.as_ref().map(|q| q.value.shown()).unwrap_or_default(),
                places: places(&l.regions.all).into_iter().chain(tags).collect(),
                why: text(&l.why),
                ground: self.ground(&l.ground),
            }
        };
        limits.iter().map(view).collect()
    }

    /// Markdown with its links resolved from this page.
    pub fn prose(&self, markdown: &str, down: u8) -> Prose {
        Prose { text: markdown.to_string(), links: self.prose_links(markdown), down }
    }

    /// Optional Markdown; empty text is none.
    pub fn maybe_prose(&self, markdown: &Option<Text>, down: u8) -> Option<Prose> {
        text(markdown).map(|t| self.prose(&t, down))
    }

    fn prose_links(&self, markdown: &str) -> Vec<ProseLink> {
        let mut links: Vec<ProseLink> = pulldown_cmark::Parser::new(markdown)
            .filter_map(|event| match event {
                pulldown_cmark::Event::Start(pulldown_cmark::Tag::Link { dest_url, .. }) => Some(dest_url.to_string()),
                _ => None,
            })
            .filter_map(|from| {
                let (word, id) = from.split_once(':')?;
                let found = self.catalog.find(Kind::from_word(word)?, id)?;
                Some(ProseLink { to: self.href(found), source: found.kind == Kind::Source, from })
            })
            .collect();
        links.sort_unstable();
        links.dedup();
        links
    }

    /// Documents that refer to `doc`, by kind in menu order.
    pub fn used_by(&self, doc: DocRef) -> Vec<LinkGroup> {
        let users = self.catalog.used_by(doc);
        let group = |kind: Kind| {
            let links = users.iter().copied().filter(|d| d.kind == kind && *d != doc);
            LinkGroup { heading: route::heading(kind), links: self.links(links) }
        };
        route::PAGED.into_iter().map(group).filter(|g| !g.links.is_empty()).collect()
    }

    /// Links in the order of their words, what was made up last.
    pub fn links(&self, docs: impl Iterator<Item = DocRef>) -> Vec<Link> {
        let mut out: Vec<(bool, Link)> = docs.map(|d| (is_invented(self.catalog, d), self.link(d))).collect();
        out.sort();
        out.into_iter().map(|(_, link)| link).collect()
    }

    /// A pack as every page shows it.
    pub fn pack_line(&self, pack: &Pack) -> PackLine {
        PackLine {
            title: pack.title.value.to_string(),
            edition: pack.edition.value.to_string(),
            notice: pack.notice.value.to_string(),
            demonstration: text(&pack.demonstration),
            licence: pack.licence.value.to_string(),
        }
    }

    /// Title of the site: the last pack builds on the others.
    pub fn title(&self) -> String {
        self.catalog.packs.rows().last().map(|p| p.title.value.to_string()).unwrap_or_default()
    }

    /// Frame of a page that belongs to no single document.
    pub fn frame(&self, title: &str) -> Frame {
        let lang = self.catalog.packs.rows().last().map(|p| p.language.value.to_string()).filter(|l| !l.is_empty()).unwrap_or("en".into());
        Frame {
            about: hosting::about::page(self, title, &lang, None),
            lang,
            title: title.to_string(),
            site: self.title(),
            kind: None,
            root: route::root(self.path),
            home: self.to(route::HOME),
            hosted: hosting::hosted(self.catalog, self.facts),
            nav: menu::menu(self),
            crumbs: vec![Link { text: "Start".into(), href: self.to(route::HOME) }],
            packs: self.catalog.packs.rows().iter().map(|p| self.pack_line(p)).collect(),
            // A shared page is signed by nobody, and it is as old as the oldest pack in it.
            state: None,
            moved: None,
            banner: None,
            review_by: self.catalog.packs.rows().iter().filter_map(|p| p.head.review_by.as_ref()).map(|d| d.value.to_string()).min(),
            use_note: words::USE_NOTE,
            data: None,
            errata: Vec::new(),
            differs: if self.path == route::HOME { super::view::differs::of_packs(self) } else { None },
        }
    }

    /// Frame of the page of a document.
    pub fn doc_frame(&self, doc: DocRef) -> Frame {
        let mut frame = self.frame(self.catalog.title(doc));
        frame.kind = Some(route::word(doc.kind));
        if super::view::evidence::KINDS.contains(&doc.kind) {
            frame.crumbs.push(Link { text: "Evidence".into(), href: self.to(route::EVIDENCE) });
        }
        frame.crumbs.push(Link { text: route::heading(doc.kind).into(), href: self.to(&route::list(doc.kind)) });
        frame.differs = super::view::differs::of(self, doc);
        frame.errata = super::view::course::errata::of(self, doc);
        frame.data = Some(self.to(&route::data(self.catalog, doc)));
        if let Some(head) = self.catalog.head(doc) {
            let pack = &self.catalog.packs[head.pack];
            frame.lang = pack.language.value.to_string();
            frame.about = hosting::about::page(self, self.catalog.title(doc), &frame.lang, Some(doc));
            frame.packs = vec![self.pack_line(pack)];
            frame.state = self.mark(doc);
            frame.review_by = self.review_by(doc);
            frame.banner = super::view::standing::banner(self, doc);
            if self.state_of(doc) == Some(State::Retired) {
                frame.moved = super::view::standing::successor(self, doc).map(|l| l.href);
            }
        }
        frame
    }

    /// Day by which a document is to be looked at again: its own, or that of its pack.
    pub fn review_by(&self, doc: DocRef) -> Option<String> {
        let head = self.catalog.head(doc)?;
        let pack = &self.catalog.packs[head.pack];
        let signed = self.facts.currency.sign_off(&self.catalog.name(doc)).and_then(|s| s.review_by);
        signed.or(head.review_by.as_ref().or(pack.head.review_by.as_ref()).map(|d| d.value)).map(|d| d.to_string())
    }

    /// Where a document stands; `None` for what is signed with the documents that rest on it.
    pub fn state_of(&self, doc: DocRef) -> Option<State> {
        self.facts.state_of(self.catalog, doc)
    }

    /// Link to the card of a protocol or session; `None` for a retired one, which has none.
    pub fn card(&self, doc: DocRef) -> Option<String> {
        let path = route::card_of(self.catalog, doc)?;
        (self.state_of(doc) != Some(State::Retired)).then(|| self.to(&path))
    }

    /// Link to a protocol in the treatment room; `None` for a retired one.
    pub fn room(&self, protocol: DocRef) -> Option<String> {
        self.card(protocol).map(|_| self.to(&route::room(self.catalog.id(protocol))))
    }

    /// Mark of where a document stands.
    pub fn mark(&self, doc: DocRef) -> Option<Mark> {
        let demonstration = self.catalog.head(doc).is_some_and(|h| self.catalog.packs[h.pack].demonstration.is_some());
        self.state_of(doc).map(|s| words::state_in(s, demonstration))
    }

    /// Where a document stands that is signed on its own.
    pub fn state(&self, doc: DocRef) -> State {
        self.state_of(doc).unwrap_or(State::Draft)
    }
}
