//! Output of a house pack that does not say where it differs from the base pack.

use super::{Output, html, place_of};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::plan::Shape;

/// The check.
pub static CHECK: Check = Check {
    name: "override-hidden-in-output",
    summary: "a page, card or data file does not say that it differs from the base pack",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("override_hidden_in_output.md"),
};

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    for file in output.built {
        let Some((doc, head)) = file.doc.and_then(|d| Some((d, case.catalog.head(d)?))) else { continue };
        let Some(house) = case.facts.house(head.pack) else { continue };
        let points = house.on_page(&case.catalog.name(doc));
        if points.is_empty() {
            continue;
        }
        let mark = format!("Differs from {}", house.called());
        let wanted: Vec<String> = match file.shape {
            Shape::Page => [mark].into_iter().chain(points.iter().filter_map(|c| c.new.clone())).collect(),
            Shape::Card | Shape::Room | Shape::Handout => vec![mark],
            Shape::Data => vec![house.called()],
            _ => continue,
        };
        let text = output.shown(file);
        let Some(lacking) = wanted.iter().map(|w| html::plain(w)).find(|w| !text.contains(w.as_str())) else { continue };
        let message = format!("{} does not show what differs from the base pack", file.path);
        sink.report(place_of(head), "this document", message)
            .note(format!("not found there: {lacking}"))
            .help("use the shipped template, or print `frame.differs` in yours");
    }
}
