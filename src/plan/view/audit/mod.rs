//! The reviewer's dossier as pages: tables of rows that lead to their source and to their place.

mod cautions;
mod overview;
mod quality;
mod rows;
mod sample;
mod sources;

pub use rows::{standing, state, trace};
pub use sample::sample_rows;

use super::parts::{Frame, Link, Mark};
use crate::plan::route;
use crate::plan::site::Site;
use serde::Serialize;

/// The parts of the dossier, file and heading, in order.
pub const PARTS: [(&str, &str); 12] = [
    ("index", "Reviewer's dossier"),
    ("claims", "Claims"),
    ("numbers", "Numbers"),
    ("numbers-protocol", "Numbers of protocols"),
    ("numbers-muscle", "Numbers of muscles"),
    ("computed", "Computed numbers"),
    ("totals", "Totals"),
    ("cautions", "Cautions"),
    ("flags", "Red flags of protocols"),
    ("sources", "Sources by use"),
    ("reporting", "Reporting and quality"),
    ("sample", "Reading by hand"),
];

/// View of `audit.html`.
#[derive(Debug, Serialize)]
pub struct AuditPage {
    /// Frame.
    pub frame: Frame,
    /// First words.
    pub intro: Vec<String>,
    /// All parts of the dossier.
    pub parts: Vec<Link>,
    /// Tables.
    pub sections: Vec<Section>,
}

/// A table under a heading.
#[derive(Debug, Default, Serialize)]
pub struct Section {
    /// Anchor.
    pub id: String,
    /// Heading.
    pub heading: String,
    /// True for what must not be folded away.
    pub open: bool,
    /// Words above the table.
    pub words: Vec<String>,
    /// Heads of the columns; no table without.
    pub heads: Vec<&'static str>,
    /// Rows.
    pub rows: Vec<TableRow>,
    /// Tables under headings of their own, with a list of contents.
    pub parts: Vec<Section>,
}

/// A row of a table.
#[derive(Debug, Serialize)]
pub struct TableRow {
    /// Anchor.
    pub id: Option<String>,
    /// Cells.
    pub cells: Vec<Cell>,
}

/// A cell: lines of text, some of them links.
#[derive(Debug, Default, Serialize)]
pub struct Cell {
    /// Lines.
    pub lines: Vec<Line>,
}

/// A line of a cell.
#[derive(Clone, Debug, Serialize)]
pub struct Line {
    /// Shape before the words.
    pub mark: Option<Mark>,
    /// Words that lead somewhere, or that are all there is.
    pub text: String,
    /// Where they lead.
    pub href: Option<String>,
    /// Words behind.
    pub after: String,
}

impl Section {
    /// Its rows, then those of its parts.
    fn all_rows(&mut self) -> impl Iterator<Item = &mut TableRow> {
        self.rows.iter_mut().chain(self.parts.iter_mut().flat_map(|p| &mut p.rows))
    }
}

impl Line {
    /// Words alone.
    pub fn words(text: impl Into<String>) -> Line {
        Line { mark: None, text: text.into(), href: None, after: String::new() }
    }

    /// A link.
    pub fn link(link: Link) -> Line {
        Line { mark: None, text: link.text, href: Some(link.href), after: String::new() }
    }
}

impl Cell {
    /// One line of words.
    pub fn words(text: impl Into<String>) -> Cell {
        Cell { lines: vec![Line::words(text)] }
    }

    /// One link.
    pub fn link(link: Link) -> Cell {
        Cell { lines: vec![Line::link(link)] }
    }

    /// Several lines; words in their place if there is none.
    pub fn lines(lines: Vec<Line>, none: &str) -> Cell {
        if lines.is_empty() { Cell::words(none) } else { Cell { lines } }
    }
}

/// A page of the dossier by its part.
pub fn page(site: &Site<'_>, part: &str) -> AuditPage {
    let heading = PARTS.iter().find(|(p, _)| *p == part).map_or("", |(_, h)| h);
    let (intro, sections) = match part {
        "claims" => rows::claims(site),
        "numbers" => rows::numbers(site),
        "numbers-protocol" | "numbers-muscle" => rows::numbers_of(site, part),
        "computed" | "totals" => rows::computed(site, part),
        "cautions" => cautions::cautions(site),
        "flags" => cautions::flags(site),
        "sources" => sources::sources(site),
        "reporting" => quality::quality(site),
        "sample" => sample::sample(site),
        _ => overview::overview(site),
    };
    let mut frame = site.frame(heading);
    if part != "index" {
        frame.crumbs.push(Link { text: PARTS[0].1.into(), href: site.to(&route::audit(PARTS[0].0)) });
    }
    let parts = PARTS.iter().map(|(p, h)| Link { text: (*h).to_string(), href: site.to(&route::audit(p)) }).collect();
    AuditPage { frame, intro, parts, sections }
}

impl AuditPage {
    /// The page as a file in a folder of its own: links that leave the dossier become plain words.
    #[must_use]
    pub fn alone(mut self) -> AuditPage {
        let stays = |href: &str| PARTS.iter().any(|(p, _)| href.split('#').next() == Some(&format!("{p}.html"))) || href.starts_with('#');
        self.frame.root = String::new();
        self.frame.home = "index.html".into();
        self.frame.nav.clear();
        self.frame.crumbs.retain(|c| stays(&c.href));
        let lines = self.sections.iter_mut().flat_map(Section::all_rows).flat_map(|r| &mut r.cells).flat_map(|c| &mut c.lines);
        for line in lines {
            line.href = line.href.take().filter(|h| stays(h));
        }
        self
    }
}
