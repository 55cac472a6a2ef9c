//! A link, anchor or picture that leads nowhere inside the site.

use super::Output;
use super::html::Page;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use std::collections::{BTreeMap, BTreeSet};

/// The check.
pub static CHECK: Check = Check {
    name: "site-link-broken",
    summary: "a link, anchor or picture leads nowhere",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("site_link_broken.md"),
};

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    let Some(pack) = case.catalog.packs.rows().first() else { return };
    let paths: BTreeSet<&str> = output.built.iter().map(|b| b.path.as_str()).collect();
    let pages = &output.pages;
    for (path, page) in pages {
        for link in page.links.iter().chain(&page.loads) {
            if let Some(why) = broken(path, link, &paths, pages) {
                let at = output.built.iter().find(|b| b.path == *path).and_then(|b| b.doc).and_then(|d| case.catalog.head(d));
                let span = at.map_or(pack.head.at, super::place_of);
                sink.report(span, "shown on this page", format!("{path} links to `{link}`: {why}")).help("link to what exists");
            }
        }
    }
}

/// Why a link leads nowhere; `None` if it leads somewhere or leaves the site.
fn broken(from: &str, link: &str, paths: &BTreeSet<&str>, pages: &BTreeMap<&str, Page>) -> Option<&'static str> {
    if link.contains("://") || link.starts_with("data:") {
        return None;
    }
    let (file, anchor) = link.split_once('#').map_or((link, None), |(f, a)| (f, Some(a)));
    let file = file.split('?').next().unwrap_or("");
    let target = if file.is_empty() { Some(from.to_string()) } else { resolve(from, file) };
    let Some(target) = target.filter(|t| paths.contains(t.as_str())) else { return Some("there is no such file") };
    let anchor = anchor.filter(|a| !a.is_empty() && *a != "top")?;
    let there = pages.get(target.as_str())?.ids.iter().any(|(id, _)| id == anchor);
    (!there).then_some("there is no such place on that page")
}

/// A relative path from the folder of `from`; `None` if it leaves the site.
pub(super) fn resolve(from: &str, link: &str) -> Option<String> {
    let mut parts: Vec<&str> = from.split('/').collect();
    parts.pop();
    for part in link.split('/') {
        match part {
            "." => {}
            ".." => {
                parts.pop()?;
            }
            part => parts.push(part),
        }
    }
    Some(parts.join("/"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checks::output::html;

    #[test]
    fn links_are_followed_from_their_page() {
        let paths = BTreeSet::from(["a.html", "b/c.html"]);
        let mut pages = BTreeMap::new();
        pages.insert("a.html", html::read("<p id=x>x"));
        pages.insert("b/c.html", html::read(""));
        for fine in ["../a.html", "../a.html#x", "#", "c.html", "https://a.example"] {
            assert_eq!(broken("b/c.html", fine, &paths, &pages), None, "{fine}");
        }
        for dead in ["a.html", "../a.html#y", "../../a.html", "d.html"] {
            assert!(broken("b/c.html", dead, &paths, &pages).is_some(), "{dead}");
        }
    }
}
