//! Sources.

use super::Reader;
use crate::model::docs::{Arm, Head, Outcome, Source};
use crate::source::Node;

pub(super) fn source(r: &mut Reader<'_>, n: &Node, head: Head) -> Source {
    let year = r.whole(n, "year");
    let (retraction, seen) = (n.get("retraction"), n.get("seen"));
    Source {
        title: r.text(n, "title"),
        kind: r.text(n, "type"),
        authors: r.texts(n, "authors"),
        year: year.as_ref().map(|y| y.value),
        year_at: year.map(|y| y.span),
        imprint: r.labelled(
            n,
            &[
                ("container", "In"),
                ("volume", "Volume"),
                ("issue", "Issue"),
                ("pages", "Pages"),
                ("publisher", "Publisher"),
                ("place", "Place"),
                ("url", "Address"),
            ],
        ),
        doi: r.maybe(n, "doi"),
        pmid: r.maybe(n, "pmid"),
        isbn: r.maybe(n, "isbn"),
        design: r.text(n, "design"),
        facts: r.labelled(
            n,
            &[
                ("population", "Population"),
                ("n", "People"),
                ("setting", "Setting"),
                ("comparator", "Compared with"),
                ("follow-up", "Follow-up"),
                ("harms", "Harms"),
                ("funding", "Funding"),
                ("interests", "Interests"),
                ("registration", "Registration"),
                ("note", "Note"),
                ("licence", "Licence"),
            ],
        ),
        arms: arms(r, n),
        outcomes: r
            .items(n, "outcomes")
            .iter()
            .map(|x| Outcome { name: r.text(x, "name"), result: r.text(x, "result"), at: r.maybe(x, "at") })
            .collect(),
        retraction: retraction.and_then(|x| r.maybe(x, "status")),
        retraction_checked: retraction.and_then(|x| r.date(x, "checked")),
        seen: seen.and_then(|x| r.maybe(x, "status")),
        seen_what: seen.and_then(|x| r.maybe(x, "what")),
        head,
    }
}

fn arms(r: &mut Reader<'_>, n: &Node) -> Vec<Arm> {
    let mut out = Vec::new();
    for x in r.items(n, "arms") {
        out.push(Arm { name: r.text(x, "name"), technique: r.maybe(x, "technique"), dose: r.dose(x, "dose") });
    }
    out
}
