//! First page of the dossier: what is in it, and what stands on nothing.

use super::{Cell, Line, PARTS, Section, TableRow, rows};
use crate::compute::dossier::{Row, RowKind};
use crate::plan::route;
use crate::plan::site::Site;
use crate::plan::view::parts::Link;

type Part = (Vec<String>, Vec<Section>);

pub(super) fn overview(site: &Site<'_>) -> Part {
    let intro = vec![
        "Every claim, number, caution and red flag of these packs in rows, each with what it rests on and a link to its place. Results have rows where a question or a claim uses them; what follows from them stands beside the rows of their question. The dossier supports a reviewer; it replaces none, and it signs nothing.".into(),
    ];
    (intro, vec![parts(site), counts(site), silent(site)])
}

fn parts(site: &Site<'_>) -> Section {
    let about = |part: &str| match part {
        "claims" => "Statements, by kind of document",
        "numbers" => "Our dose beside the dose studied; amounts of packs, techniques, conditions, measures, results of sources",
        "numbers-protocol" => "Doses, spacing, angles, as written",
        "numbers-muscle" => "Distances, agreement on signs, moment arms",
        "computed" => "Times of steps, skin and stretch of the models; answers of questions",
        "totals" => "What adds up over a visit and a week, and the whole time of a visit",
        "cautions" => "Condition by load, every silence shown; cautions of each protocol",
        "flags" => "Urgency, clock, destination; protocols and sources of each",
        "sources" => "The most used first, with age, retraction check and how far each was read",
        "reporting" => "12 cells for each protocol; two published lists by item number",
        _ => "How rows are drawn to be read, and what recorded readings bound",
    };
    let row = |(part, heading): &(&str, &str)| TableRow {
        id: None,
        cells: vec![Cell::link(Link { text: (*heading).into(), href: site.to(&route::audit(part)) }), Cell::words(about(part))],
    };
    let rows = PARTS.iter().skip(1).map(row).collect();
    Section { id: "parts".into(), heading: "Parts".into(), heads: vec!["Part", "What it holds"], rows, ..Section::default() }
}

fn counts(site: &Site<'_>) -> Section {
    let dossier = &site.facts.dossier;
    let row = |kind: &RowKind| {
        let of: Vec<&Row> = dossier.of(*kind).collect();
        let cited = of.iter().filter(|r| !dossier.cites(r).is_empty()).count();
        let based = of.iter().filter(|r| dossier.cites(r).is_empty() && !dossier.bases(r).is_empty()).count();
        let invented = of.iter().filter(|r| dossier.is_invented(site.catalog, r)).count();
        let numbers = [of.len(), cited, based, of.len() - cited - based, invented];
        TableRow { id: None, cells: std::iter::once(Cell::words(kind.word())).chain(numbers.map(|n| Cell::words(n.to_string()))).collect() }
    };
    Section {
        id: "counts".into(),
        heading: "Rows".into(),
        heads: vec!["Kind", "Rows", "With a source", "With a basis alone", "With neither", "On an invented source"],
        rows: RowKind::ALL.iter().map(row).collect(),
        ..Section::default()
    }
}

/// Rows that stand on nothing: the first thing that a reviewer asks for.
fn silent(site: &Site<'_>) -> Section {
    let dossier = &site.facts.dossier;
    let bare = dossier.rows.iter().filter(|r| r.kind != RowKind::Computed && dossier.cites(r).is_empty() && dossier.bases(r).is_empty());
    let row = |r: &Row| {
        let mut place = Line::link(Link { text: site.catalog.title(r.doc).into(), href: rows::to_row(site, r) });
        place.after = format!(", {}", r.path);
        TableRow { id: None, cells: vec![Cell { lines: vec![place] }, Cell::words(format!("{}: {}", r.name, r.value))] }
    };
    let rows: Vec<TableRow> = bare.map(row).collect();
    let words =
        vec![if rows.is_empty() { "There is none.".to_string() } else { format!("{} rows state neither source nor basis.", rows.len()) }];
    let heads = if rows.is_empty() { Vec::new() } else { vec!["Document and place", "What it says"] };
    Section { id: "silent".into(), heading: "Rows that state nothing they rest on".into(), words, heads, rows, ..Section::default() }
}
