//! The bibliographic part of a source.

use super::Reader;
use crate::model::docs::{Bibliography, Form, Issued, Name, Names, OTHERS, Original, Part, PublicationType};
use crate::model::identifier::{Identifier, Scheme};
use crate::source::{Node, Spanned};

/// Keys of an imprint; each stands here once more so that a test can see that it is read.
const PARTS: [&str; 7] = ["container-title", "volume", "issue", "page", "publisher", "publisher-place", "edition"];
const IDENTIFIERS: [&str; 5] = ["DOI", "PMID", "PMCID", "ISBN", "ISSN"];

pub(super) fn bibliography(r: &mut Reader<'_>, n: &Node) -> Bibliography {
    Bibliography {
        title: r.text(n, "title"),
        kind: r.maybe(n, "type").and_then(|t| PublicationType::from_word(&t.value)).unwrap_or(PublicationType::Document),
        author: names(r, n, "author"),
        editor: names(r, n, "editor"),
        issued: issued(r, n),
        letter: r.maybe(n, "year-suffix").and_then(|t| t.value.chars().next().map(|c| Spanned::new(c, t.span))),
        parts: PARTS.iter().filter_map(|key| Some((Part::from_word(key)?, r.maybe(n, key)?))).collect(),
        identifiers: IDENTIFIERS.iter().zip(Scheme::OF_PUBLICATIONS).filter_map(|(key, scheme)| identifier(r, n, key, scheme)).collect(),
        url: r.maybe(n, "URL"),
        original: n.get("original").and_then(|x| original(r, x)),
    }
}

fn names(r: &mut Reader<'_>, n: &Node, key: &str) -> Names {
    let items = r.items(n, key);
    let mut names = Names::default();
    for (i, x) in items.iter().enumerate() {
        if let Some(literal) = r.maybe(x, "literal") {
            if &*literal.value == OTHERS && i > 0 && i + 1 == items.len() {
                names.others = true;
            } else {
                names.people.push(Name::Body(literal));
            }
        } else if let Some(family) = r.maybe(x, "family") {
            names.people.push(Name::Person {
                family,
                given: r.maybe(x, "given"),
                particle: r.maybe(x, "non-dropping-particle"),
                suffix: r.maybe(x, "suffix"),
                orcid: identifier(r, x, "ORCID", Scheme::Orcid),
            });
        }
    }
    names
}

fn issued(r: &mut Reader<'_>, n: &Node) -> Option<Spanned<Issued>> {
    let written = r.maybe(n, "issued")?;
    let issued = Issued::read(&written.value);
    if issued.is_none() {
        r.report("schema-shape", written.span, "no such date", format!("`{}` is no date of publication", written.value))
            .help("write a year, year-month or year-month-day, as precise as it is printed");
    }
    issued.map(|i| Spanned::new(i, written.span))
}

fn identifier(r: &mut Reader<'_>, n: &Node, key: &str, scheme: Scheme) -> Option<Spanned<Identifier>> {
    let value = n.get(key)?;
    let written = value.text()?;
    match Identifier::read(scheme, written) {
        Ok(identifier) => Some(Spanned::new(identifier, value.span)),
        Err(mistake) => {
            let at = r.part(value, written, mistake.at);
            r.report("identifier-invalid", at, mistake.what, format!("`{written}` is no {key}")).help(mistake.help);
            None
        }
    }
}

fn original(r: &Reader<'_>, n: &Node) -> Option<Original> {
    let form = Form::from_word(&r.maybe(n, "form")?.value)?;
    let field = |(key, value): &(crate::source::Text, Node)| value.text().map(|text| (key.clone(), Spanned::new(text.into(), value.span)));
    Some(Original { form, fields: r.entries(n, "fields").iter().filter_map(field).collect() })
}
