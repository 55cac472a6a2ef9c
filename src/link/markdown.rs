//! Links inside Markdown text: `[words](kind:id)`. Raw HTML is refused.

use super::names::{Lookup, Names};
use super::refs::unresolved;
use crate::finding::{Finding, Level};
use crate::model::{Backref, Catalog, Kind};
use pulldown_cmark::{Event, Parser, Tag};

/// Resolves the links of all Markdown texts.
pub(super) fn resolve(catalog: &mut Catalog, names: &Names, findings: &mut Vec<Finding>) {
    let mut backrefs = Vec::new();
    for wording in catalog.wordings.iter().filter(|w| w.markdown) {
        for (event, range) in Parser::new(&wording.text.value).into_offset_iter() {
            match event {
                Event::Html(_) | Event::InlineHtml(_) => {
                    let mut finding =
                        Finding::new("raw-html", Level::Error, wording.span_of(range), "HTML here", "raw HTML stands in a text");
                    finding.note("Pages hold no markup that a pack brings along.").help("use Markdown");
                    findings.push(finding);
                }
                Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) => {
                    let at = text_of(&wording.text.value, range, &dest_url).map_or(wording.text.span, |r| wording.span_of(r));
                    match target(&dest_url) {
                        Target::Document(kind, id) => match names.get(kind, id) {
                            Lookup::Found(doc) => backrefs.push(Backref { target: doc, from: wording.doc, at, rests: false }),
                            Lookup::Broken => {}
                            Lookup::Unknown => findings.push(unresolved(names, kind, id, at)),
                        },
                        Target::Inside => {}
                        Target::Outside => findings.push(outside(&dest_url, at)),
                    }
                }
                _ => {}
            }
        }
    }
    catalog.backrefs.append(&mut backrefs);
}

enum Target<'a> {
    Document(Kind, &'a str),
    Inside,
    Outside,
}

fn target(url: &str) -> Target<'_> {
    if url.starts_with('#') {
        return Target::Inside;
    }
    match url.split_once(':').and_then(|(word, id)| Kind::from_word(word).map(|k| (k, id))) {
        Some((kind, id)) => Target::Document(kind, id),
        None => Target::Outside,
    }
}

fn outside(url: &str, at: crate::source::Span) -> Finding {
    let mut finding =
        Finding::new("outside-link", Level::Error, at, "leads out of the site", format!("`{url}` is no document of the packs"));
    finding.note("The site works without a network; an address on a page is not clickable.");
    finding.help("link to a document as `[words](kind:id)`, for instance `[Lu 2022](source:lu-2022)`, and keep addresses in sources/");
    finding
}

fn text_of(text: &str, range: std::ops::Range<usize>, url: &str) -> Option<std::ops::Range<usize>> {
    let start = range.start + text.get(range)?.rfind(url)?;
    Some(start..start + url.len())
}
