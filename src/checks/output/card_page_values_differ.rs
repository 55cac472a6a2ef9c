//! A quantity of a protocol that does not stand on its card, its page and in its data alike.

use super::{Output, place_of};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Kind;
use crate::model::docs::{DoseValue, Protocol};
use crate::model::vocabulary::Status;
use crate::plan::Shape;
use crate::render::Built;
use std::collections::BTreeMap;

/// The check.
pub static CHECK: Check = Check {
    name: "card-page-values-differ",
    summary: "a quantity differs between card, page and data",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("card_page_values_differ.md"),
};

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    let files: BTreeMap<(Shape, u32), &Built> =
        output.built.iter().filter_map(|b| b.doc.filter(|d| d.kind == Kind::Protocol).map(|d| ((b.shape, d.row), b))).collect();
    for (idx, protocol) in case.catalog.protocols.iter() {
        let row = u32::try_from(idx.row()).unwrap_or(u32::MAX);
        let retired = protocol.head.status.as_ref().is_some_and(|s| s.value == Status::Retired);
        for (step, wanted) in quantities(protocol) {
            let lacks = |shape: &Shape| {
                let text = files.get(&(*shape, row)).map(|f| output.shown(f));
                !text.is_some_and(|t| stands(&t, &wanted))
            };
            let shapes = [Shape::Page, Shape::Card, Shape::Data].into_iter().filter(|s| !(retired && *s == Shape::Card));
            let missing: Vec<&str> = shapes.filter(lacks).map(word).collect();
            if missing.is_empty() {
                continue;
            }
            let message = format!("`{wanted}` of {step} does not stand on the {} of `{}`", missing.join(" and the "), protocol.title.value);
            sink.report(place_of(&protocol.head), "this protocol", message)
                .help("use the shipped templates: they print each value from the one place where it is read");
        }
    }
}

fn word(shape: Shape) -> &'static str {
    match shape {
        Shape::Card => "card",
        Shape::Data => "data file",
        _ => "page",
    }
}

/// Every amount of every dose as it is shown, with the step or home item that it belongs to.
fn quantities(protocol: &Protocol) -> Vec<(String, String)> {
    let steps = protocol.steps.iter().map(|s| (format!("step {}", s.number.value), &s.dose));
    let home = protocol.home.iter().map(|h| (format!("`{}`", h.name.value), &h.dose));
    let amounts = steps.chain(home).flat_map(|(of, dose)| {
        let shown = dose.entries.iter().filter_map(|e| if let DoseValue::Amount(q) = &e.value { Some(q.shown()) } else { None });
        shown.map(|s| (of.clone(), super::html::plain(&s))).collect::<Vec<_>>()
    });
    amounts.collect()
}

/// True if the amount stands in the text as a whole: `5 s` is not found in `45 s` or in `0.5 s`.
fn stands(text: &str, amount: &str) -> bool {
    let inside = |c: char| c.is_alphanumeric() || matches!(c, '.' | '–' | ',');
    text.match_indices(amount).any(|(at, found)| {
        let before = text.get(..at).and_then(|t| t.chars().next_back());
        let after = text.get(at + found.len()..).and_then(|t| t.chars().next());
        !before.is_some_and(inside) && !after.is_some_and(char::is_alphanumeric)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_amount_is_found_as_a_whole_only() {
        assert!(stands("hold 45–60 s, rest", "45–60 s") && stands("(5 s)", "5 s"));
        assert!(!stands("45 s", "5 s") && !stands("0.5 s", "5 s") && !stands("30–45 s", "45 s") && !stands("5 sets", "5 s"));
    }
}
