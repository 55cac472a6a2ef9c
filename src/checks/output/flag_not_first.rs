//! A red flag below the set-up on a page or card of a protocol or session.

use super::{Output, html, place_of};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::plan::Shape;

/// The check.
pub static CHECK: Check = Check {
    name: "flag-not-first",
    summary: "a red flag stands below the set-up",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("flag_not_first.md"),
};

/// Id of the section that follows the stop-signs on a page, and its class on a card, where a
/// section may run over several faces.
const SET_UP: (&str, &str) = ("set-up", "part-set-up");

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    for (file, page) in output.pages(&[Shape::Page, Shape::Room, Shape::Card]) {
        let Some((doc, parts)) = file.doc.and_then(|d| Some((d, case.facts.treats(d)?))) else { continue };
        let Some(head) = case.catalog.head(doc) else { continue };
        let by_id = page.ids.iter().find(|(id, _)| id == SET_UP.0);
        let by_class = || page.classes.iter().find(|(classes, _)| classes.split(' ').any(|c| c == SET_UP.1));
        let set_up = by_id.or_else(by_class).map_or(0, |(_, at)| *at);
        for flag in parts.iter().flat_map(|p| &case.facts.of(*p).flags.flags) {
            let flag = &case.catalog.flags[flag.flag];
            // A card names every flag first; the questions follow on a sheet of their own.
            let first = if file.shape == Shape::Card { &flag.name.value } else { &flag.question.value };
            if page.text.find(&html::plain(first)).is_some_and(|at| at > set_up) {
                let message = format!("`{}` stands below the set-up in {}", flag.name.value, file.path);
                sink.report(place_of(head), "this document", message)
                    .help("let the template begin with the stop-signs, before the section with the id `set-up` (on a card, the class `part-set-up`)");
            }
        }
    }
}
