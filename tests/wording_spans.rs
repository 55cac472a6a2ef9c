//! Checks of wording point at the very words, whatever marks of Markdown or styles of YAML stand around them.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;
use common::{TODAY, fixture_pack, root};
use proptest::prelude::*;

/// Words that fire, by check, as a reader sees them.
const FIRES: [(&str, &str); 6] = [
    ("claim-cure", "cures"),
    ("claim-cure", "permanent relief"),
    ("medical-condition-claimed", "treats migraine"),
    ("claim-mechanism-as-fact", "breaks up adhesions"),
    ("abbreviation-undefined", "QXR"),
    ("protected-words", "Frost Jet"),
];

/// A phrase with marks around its letters that a reader does not see.
fn marked(phrase: &str, style: u8) -> String {
    let (first, rest) = phrase.split_at(1);
    match style {
        0 => format!("**{phrase}**"),
        1 => format!("*{first}*{rest}"),
        2 => format!("[{phrase}](muscle:soleus)"),
        3 => format!("`{phrase}`"),
        4 => phrase.replace(' ', "\n"),
        5 => format!("“{phrase}”"),
        6 => format!("\\*{phrase}\\*"),
        _ => phrase.into(),
    }
}

fn block(text: &str, shape: u8) -> String {
    match shape {
        0 => format!("- {}\n", text.replace('\n', "\n  ")),
        1 => format!("> {}\n", text.replace('\n', "\n> ")),
        2 => format!("## {}\n", text.replace('\n', " ")),
        3 => format!("1. {}\n", text.replace('\n', "\n   ")),
        _ => format!("{text}\n"),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    #[test]
    fn findings_lie_on_the_words(
        picks in prop::collection::vec((0_usize..FIRES.len(), 0_u8..8, 0_u8..5, "[a-zäöüßéè’ ]{0,12}"), 1..5),
    ) {
        let pack = fixture_pack(&root().join("tests/checks/protected-words/silent")).unwrap();
        let list = std::fs::read_to_string(pack.path().join("pack.yaml")).unwrap().replace("[FrostJet]", "[Frost Jet]");
        std::fs::write(pack.path().join("pack.yaml"), list).unwrap();
        let mut page = String::from("# About this pack\n");
        for (pick, style, shape, before) in &picks {
            // Between full stops, so that no word before takes the phrase back.
            let words = marked(FIRES[*pick].1, *style);
            page += &format!("\n{}", block(&format!("Grün{before}. It {words} now."), *shape));
        }
        std::fs::write(pack.path().join("pages/about.md"), &page).unwrap();
        let judged = fascicle::build::judge(&[pack.path().to_path_buf()], TODAY).unwrap();
        let findings = judged.findings(TODAY);
        for finding in &findings {
            let text = judged.loaded.map.text(finding.primary.span.file);
            let under = text.get(finding.primary.span.range());
            prop_assert!(under.is_some(), "{} points outside: {page:?}", finding.check);
        }
        for (check, phrase) in picks.iter().map(|p| FIRES[p.0]) {
            let letters = |text: &str| text.chars().filter(|c| c.is_alphabetic()).collect::<String>();
            let on_it = findings.iter().filter(|f| f.check == check).any(|f| {
                let under = judged.loaded.map.slice(f.primary.span);
                let linked = letters(under).starts_with(&letters(phrase)) && under.contains("](");
                letters(under) == letters(phrase) || linked
            });
            prop_assert!(on_it, "{check} is not on `{phrase}` in {page:?}");
        }
    }
}
