//! Items of a restricted scale in a text.
//!
//! The shape is recognised, not the words: to compare with the owner's words the tool would have to
//! carry them.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Measure;
use crate::model::vocabulary::LicenceTerms;
use crate::model::{DocRef, Idx, Kind, Wording};
use crate::plan::site::doc;
use std::ops::Range;

/// The check.
pub static CHECK: Check = Check {
    name: "licensed-scale-reproduced",
    summary: "a text looks like the items of a scale that may not be reprinted",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("licensed_scale_reproduced.md"),
};

/// So many items in a row look like a form. House figure, no source.
const ITEMS: usize = 3;
/// Fewer words are no item.
const WORDS: usize = 3;
/// How an answer of a form about oneself begins.
const FIRST_PERSON: [&str; 6] = ["I ", "I'", "I’", "My ", "Because of", "It is "];

fn run(case: &Case<'_>, sink: &mut Sink) {
    let restricted = |m: &Measure| m.licence_terms.as_ref().is_some_and(|l| l.value == LicenceTerms::Restricted);
    for (idx, measure) in case.catalog.measures.iter().filter(|(_, m)| restricted(m)) {
        for wording in case.catalog.wordings.iter().filter(|w| w.doc.kind != Kind::Source) {
            let own = wording.doc == doc(Kind::Measure, idx);
            // Few texts have the shape, and whether a document speaks of the measure takes all its texts to find out.
            let Some(at) = form(&wording.text.value, own) else { continue };
            if own || speaks_of(case, wording.doc, idx, measure) {
                report(case, measure, wording, at, sink);
            }
        }
    }
}

/// True if a document links to the measure, measures with it or names it.
fn speaks_of(case: &Case<'_>, from: DocRef, idx: Idx<Measure>, measure: &Measure) -> bool {
    let linked = case.catalog.references_to(doc(Kind::Measure, idx)).iter().any(|b| b.from == from);
    let names = std::iter::once(&measure.name).chain(&measure.other_names);
    let names: Vec<&str> = names.map(|n| &*n.value).filter(|n| n.len() > 2).collect();
    linked || case.catalog.wordings.iter().filter(|w| w.doc == from).any(|w| names.iter().any(|n| has_name(&w.text.value, n)))
}

/// A name as whole words; capitals count only where the name is all capitals.
fn has_name(text: &str, name: &str) -> bool {
    let (text, name) =
        if name.chars().all(char::is_uppercase) { (text.into(), name.into()) } else { (text.to_lowercase(), name.to_lowercase()) };
    let edge = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
    text.match_indices(&name).any(|(i, _)| edge(text[..i].chars().next_back()) && edge(text[i + name.len()..].chars().next()))
}

/// Bytes of a run of items. In the document of the measure a numbered run is enough; elsewhere the
/// items must also read like questions or answers about oneself.
fn form(text: &str, own: bool) -> Option<Range<usize>> {
    let items = items(text);
    let full = |r: &Range<usize>| text.get(r.clone()).is_some_and(|t| t.split_whitespace().count() >= WORDS);
    let asks = |r: &Range<usize>| {
        let item = text.get(r.clone()).unwrap_or_default().trim();
        item.ends_with('?') || FIRST_PERSON.iter().any(|f| item.starts_with(f))
    };
    let mut run: Vec<&Item> = Vec::new();
    for item in &items {
        let follows =
            run.last().is_some_and(|last| item.number.is_none() == last.number.is_none() && item.number == last.number.map(|n| n + 1));
        let bullets = run.last().is_some_and(|last| item.number.is_none() && last.number.is_none());
        if !(follows || bullets) {
            run.clear();
        }
        let counts = full(&item.text) && (asks(&item.text) || item.graded || (own && item.number.is_some()));
        if counts {
            run.push(item);
        } else {
            run.clear();
        }
        if run.len() == ITEMS {
            return Some(run.first()?.at..item.text.end);
        }
    }
    None
}

/// One entry of a list, in lines or in running text.
struct Item {
    /// Where its number or dash stands.
    at: usize,
    /// Its number.
    number: Option<u32>,
    /// True for `0 = …`, the form of a graded answer.
    graded: bool,
    /// Its text.
    text: Range<usize>,
}

fn items(text: &str) -> Vec<Item> {
    let mut starts: Vec<(usize, Option<u32>, bool, usize)> = Vec::new();
    let mut fresh = true;
    let mut line = true;
    for (i, c) in text.char_indices() {
        if fresh && c.is_ascii_digit() {
            let rest = &text[i..];
            let digits = rest.len() - rest.trim_start_matches(|c: char| c.is_ascii_digit()).len();
            let mark = rest[digits..].trim_start_matches(' ');
            let skipped = rest.len() - mark.len();
            let dot = mark.starts_with(['.', ')']) && skipped == digits;
            let graded = mark.starts_with(['=', ':']);
            if digits <= 2 && (dot || graded) && mark[1..].starts_with([' ', '\n']) {
                starts.push((i, rest[..digits].parse().ok(), graded, i + skipped + 1));
            }
        } else if line && matches!(c, '-' | '*') && text[i + 1..].starts_with(' ') {
            starts.push((i, None, false, i + 1));
        }
        line = c == '\n' || (line && c == ' ');
        fresh = c.is_whitespace() || matches!(c, '(' | ';');
    }
    let ends = starts.iter().skip(1).map(|s| s.0).chain([text.len()]).collect::<Vec<_>>();
    // An item ends with its paragraph at the latest.
    let end = |from: usize, to: usize| text[from..to].find("\n\n").map_or(to, |p| from + p);
    let trimmed = |from: usize, to: usize| from..from + text[from..to].trim_end().len();
    starts
        .into_iter()
        .zip(ends)
        .map(|((at, number, graded, from), to)| Item { at, number, graded, text: trimmed(from, end(from, to)) })
        .collect()
}

fn report(case: &Case<'_>, measure: &Measure, wording: &Wording, at: Range<usize>, sink: &mut Sink) {
    let (name, whose) = (&measure.name.value, case.catalog.title(wording.doc));
    let place = if wording.markdown { wording.span_of(at) } else { case.place(&wording.text, at) };
    let terms = measure.licence_terms.as_ref().map_or(measure.licence.span, |l| l.span);
    sink.report(place, "looks like items of the scale", format!("{whose} seems to reprint items of `{name}`, which is restricted"))
        .also(terms, "items may not be reprinted")
        .note("The shape is recognised, not the words: the tool does not know the owner's text.")
        .help("take the items out; name the scale, its owner and where to get the form");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_items_in_a_row_look_like_a_form() {
        let own = "1. Standing on one leg hurts. 2. Walking to the gate hurts. 3. Lifting the kettle hurts.";
        for (text, own, found) in [
            (own, true, true),
            (own, false, false),
            ("1. Can you lift a kettle?\n2. Can you sit for an hour?\n3. Can you sleep all night?", false, true),
            ("- I can lift a full kettle\n- I can lift half a kettle\n- I cannot lift a kettle\n", false, true),
            ("0 = no trouble at all; 1 = a little trouble; 2 = a lot of trouble", false, true),
            ("0 % no limitation, 100 % the greatest limitation on the form.", true, false),
            ("- Lift the kettle slowly.\n- Put it down again.\n- Rest a while now.\n", false, false),
            ("Use 1 reading. Then 2 readings. See section 3.1 of it.", true, false),
            ("1. Ask first\n\nText between.\n\n1. Ask again", true, false),
        ] {
            assert_eq!(form(text, own).is_some(), found, "{text}");
        }
    }

    #[test]
    fn a_scale_is_named_by_whole_words() {
        assert!(has_name("Fill in the NDI first.", "NDI"));
        assert!(!has_name("Candida", "NDI") && !has_name("the ndi", "NDI"));
        assert!(has_name("The neck disability index asks", "Neck disability index"));
    }

    proptest::proptest! {
        #[test]
        fn a_form_lies_in_the_text(text in "([0-9]{1,3}|[.)=:]| |\\n|- |é|I can do it|\\?){0,30}") {
            for own in [true, false] {
                if let Some(r) = form(&text, own) {
                    proptest::prop_assert!(text.get(r).is_some());
                }
            }
        }
    }
}
