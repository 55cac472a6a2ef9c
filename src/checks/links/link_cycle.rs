//! A group that lies within itself, a review that includes itself, a condition that stands beside itself. A circle of packs is found while they are read.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Population, Source};
use crate::model::{Idx, Ref};

/// The check.
pub static CHECK: Check = Check {
    name: "link-cycle",
    summary: "documents or packs refer to one another in a circle",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("link_cycle.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let catalog = case.catalog;
    let within = |i: Idx<Population>| catalog.populations[i].within.as_slice().iter().collect::<Vec<_>>();
    circles(catalog.populations.iter().map(|(i, _)| i), within, "population", "`in` leads to a wider group", sink);
    let includes = |i: Idx<Source>| catalog.sources[i].includes.iter().collect();
    circles(catalog.sources.iter().map(|(i, _)| i), includes, "source", "`includes` leads to an earlier study", sink);
    for (idx, condition) in catalog.conditions.iter() {
        for other in condition.together.iter().flat_map(|t| &t.with).filter(|c| c.to == Some(idx)) {
            let message = format!("the condition `{}` stands under `together` with itself", other.written.value);
            sink.report(other.span(), "this is the condition itself", message).help("name another condition, or move the rows to `rules`");
        }
    }
}

/// Reports each circle once, at its first document.
fn circles<'a, T: 'a>(
    all: impl Iterator<Item = Idx<T>>,
    next: impl Fn(Idx<T>) -> Vec<&'a Ref<T>>,
    word: &str,
    rule: &str,
    sink: &mut Sink,
) {
    let mut reported: Vec<Idx<T>> = Vec::new();
    for start in all {
        if reported.contains(&start) {
            continue;
        }
        let mut seen: Vec<Idx<T>> = Vec::new();
        // A reference that comes back to its start closes a circle.
        let mut open: Vec<(Idx<T>, Vec<&Ref<T>>)> = next(start).into_iter().filter_map(|r| Some((r.to?, vec![r]))).collect();
        while let Some((here, way)) = open.pop() {
            if here == start {
                let names: Vec<String> = way.iter().map(|r| format!("`{}`", r.written.value)).collect();
                if let Some(first) = way.first() {
                    sink.report(
                        first.span(),
                        "begins the circle",
                        format!("the {word} {} leads back to itself: {}", names.last().map_or("", |n| n), names.join(", ")),
                    )
                    .note(format!("{rule}, never back."))
                    .help("take out the reference that is wrong");
                }
                reported.extend(way.iter().filter_map(|r| r.to));
                break;
            }
            if !seen.contains(&here) {
                seen.push(here);
                open.extend(next(here).into_iter().filter_map(|r| Some((r.to?, way.iter().copied().chain([r]).collect()))));
            }
        }
    }
}
