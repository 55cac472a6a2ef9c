//! How high text will be on paper: a conservative estimate without a typesetter. Letters are as wide as in the
//! common sans-serif faces that the style sheet names for cards, plus a reserve, so that a face that fits here
//! fits on paper; the tests of `pdf` hold it against what the typesetter measures. The sizes are those of the
//! style sheet; both must change together.

use crate::plan::paper::Paper;
use crate::plan::view::card::{Face, Item, Piece};
use crate::plan::widths;
use serde::Serialize;

/// Reserve on the width and on the height of a box, in mm.
const BESIDE: f64 = 0.3;
const ABOVE: f64 = 0.3;
/// One point in mm.
const PT: f64 = 0.352_778;
/// Height of the number of a step and of the ring of a point.
const STEP: f64 = 7.0;
const RING: f64 = 8.2;
/// Column of step and point numbers in mm.
const NUMBER: f64 = 11.0;
/// Heading of a section with the space around it.
pub(super) const HEADING: f64 = 7.0;
/// Space after an item.
const AFTER: f64 = 1.0;
const AFTER_BRIEF: f64 = 0.4;
/// Space between two dose values in a row.
const BETWEEN_DOSES: f64 = 3.0;
/// Width that the list of stop-signs loses to its edge.
const EDGE: f64 = 3.3;
/// Height of the charts of an item in mm; two stand beside each other, each at most 61 mm wide.
pub const CHART: f64 = 52.0;
/// Side of the square code in the foot of the first face in mm.
const SQUARE: f64 = 20.0;
/// Height of a figure in the head in mm, and its width with the space beside it.
const FIGURE: f64 = 17.0;
const FIGURE_WIDTH: f64 = 10.0;
/// Reserve on every width.
const RESERVE: f64 = 1.003;

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
    far: Type,
    lead: Type,
    title: Type,
    heading: Type,
    stop: Type,
    review: Type,
    foot: Type,
}

/// Sizes of a face, for whoever sets it.
pub const SIZES: Sizes = Sizes { text: TEXT, far: FAR, lead: LEAD, title: TITLE, heading: BAR, stop: STOP, review: REVIEW, foot: FOOT };

// Capitals that are read from 70 cm: 18 points are 22 minutes of arc, 13 points 16; ISO 9241-303 gives 20 to 22 and 16 as the least (entered
// from memory). Doses, numbers and stop lines have the first, all else that is asked with the person on the table the second. What is read
// before and after, from the hand, has 11. The foot names the card and is no instruction.
const TEXT: Type = Type { size: 11.0, line: 12.8, bold: false };
const STRONG: Type = Type { bold: true, ..TEXT };
const FAR: Type = Type { size: 13.0, line: 15.0, bold: false };
const FAR_STRONG: Type = Type { bold: true, ..FAR };
const LEAD: Type = Type { size: 14.0, line: 16.2, bold: true };
const BAR: Type = Type { size: 12.0, line: 14.0, bold: true };
const TITLE: Type = Type { size: 16.0, line: 18.0, bold: true };
const STOP: Type = Type { size: 18.0, line: 19.6, bold: true };
const REVIEW: Type = Type { size: 16.0, line: 18.0, bold: true };
const FOOT: Type = Type { size: 8.5, line: 10.0, bold: false };
const FOOT_STRONG: Type = Type { bold: true, ..FOOT };

/// Usable room of a face in mm.
#[derive(Clone, Copy)]
pub(super) struct Room {
    width: f64,
    height: f64,
}

impl Room {
    pub(super) fn on(paper: Paper) -> Self {
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

/// Every class of text on a card. Least sizes: 18 pt for what is read from 70 cm at a glance, 14 pt for actions, in the overview 12, 13 pt for what else is
/// read from there where a face has room for it, 11 pt for what is read in the hand, 8 pt for what only names the card (the last is common practice, no source).
pub const CLASSES: [TextClass; 16] = [
    TextClass { what: "Doses", selector: ".item-dose .value", points: STOP.size, least: 18.0 },
    TextClass { what: "Stop lines", selector: ".item-stop", points: STOP.size, least: 18.0 },
    TextClass { what: "Numbers of steps", selector: ".item-number", points: STOP.size, least: 18.0 },
    TextClass { what: "Names", selector: ".face-head h2", points: TITLE.size, least: 14.0 },
    TextClass { what: "Review day", selector: ".face-review", points: REVIEW.size, least: 14.0 },
    TextClass { what: "Actions", selector: ".item-lead", points: LEAD.size, least: 14.0 },
    TextClass { what: "Actions in the overview", selector: ".item.brief .item-lead", points: BAR.size, least: 12.0 },
    TextClass { what: "Ways to points", selector: ".ring + .item-body .item-lead", points: BAR.size, least: 12.0 },
    TextClass { what: "Text for the time of treatment", selector: ".item.far", points: FAR.size, least: 13.0 },
    TextClass { what: "Actions in a large overview", selector: ".item.brief.far .item-lead", points: FAR.size, least: 13.0 },
    TextClass { what: "Ways to points, large", selector: ".far .ring + .item-body .item-lead", points: FAR.size, least: 13.0 },
    TextClass { what: "Set-up of a step, and for whom it is changed", selector: ".item-fine", points: TEXT.size, least: 11.0 },
    TextClass { what: "Pages in the overview", selector: ".item-aside", points: TEXT.size, least: 11.0 },
    TextClass { what: "Bars", selector: ".face-part > h3", points: BAR.size, least: 11.0 },
    TextClass { what: "Text", selector: ".face", points: TEXT.size, least: 11.0 },
    TextClass { what: "Foot", selector: ".face-foot", points: FOOT.size, least: 8.0 },
];

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
    }
    rows * plain.line * PT
}

/// Height of a row of dose values, each kept together where it fits.
fn dose_height(item: &Item, column: f64, text: Type) -> f64 {
    if item.dose.is_empty() {
        return 0.0;
    }
    let (mut rows, mut at) = (1.0, 0.0);
    for d in &item.dose {
        let other = d.other.as_ref().map_or(0.0, |o| width(o, text) + 2.0);
        let label = if d.label.is_empty() { 0.0 } else { width(&d.label, text) + 1.2 };
        let wide = width(&d.value, STOP) + label + other + 0.5;
        if at > 0.0 && at + BETWEEN_DOSES + wide > column {
            rows += 1.0;
            at = 0.0;
        }
        at += if at > 0.0 { BETWEEN_DOSES + wide } else { wide };
        while at > column {
            rows += 1.0;
            at -= column;
        }
    }
    rows * STOP.line * PT
}

/// Width that a strong line loses to what stands at its end.
fn aside_width(pieces: &[Piece]) -> f64 {
    let one = |p: &Piece| width(&p.text, TEXT) + p.mark.map_or(0.0, |_| TEXT.size * PT + width(" ", TEXT));
    if pieces.is_empty() { 0.0 } else { pieces.iter().map(one).sum::<f64>() + BETWEEN_DOSES }
}

/// Height of an item with the space after it.
pub(super) fn item_height(item: &Item, room: Room) -> f64 {
    let (text, strong) = if item.far { (FAR, FAR_STRONG) } else { (TEXT, STRONG) };
    let column = if item.number.is_some() { room.width - NUMBER } else { room.width - EDGE };
    let stop = item.stop.as_ref().map_or(0.0, |s| text_height(&s.text, STOP, room.width - EDGE - 8.0) + 0.6);
    // The way to a point is read while looking for it, an action from where one stands.
    let action = match (item.ring || item.brief, item.far) {
        (false, _) => LEAD,
        (true, true) => FAR_STRONG,
        (true, false) => BAR,
    };
    let first = item.first.as_ref().map_or(0.0, |t| text_height(t, action, column));
    let lead = item.lead.as_ref().map_or(0.0, |t| text_height(t, action, column - aside_width(&item.aside)));
    let body: f64 = item.lines.iter().map(|l| height_in(l, column, strong, text)).sum();
    let fine: f64 = item.fine.iter().map(|l| height_in(l, column, STRONG, TEXT)).sum();
    let charts = if item.charts.is_empty() { 0.0 } else { CHART + 1.0 };
    let content = stop + first + dose_height(item, column, text) + lead + charts + fine + body;
    let least = if item.ring {
        RING
    } else if item.number.is_some() {
        STEP
    } else {
        0.0
    };
    content.max(least) + if item.brief { AFTER_BRIEF } else { AFTER }
}

/// Room for content on a face with this identity.
pub(super) fn room_on(face: &Face, room: Room) -> f64 {
    let column = room.width - face.figures.iter().map(|_| FIGURE_WIDTH).sum::<f64>();
    let name = text_height(&face.name, TITLE, column - width(&face.review_by, REVIEW) - 3.0).max(REVIEW.line * PT);
    let state = Piece { mark: Some(face.state), text: face.state.word.into(), ..Piece::default() };
    let mut subject =
        vec![Piece { text: face.subject.clone(), ..Piece::default() }, Piece { label: face.treated_side.clone(), ..Piece::default() }];
    let banner = face.demonstration.map_or_else(
        || {
            subject.push(state.clone());
            0.0
        },
        |d| height_in(&[state.clone(), Piece { text: format!("· {d}"), ..Piece::default() }], room.width - 3.3, STRONG, STRONG) + 2.8,
    );
    // The side is large, and so is each line of a row with one.
    let row = if face.treated_side.is_empty() { TEXT } else { LEAD };
    let subject = height_in(&subject, column - width("page 10 of 10", STRONG) - 3.0, LEAD, TEXT) / TEXT.line * row.line;
    let words = name + text_height(&face.rest, TEXT, column) + subject;
    let header = words.max(if face.figures.is_empty() { 0.0 } else { FIGURE }) + 2.0;
    let label = format!("Check code {}. {}", face.code, face.edition);
    let foot = Piece { label, text: format!("{} {}", face.notice, face.use_note), ..Piece::default() };
    // On the right it may say on which page it goes on.
    let beside = room.width - width("page 10", STRONG) - 8.0;
    let foot = match face.square {
        Some(_) => height_in(&[foot], beside - SQUARE, FOOT_STRONG, FOOT).max(SQUARE),
        None => height_in(&[foot], beside, FOOT_STRONG, FOOT).max(STRONG.line * PT),
    };
    room.height - header - banner - foot - 1.4
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_wrap_and_long_words_break() {
        assert!((lines("short", TEXT, 122.0) - 1.0).abs() < 1e-9 && (height_in(&[], 122.0, STRONG, TEXT) - TEXT.line * PT).abs() < 1e-9);
        assert!(lines(&"word ".repeat(60), TEXT, 122.0) >= 4.0);
        assert!(lines(&"x".repeat(200), TEXT, 122.0) >= 3.0);
    }
}
