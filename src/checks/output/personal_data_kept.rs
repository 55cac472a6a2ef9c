//! A page or script that keeps, or sends on, what somebody ticked or typed.

use super::Output;
use super::tree::{Element, Tree};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use std::path::Path;

/// The check.
pub static CHECK: Check = Check {
    name: "personal-data-kept",
    summary: "a page or script keeps or sends what was ticked or typed",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("personal_data_kept.md"),
};

/// What a script can keep or send with.
const KEEPS: [&str; 14] = [
    "localStorage",
    "sessionStorage",
    "indexedDB",
    "document.cookie",
    "cookieStore",
    "caches.",
    "openDatabase",
    "showSaveFilePicker",
    "navigator.storage",
    "sendBeacon",
    "XMLHttpRequest",
    "WebSocket",
    "EventSource",
    "fetch(",
];

/// What the worker for offline use needs: it keeps files of the site and sees nothing of a page.
const WORKER: (&str, [&str; 2]) = ("sw.js", ["caches.", "fetch("]);

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    output.each(
        case,
        |l| &l.kept,
        |span, path, why| {
            let help = "an input carries autocomplete=\"off\", itself or by its form; ticks, which may not, stand in such a form";
            sink.report(span, "shown on this page", format!("{path}: {why}")).help(help);
        },
    );
    let Some(pack) = case.catalog.packs.rows().first() else { return };
    for file in output.built.iter().filter(|b| Path::new(&b.path).extension().is_some_and(|e| e == "js")) {
        for word in in_script(&file.path, file.text()) {
            let message = format!("{} uses `{word}`", file.path);
            sink.report(pack.head.at, "this pack", message).help("keep what is ticked or typed on the open page alone");
        }
    }
}

/// Words by which a script keeps or sends something.
fn in_script(path: &str, text: &str) -> Vec<&'static str> {
    if is_data(text) {
        return Vec::new();
    }
    let may = |word: &str| path == WORKER.0 && WORKER.1.contains(&word);
    KEEPS.into_iter().filter(|w| !may(w) && text.match_indices(w).any(|(at, _)| stands_alone(text, at))).collect()
}

/// True unless it is the end of a longer name or a method of something that is not the window: `map.fetch(key)`.
fn stands_alone(text: &str, at: usize) -> bool {
    let (before, after) = text.split_at_checked(at).unwrap_or_default();
    let line = before.rsplit('\n').next().unwrap_or_default().trim_start();
    // A comment, or the head of a method of a class.
    let method = line.is_empty() && after.lines().next().is_some_and(|l| l.trim_end().ends_with(") {"));
    if method || ["//", "*", "/*"].iter().any(|c| line.starts_with(c)) {
        return false;
    }
    let name = |c: char| c.is_alphanumeric() || c == '_' || c == '$';
    match before.strip_suffix('.') {
        Some(owner) => ["window", "self", "globalThis", "document"].iter().any(|w| owner.ends_with(w)),
        None => !before.ends_with(name),
    }
}

/// True for data as a script: one call with JSON, which does nothing by itself.
fn is_data(text: &str) -> bool {
    let call = text.trim_end().strip_suffix(");").and_then(|t| t.split_once('('));
    call.is_some_and(|(name, json)| {
        name.bytes().all(|b| b.is_ascii_alphanumeric()) && serde_json::from_str::<serde::de::IgnoredAny>(json).is_ok()
    })
}

/// Inputs whose content a browser may keep, and forms that send.
pub(super) fn faults(tree: &Tree) -> Vec<String> {
    let off = |e: &Element| e.get("autocomplete").is_some_and(|a| a.eq_ignore_ascii_case("off"));
    let mut out = Vec::new();
    for (at, element) in tree.all(&["form", "input", "select", "textarea"]) {
        if element.tag == "form" {
            let action = element.get("action").unwrap_or_default();
            let outside = action.contains(':') || action.starts_with("//");
            let post = element.get("method").is_some_and(|m| m.eq_ignore_ascii_case("post"));
            if outside || post {
                out.push(format!("{} sends what is in it", element.shown()));
            }
            continue;
        }
        let by_form = tree.around(at).any(|(_, e)| e.tag == "form" && off(e));
        let fine = match element.get("type").unwrap_or("text") {
            "hidden" | "submit" | "button" | "reset" | "image" => true,
            // HTML forbids the attribute on ticks. A switch of what the page shows says nothing about a person.
            "checkbox" | "radio" => by_form || tree.around(at).any(|(_, e)| e.get("data-view").is_some()),
            _ => by_form || off(element),
        };
        if !fine {
            out.push(format!("the browser may keep what is entered in {}", element.shown()));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inputs_that_a_browser_may_fill_again_are_found() {
        for bad in [
            "<input>",
            "<textarea></textarea>",
            "<form><input type=checkbox></form>",
            "<input type=checkbox autocomplete=off>",
            "<form action='https://a.example/' autocomplete=off></form>",
            "<form method=POST action=x.html></form>",
        ] {
            assert_eq!(faults(&Tree::read(bad)).len(), 1, "{bad}");
        }
        for fine in [
            "<input autocomplete=off>",
            "<form autocomplete=off><input type=checkbox><select></select></form>",
            "<fieldset data-view><input type=radio></fieldset>",
            "<form action=a-z.html><input name=q autocomplete=off></form>",
        ] {
            assert!(faults(&Tree::read(fine)).is_empty(), "{fine}");
        }
    }

    #[test]
    fn scripts_that_keep_or_send_are_found_and_data_is_not_read() {
        assert_eq!(in_script("assets/a.js", "localStorage.setItem('x', 1); fetch('y');"), ["localStorage", "fetch("]);
        assert_eq!(in_script("sw.js", "caches.open('x'); fetch('y'); indexedDB.open('z')"), ["indexedDB"]);
        assert!(in_script("assets/a.js", "fascicleData({\"text\":\"localStorage and fetch(\"});\n").is_empty());
        assert_eq!(in_script("assets/a.js", "a({}); fetch(b);"), ["fetch("]);
        assert_eq!(in_script("assets/a.js", "window.fetch(b)"), ["fetch("]);
        assert!(in_script("assets/a.js", "map.fetch(b); prefetch(c)\n  fetch(key, first) {\n// fetch(d)\n").is_empty());
    }
}
