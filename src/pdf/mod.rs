//! Faces of cards to PDF, set by `templates/card.typ`. Whether every face fits is measured where it was set.
//!
//! The document is tagged (PDF/UA-1, ISO 14289-1), has a bookmark for each card and part, and is the same bytes for
//! the same faces: no clock, no name of a person, an identifier that follows from the title.

mod needs;
mod world;

pub use needs::TooHigh;

use crate::error::ToolError;
use crate::plan::fit::{SIZES, Sizes};
use crate::plan::paper::Paper;
use crate::plan::view::card::Face;
use serde::Serialize;
use typst::diag::{SourceDiagnostic, Warned};
use typst::foundations::Smart;
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

/// Cards that make one file.
pub struct Deck<'a> {
    /// Title of the file.
    pub title: String,
    /// Cards in order.
    pub cards: Vec<Card<'a>>,
}

/// A card.
#[derive(Serialize, Clone, Copy)]
pub struct Card<'a> {
    /// Language of its words: BCP 47.
    pub language: &'a str,
    /// Its faces.
    pub faces: &'a [Face],
}

/// A file, and what does not fit in it.
pub struct Made {
    /// The file.
    pub bytes: Vec<u8>,
    /// Faces that hold more than they have room for.
    pub too_high: Vec<TooHigh>,
    /// What is left free on each face in turn, in mm of an A5 face.
    pub spare: Vec<f64>,
}

#[derive(Serialize)]
struct Data<'a> {
    paper: Paper,
    sizes: Sizes,
    title: &'a str,
    cards: &'a [Card<'a>],
}

/// Sets cards on a paper.
///
/// # Errors
/// When the template is broken.
pub fn make(deck: &Deck<'_>, paper: Paper) -> Result<Made, ToolError> {
    let data = serde_json::to_vec(&Data { paper, sizes: SIZES, title: &deck.title, cards: &deck.cards })
        .map_err(|e| ToolError::Bug(e.to_string()))?;
    let desk = world::Desk::new(data).ok_or_else(|| ToolError::Bug("the name of the card template is no path".into()))?;
    let Warned { output, warnings } = typst::compile::<PagedDocument>(&desk);
    let document = output.map_err(|e| broken(&e))?;
    if !warnings.is_empty() {
        return Err(broken(&warnings));
    }
    let mut needs = needs::read(&document)?;
    // On a sheet with two faces they stand in another order.
    needs.sort_by_key(|n| n.place);
    let bytes = typst_pdf::pdf(&document, &options(deck, paper)?).map_err(|e| broken(&e))?;
    // What the typesetter remembers helps the next deck of the same run little and takes memory.
    typst::comemo::evict(0);
    let spare = needs.iter().map(needs::Needs::spare).collect();
    let too_high = needs.iter().filter_map(needs::Needs::too_high).collect();
    Ok(Made { bytes, too_high, spare })
}

/// Letters of a text that the typefaces of the cards lack.
pub fn lacking(text: &str) -> Vec<char> {
    world::lacking(text)
}

fn options(deck: &Deck<'_>, paper: Paper) -> Result<PdfOptions, ToolError> {
    let standards = PdfStandards::new(&[PdfStandard::Ua_1]).map_err(|e| ToolError::Bug(format!("{e:?}")))?;
    Ok(PdfOptions {
        ident: Smart::Custom(format!("{} on {}", deck.title, paper.name)),
        creator: Smart::Custom(Some(concat!("fascicle ", env!("CARGO_PKG_VERSION")).into())),
        standards,
        ..PdfOptions::default()
    })
}

fn broken(diagnostics: &[SourceDiagnostic]) -> ToolError {
    let one = |d: &SourceDiagnostic| {
        let hints = d.hints.iter().fold(String::new(), |said, h| said + &format!(" ({})", h.v));
        format!("{}{hints}", d.message)
    };
    ToolError::Bug(format!("cards could not be set: {}", diagnostics.iter().map(one).collect::<Vec<_>>().join("; ")))
}
