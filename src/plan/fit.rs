//! How high text will be on paper, and how items are dealt out to faces.
//!
//! A conservative estimate without a typesetter: letters are as wide as in the common sans-serif
//! faces that the style sheet names for cards, plus a reserve, so that a face that fits here fits on
//! paper; the tests of `pdf` hold it against what the typesetter measures. The sizes are those of the
//! style sheet; both must change together.

use super::paper::Paper;
use super::view::card::{Face, Item, Piece, Section};
use super::{widths, words};
use serde::Serialize;

/// Reserve on the width and on the height of a box, in mm.
const BESIDE: f64 = 1.0;
const ABOVE: f64 = 2.0;
/// One point in mm.
const PT: f64 = 0.352_778;
/// Column of step and point numbers in mm.
const NUMBER: f64 = 11.0;
/// Heading of a section with the space around it.
const HEADING: f64 = 7.4;
/// Space after an item.
const AFTER: f64 = 1.0;
/// Width that the list of stop-signs loses to its edge.
const EDGE: f64 = 3.6;
/// Side of the square code in the foot of the first face in mm.
const SQUARE: f64 = 20.0;
/// Reserve on every width.
const RESERVE: f64 = 1.015;

/// A size of type: points of the letters and of the line.
#[derive(Clone, Copy, Serialize)]
pub struct Type {
    size: f64,
    line: f64,
    bold: bool,
}

/// Sizes by what they are for.
#[derive(Clone, Copy, Serialize)]
pub struct Sizes {
    text: Type,
    lead: Type,
    title: Type,
    heading: Type,
    stop: Type,
    review: Type,
    foot: Type,
}

/// Sizes of a face, for whoever sets it.
pub const SIZES: Sizes = Sizes { text: TEXT, lead: LEAD, title: TITLE, heading: LEAD, stop: STOP, review: REVIEW, foot: FOOT };

// What is read from the hand has 11 points, numerals and stop lines have 18, which are read from 70 cm (capitals of
// 22 minutes of arc; ISO 9241-303 gives 20 to 22, entered from memory). The foot names the card and is no instruction.
const TEXT: Type = Type { size: 11.0, line: 12.8, bold: false };
const STRONG: Type = Type { size: 11.0, line: 12.8, bold: true };
const LEAD: Type = Type { size: 12.0, line: 14.0, bold: true };
const TITLE: Type = Type { size: 12.0, line: 14.0, bold: true };
const STOP: Type = Type { size: 18.0, line: 20.5, bold: true };
const REVIEW: Type = Type { size: 16.0, line: 18.0, bold: true };
const FOOT: Type = Type { size: 8.5, line: 10.0, bold: false };
const FOOT_STRONG: Type = Type { bold: true, ..FOOT };

/// Usable room of a face in mm.
#[derive(Clone, Copy)]
struct Room {
    width: f64,
    height: f64,
}

impl Room {
    fn on(paper: Paper) -> Self {
        Self { width: paper.box_width - BESIDE, height: paper.box_height - ABOVE }
    }
}

/// A class of text on a card: what it is, where the stylesheet sets it, its size and the least it may have.
#[derive(Debug, Clone, Copy)]
pub struct TextClass {
    /// What it is, for people.
    pub what: &'static str,
    /// Selector of its rule in the stylesheet.
    pub selector: &'static str,
    /// Points.
    pub points: f64,
    /// The least points.
    pub least: f64,
}

/// Every class of text on a card. Least sizes: 18 pt for what is read from 70 cm, 11 pt for what is read in the
/// hand, 8 pt for what only names the card (the last is common practice, no source).
pub const CLASSES: [TextClass; 8] = [
    TextClass { what: "Doses", selector: ".item-dose .value", points: STOP.size, least: 18.0 },
    TextClass { what: "Stop lines", selector: ".item-stop", points: STOP.size, least: 18.0 },
    TextClass { what: "Numbers of steps", selector: ".item-number", points: STOP.size, least: 18.0 },
    TextClass { what: "Review day", selector: ".face-review", points: REVIEW.size, least: 14.0 },
    TextClass { what: "Actions and landmarks", selector: ".item-lead", points: LEAD.size, least: 11.0 },
    TextClass { what: "Bars", selector: ".face-part > h3", points: LEAD.size, least: 11.0 },
    TextClass { what: "Text", selector: ".face", points: TEXT.size, least: 11.0 },
    TextClass { what: "Foot", selector: ".face-foot", points: FOOT.size, least: 8.0 },
];

/// An item and how it is placed.
#[derive(Debug, Clone)]
pub struct Block {
    /// Heading it stands under.
    pub heading: &'static str,
    /// Style class of the section.
    pub class: &'static str,
    /// True if it must not be the last on a face.
    pub keep_next: bool,
    /// The item.
    pub item: Item,
}

fn width(text: &str, kind: Type) -> f64 {
    let em: f64 = text.chars().map(|c| f64::from(widths::of(c, kind.bold))).sum::<f64>() / 1000.0;
    em * kind.size * PT * RESERVE
}

/// Lines that a text takes in a column.
fn lines(text: &str, kind: Type, column: f64) -> f64 {
    1.0 + wrap(text, kind, column, 0.0).0
}

/// Line breaks in a text that starts at `start`, and where it ends. Words are kept whole where they fit.
fn wrap(text: &str, kind: Type, column: f64, start: f64) -> (f64, f64) {
    let space = width(" ", kind);
    let (mut breaks, mut at) = (0.0, start);
    for word in text.split(' ').filter(|w| !w.is_empty()) {
        let wide = width(word, kind);
        if at > 0.0 && at + space + wide > column {
            breaks += 1.0;
            at = 0.0;
        }
        at += if at > 0.0 { space + wide } else { wide };
        while at > column {
            breaks += 1.0;
            at -= column;
        }
    }
    (breaks, at)
}

fn text_height(text: &str, kind: Type, column: f64) -> f64 {
    if text.is_empty() { 0.0 } else { lines(text, kind, column) * kind.line * PT }
}

/// Height of a paragraph; a label is as wide as bold text and ends with a colon.
fn paragraph_height(pieces: &[Piece], column: f64) -> f64 {
    height_in(pieces, column, STRONG, TEXT)
}

fn height_in(pieces: &[Piece], column: f64, strong: Type, plain: Type) -> f64 {
    let mut rows = 1.0;
    let mut at = 0.0;
    for piece in pieces {
        if piece.mark.is_some() {
            at += plain.size * PT + width(" ", plain);
        }
        let label = if piece.label.is_empty() { String::new() } else { format!("{}: ", piece.label) };
        for (text, kind) in [(label.as_str(), strong), (piece.text.as_str(), plain)] {
            let (more, end) = wrap(text, kind, column, at);
            rows += more;
            at = end;
        }
        at += width("  ", plain);
    }
    rows * plain.line * PT
}

/// Height of a row of dose values, each kept together where it fits.
fn dose_height(item: &Item, column: f64) -> f64 {
    if item.dose.is_empty() {
        return 0.0;
    }
    let (mut rows, mut at) = (1.0, 0.0);
    for d in &item.dose {
        let other = d.other.as_ref().map_or(0.0, |o| width(o, TEXT) + 2.0);
        let wide = width(&d.value, STOP) + 1.2 + width(&d.label, TEXT) + other + 4.5;
        if at > 0.0 && at + wide > column {
            rows += 1.0;
            at = 0.0;
        }
        at += wide;
        while at > column {
            rows += 1.0;
            at -= column;
        }
    }
    rows * STOP.line * PT
}

/// Height of an item with the space after it.
fn item_height(item: &Item, room: Room) -> f64 {
    let column = if item.number.is_some() { room.width - NUMBER } else { room.width - EDGE };
    let stop = item.stop.as_ref().map_or(0.0, |s| text_height(&s.text, STOP, room.width - EDGE - 8.0) + 0.6);
    let lead = item.lead.as_ref().map_or(0.0, |t| text_height(t, LEAD, column));
    let body: f64 = item.lines.iter().map(|l| paragraph_height(l, column)).sum();
    let content = stop + dose_height(item, column) + lead + body;
    let least = if item.number.is_some() { 8.2 } else { 0.0 };
    content.max(least) + AFTER
}

/// Room for content on a face with this identity.
fn room_on(face: &Face, room: Room) -> f64 {
    let beside = room.width - width(&face.review_by, REVIEW) - 3.0;
    let subject = text_height(&face.subject, TEXT, beside).max(REVIEW.line * PT);
    let state = text_height(face.state.word, TEXT, room.width - width("page 10 of 10", STRONG) - 8.0);
    let header = text_height(&face.title, TITLE, room.width) + subject + state + 2.0;
    let banner = face.demonstration.as_ref().map_or(0.0, |d| text_height(d, STRONG, room.width - 3.3) + 2.8);
    let label = format!("Check code {}. {}", face.code, face.edition);
    let foot = Piece { label, text: format!("{} {}", face.notice, face.use_note), ..Piece::default() };
    let foot = match face.square {
        Some(_) => height_in(&[foot], room.width - SQUARE - 2.0, FOOT_STRONG, FOOT).max(SQUARE),
        None => height_in(&[foot], room.width, FOOT_STRONG, FOOT),
    };
    room.height - header - banner - foot - 1.4
}

/// What the estimate leaves free on a face, in mm.
pub fn spare(face: &Face, paper: Paper) -> f64 {
    let on = Room::on(paper);
    let items = face.sections.iter().flat_map(|s| &s.items).map(|i| item_height(i, on)).sum::<f64>();
    let headings = face.sections.iter().map(|_| HEADING).sum::<f64>();
    room_on(face, on) - headings - items
}

/// A face after the first: what the notice and the banner say at length stands on page 1.
fn further(first: &Face) -> Face {
    Face {
        notice: words::NOTICE_ON_PAGE_ONE.into(),
        demonstration: first.demonstration.as_ref().map(|_| words::DEMONSTRATION_IN_SHORT.into()),
        use_note: "",
        square: None,
        ..first.clone()
    }
}

/// A block in whose lines a dot stands before each label that follows a text, so that the numbers of two rules are
/// not read as those of one.
fn apart(mut block: Block) -> Block {
    for line in &mut block.item.lines {
        for i in 1..line.len() {
            let labelled = line.get(i).is_some_and(|p| !p.label.is_empty());
            let Some(before) = line.get_mut(i - 1).filter(|_| labelled) else { continue };
            if !before.text.ends_with(['.', '?', '!', ':']) && !before.text.is_empty() {
                before.text.push_str(" ·");
            }
        }
    }
    block
}

/// Deals blocks out to faces. An item is never cut; a block that keeps with the next moves on with it.
pub fn deal(blocks: Vec<Block>, blank: &Face, paper: Paper) -> Vec<Face> {
    let on = Room::on(paper);
    let further = further(blank);
    let mut room = room_on(blank, on);
    let mut faces: Vec<Face> = Vec::new();
    let (mut face, mut used) = (blank.clone(), 0.0);
    let mut last_heading = "";
    let mut blocks = blocks.into_iter().map(apart);
    while let Some(first) = blocks.next() {
        let mut group = vec![first];
        // What announces others moves on with the first of them.
        while group.last().is_some_and(|b| b.keep_next) {
            let Some(next) = blocks.next() else { break };
            group.push(next);
        }
        let height: f64 = group.iter().map(|b| item_height(&b.item, on)).sum();
        let start = group.first().map(|b| (b.heading, b.class));
        let Some((heading, class)) = start else { continue };
        let new_section = |face: &Face| face.sections.last().is_none_or(|s| s.heading != heading);
        let needed = height + if new_section(&face) { HEADING } else { 0.0 };
        if !face.sections.is_empty() && used + needed > room {
            faces.push(std::mem::replace(&mut face, further.clone()));
            room = room_on(&further, on);
            used = 0.0;
        }
        if new_section(&face) {
            used += HEADING;
            face.sections.push(Section { heading, class, continued: last_heading == heading, items: Vec::new() });
        }
        used += height;
        face.overfull |= used > room;
        last_heading = heading;
        if let Some(section) = face.sections.last_mut() {
            section.items.extend(group.into_iter().map(|b| b.item));
        }
    }
    faces.push(face);
    number(faces)
}

/// Longest number of a page, for the estimate.
const SOME_PAGE: &str = "00";

/// A piece that sends the reader to a bar, before it is known on which page that begins.
pub fn sends_to(bar: &'static str, what: &str) -> Piece {
    Piece { text: format!("{SOME_PAGE} {what}"), page_of: Some(bar), ..Piece::default() }
}

/// Names the pages on which bars begin.
fn send(faces: &mut [Face]) {
    let mut begins: Vec<(&'static str, usize)> = Vec::new();
    for face in faces.iter() {
        begins.extend(face.sections.iter().filter(|s| !s.continued).map(|s| (s.heading, face.page)));
    }
    for line in faces.iter_mut().flat_map(|f| &mut f.sections).flat_map(|s| &mut s.items).flat_map(|i| &mut i.lines) {
        line.retain_mut(|piece| {
            let Some(bar) = piece.page_of else { return true };
            let page = begins.iter().find(|(known, _)| *known == bar).map(|(_, page)| page.to_string());
            piece.text = page.as_ref().map(|p| piece.text.replacen(SOME_PAGE, p, 1)).unwrap_or_default();
            page.is_some()
        });
    }
}

fn number(mut faces: Vec<Face>) -> Vec<Face> {
    let pages = faces.len();
    for (i, face) in faces.iter_mut().enumerate() {
        face.page = i + 1;
        face.pages = pages;
        face.side = if i % 2 == 0 { "front" } else { "back" };
        face.id = format!("{}-{}", face.id, i + 1);
    }
    send(&mut faces);
    faces
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::paper::A5;
    use crate::plan::words;

    fn blank() -> Face {
        Face {
            id: "soleus".into(),
            title: "Soleus".into(),
            subject: "Soleus, either side".into(),
            edition: "A pack, edition 1.0.0".into(),
            state: words::state(crate::compute::currency::sign_off::State::Draft),
            review_by: "Review by 2027-01-01".into(),
            code: "2222-2222".into(),
            square: None,
            page: 0,
            pages: 0,
            side: "front",
            notice: "Notice of the pack.".into(),
            demonstration: None,
            use_note: words::USE_NOTE,
            sections: Vec::new(),
            overfull: false,
        }
    }

    fn block(heading: &'static str, words: usize, keep_next: bool) -> Block {
        let piece = Piece { text: "press here ".repeat(words), ..Piece::default() };
        Block { heading, class: "do", keep_next, item: Item { lines: vec![vec![piece]], ..Item::default() } }
    }

    #[test]
    fn every_item_lands_on_one_face_in_order() {
        let blocks: Vec<Block> = (0..40).map(|i| block(if i < 30 { "Stop" } else { "Do" }, 20, false)).collect();
        let faces = deal(blocks, &blank(), A5);
        let items: usize = faces.iter().flat_map(|f| &f.sections).map(|s| s.items.len()).sum();
        assert_eq!(items, 40);
        assert!(faces.len() > 1 && faces.iter().all(|f| !f.overfull && f.pages == faces.len()));
        assert!(faces[1].sections[0].continued);
    }

    #[test]
    fn a_line_that_announces_others_is_never_last() {
        for before in 0..30 {
            let mut blocks: Vec<Block> = (0..before).map(|_| block("Stop", 10, false)).collect();
            blocks.push(block("Stop", 1, true));
            blocks.push(block("Stop", 10, false));
            for face in deal(blocks, &blank(), A5) {
                let last = face.sections.last().and_then(|s| s.items.last()).unwrap();
                assert!(last.lines[0][0].text.len() > 20);
            }
        }
    }

    #[test]
    fn faces_are_front_and_back_in_turn_and_too_high_an_item_is_marked() {
        let faces = deal((0..40).map(|_| block("Do", 20, false)).collect(), &blank(), A5);
        assert_eq!(faces.iter().take(3).map(|f| f.side).collect::<Vec<_>>(), ["front", "back", "front"]);
        assert!(deal(vec![block("Do", 900, false)], &blank(), A5)[0].overfull);
    }

    #[test]
    fn words_wrap_and_long_words_break() {
        assert!((lines("short", TEXT, 122.0) - 1.0).abs() < 1e-9 && (paragraph_height(&[], 122.0) - TEXT.line * PT).abs() < 1e-9);
        assert!(lines(&"word ".repeat(60), TEXT, 122.0) >= 4.0);
        assert!(lines(&"x".repeat(200), TEXT, 122.0) >= 3.0);
    }
}
