//! Two colours of the style sheets that meet on a page and are hard to tell apart.
//!
//! The pairs stand in `templates/contrast.txt`, beside the style sheets that use them. Ratio and least values: W3C, Web
//! Content Accessibility Guidelines 2.2, success criteria 1.4.3 and 1.4.11 and the definitions of contrast ratio and
//! relative luminance.

use super::Output;
use super::css::{Rule, Theme, rules, tokens};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// The check.
pub static CHECK: Check = Check {
    name: "contrast-too-low",
    summary: "text or a sign stands out too little from its ground",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("contrast_too_low.md"),
};

/// Pairs that meet: what it is, the colour in front, the grounds.
const PAIRS: &str = include_str!("../../../templates/contrast.txt");

/// The sheet with the tokens, which every page loads.
const TOKENS: &str = "assets/style.css";

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    let Some(pack) = case.catalog.packs.rows().first() else { return };
    let sheet = |b: &&crate::render::Built| Path::new(&b.path).extension().is_some_and(|e| e == "css");
    let shared = output.built.iter().find(|b| b.path == TOKENS).map(|b| rules(b.text())).unwrap_or_default();
    let mut seen = BTreeSet::new();
    for file in output.built.iter().filter(sheet) {
        let own = if file.path == TOKENS { Vec::new() } else { rules(file.text()) };
        for why in faults(PAIRS, &shared, &own) {
            if seen.insert(why.clone()) {
                let help = "make the colour in front darker or lighter, in every theme in which it is named here";
                sink.report(pack.head.at, "this pack", format!("{}: {why}", file.path)).help(help);
            }
        }
    }
}

/// Pairs that stand out too little, with the tokens of a sheet laid over the shared ones.
fn faults(pairs: &str, shared: &[Rule], own: &[Rule]) -> Vec<String> {
    let mut out = Vec::new();
    for theme in Theme::ALL {
        let mut all: BTreeMap<&str, &str> = tokens(shared, theme);
        all.extend(tokens(own, theme));
        for line in pairs.lines().filter(|l| !l.starts_with('#')) {
            let mut words = line.split_whitespace();
            let (Some(what), Some(front)) = (words.next(), words.next()) else { continue };
            let least = if what == "text" { 4.5 } else { 3.0 };
            for ground in words {
                let colour = |token: &str| all.get(token).and_then(|v| luminance(v));
                match (colour(front), colour(ground)) {
                    (Some(a), Some(b)) if ratio(a, b) < least => {
                        let shown = (ratio(a, b) * 100.0).floor() / 100.0;
                        out.push(format!(
                            "`--{front}` on `--{ground}` has {shown} : 1 {}; {least} : 1 is the least for {what}",
                            theme.word()
                        ));
                    }
                    (Some(_), Some(_)) => {}
                    _ => out.push(format!("`--{front}` or `--{ground}` is no colour of the form #rgb or #rrggbb {}", theme.word())),
                }
            }
        }
    }
    out
}

/// Contrast ratio of two relative luminances.
fn ratio(a: f64, b: f64) -> f64 {
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Relative luminance of a colour written `#rgb` or `#rrggbb`.
fn luminance(colour: &str) -> Option<f64> {
    let digits = colour.trim().strip_prefix('#')?;
    let long: String = if digits.len() == 3 { digits.chars().flat_map(|c| [c, c]).collect() } else { digits.to_string() };
    let part = |i: usize| u8::from_str_radix(long.get(i..i + 2)?, 16).ok().filter(|_| long.len() == 6);
    let line = |value: u8| {
        let s = f64::from(value) / 255.0;
        if s <= 0.04045 { s / 12.92 } else { ((s + 0.055) / 1.055).powf(2.4) }
    };
    Some(0.2126 * line(part(0)?) + 0.7152 * line(part(2)?) + 0.0722 * line(part(4)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(a: &str, b: &str) -> f64 {
        ratio(luminance(a).unwrap(), luminance(b).unwrap())
    }

    /// WCAG 2.2, definition of contrast ratio: ratios run from 1 to 21. The next two greys on white lie on either side of
    /// 4.5, a mark that is common practice to check a program against; their digits follow from the formula by hand.
    #[test]
    fn the_ratio_follows_the_definition() {
        assert!((of("#000", "#ffffff") - 21.0).abs() < 1e-12);
        assert!((of("#abcdef", "#abcdef") - 1.0).abs() < 1e-12);
        assert!(of("#767676", "#fff") > 4.5 && of("#777", "#fff") < 4.5);
        assert!((of("#767676", "#fff") - 4.54).abs() < 0.005 && (of("#777", "#fff") - 4.48).abs() < 0.005);
        assert_eq!(luminance("red"), None);
        assert_eq!(luminance("#ff"), None);
    }

    #[test]
    fn a_pair_is_judged_in_every_theme_by_what_it_is() {
        let sheet = rules(
            ":root{--ink:#777;--paper:#fff}@media (prefers-color-scheme: dark){:root{--ink:#000;--paper:#000}}@media print{:root{--ink:#000}}",
        );
        let text = faults("# pairs\ntext ink paper\n", &sheet, &[]);
        assert_eq!(text.len(), 2, "{text:?}");
        assert!(text[0].contains("has 4.47 : 1 in the light theme; 4.5 : 1") && text[1].contains("1 : 1 in the dark theme"), "{text:?}");
        assert_eq!(faults("shape ink paper", &sheet, &[]).len(), 1);
        assert_eq!(faults("text ink line", &sheet, &[]).len(), 3);
        let own = rules(":root{--ink:#fff}");
        assert_eq!(faults("text ink paper", &sheet, &own).len(), 2);
    }
}
