//! Style sheets as rules, as far as checks need them: what a token says in which theme, and how high a control is.

use super::tree::{Element, Tree};
use std::collections::BTreeMap;

/// A rule.
#[derive(Debug)]
pub(super) struct Rule {
    /// Conditions of the `@media` around it; empty if it always holds.
    pub media: String,
    /// Selectors.
    pub selectors: Vec<String>,
    /// Properties and values.
    pub declarations: Vec<(String, String)>,
}

/// A theme.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) enum Theme {
    /// Light.
    Light,
    /// Dark.
    Dark,
    /// Paper.
    Print,
}

impl Theme {
    /// All.
    pub const ALL: [Theme; 3] = [Theme::Light, Theme::Dark, Theme::Print];

    /// Word in messages.
    pub fn word(self) -> &'static str {
        match self {
            Theme::Light => "in the light theme",
            Theme::Dark => "in the dark theme",
            Theme::Print => "in print",
        }
    }

    fn applies(self, media: &str) -> bool {
        match self {
            _ if media.is_empty() => true,
            Theme::Light => false,
            Theme::Dark => media.contains("prefers-color-scheme: dark") || media.contains("prefers-color-scheme:dark"),
            Theme::Print => media.contains("print"),
        }
    }
}

/// Rules of a style sheet.
pub(super) fn rules(css: &str) -> Vec<Rule> {
    let mut out = Vec::new();
    block(&without_comments(css), "", &mut out);
    out
}

fn without_comments(css: &str) -> String {
    let mut out = String::with_capacity(css.len());
    let mut rest = css;
    while let Some((before, after)) = rest.split_once("/*") {
        out.push_str(before);
        rest = after.split_once("*/").map_or("", |(_, r)| r);
    }
    out + rest
}

fn block(css: &str, media: &str, out: &mut Vec<Rule>) {
    let mut rest = css;
    while let Some((head, after)) = rest.split_once('{') {
        let mut depth = 1usize;
        let end = after.find(|c| {
            match c {
                '{' => depth += 1,
                '}' => depth -= 1,
                _ => {}
            }
            depth == 0
        });
        let body = after.get(..end.unwrap_or(after.len())).unwrap_or_default();
        rest = end.and_then(|e| after.get(e + 1..)).unwrap_or_default();
        // A statement such as an import ends with a semicolon and has no block.
        let head = head.rsplit(';').next().unwrap_or(head).trim();
        if let Some(condition) = head.strip_prefix("@media") {
            block(body, condition.trim(), out);
        } else if head.starts_with("@supports") || head.starts_with("@layer") {
            block(body, media, out);
        } else if !head.starts_with('@') {
            let declarations = body.split(';').filter_map(|d| d.split_once(':'));
            let declarations =
                declarations.map(|(k, v)| (k.trim().to_string(), v.trim().trim_end_matches("!important").trim().to_string()));
            out.push(Rule { media: media.to_string(), selectors: split(head), declarations: declarations.collect() });
        }
    }
}

/// Selectors of a list; a comma in brackets parts nothing.
fn split(list: &str) -> Vec<String> {
    let mut depth = 0i32;
    let parts = list.split(|c| {
        depth += i32::from(c == '(' || c == '[') - i32::from(c == ')' || c == ']');
        c == ',' && depth == 0
    });
    parts.map(|p| p.trim().to_string()).filter(|p| !p.is_empty()).collect()
}

/// Values of the tokens of a sheet in a theme.
pub(super) fn tokens<'a>(rules: impl IntoIterator<Item = &'a Rule>, theme: Theme) -> BTreeMap<&'a str, &'a str> {
    let own = rules.into_iter().filter(|r| theme.applies(&r.media) && r.selectors.iter().any(|s| s == ":root"));
    own.flat_map(|r| &r.declarations).filter_map(|(k, v)| Some((k.strip_prefix("--")?, v.as_str()))).collect()
}

/// The least height that rules give an element on a screen, in CSS pixels.
pub(super) fn height(rules: &[&Rule], tree: &Tree, at: usize) -> Option<f64> {
    let mut best: Option<((usize, usize, usize), f64)> = None;
    for rule in rules.iter().filter(|r| r.media.is_empty()) {
        let heights = rule.declarations.iter().filter(|(k, _)| k == "min-height" || k == "height");
        let Some(px) = heights.filter_map(|(_, v)| pixels(v, rules)).reduce(f64::max) else { continue };
        for weight in rule.selectors.iter().filter_map(|s| matches(s, tree, at)) {
            // Of two rules of the same weight the later counts.
            if best.is_none_or(|(w, _)| weight >= w) {
                best = Some((weight, px));
            }
        }
    }
    best.map(|(_, px)| px)
}

/// A length in CSS pixels; 1rem is 16 px, since no page changes the size of the root.
fn pixels(value: &str, rules: &[&Rule]) -> Option<f64> {
    let value = match value.strip_prefix("var(--") {
        Some(token) => tokens(rules.iter().copied(), Theme::Light).get(token.trim_end_matches(')')).copied()?,
        None => value,
    };
    let end = value.find(|c: char| !c.is_ascii_digit() && c != '.')?;
    let (number, unit) = value.split_at(end);
    let number: f64 = number.parse().ok()?;
    match unit.trim() {
        "px" => Some(number),
        "rem" => Some(number * 16.0),
        _ => None,
    }
}

/// Weight of a selector (ids, classes, names) if the element is one that it means. A selector with a state or a
/// neighbour means none here.
fn matches(selector: &str, tree: &Tree, at: usize) -> Option<(usize, usize, usize)> {
    if selector.contains([':', '+', '~']) {
        return None;
    }
    let spaced = selector.replace('>', " > ");
    let mut parts: Vec<&str> = spaced.split_whitespace().collect();
    let mut weight = compound(parts.pop()?, tree.elements.get(at)?)?;
    let mut here = at;
    while let Some(part) = parts.pop() {
        let (child, part) = if part == ">" { (true, parts.pop()?) } else { (false, part) };
        let mut around = tree.around(here).map(|(i, e)| (i, compound(part, e)));
        let (i, found) = if child { around.next()? } else { around.find(|(_, w)| w.is_some())? };
        let found = found?;
        weight = (weight.0 + found.0, weight.1 + found.1, weight.2 + found.2);
        here = i;
    }
    Some(weight)
}

fn compound(selector: &str, element: &Element) -> Option<(usize, usize, usize)> {
    let (mut ids, mut classes, mut names) = (0, 0, 0);
    let mut rest = selector;
    while let Some(first) = rest.chars().next() {
        let end = rest.char_indices().skip(1).find(|(_, c)| matches!(c, '.' | '#' | '[')).map_or(rest.len(), |(i, _)| i);
        let (part, after) = rest.split_at(end);
        let inner = part.get(1..).unwrap_or_default();
        let fits = match first {
            '.' => {
                classes += 1;
                element.get("class").is_some_and(|c| c.split_whitespace().any(|c| c == inner))
            }
            '#' => {
                ids += 1;
                element.get("id") == Some(inner)
            }
            '[' => {
                classes += 1;
                let (key, value) = inner
                    .trim_end_matches(']')
                    .split_once('=')
                    .map_or((inner.trim_end_matches(']'), None), |(k, v)| (k, Some(v.trim_matches(['"', '\'']))));
                element.get(key).is_some_and(|own| value.is_none_or(|v| v == own))
            }
            '*' => true,
            _ => {
                names += 1;
                element.tag == part
            }
        };
        if !fits {
            return None;
        }
        rest = after;
    }
    Some((ids, classes, names))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tokens_follow_the_theme() {
        let css = "@import url(x.css);:root{--a:#111;--b: #222}/* :root{--a:#999} */@media (prefers-color-scheme: dark){:root{--a:#333}}@media print{:root{--b:#444;}}";
        let rules = rules(css);
        assert_eq!(tokens(&rules, Theme::Light), BTreeMap::from([("a", "#111"), ("b", "#222")]));
        assert_eq!(tokens(&rules, Theme::Dark), BTreeMap::from([("a", "#333"), ("b", "#222")]));
        assert_eq!(tokens(&rules, Theme::Print), BTreeMap::from([("a", "#111"), ("b", "#444")]));
    }

    #[test]
    fn the_heavier_rule_gives_the_height_and_the_later_of_two_alike() {
        let css = "button{min-height:44px}.small button{min-height:1rem}.a > .b[type=button]{height:3rem}button:hover{min-height:1px}@media print{button{min-height:0px}}#x .c{min-height:var(--t)}:root{--t:64px}";
        let all = rules(css);
        let rules: Vec<&Rule> = all.iter().collect();
        let height = |html: &str| {
            let tree = Tree::read(html);
            let at = tree.all(&["button"]).next().unwrap().0;
            height(&rules, &tree, at)
        };
        assert_eq!(height("<button>x</button>"), Some(44.0));
        assert_eq!(height("<div class='big small'><p><button>x</button></p></div>"), Some(16.0));
        assert_eq!(height("<div class=a><button class=b type=button>x</button></div>"), Some(48.0));
        assert_eq!(height("<div class=a><p><button class=b type=button>x</button></p></div>"), Some(44.0));
        assert_eq!(height("<div id=x><button class=c>x</button></div>"), Some(64.0));
    }
}
