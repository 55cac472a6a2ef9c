//! A page whose headings skip a level, or that has not exactly one title.

use super::Output;
use super::tree::Tree;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use std::collections::BTreeMap;

/// The check.
pub static CHECK: Check = Check {
    name: "heading-order",
    summary: "the headings of a page skip a level",
    level: Level::Warning,
    run: Run::Output(run),
    page: include_str!("heading_order.md"),
};

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    output.each(
        case,
        |l| &l.headings,
        |span, path, why| {
            sink.report(span, "shown on this page", format!("{path}: {why}"))
                .help("let each heading be one level below the one that it belongs to");
        },
    );
}

/// What is wrong with the headings of a page.
pub(super) fn faults(tree: &Tree) -> Vec<String> {
    let mut out = Vec::new();
    let mut last = 0;
    // A view of one screen at a time has a title on each.
    let mut titles: BTreeMap<Option<usize>, usize> = BTreeMap::new();
    for (at, element) in tree.all(&["h1", "h2", "h3", "h4", "h5", "h6"]) {
        let level = element.tag.as_bytes().get(1).map_or(0, |b| b - b'0');
        if level == 1 {
            let screen = tree.around(at).find(|(_, e)| e.get("class").is_some_and(|c| c.split_whitespace().any(|c| c == "screen")));
            *titles.entry(screen.map(|(i, _)| i)).or_default() += 1;
        }
        if level > last + 1 {
            let above = if last == 0 { "no heading".to_string() } else { format!("a heading of level {last}") };
            out.push(format!("`{}` has level {level} after {above}", tree.words(at)));
        }
        last = level;
    }
    let most = titles.values().max().copied().unwrap_or_default();
    if most != 1 {
        out.push(format!("{most} headings of level 1; a page has one title"));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_skipped_level_and_a_second_title_are_found() {
        let faults = |html: &str| faults(&Tree::read(html));
        assert!(faults("<h1>A</h1><h2>B</h2><h3>C</h3><h2>D</h2>").is_empty());
        assert_eq!(faults("<h1>A</h1><h3>C</h3>"), ["`C` has level 3 after a heading of level 1"]);
        assert_eq!(faults("<h2>A</h2>").len(), 2);
        assert!(faults("<section class='screen a'><h1>A</h1><h2>B</h2></section><section class=screen><h1>C</h1></section>").is_empty());
        assert_eq!(faults("<section class=screen><h1>A</h1><h1>B</h1></section>").len(), 1);
        assert_eq!(faults("<h1>A</h1><h1>B</h1>"), ["2 headings of level 1; a page has one title"]);
    }
}
