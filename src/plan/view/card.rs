//! Printable cards, cut into faces.

use super::chart::OnCard;
use super::parts::{DoseView, Frame, Link, Mark};
use super::pictogram::Pictogram;
use serde::Serialize;

/// View of `card.html`.
#[derive(Debug, Serialize)]
pub struct Cards {
    /// Frame; only the screen shows it.
    pub frame: Frame,
    /// Page of the protocol, or links to the single cards.
    pub links: Vec<Link>,
    /// Faces in order.
    pub faces: Vec<Face>,
    /// How many cards a sheet leaves to the links, since so many faces on one page are of no use to anybody.
    pub left_out: Option<usize>,
}

/// One face.
#[derive(Debug, Clone, Serialize)]
pub struct Face {
    /// For the anchor.
    pub id: String,
    /// Title of the protocol.
    pub title: String,
    /// Its first part, in large letters: what a card is known by on the trolley.
    pub name: String,
    /// The rest of it.
    pub rest: String,
    /// What is treated, where the title does not say it; empty for none.
    pub subject: String,
    /// The side, in large letters, for a row to tick; empty for none.
    pub treated_side: String,
    /// The same as figures.
    pub figures: Vec<Pictogram>,
    /// Pack title and edition, and the mark of a protocol that is not as in the base pack.
    pub edition: String,
    /// State.
    pub state: Mark,
    /// Review-by.
    pub review_by: String,
    /// Check code.
    pub code: String,
    /// The way to the card on the site, with the code, as a square code. On the first face alone.
    pub square: Option<crate::plan::qr::Square>,
    /// Page of the card.
    pub page: usize,
    /// Pages of the card.
    pub pages: usize,
    /// Mark of the last bar going on on the next face.
    pub goes_on: Option<Mark>,
    /// `front` or `back`.
    pub side: &'static str,
    /// Notice of the pack.
    pub notice: String,
    /// Banner of a demonstration behind its state, in short; the whole stands on the last face.
    pub demonstration: Option<&'static str>,
    /// What the card is for and what it is not.
    pub use_note: &'static str,
    /// Content.
    pub sections: Vec<Section>,
    /// True if an item is higher than a face.
    pub overfull: bool,
}

/// A part of a face under one heading.
#[derive(Debug, Clone, Serialize)]
pub struct Section {
    /// Heading.
    pub heading: &'static str,
    /// Style class.
    pub class: &'static str,
    /// True if it began on an earlier face.
    pub continued: bool,
    /// Items.
    pub items: Vec<Item>,
}

/// The smallest piece: it is never cut.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Item {
    /// Large line with its mark: a stop line.
    pub stop: Option<StopLine>,
    /// Number in front, of a step or point.
    pub number: Option<u32>,
    /// True if the number stands in a ring.
    pub ring: bool,
    /// True if the strong line is that of an overview, in smaller letters.
    pub brief: bool,
    /// True if its text has the size of what is read with the person on the table; `fit` decides it.
    pub far: bool,
    /// Charts beside each other, as high as `fit::CHART`.
    pub charts: Vec<OnCard>,
    /// Strong line in front of the dose: what comes before it.
    pub first: Option<String>,
    /// Strong line.
    pub lead: Option<String>,
    /// At the end of the strong line: the page on which more stands.
    pub aside: Vec<Piece>,
    /// Numbers of the steps, or of the home item, that it stands for, for lines that send to them.
    #[serde(skip)]
    pub steps: Vec<u32>,
    /// Dose in large numerals.
    pub dose: Vec<DoseView>,
    /// What is read before, from the hand, and always in that size: for whom it is left out or changed, how it is set up.
    pub fine: Vec<Vec<Piece>>,
    /// Ordinary paragraphs, each of one or more labelled pieces.
    pub lines: Vec<Vec<Piece>>,
}

impl Item {
    /// Every line of it.
    pub fn all_lines(&mut self) -> impl Iterator<Item = &mut Vec<Piece>> {
        std::iter::once(&mut self.aside).chain(&mut self.fine).chain(&mut self.lines)
    }
}

/// A line that is read first.
#[derive(Debug, Clone, Serialize)]
pub struct StopLine {
    /// Mark.
    pub mark: Mark,
    /// Text.
    pub text: String,
}

/// A piece of a paragraph with a label in front.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Piece {
    /// Shape in front, for the eye; the label says the same.
    pub mark: Option<Mark>,
    /// Label; empty for none.
    pub label: String,
    /// Text.
    pub text: String,
    /// Id of the flag that the piece names or asks.
    pub flag: Option<String>,
    /// Id of the condition that the piece names.
    pub condition: Option<String>,
    /// The bar whose pages are to be named in the text; without such a bar the piece is left out.
    pub page_of: Option<&'static str>,
    /// The step of that bar whose page is meant.
    pub step: Option<u32>,
}
