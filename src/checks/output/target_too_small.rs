//! A control that is lower than a finger needs: 44 px, or 64 px in the view for the room.
//!
//! Judged from the rules of the style sheets that a page loads: a control has the least height that the heaviest of its
//! rules gives it, a tick or radio that of its label. The browser tests measure what is shown.

use super::Output;
use super::css::{self, Rule};
use super::tree::{Element, Tree};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use std::collections::BTreeMap;

/// The check.
pub static CHECK: Check = Check {
    name: "target-too-small",
    summary: "a control is too low for a finger",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("target_too_small.md"),
};

/// Least height. 44 px: WCAG 2.2, success criterion 2.5.5 (level AAA). 64 px for oily or gloved hands is house practice
/// of the tool, without source.
const LEAST: f64 = 44.0;
const LEAST_IN_ROOM: f64 = 64.0;

/// Folder of the view for the room.
const ROOM: &str = "room/";

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    output.each(
        case,
        |l| &l.targets,
        |span, path, why| {
            let help = "give it a min-height in its style sheet: 2.75rem, or 64px in the view for the room";
            sink.report(span, "shown on this page", format!("{path}: {why}")).help(help);
        },
    );
}

/// Controls of a page that are too low under these rules. Alike controls are named once.
pub(super) fn faults(path: &str, tree: &Tree, rules: &[&Rule]) -> Vec<String> {
    let in_room = path.starts_with(ROOM);
    let mut out: BTreeMap<String, String> = BTreeMap::new();
    for (at, element) in tree.elements.iter().enumerate().filter(|(at, e)| is_target(tree, *at, e, in_room)) {
        let least = if in_room && tree.around(at).any(|(_, e)| e.tag == "main") { LEAST_IN_ROOM } else { LEAST };
        let own = css::height(rules, tree, at);
        let tick = element.tag == "input" && matches!(element.get("type"), Some("checkbox" | "radio"));
        let label = tree.around(at).find(|(_, e)| e.tag == "label").filter(|_| tick).and_then(|(i, _)| css::height(rules, tree, i));
        let height = own.into_iter().chain(label).reduce(f64::max);
        if height.is_none_or(|h| h < least) {
            let said = height.map_or("no least height".to_string(), |h| format!("{h} px"));
            let kind = format!("{}{}", element.tag, element.get("class").unwrap_or_default());
            out.entry(kind).or_insert_with(|| format!("{} has {said}; {least} px is the least", element.shown()));
        }
    }
    out.into_values().collect()
}

fn is_target(tree: &Tree, at: usize, element: &Element, in_room: bool) -> bool {
    match element.tag.as_str() {
        "button" | "select" | "textarea" | "summary" => true,
        "input" => element.get("type") != Some("hidden"),
        // A link in a line of text is as high as the line (WCAG 2.5.5, exception for inline targets).
        "a" => {
            let button = element.get("class").is_some_and(|c| c.split_whitespace().any(|c| c == "button"));
            let inline = || tree.around(at).next().is_some_and(|(_, e)| matches!(e.tag.as_str(), "p" | "li" | "dd" | "dt" | "td" | "th"));
            button || (in_room && tree.around(at).any(|(_, e)| e.tag == "main") && !inline())
        }
        _ => element.get("role") == Some("button"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn low_controls_are_found_and_a_tick_has_the_height_of_its_label() {
        let all = css::rules("button, .tick, .next{min-height:2.75rem} .low button{min-height:24px} .next{min-height:64px}");
        let rules: Vec<&Rule> = all.iter().collect();
        let faults = |path: &str, html: &str| faults(path, &Tree::read(html), &rules);
        assert!(faults("a.html", "<button>x</button><label class=tick><input type=checkbox></label><p><a href=x>y</a></p>").is_empty());
        assert_eq!(
            faults("a.html", "<div class=low><button>x</button><button>y</button></div>"),
            ["<button> has 24 px; 44 px is the least"]
        );
        assert_eq!(faults("a.html", "<label><input type=radio></label><select></select>").len(), 2);
        assert_eq!(faults("a.html", "<a class=button href=x>x</a>").len(), 1);
        assert_eq!(faults("room/a.html", "<main><button>x</button><nav><a href=x>y</a></nav></main><button>z</button>").len(), 2);
        assert!(faults("room/a.html", "<main><nav><a class=next href=x>y</a></nav><p><a href=x>y</a></p></main>").is_empty());
    }
}
