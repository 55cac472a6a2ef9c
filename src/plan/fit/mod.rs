//! How items are dealt out to faces: which stand together, where a face ends, on which page a bar begins. How
//! high an item is, is `height`.

mod height;

pub use height::{CHART, CLASSES, SIZES, Sizes, TextClass, Type};

use super::paper::Paper;
use super::view::card::{Face, Item, Piece, Section};
use super::view::parts::Mark;
use super::words;
use height::{HEADING, Room, item_height, room_on};
use std::collections::BTreeMap;

/// An item and how it is placed.
#[derive(Debug, Clone)]
pub struct Block {
    /// Heading it stands under.
    pub heading: &'static str,
    /// Style class of the section.
    pub class: &'static str,
    /// True if it must not be the last on a face.
    pub keep_next: bool,
    /// True if its whole bar is to stand on one face where that is high enough.
    pub one_face: bool,
    /// The item.
    pub item: Item,
}

/// What the estimate leaves free on a face, in mm.
pub fn spare(face: &Face, paper: Paper) -> f64 {
    let on = Room::on(paper);
    let items = face.sections.iter().flat_map(|s| &s.items).map(|i| item_height(i, on)).sum::<f64>();
    let headings = face.sections.iter().map(|_| HEADING).sum::<f64>();
    room_on(face, on) - headings - items
}

/// A face after the first: what the notice says at length stands on page 1.
fn further(first: &Face) -> Face {
    Face { notice: words::NOTICE_ON_PAGE_ONE.into(), use_note: "", square: None, ..first.clone() }
}

/// A block in whose lines a dot stands before each label that follows a text, so that the numbers of two rules are
/// not read as those of one.
fn apart(mut block: Block) -> Block {
    for line in block.item.all_lines() {
        for i in 1..line.len() {
            let labelled = line.get(i).is_some_and(|p| !p.label.is_empty());
            let Some(before) = line.get_mut(i - 1).filter(|_| labelled) else { continue };
            if !before.text.ends_with(['.', '?', '!', ':', '·']) && !before.text.is_empty() {
                before.text.push_str("\u{a0}·");
            }
        }
    }
    block
}

/// Deals blocks out to faces. An item is never cut; a block that keeps with the next moves on with it.
///
/// The steps have the size of type for what is read with the person on the table. The other bars of the treatment have it, and of the first
/// bar each item in turn, if that moves nothing of the bar or of the whole visit to another face and the card has no more of them.
pub fn deal(blocks: &[Block], blank: &Face, paper: Paper) -> Vec<Face> {
    let on = Room::on(paper);
    let room = room_on(&further(blank), on);
    let mut blocks: Vec<Block> = blocks.iter().cloned().map(apart).collect();
    blocks.iter_mut().filter(|b| b.class == "do").for_each(|b| enlarge(&mut b.item, room, on));
    let mut faces = settled(&blocks, blank, paper);
    for (bar, which) in together(&blocks) {
        let mut larger = blocks.clone();
        larger.iter_mut().enumerate().filter(|(i, _)| which.contains(i)).for_each(|(_, b)| enlarge(&mut b.item, room, on));
        let tried = settled(&larger, blank, paper);
        if tried.len() <= faces.len() && shares(&tried, bar) == shares(&faces, bar) && of_visit(&tried) == of_visit(&faces) {
            (blocks, faces) = (larger, tried);
        }
    }
    faces
}

/// How many items of the whole visit stand on each face.
fn of_visit(faces: &[Face]) -> Vec<usize> {
    faces.iter().map(|f| f.sections.iter().filter(|s| s.class == "visit").map(|s| s.items.len()).sum()).collect()
}

/// How many items of a bar stand on each of its faces.
fn shares(faces: &[Face], bar: &str) -> Vec<usize> {
    let shares = faces.iter().map(|f| f.sections.iter().filter(|s| s.heading == bar).map(|s| s.items.len()).sum());
    shares.filter(|n| *n > 0).collect()
}

/// Which blocks get the larger type together, with their bar, in the order in which they are tried.
fn together(blocks: &[Block]) -> Vec<(&'static str, Vec<usize>)> {
    let mut out: Vec<(&'static str, Vec<usize>)> = Vec::new();
    for (i, b) in blocks.iter().enumerate() {
        match b.class {
            // Where the other bars stand is looked up from the hand.
            "stop" if b.item.lines.iter().flatten().all(|p| p.page_of.is_none()) => out.push((b.heading, vec![i])),
            "visit" | "find" | "home" => match out.iter_mut().find(|(bar, _)| *bar == b.heading) {
                Some((_, which)) => which.push(i),
                None => out.push((b.heading, vec![i])),
            },
            _ => {}
        }
    }
    out
}

/// Gives an item the larger type, unless it is then higher than a face.
fn enlarge(item: &mut Item, room: f64, on: Room) {
    item.far = true;
    item.far = HEADING + item_height(item, on) <= room;
}

/// On which page a bar begins is known only afterwards, and the number may take less room than was left for it. So it
/// is dealt again with the numbers found, until they hold; if they never do, the room left is kept.
fn settled(blocks: &[Block], blank: &Face, paper: Paper) -> Vec<Face> {
    let loose = dealt(blocks.to_vec(), blank, paper);
    let mut pages = pages(&loose);
    for _ in 0..SETTLES {
        let mut told = blocks.to_vec();
        told.iter_mut().for_each(|b| tell(&mut b.item, &pages));
        let faces = dealt(told, blank, paper);
        let found = self::pages(&faces);
        if found == pages {
            return faces;
        }
        pages = found;
    }
    let mut faces = loose;
    let pages = self::pages(&faces);
    faces.iter_mut().flat_map(|f| &mut f.sections).flat_map(|s| &mut s.items).for_each(|i| tell(i, &pages));
    faces
}

/// How often it is dealt again at most; a number of two digits that becomes one of one digit moves little.
const SETTLES: usize = 4;

fn dealt(blocks: Vec<Block>, blank: &Face, paper: Paper) -> Vec<Face> {
    let on = Room::on(paper);
    let further = further(blank);
    let mut room = room_on(blank, on);
    let mut faces: Vec<Face> = Vec::new();
    let (mut face, mut used) = (blank.clone(), 0.0);
    let mut last_heading = "";
    let mut blocks = blocks.into_iter();
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
        let whole =
            group.first().filter(|b| b.one_face && last_heading != heading).map_or(0.0, |_| bar_height(&group, blocks.as_slice(), on));
        let fits_elsewhere = whole <= room_on(&further, on);
        if !face.sections.is_empty() && (used + needed > room || (fits_elsewhere && used + whole > room)) {
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

/// Height of a bar that begins with a group and goes on in what follows.
fn bar_height(group: &[Block], rest: &[Block], on: Room) -> f64 {
    let heading = group.first().map(|b| b.heading);
    let rest = rest.iter().take_while(|b| Some(b.heading) == heading);
    HEADING + group.iter().chain(rest).map(|b| item_height(&b.item, on)).sum::<f64>()
}

/// Longest number of a page, for the estimate.
const SOME_PAGE: &str = "00";

/// A piece that sends the reader to a bar, before it is known on which page that begins.
pub fn sends_to(bar: &'static str, what: &str) -> Piece {
    Piece { text: format!("{what} {SOME_PAGE}\u{a0}·"), page_of: Some(bar), ..Piece::default() }
}

/// The same of a bar over whose whole length a reader turns.
pub fn sends_through(bar: &'static str, what: &str) -> Piece {
    Piece { text: format!("{what} {SOME_PAGE}–{SOME_PAGE}\u{a0}·"), page_of: Some(bar), ..Piece::default() }
}

/// The page of a step in a bar.
pub fn sends_to_step(bar: &'static str, step: u32) -> Piece {
    Piece { step: Some(step), ..sends_to(bar, "page") }
}

/// First and last page of each bar and of each step in it.
type Pages = BTreeMap<(&'static str, Option<u32>), (usize, usize)>;

fn pages(faces: &[Face]) -> Pages {
    let mut pages = Pages::new();
    for face in faces {
        for section in &face.sections {
            let steps = section.items.iter().flat_map(|i| i.number.iter().chain(&i.steps)).map(|n| Some(*n));
            for step in steps.chain([None]) {
                pages.entry((section.heading, step)).or_insert((face.page, face.page)).1 = face.page;
            }
        }
    }
    pages
}

/// Names the pages of bars: the first, or from the first to the last.
fn tell(item: &mut Item, pages: &Pages) {
    for line in item.all_lines() {
        line.retain_mut(|piece| {
            let Some(bar) = piece.page_of else { return true };
            let Some((first, last)) = pages.get(&(bar, piece.step)) else { return false };
            let through = format!("{SOME_PAGE}–{SOME_PAGE}");
            let range = if first == last { first.to_string() } else { format!("{first}–{last}") };
            piece.text = piece.text.replacen(&through, &range, 1).replacen(SOME_PAGE, &first.to_string(), 1);
            true
        });
        if let Some(last) = line.last_mut() {
            last.text = last.text.trim_end_matches("\u{a0}·").to_string();
        }
    }
}

/// Mark in the foot of a face whose last bar goes on.
const GOES_ON: Mark = Mark { word: "goes on", shape: "arrow", class: "state-approved" };

fn number(mut faces: Vec<Face>) -> Vec<Face> {
    let pages = faces.len();
    let continued: Vec<bool> = faces.iter().map(|f| f.sections.first().is_some_and(|s| s.continued)).collect();
    for (i, face) in faces.iter_mut().enumerate() {
        face.page = i + 1;
        face.pages = pages;
        face.side = if i % 2 == 0 { "front" } else { "back" };
        face.goes_on = continued.get(i + 1).copied().unwrap_or(false).then_some(GOES_ON);
        face.id = format!("{}-{}", face.id, i + 1);
    }
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
            name: "Soleus".into(),
            rest: String::new(),
            subject: String::new(),
            treated_side: "Either side".into(),
            figures: Vec::new(),
            edition: "A pack, edition 1.0.0".into(),
            state: words::state(crate::compute::currency::sign_off::State::Draft),
            review_by: "Review by 2027-01-01".into(),
            code: "2222-2222".into(),
            square: None,
            page: 0,
            pages: 0,
            goes_on: None,
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
        Block { heading, class: "do", keep_next, one_face: false, item: Item { lines: vec![vec![piece]], ..Item::default() } }
    }

    #[test]
    fn every_item_lands_on_one_face_in_order() {
        let blocks: Vec<Block> = (0..40).map(|i| block(if i < 30 { "Stop" } else { "Do" }, 20, false)).collect();
        let faces = deal(&blocks, &blank(), A5);
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
            for face in deal(&blocks, &blank(), A5) {
                let last = face.sections.last().and_then(|s| s.items.last()).unwrap();
                assert!(last.lines[0][0].text.len() > 20);
            }
        }
    }

    #[test]
    fn faces_are_front_and_back_in_turn_and_too_high_an_item_is_marked() {
        let blocks: Vec<Block> = (0..40).map(|_| block("Do", 20, false)).collect();
        let faces = deal(&blocks, &blank(), A5);
        assert_eq!(faces.iter().take(3).map(|f| f.side).collect::<Vec<_>>(), ["front", "back", "front"]);
        assert!(deal(&[block("Do", 900, false)], &blank(), A5)[0].overfull);
    }

    #[test]
    fn a_piece_that_sends_to_a_bar_names_its_pages_and_one_without_a_bar_is_gone() {
        let pages = [sends_through("Do", "do"), sends_to("Home", "home"), sends_through("Stop", "all"), sends_to("Stop", "stop")];
        let first = Block {
            heading: "May I?",
            class: "stop",
            keep_next: false,
            one_face: false,
            item: Item { lines: vec![pages.to_vec()], ..Item::default() },
        };
        let mut blocks = vec![first];
        blocks.extend((0..40).map(|i| block(if i < 20 { "Stop" } else { "Do" }, 20, false)));
        let faces = deal(&blocks, &blank(), A5);
        let texts: Vec<&str> = faces[0].sections[0].items[0].lines[0].iter().map(|p| p.text.as_str()).collect();
        let pages =
            |bar: &str| -> Vec<usize> { faces.iter().filter(|f| f.sections.iter().any(|s| s.heading == bar)).map(|f| f.page).collect() };
        let range = |bar: &str| format!("{}–{}", pages(bar)[0], pages(bar).last().unwrap());
        assert!(pages("Do")[0] > 1 && pages("Do").len() > 1 && pages("Stop").len() > 1);
        assert_eq!(texts, [format!("do {}\u{a0}·", range("Do")), format!("all {}\u{a0}·", range("Stop")), "stop 1".to_string()]);
    }

    #[test]
    fn the_pages_told_hold_however_full_the_first_face_is() {
        let mut tighter = 0;
        for words in 0..120 {
            let sent = Item { lines: vec![vec![sends_to("Do", &"i ".repeat(words)), sends_to("Home", "home")]], ..Item::default() };
            let mut blocks = vec![Block { heading: "May I?", class: "stop", keep_next: false, one_face: false, item: sent }];
            blocks.extend((0..60).map(|i| Block { class: "back", ..block(if i < 50 { "Do" } else { "Home" }, 2, false) }));
            let faces = deal(&blocks, &blank(), A5);
            let on = |bar: &str| faces.iter().find(|f| f.sections.iter().any(|s| s.heading == bar)).map_or(0, |f| f.page);
            let told = &faces[0].sections[0].items[0].lines[0];
            assert!(told[0].text.ends_with(&format!(" {}\u{a0}·", on("Do"))), "{words}: {}", told[0].text);
            assert_eq!(told[1].text, format!("home {}", on("Home")), "{words}");
            let on_first = |faces: &[Face]| faces[0].sections.iter().map(|s| s.items.len()).sum::<usize>();
            tighter += usize::from(on_first(&dealt(blocks, &blank(), A5)) < on_first(&faces));
        }
        assert!(tighter > 0, "a number of one digit takes the room of two");
    }

    fn faces_of(class: &'static str, items: usize, words: usize) -> Vec<Face> {
        let blocks: Vec<Block> = (0..items).map(|_| Block { class, ..block("Bar", words, false) }).collect();
        deal(&blocks, &blank(), A5)
    }

    fn far(faces: &[Face]) -> usize {
        faces.iter().flat_map(|f| &f.sections).flat_map(|s| &s.items).filter(|i| i.far).count()
    }

    #[test]
    fn steps_have_the_larger_type_unless_one_is_then_higher_than_a_face() {
        assert_eq!(far(&faces_of("do", 40, 20)), 40);
        let first = (100..400).find(|words| far(&faces_of("do", 1, *words)) == 0).unwrap();
        assert!(!faces_of("do", 1, first)[0].overfull, "it still fits in the smaller");
    }

    #[test]
    fn another_bar_has_the_larger_type_only_if_nothing_of_it_moves_on() {
        let (mut all, mut none) = (0, 0);
        for items in 1..40 {
            let faces = faces_of("find", items, 20);
            match far(&faces) {
                0 => none += 1,
                n => all += usize::from(n == items),
            }
            assert!(faces.len() <= faces_of("back", items, 20).len(), "{items}");
            assert_eq!(far(&faces_of("back", items, 20)), 0);
        }
        assert!(all > 0 && none > 0, "{all} {none}");
        // Of the bar of questions each item by itself, the first first.
        let some = (1..60).map(|items| faces_of("stop", items, 20)).find(|f| far(f) > 0 && far(f) < f[0].sections[0].items.len()).unwrap();
        assert!(some[0].sections[0].items[0].far);
    }
}
