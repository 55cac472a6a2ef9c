//! Which way a sentence says that an outcome goes, as far as its verbs can be read without guessing.

use super::named;
use crate::checks::text::{Word, taken_back, words};
use crate::model::docs::Outcome;
use crate::model::evidence::{Better, Direction};
use std::ops::Range;

/// Verbs that judge by themselves.
const BETTER: [&str; 13] =
    ["improves", "improve", "improved", "eases", "ease", "eased", "relieves", "relieve", "relieved", "helps", "help", "helped", "benefits"];
const WORSE: [&str; 7] = ["worsens", "worsen", "worsened", "aggravates", "aggravate", "aggravated", "harms"];
/// Verbs that say up or down; they count only where the name of the outcome follows.
const UP: [&str; 6] = ["raises", "raise", "raised", "increases", "increase", "increased"];
const DOWN: [&str; 12] =
    ["lowers", "lower", "lowered", "reduces", "reduce", "reduced", "decreases", "decrease", "decreased", "lessens", "lessen", "lessened"];
/// Words that may stand between such a verb and the name.
const BETWEEN: [&str; 7] = ["the", "this", "their", "his", "her", "a", "your"];

/// Direction and the verb of a sentence; `None` if it names none, denies it or only asks.
pub(super) fn leans(sentence: &str, outcome: &Outcome) -> Option<(Direction, Range<usize>)> {
    let found = words(sentence);
    if found.iter().any(|w| w.is_any(&["whether", "if", "uncertain", "unclear", "unknown"])) || sentence.trim_end().ends_with('?') {
        return None;
    }
    found.iter().enumerate().find_map(|(i, word)| {
        let direction = if word.is_any(&BETTER) {
            Direction::Better
        } else if word.is_any(&WORSE) {
            Direction::Worse
        } else if word.is_any(&UP) && names(&found[i + 1..], outcome) {
            towards(outcome, Better::Higher)?
        } else if word.is_any(&DOWN) && names(&found[i + 1..], outcome) {
            towards(outcome, Better::Lower)?
        } else {
            return None;
        };
        (!taken_back(&found[..i], word, sentence)).then(|| (direction, word.range.clone()))
    })
}

fn towards(outcome: &Outcome, way: Better) -> Option<Direction> {
    Some(if outcome.better? == way { Direction::Better } else { Direction::Worse })
}

/// True if the words begin with a name of the outcome, an article aside.
fn names(after: &[Word<'_>], outcome: &Outcome) -> bool {
    let skip = usize::from(after.first().is_some_and(|w| w.is_any(&BETWEEN)));
    let after = after.get(skip..).unwrap_or_default();
    named::names(outcome).any(|name| named::begins(after, name).is_some())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::docs::Head;
    use crate::model::{Idx, ids};
    use crate::source::{FileId, Span, Spanned};

    fn outcome() -> Outcome {
        let text = |t: &str| Spanned::new(Box::from(t), Span::new(FileId(0), 0, 0));
        let head = Head {
            id: text("x"),
            file: FileId(0),
            pack: ids::Idx::<crate::model::docs::Pack>::new(0),
            status: None,
            since: None,
            because: None,
            successor: None,
            author: None,
            review_by: None,
            at: Span::new(FileId(0), 0, 0),
            content: crate::model::content::Content::default(),
            origin: crate::model::docs::Origin::Own,
        };
        let _: Idx<Outcome> = Idx::new(0);
        Outcome {
            head,
            name: text("pressure pain threshold"),
            other_names: vec![text("threshold")],
            better: Some(Better::Higher),
            about: text("x"),
        }
    }

    #[test]
    fn verbs_are_read_with_what_they_act_on() {
        for (sentence, wanted) in [
            ("Pressure may raise the pressure pain threshold.", Some((Direction::Better, "raise"))),
            ("Pressure lowers the threshold.", Some((Direction::Worse, "lowers"))),
            ("Pressure may lower tenderness.", None),
            ("Heat improves sleep.", Some((Direction::Better, "improves"))),
            ("Heat does not improve sleep.", None),
            ("We do not know whether it eases pain.", None),
            ("It may aggravate pain.", Some((Direction::Worse, "aggravate"))),
        ] {
            let found = leans(sentence, &outcome()).map(|(d, at)| (d, &sentence[at]));
            assert_eq!(found, wanted, "{sentence}");
        }
    }
}
