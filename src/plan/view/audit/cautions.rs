//! Condition by stressor with every silence, and the red flags of each protocol.

use super::{Cell, Line, Section, TableRow, rows};
use crate::compute::dossier::RowKind;
use crate::compute::dossier::matrix::{MatrixCell, matrix};
use crate::model::vocabulary::{Strength, Stressor};
use crate::model::{DocRef, Kind};
use crate::plan::site::{Site, doc};
use crate::plan::words;

type Part = (Vec<String>, Vec<Section>);

pub(super) fn cautions(site: &Site<'_>) -> Part {
    let intro = vec![
        "What each condition says of each kind of load, and the cautions that follow for each protocol.".into(),
        "A silent cell is no permission: it says that nobody wrote anything down.".into(),
    ];
    let mut rows_of = Vec::new();
    for row in matrix(site.catalog, site.facts) {
        let link = |idx| Line::link(site.link(doc(Kind::Condition, idx)));
        let joint = !row.with.is_empty();
        let mut lines: Vec<Line> = std::iter::once(row.condition).chain(row.with.iter().copied()).map(link).collect();
        if let Some((_, ahead)) = lines.split_last_mut() {
            ahead.iter_mut().enumerate().for_each(|(i, line)| line.after = if i == 0 { " together with" } else { ", or" }.into());
        }
        let name = Cell { lines };
        let cells = std::iter::once(name).chain(row.cells.iter().map(|c| cell(c, joint))).collect();
        rows_of.push(TableRow { id: None, cells });
    }
    let heads = std::iter::once("Condition").chain(Stressor::ALL.iter().map(|s| s.word())).collect();
    let matrix = Section {
        id: "matrix".into(),
        heading: "Condition by load".into(),
        words: vec!["Numbers: protocols with a caution from this cell, of those that load people so.".into()],
        heads,
        rows: rows_of,
        ..Section::default()
    };
    (intro, vec![matrix, derived(site, RowKind::Caution, "derived", "Cautions of each protocol")])
}

fn cell(cell: &MatrixCell, joint: bool) -> Cell {
    let one = |(strength, local): &(Strength, bool)| {
        let text = format!("{}{}", strength.word(), if *local { ", in some regions" } else { "" });
        Line { mark: Some(crate::plan::words::strength(*strength)), ..Line::words(text) }
    };
    if cell.says.is_empty() && joint {
        return Cell::words("no more than each alone");
    }
    if cell.says.is_empty() {
        let loads = if cell.exposed > 0 { format!("silent ({} protocols load so)", cell.exposed) } else { "silent".into() };
        return Cell::words(loads);
    }
    let mut lines: Vec<Line> = cell.says.iter().map(one).collect();
    lines.push(Line::words(format!("{} of {}", cell.protocols, cell.exposed)));
    Cell { lines }
}

/// The rows of a kind, one table for each protocol: all in one would be too long to find anything in.
fn derived(site: &Site<'_>, kind: RowKind, id: &str, heading: &str) -> Section {
    let of = |document: DocRef| {
        let rows: Vec<TableRow> = site.facts.dossier.of(kind).filter(|r| r.doc == document).map(|r| rows::table_row(site, r)).collect();
        Section {
            id: format!("{id}-{}", site.catalog.id(document)),
            heading: site.catalog.title(document).to_string(),
            heads: rows::HEADS.into(),
            rows,
            ..Section::default()
        }
    };
    let mut documents: Vec<DocRef> = Vec::new();
    for row in site.facts.dossier.of(kind) {
        if !documents.contains(&row.doc) {
            documents.push(row.doc);
        }
    }
    let parts = documents.into_iter().map(of).collect();
    Section { id: id.into(), heading: heading.into(), parts, ..Section::default() }
}

pub(super) fn flags(site: &Site<'_>) -> Part {
    let mut rows = Vec::new();
    for (idx, flag) in site.catalog.flags.iter() {
        let used: Vec<Line> = site
            .facts
            .protocols
            .iter()
            .zip(site.catalog.docs(Kind::Protocol))
            .filter(|(f, _)| f.flags.flags.iter().any(|d| d.flag == idx))
            .map(|(_, d)| Line::link(site.link(d)))
            .collect();
        let cite = |c: &crate::model::docs::Cite| {
            let mut line = Line::link(site.link(doc(Kind::Source, c.source.to?)));
            line.after = c.at.as_ref().map(|a| format!(", {}", a.value)).unwrap_or_default();
            Some(line)
        };
        let mut rests: Vec<Line> = flag.ground.cites.iter().filter_map(cite).collect();
        rests.extend(flag.ground.basis.as_ref().map(|b| Line::words(format!("Basis: {}", b.value.word()))));
        let clock = flag.urgency.map_or_else(|| "no clock".to_string(), |u| format!("{}: {}", words::urgency(u).word, u.clock()));
        let guidance = [
            flag.guidance_year.as_ref().map(|y| format!("guidance of {}", y.value)),
            flag.guidance_checked.as_ref().map(|d| format!("looked up {}", d.value)),
        ];
        let guidance: Vec<Line> = guidance.into_iter().flatten().map(Line::words).collect();
        let cells = vec![
            Cell::link(site.link(doc(Kind::Flag, idx))),
            Cell::words(clock),
            Cell::words(flag.destination.as_ref().map_or("no destination", |d| &*d.value)),
            Cell::lines(used, "in no protocol"),
            Cell::lines(rests, "nothing stated"),
            Cell::lines(guidance, "not stated"),
        ];
        rows.push(TableRow { id: None, cells });
    }
    let table = Section {
        id: "table".into(),
        heading: "Red flags, where they send people and how fast".into(),
        heads: vec!["Red flag", "Urgency", "Destination", "Protocols", "Rests on", "Guidance"],
        rows,
        ..Section::default()
    };
    let intro = vec!["One document for each red flag: urgency and destination are the same in every protocol that it belongs to.".into()];
    (intro, vec![table, derived(site, RowKind::Flag, "derived", "Red flags of each protocol")])
}
