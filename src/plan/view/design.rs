//! The design system on a page of its own: tokens as the stylesheet sets them, and each component drawn by the
//! template that every page draws it with. Nothing here is typed twice: tokens are read from the stylesheet,
//! marks from the words of the vocabularies.

use super::parts::{Bar, DoseView, Frame, LedgerRow, Mark, StopView};
use crate::compute::currency::sign_off::State;
use crate::model::vocabulary::{Strength, Urgency};
use crate::plan::site::Site;
use crate::plan::words;
use serde::Serialize;
use std::collections::BTreeMap;

/// Title of the page.
pub const TITLE: &str = "How the pages are made";

/// The stylesheet that ships.
const STYLE: &str = include_str!("../../../templates/assets/style.css");

/// View of `design.html`.
#[derive(Debug, Serialize)]
pub struct DesignPage {
    /// Frame.
    pub frame: Frame,
    /// Colours and measures by name.
    pub tokens: Vec<Token>,
    /// Sizes of type on a card.
    pub sizes: Vec<Size>,
    /// Marks of where a document stands.
    pub states: Vec<Mark>,
    /// Marks of how soon to send a person on.
    pub urgencies: Vec<Mark>,
    /// Marks of what a caution does.
    pub strengths: Vec<Mark>,
    /// A dose.
    pub dose: Vec<DoseView>,
    /// Stop rules.
    pub stops: Vec<StopView>,
    /// Rows of a ledger, one within its limit and one above.
    pub ledger: Vec<LedgerRow>,
}

/// A token with its value in each setting; empty where the light one holds.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub struct Token {
    /// Name without its dashes.
    pub name: String,
    /// On a light screen.
    pub light: String,
    /// On a dark screen.
    pub dark: String,
    /// On paper.
    pub print: String,
}

/// A class of text on a card.
#[derive(Debug, Serialize)]
pub struct Size {
    /// What it is.
    pub what: &'static str,
    /// Points.
    pub points: f64,
    /// The least that is allowed.
    pub least: f64,
}

impl DesignPage {
    /// Makes the page.
    pub fn new(site: &Site<'_>) -> DesignPage {
        let size = |t: &crate::plan::fit::TextClass| Size { what: t.what, points: t.points, least: t.least };
        DesignPage {
            frame: site.frame(TITLE),
            tokens: tokens(STYLE),
            sizes: crate::plan::fit::CLASSES.iter().map(size).collect(),
            states: [State::Draft, State::InReview, State::Approved, State::Due, State::Overdue, State::Suspended, State::Retired]
                .map(words::state)
                .to_vec(),
            urgencies: Urgency::ALL.iter().map(|u| words::urgency(*u)).collect(),
            strengths: Strength::ALL.iter().map(|s| words::strength(*s)).collect(),
            dose: vec![dose("hold", "45–60 s"), dose("", "2 repeats"), dose("pain at most", "4/10")],
            stops: vec![stop()],
            ledger: vec![row("2–3 passes", "3 passes", 45.0, false), row("5–7 passes", "7 passes", 90.0, true)],
        }
    }
}

fn dose(label: &str, value: &str) -> DoseView {
    DoseView { label: label.into(), value: value.into(), other: None, minor: false, cap: false }
}

fn stop() -> StopView {
    let (at, act, then) = (Some("lasts over 10 s".into()), Some("release and test feeling".into()), Some("end step".into()));
    StopView { sign: "numbness or tingling".into(), at, act, then, added: false }
}

fn row(best: &str, worst: &str, bar: f64, over: bool) -> LedgerRow {
    LedgerRow {
        place: "Skin of a region".into(),
        stressor: "cold",
        over: "session",
        best: best.into(),
        worst: worst.into(),
        limit: Some("6 passes".into()),
        whose: "house",
        steps: "steps 4 and 9".into(),
        bar: Some(Bar { best: bar * 0.7, worst: bar, limit: 77.0 }),
        trace: None,
        over_limit: over,
    }
}

/// Custom properties of the three `:root` blocks, in the order of the first.
fn tokens(style: &str) -> Vec<Token> {
    let blocks: Vec<BTreeMap<&str, &str>> =
        style.match_indices(":root {").map(|(at, open)| block(style.get(at + open.len()..).unwrap_or_default())).collect();
    let [light, dark, print] = [0, 1, 2].map(|i| blocks.get(i));
    let of = |set: Option<&BTreeMap<&str, &str>>, name: &str| set.and_then(|s| s.get(name)).map(|v| (*v).to_string()).unwrap_or_default();
    let names = light.map(|b| b.keys().copied().collect::<Vec<_>>()).unwrap_or_default();
    let token = |name: &&str| Token { name: (*name).into(), light: of(light, name), dark: of(dark, name), print: of(print, name) };
    names.iter().map(token).collect()
}

fn block(text: &str) -> BTreeMap<&str, &str> {
    let inside = text.split('}').next().unwrap_or_default();
    inside
        .split(';')
        .filter_map(|d| d.trim().strip_prefix("--")?.split_once(':'))
        .map(|(name, value)| (name.trim(), value.trim()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tokens_are_read_from_the_three_blocks() {
        let style = ":root {\n --ink: #111; --paper: #fff;\n color-scheme: light;\n}\n@media x { :root { --ink: #eee; } }\n@media print { :root { --ink: #000; --paper: #fff; } }";
        let ink = Token { name: "ink".into(), light: "#111".into(), dark: "#eee".into(), print: "#000".into() };
        let paper = Token { name: "paper".into(), light: "#fff".into(), dark: String::new(), print: "#fff".into() };
        assert_eq!(tokens(style), [ink, paper]);
        let shipped = tokens(STYLE);
        assert!(
            ["ink", "paper", "accent"].iter().all(|n| shipped.iter().any(|t| t.name == *n && !t.dark.is_empty() && !t.print.is_empty()))
        );
    }
}
