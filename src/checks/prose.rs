//! What a reader sees of a text: Markdown without its marks, with the way back to the bytes in the file.
//!
//! Words of a check are looked for in what is seen, since `**re**lief` reads as one word and the address of
//! a link is not read at all. Code is seen like any other text.

use crate::checks::text::sentences;
use crate::model::Wording;
use crate::source::Span;
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
use std::borrow::Cow;
use std::ops::Range;

/// A text as it is seen.
pub struct Prose<'a> {
    wording: &'a Wording,
    /// What is seen; blocks are parted by an empty line.
    pub text: Cow<'a, str>,
    /// Blocks in order. Text that is no Markdown is one block.
    pub blocks: Vec<Block>,
    pieces: Vec<Piece>,
}

/// A paragraph, heading, list item, table cell or piece of code.
#[derive(Clone, Debug)]
pub struct Block {
    /// Its bytes in the seen text.
    pub range: Range<usize>,
    /// What it is.
    pub shape: Shape,
    /// True inside a block quote.
    pub quoted: bool,
    /// Links in it: what is seen of them, and their address.
    pub links: Vec<(Range<usize>, String)>,
}

/// What a block is.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Shape {
    /// Running text.
    Paragraph,
    /// A heading of this depth.
    Heading(u8),
    /// Code between fences or indented.
    Code,
}

/// A run of seen bytes. `same` if the source has the very bytes; a folded sign (`&amp;`) has not.
struct Piece {
    seen: Range<usize>,
    source: Range<usize>,
    same: bool,
}

impl<'a> Prose<'a> {
    /// Reads a text.
    pub fn of(wording: &'a Wording) -> Self {
        let text: &str = &wording.text.value;
        if wording.markdown {
            return Reader::default().read(wording);
        }
        let block = Block { range: 0..text.len(), shape: Shape::Paragraph, quoted: false, links: Vec::new() };
        let piece = Piece { seen: 0..text.len(), source: 0..text.len(), same: true };
        Self { wording, text: Cow::Borrowed(text), blocks: vec![block], pieces: vec![piece] }
    }

    /// Place in the file of a part of what is seen.
    pub fn span(&self, part: Range<usize>) -> Span {
        self.wording.span_of(self.source(part))
    }

    /// A part of what is seen, for messages: on one line.
    pub fn said(&self, part: Range<usize>) -> String {
        self.text.get(part).unwrap_or_default().split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// Sentences of running text and headings, with their block.
    pub fn sentences(&self) -> impl Iterator<Item = (Range<usize>, &Block)> {
        self.blocks.iter().filter(|b| b.shape != Shape::Code).flat_map(|block| {
            let start = block.range.start;
            let own = self.text.get(block.range.clone()).unwrap_or("");
            sentences(own).into_iter().map(move |r| (start + r.start..start + r.end, block))
        })
    }

    /// Bytes of the text as written.
    fn source(&self, part: Range<usize>) -> Range<usize> {
        let first = self.pieces.iter().find(|p| p.seen.end > part.start);
        let last = self.pieces.iter().rev().find(|p| p.seen.start < part.end);
        let start = first.map_or(0, |p| p.source.start + if p.same { part.start.saturating_sub(p.seen.start) } else { 0 });
        let end = last.map_or(0, |p| if p.same { p.source.start + part.end.min(p.seen.end) - p.seen.start } else { p.source.end });
        start..end.max(start)
    }
}

#[derive(Default)]
struct Reader {
    text: String,
    blocks: Vec<Block>,
    pieces: Vec<Piece>,
    open: bool,
    shape: Option<Shape>,
    quotes: usize,
    links: Vec<(usize, String)>,
}

impl Reader {
    fn read(mut self, wording: &Wording) -> Prose<'_> {
        let source: &str = &wording.text.value;
        let options = Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH;
        for (event, range) in Parser::new_ext(source, options).into_offset_iter() {
            match event {
                Event::Text(text) => self.push(source, &text, range),
                Event::Code(text) => {
                    let inner = source.get(range.clone()).and_then(|s| s.find(&*text)).map(|i| range.start + i);
                    self.push(source, &text, inner.map_or(range, |start| start..start + text.len()));
                }
                Event::SoftBreak | Event::HardBreak => self.push(source, "\n", range),
                Event::Start(Tag::Emphasis | Tag::Strong | Tag::Strikethrough | Tag::Image { .. })
                | Event::End(TagEnd::Emphasis | TagEnd::Strong | TagEnd::Strikethrough | TagEnd::Image) => {}
                Event::Start(Tag::Link { dest_url, .. }) => self.links.push((self.text.len(), dest_url.to_string())),
                Event::End(TagEnd::Link) => self.close_link(),
                Event::Start(tag) => self.start(&tag),
                Event::End(tag) => self.end(tag),
                _ => {}
            }
        }
        Prose { wording, text: Cow::Owned(self.text), blocks: self.blocks, pieces: self.pieces }
    }

    fn start(&mut self, tag: &Tag<'_>) {
        self.open = false;
        match tag {
            Tag::Heading { level, .. } => self.shape = Some(Shape::Heading(*level as u8)),
            Tag::CodeBlock(_) => self.shape = Some(Shape::Code),
            Tag::BlockQuote(_) => self.quotes += 1,
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        self.open = false;
        match tag {
            TagEnd::Heading(_) | TagEnd::CodeBlock => self.shape = None,
            TagEnd::BlockQuote(_) => self.quotes = self.quotes.saturating_sub(1),
            _ => {}
        }
    }

    fn push(&mut self, source: &str, text: &str, range: Range<usize>) {
        if !self.open {
            if !self.text.is_empty() {
                self.text.push_str("\n\n");
            }
            let shape = self.shape.unwrap_or(Shape::Paragraph);
            let start = self.text.len();
            self.blocks.push(Block { range: start..start, shape, quoted: self.quotes > 0, links: Vec::new() });
            // A link that opens a block was met before the block.
            self.links.iter_mut().for_each(|l| l.0 = l.0.max(start));
            self.open = true;
        }
        let start = self.text.len();
        self.text.push_str(text);
        let same = source.get(range.clone()) == Some(text);
        self.pieces.push(Piece { seen: start..self.text.len(), source: range, same });
        if let Some(block) = self.blocks.last_mut() {
            block.range.end = self.text.len();
        }
    }

    fn close_link(&mut self) {
        let (Some((start, url)), Some(block)) = (self.links.pop(), self.blocks.last_mut()) else { return };
        block.links.push((start.min(self.text.len())..self.text.len(), url));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{DocRef, Kind};
    use crate::source::{FileId, Spanned};

    fn page(text: &str) -> Wording {
        let span = Span::new(FileId(0), 0, text.len());
        let doc = DocRef { kind: Kind::Page, row: 0 };
        Wording { doc, key: "page".into(), text: Spanned::new(text.into(), span), raw: None, markdown: true }
    }

    fn under(text: &str, seen: &str) -> String {
        let wording = page(text);
        let prose = Prose::of(&wording);
        let start = prose.text.find(seen).unwrap_or_else(|| panic!("{seen:?} is not in {:?}", prose.text));
        text[prose.span(start..start + seen.len()).range()].to_string()
    }

    #[test]
    fn marks_do_not_hide_words_or_move_their_places() {
        for (text, seen, wanted) in [
            ("It **cu**res.", "cures", "cu**res"),
            ("a *permanent* **relief**", "permanent relief", "permanent* **relief"),
            ("see [the cure](page:cure-all) here", "the cure here", "the cure](page:cure-all) here"),
            ("- one\n- hold `60 s` now", "60 s", "60 s"),
            ("> quoted\n> words", "quoted\nwords", "quoted\n> words"),
            ("2 \\* 3 is 6", "* 3", "* 3"),
            ("soft &amp; slow", "soft & slow", "soft &amp; slow"),
            ("## Über *die* Straße", "die Straße", "die* Straße"),
            ("| a | b |\n|---|---|\n| hold | 30 s |", "30 s", "30 s"),
        ] {
            assert_eq!(under(text, seen), wanted, "{text}");
        }
    }

    #[test]
    fn blocks_know_their_shape_and_links() {
        let wording = page("# Head\n\nOne [two](muscle:soleus). Three.\n\n> said\n\n```\ncode\n```\n\n- [item](page:a)\n");
        let prose = Prose::of(&wording);
        let shown: Vec<_> = prose.blocks.iter().map(|b| (&prose.text[b.range.clone()], b.shape, b.quoted)).collect();
        let paragraph = Shape::Paragraph;
        assert_eq!(
            shown,
            [
                ("Head", Shape::Heading(1), false),
                ("One two. Three.", paragraph, false),
                ("said", paragraph, true),
                ("code\n", Shape::Code, false),
                ("item", paragraph, false)
            ]
        );
        let links: Vec<_> = prose.blocks.iter().flat_map(|b| &b.links).map(|(r, url)| (&prose.text[r.clone()], &**url)).collect();
        assert_eq!(links, [("two", "muscle:soleus"), ("item", "page:a")]);
        let sentences: Vec<_> = prose.sentences().map(|(r, _)| &prose.text[r]).collect();
        assert_eq!(sentences, ["Head", "One two.", "Three.", "said", "item"]);
    }

    proptest::proptest! {
        #[test]
        fn every_part_lies_in_the_text_and_holds_its_ends(
            text in "([a-zäß’*_`>#\\[\\]()&;:.| -]|\\n|\\*\\*|&amp;|\\\\\\*|cure|60 s|\\]\\(page:a\\)){0,40}",
            from in 0_usize..60,
            len in 1_usize..20,
        ) {
            let wording = page(&text);
            let prose = Prose::of(&wording);
            let cuts: Vec<usize> = prose.text.char_indices().map(|(i, _)| i).chain([prose.text.len()]).collect();
            let (Some(start), Some(end)) = (cuts.get(from), cuts.get(from + len)) else { return Ok(()) };
            let seen = &prose.text[*start..*end];
            let under = text.get(prose.span(*start..*end).range());
            proptest::prop_assert!(under.is_some(), "{text:?} {seen:?}");
            // Every seen letter stands under the span, in order.
            let mut letters = under.unwrap_or("").chars();
            for c in seen.chars().filter(|c| c.is_alphanumeric()) {
                proptest::prop_assert!(letters.any(|l| l == c), "{text:?} {seen:?} {under:?}");
            }
        }
    }
}
