//! The wording that a certainty allows: one table, and the reading of a sentence against it.
//!
//! After GRADE guidelines 26 (Santesso 2020, J Clin Epidemiol 119:126-135; title and record read, the
//! words here are our own). English only.

use crate::model::evidence::Certainty;
use std::ops::Range;

/// How firmly a sentence speaks of an effect, weakest first.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Firmness {
    /// Says that it is not known.
    Unknown,
    /// May.
    May,
    /// Probably.
    Probably,
    /// Does.
    Does,
}

/// A row of the table.
#[derive(Debug)]
pub struct Row {
    /// Certainty.
    pub certainty: Certainty,
    /// The firmest way to speak that it carries.
    pub carries: Firmness,
    /// Words to use.
    pub say: &'static str,
    /// Words that outrun it.
    pub not: &'static str,
}

/// The table, highest certainty first.
pub const TABLE: [Row; 4] = [
    Row { certainty: Certainty::High, carries: Firmness::Does, say: "does, lowers, results in", not: "" },
    Row { certainty: Certainty::Moderate, carries: Firmness::Probably, say: "probably", not: "does" },
    Row { certainty: Certainty::Low, carries: Firmness::May, say: "may", not: "probably, does" },
    Row {
        certainty: Certainty::VeryLow,
        carries: Firmness::Unknown,
        say: "we do not know whether; it is very uncertain",
        not: "may, probably, does",
    },
];

/// The row of a certainty.
pub fn row(certainty: Certainty) -> &'static Row {
    let [high, moderate, low, very_low] = &TABLE;
    match certainty {
        Certainty::High => high,
        Certainty::Moderate => moderate,
        Certainty::Low => low,
        Certainty::VeryLow => very_low,
    }
}

/// What shows how firmly a sentence speaks; the first kind that is found counts.
const SIGNS: [(Firmness, &[&str]); 3] = [
    (
        Firmness::Unknown,
        &["do not know", "does not know", "not known", "nobody knows", "unknown", "uncertain", "unclear", "cannot be told", "cannot tell"],
    ),
    (Firmness::May, &["may", "might", "could"]),
    (Firmness::Probably, &["probably", "likely"]),
];

/// Verbs and phrases that state an effect.
const EFFECTS: [&str; 41] = [
    "reduces",
    "reduce",
    "reduced",
    "lowers",
    "lower",
    "lowered",
    "raises",
    "raise",
    "raised",
    "increases",
    "increase",
    "increased",
    "decreases",
    "decrease",
    "decreased",
    "improves",
    "improve",
    "improved",
    "eases",
    "ease",
    "eased",
    "relieves",
    "relieve",
    "relieved",
    "lessens",
    "lessen",
    "shortens",
    "lengthens",
    "helps",
    "help",
    "helped",
    "works",
    "changes",
    "change",
    "changed",
    "gains",
    "gain",
    "results in",
    "makes",
    "make",
    "dulls",
];

/// How firmly a sentence speaks and the words that show it; `None` if it states no effect at all.
pub fn read(sentence: &str) -> Option<(Firmness, Range<usize>)> {
    for (firmness, words) in SIGNS {
        if let Some(at) = words.iter().filter_map(|w| find(sentence, w)).min_by_key(|r| r.start) {
            return Some((firmness, at));
        }
    }
    let at = EFFECTS.iter().filter_map(|w| find(sentence, w)).min_by_key(|r| (r.start, std::cmp::Reverse(r.end)))?;
    Some((Firmness::Does, at))
}

/// The verb with which a sentence states an effect, however weakly; `None` if it states none or says that
/// it is not known.
pub fn stated(sentence: &str) -> Option<Range<usize>> {
    let (firmness, _) = read(sentence)?;
    let verbs = EFFECTS.iter().filter_map(|w| find(sentence, w));
    (firmness > Firmness::Unknown).then(|| verbs.min_by_key(|r| (r.start, std::cmp::Reverse(r.end)))).flatten()
}

/// A phrase between word borders, whatever its case.
fn find(text: &str, phrase: &str) -> Option<Range<usize>> {
    let letter = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '-');
    text.char_indices().map(|(i, _)| i).find_map(|i| {
        let end = i + phrase.len();
        let here = text.get(i..end)?;
        let whole = !letter(text[..i].chars().next_back()) && !letter(text[end..].chars().next());
        (whole && here.eq_ignore_ascii_case(phrase)).then_some(i..end)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_is_as_firm_as_its_weakest_sign() {
        for (sentence, expected) in [
            ("Pressure reduces pain.", Some((Firmness::Does, "reduces"))),
            ("Pressure MAY reduce pain.", Some((Firmness::May, "MAY"))),
            ("Pressure probably reduces pain.", Some((Firmness::Probably, "probably"))),
            ("We do not know whether pressure reduces pain.", Some((Firmness::Unknown, "do not know"))),
            ("It is very uncertain how long it lasts.", Some((Firmness::Unknown, "uncertain"))),
            ("Mayor of the town presses.", None),
            ("Three raters agreed in part.", None),
            ("Für Läufer helps nothing.", Some((Firmness::Does, "helps"))),
            ("In May the trial began.", Some((Firmness::May, "May"))),
        ] {
            let found = read(sentence).map(|(f, at)| (f, &sentence[at]));
            assert_eq!(found, expected, "{sentence}");
        }
    }

    #[test]
    fn an_effect_is_stated_by_its_verb() {
        for (sentence, wanted) in [
            ("Pressure may lower tenderness.", Some("lower")),
            ("The step may be repeated.", None),
            ("It is unknown whether it helps.", None),
        ] {
            assert_eq!(stated(sentence).map(|r| &sentence[r]), wanted, "{sentence}");
        }
    }

    #[test]
    fn each_certainty_carries_what_its_row_says() {
        for row in &TABLE {
            assert_eq!(super::row(row.certainty).certainty, row.certainty);
        }
        assert!(TABLE.windows(2).all(|w| w[0].certainty > w[1].certainty && w[0].carries > w[1].carries));
    }
}
