//! A picture, chart or figure without words for those who do not see it.

use super::Output;
use super::tree::{Element, Tree};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "text-alternative-missing",
    summary: "a picture or chart has no words in its place",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("text_alternative_missing.md"),
};

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    output.each(
        case,
        |l| &l.pictures,
        |span, path, why| {
            sink.report(span, "shown on this page", format!("{path}: {why}"))
                .help("say in words what the picture shows, or hide it where words beside it say the same");
        },
    );
}

/// Pictures without words.
pub(super) fn faults(tree: &Tree) -> Vec<String> {
    let mut out = Vec::new();
    for (at, element) in tree.all(&["img", "svg", "figure", "canvas", "object"]) {
        let why = match element.tag.as_str() {
            "figure" => (!has_caption(tree, at) && !element.is_labelled()).then_some("has neither caption nor name"),
            "canvas" | "object" => (tree.words(at).is_empty() && !element.is_labelled()).then_some("has no words in it"),
            _ => picture(tree, at, element),
        };
        out.extend(why.map(|why| format!("{} {why}", element.shown())));
    }
    out
}

fn picture(tree: &Tree, at: usize, element: &Element) -> Option<&'static str> {
    let in_drawing = tree.around(at).any(|(_, e)| e.tag == "svg");
    let unheard = |e: &Element| e.get("aria-hidden") == Some("true");
    if in_drawing {
        return None;
    }
    let titled = element.tag == "svg" && tree.inside(at).iter().any(|e| e.tag == "title" && !e.text.trim().is_empty());
    if element.is_labelled() || titled || element.get("alt").is_some_and(|a| !a.trim().is_empty()) {
        return None;
    }
    let decoration = unheard(element) || element.get("alt").is_some() || tree.around(at).any(|(_, e)| unheard(e));
    if !decoration {
        return Some(if element.tag == "img" { "has no `alt`" } else { "has no name and is not hidden from listeners" });
    }
    let holder = tree.around(at).find(|(_, e)| matches!(e.tag.as_str(), "a" | "button" | "figure"));
    match holder {
        Some((i, e)) if e.tag == "figure" => (!has_caption(tree, i) && !e.is_labelled()).then_some("is all that its figure says"),
        Some((i, e)) => (tree.words(i).is_empty() && !e.is_labelled()).then_some("is all that its link or button says"),
        None => None,
    }
}

fn has_caption(tree: &Tree, figure: usize) -> bool {
    let end = tree.elements.get(figure).map_or(figure, |e| e.end);
    tree.all(&["figcaption"]).any(|(i, _)| i > figure && i < end && !tree.words(i).is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pictures_without_words_are_found() {
        for bad in [
            "<img src=a.png>",
            "<a href=x><img src=a.png alt=''></a>",
            "<svg viewBox='0 0 1 1'><path/></svg>",
            "<button><svg aria-hidden=true></svg></button>",
            "<figure><svg role=img aria-label='A chart'></svg></figure>",
            "<figure><img src=a.png alt='A chart'><figcaption> </figcaption></figure>",
            "<canvas></canvas>",
            "<svg role=img aria-label=' '></svg>",
        ] {
            assert!(!faults(&Tree::read(bad)).is_empty(), "{bad}");
        }
    }

    #[test]
    fn words_in_any_form_are_enough() {
        for fine in [
            "<img src=a.png alt='A knee'>",
            "<p>Before <svg aria-hidden=true></svg></p>",
            "<a href=x><svg aria-hidden=true></svg> Knee</a>",
            "<svg role=img><title>A knee</title></svg>",
            "<span aria-hidden=true><svg></svg></span>",
            "<figure><svg role=img aria-label='A chart'><svg></svg></svg><figcaption>Falls by 2</figcaption></figure>",
            "<figure role=group aria-labelledby=h><svg aria-hidden=true></svg></figure>",
        ] {
            assert!(faults(&Tree::read(fine)).is_empty(), "{fine}");
        }
    }
}
