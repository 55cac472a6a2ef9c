//! Reading by hand: how rows are drawn, and what recorded readings bound.

use super::{Cell, Line, Section, TableRow, rows};
use crate::compute::dossier::reading::{Outcome, Standing, bound, draw, outcome, readable, standing};
use crate::model::docs::{Audit, ReadRow, Verdict};
use crate::plan::site::Site;
use crate::plan::view::parts::Link;

type Part = (Vec<String>, Vec<Section>);

/// Sizes that are offered, with the rates that they bound.
const SIZES: [usize; 3] = [29, 59, 299];

pub(super) fn sample(site: &Site<'_>) -> Part {
    let all = readable(&site.facts.dossier).count();
    let intro = vec![
        format!("Whether a source says what stands beside it can only be read. {all} claims and numbers cite a source and could be drawn."),
        "The command “fascicle audit PACKS --sample 59 --seed WORD” lists the rows to read: all are ordered by SHA-256 of seed, colon and row id, and the first are taken, on every machine the same. A second reader with the same seed reads the same rows.".into(),
        "Only the verdict “supports” counts as right. Rows that changed since they were read, and rows outside the draw, count for nothing.".into(),
    ];
    let mut sections = vec![sizes()];
    sections.extend(site.catalog.audits.rows().iter().filter(|a| a.reading.is_some()).map(|a| record(site, a)));
    if sections.len() == 1 {
        sections.push(Section {
            id: "records".into(),
            heading: "Recorded readings".into(),
            words: vec!["None is recorded. A record is a file in the folder audits of the pack; “fascicle draft audit ID” prints one to start from.".into()],
            ..Section::default()
        });
    }
    (intro, sections)
}

fn percent(rate: f64) -> String {
    // Rounded up: a bound must not look tighter than it is.
    format!("{} %", (rate * 1000.0).ceil() / 10.0)
}

fn sizes() -> Section {
    let row = |n: &usize| {
        let cells = [Some(0), Some(1), Some(2)].map(|x| Cell::words(x.and_then(|x| bound(*n, x)).map(percent).unwrap_or_default()));
        TableRow { id: None, cells: std::iter::once(Cell::words(n.to_string())).chain(cells).collect() }
    };
    Section {
        id: "sizes".into(),
        heading: "What a number of rows bounds".into(),
        words: vec!["With 95 % confidence the rate of wrong rows lies below this: the upper end of the one-sided exact interval.".into()],
        heads: vec!["Rows read", "None wrong", "One wrong", "Two wrong"],
        rows: SIZES.iter().map(row).collect(),
        ..Section::default()
    }
}

fn record(site: &Site<'_>, audit: &Audit) -> Section {
    let id = &audit.head.id.value;
    let when = audit.date.as_ref().map(|d| d.value.to_string()).unwrap_or_default();
    let mut words = vec![format!("By {}, {when}. Interests: {}", audit.role.value, audit.interests.value)];
    words.extend(outcome(&site.facts.dossier, audit).map(|o| told(&o)));
    words.extend(audit.reading.as_ref().map(|r| format!("Seed {}, {} rows drawn.", r.seed.value, r.n.value)));
    words.extend(audit.note.as_ref().map(|n| n.value.to_string()));
    let rows = audit.reading.iter().flat_map(|r| &r.rows).map(|r| read_row(site, r)).collect();
    Section {
        id: format!("record-{id}"),
        heading: format!("Record {id}"),
        words,
        heads: vec!["Row", "What it says now", "Verdict", "Found", "Stands as it was read"],
        rows,
        ..Section::default()
    }
}

fn told(o: &Outcome) -> String {
    let verdicts = Verdict::ALL.iter().zip(o.by_verdict).map(|(v, n)| format!("{}: {n}", v.word())).collect::<Vec<_>>().join(", ");
    let bound = match o.bound {
        Some(rate) => format!("With 95 % confidence fewer than {} of the rows are not fully supported.", percent(rate)),
        None => format!("No bound: {} rows of the draw are open.", o.open),
    };
    let rest = match (o.stale, o.outside) {
        (0, 0) => String::new(),
        (stale, outside) => format!(" Not counted: {stale} gone or changed since, {outside} outside the draw or read twice."),
    };
    format!("{} rows count ({verdicts}). {bound}{rest}", o.read)
}

fn read_row(site: &Site<'_>, read: &ReadRow) -> TableRow {
    let now = site.facts.dossier.row(read.id());
    let says = now.map_or_else(
        || Line::words("no such row any more"),
        |r| Line::link(Link { text: format!("{}, {}: {}", site.catalog.title(r.doc), r.name, r.value), href: rows::to_row(site, r) }),
    );
    let stands = match standing(&site.facts.dossier, read) {
        Standing::Same => "yes",
        Standing::Changed => "no: changed since",
        Standing::Gone => "no: gone",
    };
    let cells = vec![
        Cell::words(&*read.row.value),
        Cell { lines: vec![says] },
        Cell::words(read.verdict.value.word()),
        Cell::words(read.note.as_ref().map_or("", |n| &*n.value)),
        Cell::words(stands),
    ];
    TableRow { id: None, cells }
}

/// The rows of a draw, as a section of the page.
pub fn sample_rows(site: &Site<'_>, seed: &str, n: usize) -> Section {
    let drawn = draw(&site.facts.dossier, seed, n);
    let bounds = bound(drawn.len(), 0).map(percent).unwrap_or_default();
    Section {
        id: "draw".into(),
        heading: format!("{} rows to be read, seed {seed}", drawn.len()),
        words: vec![
            format!("If none is wrong, with 95 % confidence fewer than {bounds} of the rows are not supported."),
            "Whether the source supports the row has to be read: open it, find the place, and write the verdict into a file of the folder audits."
                .into(),
        ],
        heads: rows::HEADS.into(),
        rows: drawn.into_iter().map(|r| TableRow { id: None, ..rows::table_row(site, r) }).collect(),
          ..Section::default()
    }
}
