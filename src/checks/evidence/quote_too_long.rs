//! A quotation that is longer than the pack and the licence of its source allow.

use crate::checks::prose::{Block, Prose};
use crate::checks::text::words;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Source;
use crate::model::{Kind, Wording};
use std::ops::Range;

/// The check.
pub static CHECK: Check = Check {
    name: "quote-too-long",
    summary: "a quotation is longer than the pack and the licence of its source allow",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("quote_too_long.md"),
};

/// Most words where the pack names no number. Common practice, no source; the law knows no such number.
const USUAL: i64 = 50;
/// Opening and closing marks.
const MARKS: [(char, char); 5] = [('“', '”'), ('„', '“'), ('«', '»'), ('»', '«'), ('"', '"')];
/// Beginnings of SPDX names of licences under which a text may be copied word by word.
const OPEN: [&str; 7] = ["CC-BY", "CC0", "LicenseRef-public-domain", "MIT", "OGL", "Apache-2.0", "BSD"];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for wording in case.catalog.wordings.iter().filter(|w| &*w.key != "title") {
        let Some(head) = case.catalog.head(wording.doc) else { continue };
        let pack = case.pack(head);
        let most = pack.quote_words.as_ref().map_or(USUAL, |n| n.value);
        let prose = Prose::of(wording);
        for (part, blocks) in quotes(&prose) {
            let count = i64::try_from(words(&prose.text[part.clone()]).len()).unwrap_or(i64::MAX);
            let source = quoted_source(case, wording, &prose.blocks, &blocks);
            if count <= most || source.is_some_and(is_open) {
                continue;
            }
            let whose = source.map_or_else(|| "no source is named beside it".into(), licence_of);
            let finding =
                sink.report(prose.span(part), "quoted", format!("a quotation of {count} words; the pack allows {most}, and {whose}"));
            if let Some(set) = &pack.quote_words {
                finding.also(set.span, "the limit of this pack");
            }
            finding.help("say it in your own words and link the source, or quote only the sentence that counts");
            if source.is_some_and(|s| s.licence.is_none()) {
                finding.note("If its licence lets texts be copied, write it as `licence` of the source, by its SPDX name.");
            }
        }
    }
}

fn licence_of(source: &Source) -> String {
    let id = &source.head.id.value;
    source.licence.as_ref().map_or_else(|| format!("`{id}` names no licence"), |l| format!("`{id}` is under {}", l.value))
}

fn is_open(source: &Source) -> bool {
    source.licence.as_ref().is_some_and(|l| OPEN.iter().any(|open| l.value.starts_with(open)))
}

/// Quotations with the numbers of their blocks: block quotes, and what stands between quotation marks.
fn quotes(prose: &Prose<'_>) -> Vec<(Range<usize>, Range<usize>)> {
    let mut out: Vec<(Range<usize>, Range<usize>)> = Vec::new();
    for (i, block) in prose.blocks.iter().enumerate() {
        if block.quoted {
            match out.last_mut().filter(|(part, blocks)| {
                blocks.end == i
                    && prose.blocks.get(blocks.start).is_some_and(|b| b.quoted)
                    && part.start == prose.blocks[blocks.start].range.start
            }) {
                Some((part, blocks)) => (part.end, blocks.end) = (block.range.end, i + 1),
                None => out.push((block.range.clone(), i..i + 1)),
            }
        } else {
            let text = &prose.text[block.range.clone()];
            out.extend(marked(text).into_iter().map(|r| (block.range.start + r.start..block.range.start + r.end, i..i + 1)));
        }
    }
    out
}

/// Parts between quotation marks.
fn marked(text: &str) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    let mut from = 0;
    while let Some((open, close, i)) =
        text[from..].char_indices().find_map(|(i, c)| MARKS.iter().find(|m| m.0 == c).map(|m| (m.0, m.1, from + i)))
    {
        let start = i + open.len_utf8();
        let Some(end) = text[start..].find(close).map(|e| start + e) else {
            from = start;
            continue;
        };
        out.push(start..end);
        from = end + close.len_utf8();
    }
    out
}

/// The source that is linked in the quotation, beside it or in the next block; a source quotes itself.
fn quoted_source<'a>(case: &'a Case<'_>, wording: &Wording, blocks: &[Block], quote: &Range<usize>) -> Option<&'a Source> {
    if wording.doc.kind == Kind::Source {
        return case.catalog.sources.rows().get(wording.doc.row as usize);
    }
    let near = blocks.iter().skip(quote.start).take(quote.len() + 1);
    let id = near.flat_map(|b| &b.links).find_map(|(_, url)| url.strip_prefix("source:"))?;
    let doc = case.catalog.find(Kind::Source, id)?;
    case.catalog.sources.rows().get(doc.row as usize)
}

#[cfg(test)]
mod tests {
    use super::marked;

    #[test]
    fn parts_between_marks_are_found_in_each_language() {
        for (text, wanted) in [
            ("He said “one two” and \"three\".", vec!["one two", "three"]),
            ("„eins“ und »zwei« et « trois »", vec!["eins", "zwei", " trois "]),
            ("a 5\" disc and no end", vec![]),
            ("it isn't “open", vec![]),
        ] {
            let found: Vec<&str> = marked(text).into_iter().map(|r| &text[r]).collect();
            assert_eq!(found, wanted, "{text}");
        }
    }
}
