//! A card without title, edition, state, review-by date or page count.

use super::{Output, html, place_of};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::currency::code::Code;
use crate::finding::Level;
use crate::plan::Shape;

/// The check.
pub static CHECK: Check = Check {
    name: "card-identity-missing",
    summary: "a card does not say which card it is",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("card_identity_missing.md"),
};

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    for (card, page) in output.pages(&[Shape::Card]) {
        let Some((doc, head)) = card.doc.and_then(|d| Some((d, case.catalog.head(d)?))) else { continue };
        let title = case.catalog.title(doc);
        let pack = case.pack(head);
        let text = &page.text;
        let currency = &case.facts.currency;
        let code = currency.of(case.catalog, doc).map(|s| Code::of(s.digest).to_string());
        let signed = currency.sign_off(&case.catalog.name(doc)).and_then(|s| s.review_by).map(|d| d.to_string());
        let review = head.review_by.as_ref().or(pack.head.review_by.as_ref()).map(|d| d.value.to_string());
        let review = signed.or(review);
        let needed = [
            ("its title", Some(html::plain(title))),
            ("the pack's title", Some(html::plain(&pack.title.value))),
            ("the edition", Some(pack.edition.value.to_string())),
            ("the review-by date", review),
            ("its check code", code),
            ("its page count", Some("page 1 of ".to_string())),
        ];
        for (what, wanted) in needed {
            if wanted.is_some_and(|w| !text.contains(&w)) {
                let message = format!("the card of `{title}` does not show {what}");
                sink.report(place_of(head), "this document", message)
                    .help("use the shipped card template, or add the identity line to yours");
            }
        }
    }
}
