//! Papers that cards are printed on, in mm (ISO 216; letter is ANSI/ASME Y14.1 size A), with the box of a face on each.
//!
//! Every box leaves at least 8 mm clear at the edge, for the seal of a laminating pouch (common practice, no source).

use serde::Serialize;

/// A paper.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Paper {
    /// Name, as it is typed.
    pub name: &'static str,
    /// Width of the sheet.
    pub width: f64,
    /// Height of the sheet.
    pub height: f64,
    /// Width of the box of a face before it is scaled.
    pub box_width: f64,
    /// Height of the box of a face before it is scaled.
    pub box_height: f64,
    /// How many times the size of type and box.
    pub scale: f64,
    /// Faces beside each other on a sheet.
    pub across: u32,
}

/// One A5 face on a sheet; what cards of the site are dealt for.
pub const A5: Paper = Paper { name: "a5", width: 148.0, height: 210.0, box_width: 130.0, box_height: 193.0, scale: 1.0, across: 1 };

/// All papers.
pub const PAPERS: [Paper; 5] = [
    A5,
    Paper { name: "a4", width: 210.0, height: 297.0, box_width: 192.0, box_height: 280.0, ..A5 },
    Paper { name: "letter", width: 215.9, height: 279.4, box_width: 197.9, box_height: 262.4, ..A5 },
    Paper { name: "2up", width: 297.0, height: 210.0, across: 2, ..A5 },
    Paper { name: "wall", width: 297.0, height: 420.0, scale: 2.0, ..A5 },
];

/// The paper of a name.
pub fn named(name: &str) -> Option<Paper> {
    PAPERS.into_iter().find(|p| p.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_paper_leaves_eight_millimetres_clear() {
        for p in PAPERS {
            let column = p.width / f64::from(p.across);
            assert!((column - p.box_width * p.scale) / 2.0 >= 8.0, "{}", p.name);
            assert!((p.height - p.box_height * p.scale) / 2.0 >= 8.0, "{}", p.name);
            assert_eq!(named(p.name), Some(p));
        }
    }
}
