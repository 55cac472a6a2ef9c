//! Sources by what rests on them, with age, retraction check and how far each was checked.

use super::{Cell, Line, Section, TableRow, rows};
use crate::compute::dossier::RowKind;
use crate::compute::dossier::used::{Used, rows_of, used};
use crate::model::Kind;
use crate::plan::site::{Site, doc, text};
use crate::plan::view::parts::Link;

type Part = (Vec<String>, Vec<Section>);

pub(super) fn sources(site: &Site<'_>) -> Part {
    let intro = vec![
        "The sources on which most rests come first: read those first. A level is a label for the search order of one kind of question, no certainty.".into(),
    ];
    let rows = used(site.catalog, &site.facts.dossier).iter().map(|u| row(site, u)).collect();
    let table = Section {
        id: "table".into(),
        heading: "Sources by use".into(),
        words: vec!["Rows count what rests on a source itself or through another row. A single source behind many rows is a single point of failure.".into()],
        heads: vec!["Source", "Rows", "Claims", "Documents", "Design", "Level", "Year", "Retraction", "How far checked", "First rows"],
        rows,
        ..Section::default()
    };
    (intro, vec![table])
}

fn row(site: &Site<'_>, used: &Used) -> TableRow {
    let s = &site.catalog.sources[used.source];
    let checked = s.retraction_checked.as_ref().map_or(", no day".to_string(), |d| format!(", looked up {}", d.value));
    let retraction = s.retraction.as_ref().map_or("not stated".to_string(), |r| r.value.word().to_string());
    let first: Vec<Line> = rows_of(&site.facts.dossier, used.source)
        .filter(|r| matches!(r.kind, RowKind::Claim | RowKind::Number))
        .take(3)
        .map(|r| Line::link(Link { text: format!("{}, {}", site.catalog.title(r.doc), r.name), href: rows::to_row(site, r) }))
        .collect();
    let mut name = Line::link(site.link(doc(Kind::Source, used.source)));
    name.after = if s.is_invented() { "; invented for the demonstration".into() } else { String::new() };
    let cells = vec![
        Cell { lines: vec![name] },
        Cell::words(used.all().to_string()),
        Cell::words(used.rows[RowKind::Claim as usize].to_string()),
        Cell::words(used.documents.to_string()),
        Cell::words(s.design.as_ref().map_or("not stated", |d| d.value.word())),
        Cell::words(s.level.as_ref().map_or("not stated".to_string(), |l| format!("{} for {}", l.number.value, l.asks.word()))),
        Cell::words(s.bibliography.year().map_or("not stated".to_string(), |y| y.to_string())),
        Cell::words(format!("{retraction}{checked}")),
        Cell::words(text(&s.seen).unwrap_or_else(|| "not stated".into())),
        Cell::lines(first, "none"),
    ];
    TableRow { id: None, cells }
}
