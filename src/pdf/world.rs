//! What the typesetter may see: one template, one table of data, three typefaces. No disk, no network, no clock.

use std::sync::LazyLock;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};

const TEMPLATE: &str = include_str!("../../templates/card.typ");

/// Liberation 2.1.5, SIL Open Font License 1.1; see `templates/fonts/LICENSE.txt`.
const FACES: [&[u8]; 3] = [
    include_bytes!("../../templates/fonts/LiberationSans-Regular.ttf"),
    include_bytes!("../../templates/fonts/LiberationSans-Bold.ttf"),
    include_bytes!("../../templates/fonts/LiberationMono-Bold.ttf"),
];

static FONTS: LazyLock<Vec<Font>> = LazyLock::new(|| FACES.into_iter().flat_map(|f| Font::iter(Bytes::new(f))).collect());
static BOOK: LazyLock<LazyHash<FontBook>> = LazyLock::new(|| LazyHash::new(FontBook::from_fonts(FONTS.iter())));
static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));

/// Letters that one of the text faces lacks, once each, in order of appearance.
pub(super) fn lacking(text: &str) -> Vec<char> {
    let faces = FONTS.iter().take(2);
    let has = |c: char| c.is_control() || faces.clone().all(|f| f.info().coverage.contains(u32::from(c)));
    let mut out = Vec::new();
    for c in text.chars().filter(|c| !has(*c)) {
        if !out.contains(&c) {
            out.push(c);
        }
    }
    out
}

/// The template over one table of data.
pub(super) struct Desk {
    source: Source,
    data: FileId,
    bytes: Bytes,
}

impl Desk {
    pub(super) fn new(data: Vec<u8>) -> Option<Self> {
        let id = |name: &str| Some(RootedPath::new(VirtualRoot::Project, VirtualPath::new(name).ok()?).intern());
        Some(Self { source: Source::new(id("card.typ")?, TEMPLATE.into()), data: id("cards.json")?, bytes: Bytes::new(data) })
    }
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &BOOK
    }

    fn main(&self) -> FileId {
        self.source.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.source.id() { Ok(self.source.clone()) } else { Err(missing(id)) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == self.data { Ok(self.bytes.clone()) } else { Err(missing(id)) }
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}

fn missing(id: FileId) -> FileError {
    FileError::NotFound(id.get().vpath().get_without_slash().into())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::widths;

    /// In thousandths of the size, rounded up.
    fn wide(c: char, bold: bool) -> u16 {
        let face = ttf_parser::Face::parse(FACES[usize::from(bold)], 0).unwrap();
        let advance = face.glyph_hor_advance(face.glyph_index(c).unwrap()).unwrap();
        u16::try_from((u32::from(advance) * 1000).div_ceil(u32::from(face.units_per_em()))).unwrap()
    }

    #[test]
    fn widths_of_the_estimate_are_those_of_the_typefaces() {
        let listed = (' '..='~').chain('\u{a0}'..='\u{ff}').chain(widths::OTHER.iter().map(|(c, _)| *c));
        for c in listed {
            for bold in [false, true] {
                assert_eq!(widths::of(c, bold), wide(c, bold), "{c:?}, bold: {bold}");
            }
        }
    }

    #[test]
    fn a_letter_that_is_not_listed_counts_as_the_widest() {
        for bold in [false, true] {
            let face = ttf_parser::Face::parse(FACES[usize::from(bold)], 0).unwrap();
            let widest = ('\u{20}'..='\u{ffff}').filter(|c| face.glyph_index(*c).is_some()).map(|c| wide(c, bold)).max().unwrap();
            assert!(widths::of('\u{4e00}', bold) >= widest, "{widest}");
        }
    }

    #[test]
    fn letters_that_cannot_be_printed_are_told() {
        assert_eq!(lacking("Press ☛ 3 kg/cm², at most 5/10 ≤ 20 °C ☛ 図\n"), ['☛', '図']);
    }

    #[test]
    fn nothing_but_the_template_and_its_data_can_be_read() {
        let desk = Desk::new(b"{}".to_vec()).unwrap();
        let other = RootedPath::new(VirtualRoot::Project, VirtualPath::new("secret.txt").unwrap()).intern();
        assert!(desk.file(other).is_err() && desk.source(other).is_err() && desk.today(None).is_none());
        assert_eq!(desk.file(desk.data).unwrap().as_slice(), b"{}");
    }
}
