//! An erratum that the pack does not bear out.

use super::editions::numbers;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::currency::kept::Kept;
use crate::finding::Level;
use crate::model::content::Content;
use crate::model::docs::{Erratum, Pack};
use crate::model::{DocName, Idx, nearest};

/// The check.
pub static CHECK: Check = Check {
    name: "erratum-not-borne-out",
    summary: "an erratum names a document, edition or value that the pack does not have",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("erratum_not_borne_out.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, pack) in case.catalog.packs.iter() {
        for erratum in &pack.errata {
            one(case, idx, pack, erratum, sink);
        }
    }
}

fn one(case: &Case<'_>, idx: Idx<Pack>, pack: &Pack, erratum: &Erratum, sink: &mut Sink) {
    let written = &*erratum.document.value;
    let name = DocName::read(written);
    let Some((name, head)) = name.and_then(|n| Some((n.clone(), case.catalog.head(case.catalog.find(n.kind, &n.id)?)?))) else {
        if case.catalog.complete {
            let all: Vec<String> = case.catalog.all_docs().map(|d| case.catalog.name(d).to_string()).collect();
            let near = nearest(written, all.iter().map(String::as_str)).map(|n| format!("; did you mean `{n}`?")).unwrap_or_default();
            let message = format!("an erratum names `{written}`, and there is no such document");
            sink.report(erratum.document.span, "not in this pack", message)
                .note("Whoever reads the erratum cannot find what it is about, and no page shows it.")
                .help(format!("write folder and id, as in `protocols/soleus`{near}"));
        }
        return;
    };
    if numbers(&erratum.edition.value) >= numbers(&pack.edition.value) {
        let (own, here) = (&*erratum.edition.value, &*pack.edition.value);
        let message = format!("an erratum stands for edition {own}, and the pack is at {here}");
        sink.report(erratum.edition.span, "not an earlier edition", message)
            .also(pack.edition.span, "the present edition")
            .note("Two prints with the same edition would say different things, and nobody could tell them apart.")
            .help("name the edition that has the mistake, and raise `edition` when it is put right");
        return;
    }
    if !head.content.says(&erratum.is.value) {
        let message = format!("an erratum says that `{}` is right, and `{name}` does not say it", erratum.is.value);
        sink.report(erratum.is.span, "not found there", message)
            .also(head.at, "the document")
            .note("An erratum that is wrong itself misleads those who trust it most.")
            .help("put the document right, or write the very words or the quantity that stand in it");
        return;
    }
    if let Some(false) = kept(case, idx, &erratum.edition.value).and_then(|k| said(k, &name, &erratum.was.value)) {
        let message = format!("an erratum says that edition {} said `{}`, and it did not", erratum.edition.value, erratum.was.value);
        sink.report(erratum.was.span, "not found in the kept edition", message)
            .note(format!("What that edition said is kept in editions/{}.json.", erratum.edition.value))
            .help("write the very words or the quantity that stood there, or name the edition in which they stood");
    }
}

fn kept<'a>(case: &'a Case<'_>, idx: Idx<Pack>, edition: &str) -> Option<&'a Kept> {
    let all = case.catalog.kept.iter().zip(&case.facts.currency.kept);
    all.filter(|(text, _)| text.pack == idx).filter_map(|(_, k)| k.as_ref().ok()).find(|k| k.edition == edition)
}

/// Whether a document said so in any kept state of an edition; `None` if it was not kept.
fn said(kept: &Kept, name: &DocName, text: &str) -> Option<bool> {
    let contents: Vec<Content> = kept
        .states
        .iter()
        .filter_map(|s| kept.contents.get(s.documents.get(name)?))
        .map(|said| Content::from_value(said.content.clone()))
        .collect();
    (!contents.is_empty()).then(|| contents.iter().any(|c| c.says(text)))
}
