//! `pack.yaml`.

use super::Reader;
use crate::model::docs::{
    Acknowledged, ChangeReason, Destination, Erratum, Head, HouseNumber, HouseThermal, Pack, Raise, SignOffRule, Waiver, Word,
};
use crate::model::unit::Dim;
use crate::model::vocabulary::{Citing, Danger};
use crate::source::{Node, NodeKind, Span};

pub(super) fn pack(r: &mut Reader<'_>, n: &Node, head: Head) -> Pack {
    let empty = Node { span: Span { end: n.span.start, ..n.span }, kind: NodeKind::Null };
    let part = |key: &str| n.get(key).unwrap_or(&empty);
    let (scope, review, emergency, house) = (part("scope"), part("review"), part("emergency"), part("house"));
    Pack {
        title: r.text(n, "title"),
        edition: r.text(n, "edition"),
        language: r.text(n, "language"),
        jurisdiction: r.text(n, "jurisdiction"),
        licence: r.text(n, "licence"),
        notice: r.text(n, "notice"),
        demonstration: r.maybe(n, "demonstration"),
        extends: super::change::extends(r, n),
        practice: r.maybe(scope, "practice"),
        treats: r.texts(scope, "treats"),
        training: r.texts(scope, "training"),
        authorisations: r.texts(scope, "authorisations"),
        review_interval: r.amount(review, "interval", Dim::Time),
        search_limit: r.amount(review, "search-limit", Dim::Time),
        roles: r.texts(n, "roles"),
        sign_off: sign_off(r, n.get("sign-off").unwrap_or(&empty)),
        acknowledged: acknowledged(r, n),
        changes: changes(r, n),
        errata: errata(r, n),
        published: r.maybe(n, "published"),
        appointment: r.amount(n, "appointment", Dim::Time),
        emergency: r.maybe(emergency, "number"),
        emergency_ground: r.ground(emergency),
        destinations: r
            .entries(n, "destinations")
            .iter()
            .map(|(id, d)| Destination { id: id.clone(), name: r.text(d, "name"), how: r.text(d, "how") })
            .collect(),
        pain_cap: r.amount(house, "pain-cap", Dim::Pain),
        turn: r.amount(house, "turn", Dim::Time),
        notes_time: r.amount(house, "notes", Dim::Time),
        thumb_hold: house.get("thumb").and_then(|t| r.amount(t, "hold", Dim::Time)),
        thumb_session: house.get("thumb").and_then(|t| r.amount(t, "session", Dim::Time)),
        limits: r.limits(house),
        thermal: thermal(r, house),
        house_ground: r.ground(house),
        levels: levels(r, n),
        waivers: waivers(r, n),
        protected_words: r.texts(n, "protected-words"),
        reading_grade: r.number(n, "reading-grade"),
        quote_words: r.whole(n, "quote-words"),
        references: r.word(n, "references", Citing::from_word),
        glossary: glossary(r, n),
        open_questions: r.texts(n, "open-questions"),
        head: Head { review_by: r.date(review, "by"), ..head },
    }
}

fn thermal(r: &mut Reader<'_>, house: &Node) -> HouseThermal {
    let usual = HouseThermal::default();
    let Some(n) = house.get("thermal") else { return usual };
    let mut one = |key: &str, dim: Dim, usual: HouseNumber| r.amount(n, key, dim).map_or(usual, |q| HouseNumber::stated(&q.value, q.span));
    HouseThermal {
        above_43: one("above-43", Dim::Time, usual.above_43),
        first_check: one("first-check", Dim::Time, usual.first_check),
        check_every: one("check-every", Dim::Time, usual.check_every),
        cold_floor: one("cold-floor", Dim::Temperature, usual.cold_floor),
        stream_floor: one("stream-floor", Dim::Temperature, usual.stream_floor),
        dwell: one("dwell", Dim::Time, usual.dwell),
        cold_time: one("cold-time", Dim::Time, usual.cold_time),
        opposed_gap: one("opposed-gap", Dim::Time, usual.opposed_gap),
        topical: one("topical", Dim::Time, usual.topical),
        heat_factor: r.number(n, "heat-factor").map_or(usual.heat_factor, |f| HouseNumber {
            value: f.value,
            unit: None,
            stated: Some(f.span),
        }),
    }
}

fn sign_off(r: &mut Reader<'_>, n: &Node) -> SignOffRule {
    SignOffRule {
        least: r.count(n, "least"),
        clinical: r.texts(n, "clinical"),
        review: r.texts(n, "review"),
        keys: r.items(n, "keys").iter().map(|k| (r.text(k, "role"), r.text(k, "public"))).collect(),
    }
}

fn acknowledged(r: &mut Reader<'_>, n: &Node) -> Vec<Acknowledged> {
    let mut out = Vec::new();
    for a in r.items(n, "acknowledged") {
        let date = r.date(a, "date");
        out.push(Acknowledged { document: r.text(a, "document"), role: r.text(a, "role"), date, note: r.text(a, "note") });
    }
    out
}

fn changes(r: &mut Reader<'_>, n: &Node) -> Vec<ChangeReason> {
    let one = |c: &Node| ChangeReason {
        edition: r.text(c, "edition"),
        document: r.text(c, "document"),
        reason: r.text(c, "reason"),
        role: r.text(c, "role"),
    };
    r.items(n, "changes").iter().map(one).collect()
}

fn errata(r: &mut Reader<'_>, n: &Node) -> Vec<Erratum> {
    let mut out = Vec::new();
    for e in r.items(n, "errata") {
        let (date, danger) = (r.date(e, "date"), r.word(e, "danger", Danger::from_word));
        out.push(Erratum {
            date,
            edition: r.text(e, "edition"),
            document: r.text(e, "document"),
            place: r.text(e, "where"),
            was: r.text(e, "was"),
            is: r.text(e, "is"),
            why: r.text(e, "why"),
            danger,
        });
    }
    out
}

fn glossary(r: &mut Reader<'_>, n: &Node) -> Vec<Word> {
    let one = |w: &Node| Word { word: r.text(w, "word"), means: r.text(w, "means"), ground: r.ground(w) };
    r.items(n, "glossary").iter().map(one).collect()
}

fn levels(r: &mut Reader<'_>, n: &Node) -> Vec<Raise> {
    let mut out = Vec::new();
    for l in r.items(n, "levels") {
        let until = r.date(l, "until");
        out.push(Raise {
            check: r.text(l, "check"),
            level: r.text(l, "level"),
            reason: r.text(l, "reason"),
            role: r.text(l, "role"),
            until,
        });
    }
    out
}

fn waivers(r: &mut Reader<'_>, n: &Node) -> Vec<Waiver> {
    let mut out = Vec::new();
    for w in r.items(n, "waivers") {
        let until = r.date(w, "until");
        let (check, document, pointer) = (r.text(w, "check"), r.text(w, "document"), r.maybe(w, "pointer"));
        out.push(Waiver { check, document, pointer, reason: r.text(w, "reason"), role: r.text(w, "role"), until });
    }
    out
}
