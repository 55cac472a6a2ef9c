//! Coverage: muscles by part of the work, and techniques by protocol.

use crate::compute::coverage::{Cell, Column, Coverage, Extent, Row, Use};
use crate::model::docs::{Protocol, Technique};
use crate::model::vocabulary::Stressor;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc};
use crate::plan::view::parts::{Frame, Link, Mark};
use crate::plan::{route, words};
use serde::Serialize;
use serde_json::{Value, json};

/// View of `coverage.html`.
#[derive(Debug, Serialize)]
pub struct CoveragePage {
    /// Frame.
    pub frame: Frame,
    /// Columns with what each asks for.
    pub columns: Vec<(String, Vec<&'static str>)>,
    /// Muscles.
    pub rows: Vec<MuscleRow>,
    /// The last row: for each column its heading and a text.
    pub totals: Vec<(String, String)>,
    /// What the words of the cells mean.
    pub key: Vec<(Mark, &'static str)>,
    /// Protocols, by their muscle where no two have the same.
    pub protocols: Vec<Link>,
    /// Techniques.
    pub techniques: Vec<TechniqueRow>,
}

/// A muscle.
#[derive(Debug, Serialize)]
pub struct MuscleRow {
    /// The muscle.
    pub muscle: Link,
    /// Cells.
    pub cells: Vec<CellView>,
}

/// A cell.
#[derive(Debug, Serialize)]
pub struct CellView {
    /// Heading of its column.
    pub head: String,
    /// How much there is.
    pub mark: Mark,
    /// Where it stands; none where nothing is.
    pub links: Vec<Link>,
    /// What is not there.
    pub lacks: Vec<&'static str>,
}

/// A technique.
#[derive(Debug, Serialize)]
pub struct TechniqueRow {
    /// The technique.
    pub technique: Link,
    /// Its loads.
    pub loads: Vec<&'static str>,
    /// Where it stands.
    pub mark: Option<Mark>,
    /// How many protocols use it.
    pub count: usize,
    /// For each protocol the steps and home items, if it uses the technique.
    pub cells: Vec<Option<Link>>,
}

/// The page.
pub fn page(site: &Site<'_>, coverage: &Coverage) -> CoveragePage {
    CoveragePage {
        frame: super::frame(site, "Coverage"),
        columns: columns(coverage),
        rows: coverage.rows.iter().map(|r| row(site, r)).collect(),
        totals: Column::ALL.iter().map(|c| (words::capital(c.word()), total(coverage, *c))).collect(),
        key: Extent::ALL.iter().map(|e| (mark(*e), crate::plan::terms::extent(*e))).collect(),
        protocols: coverage.protocols.iter().map(|p| column(site, coverage, *p)).collect(),
        techniques: coverage.techniques.iter().map(|(t, uses)| technique(site, coverage, *t, uses)).collect(),
    }
}

fn columns(coverage: &Coverage) -> Vec<(String, Vec<&'static str>)> {
    let asks = |i: usize| coverage.rows.first().and_then(|r| r.cells.get(i)).map(|c| c.asked.iter().map(|a| a.what).collect());
    Column::ALL.iter().enumerate().map(|(i, c)| (words::capital(c.word()), asks(i).unwrap_or_default())).collect()
}

fn mark(extent: Extent) -> Mark {
    let (shape, class) = match extent {
        Extent::There => ("circle", "cover-there"),
        Extent::Part => ("ring", "cover-part"),
        Extent::Missing => ("dash", "cover-missing"),
    };
    Mark { word: extent.word(), shape, class }
}

fn total(coverage: &Coverage, column: Column) -> String {
    let n = |extent| coverage.count(column, extent);
    format!("{} of {} there, {} in part, {} missing", n(Extent::There), coverage.rows.len(), n(Extent::Part), n(Extent::Missing))
}

fn row(site: &Site<'_>, row: &Row) -> MuscleRow {
    let cells = row.cells.iter().map(|cell| CellView {
        head: words::capital(cell.column.word()),
        mark: mark(cell.extent()),
        links: if cell.extent() == Extent::Missing { Vec::new() } else { links(site, row, cell) },
        lacks: cell.lacks(),
    });
    MuscleRow { muscle: site.link(doc(Kind::Muscle, row.muscle)), cells: cells.collect() }
}

/// The very sections in which a cell stands. A section that the page does not have is not linked.
fn links(site: &Site<'_>, row: &Row, cell: &Cell) -> Vec<Link> {
    let m = &site.catalog.muscles[row.muscle];
    let on_muscle =
        |anchor: &str, text: &str, has: bool| has.then(|| at(site.href(doc(Kind::Muscle, row.muscle)), anchor, text.to_string()));
    let on_protocols = |anchor: &str| -> Vec<Link> {
        let name = |i: usize| if row.protocols.len() == 1 { "protocol".to_string() } else { format!("protocol {}", i + 1) };
        row.protocols.iter().enumerate().map(|(i, p)| at(site.href(doc(Kind::Protocol, *p)), anchor, name(i))).collect()
    };
    let own = match cell.column {
        Column::Anatomy => on_muscle("anatomy", "muscle", true),
        Column::Find => on_muscle(if m.points.is_empty() { "palpation" } else { "points" }, "muscle", true),
        Column::Cautions => on_muscle("hazards", "hazards", !m.hazards.is_empty()),
        Column::Chart => on_muscle("chart", "muscle", crate::plan::view::chart::of_muscle(site, row.muscle).is_some()),
        Column::Mechanics => on_muscle("mechanics", "muscle", true),
        Column::SignOff => on_muscle("main", "muscle", true),
        Column::Do | Column::Evidence => None,
    };
    let protocols = match cell.column {
        Column::Find => on_protocols("find"),
        Column::Do => on_protocols("do"),
        Column::Cautions => on_protocols("stop"),
        Column::Evidence => on_protocols("evidence"),
        Column::SignOff => on_protocols("main"),
        Column::Anatomy | Column::Chart | Column::Mechanics => Vec::new(),
    };
    own.into_iter().chain(protocols).collect()
}

fn at(page: String, anchor: &str, text: String) -> Link {
    Link { text, href: page + "#" + anchor }
}

fn column(site: &Site<'_>, coverage: &Coverage, protocol: Idx<Protocol>) -> Link {
    let link = site.link(doc(Kind::Protocol, protocol));
    let muscle = |p: Idx<Protocol>| site.catalog.protocols[p].muscle.to;
    let alone = coverage.protocols.iter().filter(|p| muscle(**p) == muscle(protocol)).count() == 1;
    let name = muscle(protocol).filter(|_| alone).map(|m| site.catalog.muscles[m].name.value.to_string());
    Link { text: name.unwrap_or(link.text), href: link.href }
}

fn technique(site: &Site<'_>, coverage: &Coverage, idx: Idx<Technique>, uses: &[Use]) -> TechniqueRow {
    let own = doc(Kind::Technique, idx);
    let cell = |protocol: &Idx<Protocol>| {
        let u = uses.iter().find(|u| u.protocol == *protocol)?;
        let first = u.steps.first().map_or("after-care".to_string(), |n| format!("step-{n}"));
        Some(at(site.href(doc(Kind::Protocol, *protocol)), &first, used(u)))
    };
    let mut loads: Vec<Stressor> = site.catalog.techniques[idx].exposes.iter().map(|e| e.stressor).collect();
    loads.dedup();
    TechniqueRow {
        technique: site.link(own),
        loads: loads.into_iter().map(Stressor::word).collect(),
        mark: site.mark(own),
        count: uses.len(),
        cells: coverage.protocols.iter().map(cell).collect(),
    }
}

fn used(u: &Use) -> String {
    let text = |n: &[String], one, many| words::numbered(one, many, n);
    let steps: Vec<String> = u.steps.iter().map(ToString::to_string).collect();
    let home: Vec<String> = u.home.iter().map(ToString::to_string).collect();
    let parts = [text(&steps, "step", "steps"), text(&home, "home item", "home items")];
    parts.into_iter().filter(|p| !p.is_empty()).collect::<Vec<_>>().join("; ")
}

/// The same for machines.
pub fn data(site: &Site<'_>, coverage: &Coverage) -> Value {
    let catalog = site.catalog;
    let cell = |c: &Cell| json!({"column": c.column.word(), "extent": c.extent().word(), "lacks": c.lacks()});
    let muscle = |r: &Row| {
        let own = doc(Kind::Muscle, r.muscle);
        let protocols: Vec<&str> = r.protocols.iter().map(|p| catalog.id(doc(Kind::Protocol, *p))).collect();
        json!({"id": catalog.id(own), "title": catalog.title(own), "page": route::page(catalog, own), "protocols": protocols,
            "cells": r.cells.iter().map(cell).collect::<Vec<_>>()})
    };
    let technique = |(t, uses): &(Idx<_>, Vec<Use>)| {
        let own = doc(Kind::Technique, *t);
        let used = |u: &Use| json!({"id": catalog.id(doc(Kind::Protocol, u.protocol)), "steps": u.steps, "home": u.home});
        json!({"id": catalog.id(own), "title": catalog.title(own), "page": route::page(catalog, own), "protocols": uses.iter().map(used).collect::<Vec<_>>()})
    };
    let totals = |c: &Column| {
        let counts: serde_json::Map<String, Value> =
            Extent::ALL.iter().map(|e| (e.word().to_string(), coverage.count(*c, *e).into())).collect();
        json!({"column": c.word(), "muscles": counts})
    };
    let asks = columns(coverage).into_iter().zip(Column::ALL).map(|((_, asks), c)| json!({"column": c.word(), "asks": asks}));
    json!({
        "version": crate::plan::export::VERSION, "kind": "coverage", "use": words::USE_NOTE, "columns": asks.collect::<Vec<_>>(),
        "muscles": coverage.rows.iter().map(muscle).collect::<Vec<_>>(), "totals": Column::ALL.iter().map(totals).collect::<Vec<_>>(),
        "techniques": coverage.techniques.iter().map(technique).collect::<Vec<_>>(),
    })
}
