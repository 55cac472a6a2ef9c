//! A mark that says nothing on a grey print: without a shape, or without a word beside it.

use super::{Output, place_of};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::plan::Shape;

/// The check.
pub static CHECK: Check = Check {
    name: "print-grey-loses-meaning",
    summary: "a state cannot be told without colour",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("print_grey_loses_meaning.md"),
};

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    let Some(pack) = case.catalog.packs.rows().first() else { return };
    for (file, _) in output.pages(&[Shape::Page, Shape::Card, Shape::Sheet]) {
        for fault in faults(file.text()).into_iter().take(1) {
            let span = file.doc.and_then(|d| case.catalog.head(d)).map_or(pack.head.at, place_of);
            sink.report(span, "shown there", format!("{}: {fault}", file.path))
                .note("most printers are grey, and one man in twelve sees red and green alike (entered from memory)")
                .help("print a word and a shape with every state, as the shipped templates do");
        }
    }
}

/// Faults of the marks of a page: no shape, or no words after them in the same element.
fn faults(html: &str) -> Vec<String> {
    let marks = html.match_indices("<svg class=\"mark").filter_map(|(at, _)| html.get(at..));
    marks.filter_map(fault).collect()
}

fn fault(from: &str) -> Option<String> {
    let (svg, after) = from.split_once("</svg>")?;
    let class = svg.split('"').nth(1).unwrap_or_default().trim_start_matches("mark").trim();
    if !svg.contains("href=\"#m-") {
        return Some(format!("the mark `{class}` has no shape"));
    }
    let beside = after.split(['<', '>']).step_by(2).find(|text| !text.trim().is_empty()).unwrap_or_default();
    let near = after.find(beside).is_some_and(|at| at < 120) && !beside.is_empty();
    (!near).then(|| format!("the mark `{class}` has no word beside it"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_needs_a_shape_and_a_word() {
        let mark = |shape: &str, word: &str| format!("<p><svg class=\"mark state-x\"><use href=\"{shape}\"></use></svg>{word}</p>");
        assert!(faults(&mark("#m-ring", "In review")).is_empty() && faults(&mark("#m-ring", "<span>In review</span>")).is_empty());
        assert_eq!(faults(&mark("", "In review")), ["the mark `state-x` has no shape"]);
        assert_eq!(faults(&mark("#m-ring", "")), ["the mark `state-x` has no word beside it"]);
    }

    #[test]
    fn words_of_one_row_differ_in_shape_or_in_word() {
        use crate::model::vocabulary::{Strength, Urgency};
        let urgencies: Vec<_> = Urgency::ALL.iter().map(|u| crate::plan::words::urgency(*u)).collect();
        let strengths: Vec<_> = Strength::ALL.iter().map(|s| crate::plan::words::strength(*s)).collect();
        for row in [urgencies, strengths] {
            let shapes: std::collections::BTreeSet<_> = row.iter().map(|m| m.shape).collect();
            assert_eq!(shapes.len(), row.len());
        }
    }
}
