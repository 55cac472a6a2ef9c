//! A page or card without the notice of its pack.

use super::{Output, html, place_of};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Pack;
use crate::plan::Shape;

/// The check.
pub static CHECK: Check = Check {
    name: "notice-missing",
    summary: "a page or card lacks the notice of its pack",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("notice_missing.md"),
};

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    for (file, page) in output.pages(&[Shape::Page, Shape::Room, Shape::Card, Shape::Sheet, Shape::Handout]) {
        let text = &page.text;
        let own = file.doc.and_then(|d| case.catalog.head(d)).map(|h| case.pack(h));
        let packs: Vec<&Pack> = own.map_or_else(|| case.catalog.packs.rows().iter().collect(), |p| vec![p]);
        for pack in packs {
            let missing =
                [Some(&pack.notice), pack.demonstration.as_ref()].into_iter().flatten().find(|t| !text.contains(&html::plain(&t.value)));
            if let Some(notice) = missing {
                let message = format!("{} does not show the notice of `{}`", file.path, pack.title.value);
                sink.report(notice.span, "this text", message)
                    .also(place_of(&pack.head), "this pack")
                    .help("use the shipped template, or print the notice and the demonstration banner in yours");
            }
        }
    }
}
