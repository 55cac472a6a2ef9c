//! Rows of claims and numbers, and the way from a number on a page to its row.

use super::{Cell, Line, Section, TableRow};
use crate::compute::amount::shown;
use crate::compute::dossier::{Row, RowKind, ratios};
use crate::compute::studied::PER_WEEK;
use crate::model::docs::Cite;
use crate::model::evidence::Certainty;
use crate::model::interval::Interval;
use crate::model::quantity::number;
use crate::model::{DocRef, Kind};
use crate::plan::site::{Site, doc};
use crate::plan::view::parts::Link;
use crate::plan::{route, words};

type Part = (Vec<String>, Vec<Section>);

/// Heads of a table of rows.
pub(super) const HEADS: [&str; 6] = ["Row", "Document and place", "What it says", "Rests on", "Level and certainty", "State"];

/// Link from a page to the row of a value; `None` if the dossier has no such row.
pub fn trace(site: &Site<'_>, document: DocRef, kind: RowKind, path: &str) -> Option<Link> {
    let row = site.facts.dossier.at(document, kind, path)?;
    Some(Link { text: row.name.clone(), href: to_row(site, row) })
}

/// The part in which a row stands. Numbers are so many that one page of them would be slow to open.
fn part_of(row: &Row) -> &'static str {
    match (row.kind, row.doc.kind) {
        (RowKind::Claim, _) => "claims",
        (RowKind::Number, Kind::Protocol) => "numbers-protocol",
        (RowKind::Number, Kind::Muscle) => "numbers-muscle",
        (RowKind::Number, _) => "numbers",
        (RowKind::Computed, _) if row.path.starts_with("ledger/") || row.path == "time" => "totals",
        (RowKind::Computed, _) => "computed",
        (RowKind::Caution, _) => "cautions",
        (RowKind::Flag, _) => "flags",
    }
}

/// Address of a row.
pub(super) fn to_row(site: &Site<'_>, row: &Row) -> String {
    format!("{}#r-{}", site.to(&route::audit(part_of(row))), row.id)
}

/// Link to the place of a row on the page of its document.
pub fn place_of(site: &Site<'_>, row: &Row) -> Link {
    let parts: Vec<&str> = row.path.split('/').collect();
    let anchor = match parts.as_slice() {
        ["steps", n, ..] => format!("#step-{n}"),
        ["points", n, ..] => format!("#point-{n}"),
        ["ledger", ..] => "#ledger".to_string(),
        ["time"] => "#time".to_string(),
        ["home" | "spacing", ..] => "#after-care".to_string(),
        ["evidence" | "rationale", ..] if row.doc.kind == Kind::Protocol => "#evidence".to_string(),
        ["results", id] => format!("#result-{id}"),
        ["outcomes", id, ..] => format!("#outcome-{id}"),
        ["cautions", ..] => "#cautions".to_string(),
        ["flags", ..] => "#stop".to_string(),
        _ => String::new(),
    };
    let page = route::page(site.catalog, row.doc);
    let page = if page.contains('#') { page } else { page + &anchor };
    Link { text: site.catalog.title(row.doc).to_string(), href: site.to(&page) }
}

/// Lines for what carries a row: citations with their places, else the basis.
pub fn cites(site: &Site<'_>, row: &Row) -> Vec<Line> {
    let line = |c: &&Cite| {
        let source = c.source.to?;
        let mut line = Line::link(site.link(doc(Kind::Source, source)));
        line.after = [c.at.as_ref().map(|a| format!(", {}", a.value)), c.supports.as_ref().map(|s| format!(" (for {})", s.value))]
            .into_iter()
            .flatten()
            .collect();
        if site.catalog.sources[source].is_invented() {
            line.after += "; invented for the demonstration";
        }
        Some(line)
    };
    let mut out: Vec<Line> = site.facts.dossier.cites(row).iter().filter_map(line).collect();
    out.extend(site.facts.dossier.bases(row).iter().map(|b| Line::words(format!("Basis: {b}"))));
    out
}

/// Rows behind a row, as links; those of other documents with their title.
pub(super) fn behind(site: &Site<'_>, row: &Row) -> Vec<Line> {
    let link = |r: &Row| {
        let mut line = Line::link(Link { text: r.name.clone(), href: to_row(site, r) });
        let other = if r.doc == row.doc { String::new() } else { format!(" ({})", site.catalog.title(r.doc)) };
        line.after = format!("{other}: {}", r.value);
        line
    };
    row.from.iter().filter_map(|i| site.facts.dossier.rows.get(*i)).map(link).collect()
}

/// Levels of the sources of a row and the certainty behind it, as words.
pub fn standing(site: &Site<'_>, row: &Row) -> Vec<String> {
    let level = |s: &crate::model::docs::Source| s.level.as_ref().map(|l| format!("level {} for {}", l.number.value, l.asks.word()));
    let mut out: Vec<String> = site.facts.dossier.sources(row).iter().filter_map(|s| level(&site.catalog.sources[*s])).collect();
    out.sort_unstable();
    out.dedup();
    out.extend(row.certainty.map(|c| format!("certainty {}", Certainty::word(c))));
    out
}

/// State of the document of a row.
pub fn state(site: &Site<'_>, row: &Row) -> &'static str {
    site.mark(row.doc).map_or("Signed with what rests on it", |m| m.word)
}

pub(super) fn table_row(site: &Site<'_>, row: &Row) -> TableRow {
    let mut place = Line::link(place_of(site, row));
    place.after = format!(", {}/{}, {}", row.doc.kind.word(), site.catalog.id(row.doc), row.path);
    let mut says = vec![Line::words(format!("{}: {}", row.name, row.value))];
    let lead = match row.kind {
        RowKind::Computed => Some("Computed from:"),
        RowKind::Caution if !row.from.is_empty() => Some("Limits:"),
        _ => None,
    };
    if let Some(lead) = lead {
        says.push(Line::words(lead));
        says.extend(behind(site, row));
    }
    let mut rests = cites(site, row);
    if rests.is_empty() {
        rests.extend((row.kind != RowKind::Computed).then(|| Line::words("nothing stated")));
    } else if row.ground.is_silent() && lead.is_none() {
        rests.push(Line::words("through:"));
        rests.extend(behind(site, row));
    }
    let cells = vec![
        Cell::words(format!("{}.{}", row.id, row.mark)),
        Cell { lines: vec![place] },
        Cell { lines: says },
        Cell::lines(rests, "the rows that it is computed from"),
        Cell::lines(standing(site, row).into_iter().map(Line::words).collect(), "not stated"),
        Cell::words(state(site, row)),
    ];
    TableRow { id: Some(format!("r-{}", row.id)), cells }
}

/// One table for each kind of document with rows in a part.
fn by_kind(site: &Site<'_>, part: &str) -> Vec<Section> {
    let mut out = Vec::new();
    for kind in std::iter::once(Kind::Pack).chain(route::PAGED) {
        let rows: Vec<TableRow> =
            site.facts.dossier.rows.iter().filter(|r| r.doc.kind == kind && part_of(r) == part).map(|r| table_row(site, r)).collect();
        if !rows.is_empty() {
            let heading = route::heading(kind);
            out.push(Section {
                id: format!("of-{}", kind.word()),
                heading: heading.into(),
                heads: HEADS.into(),
                rows,
                ..Section::default()
            });
        }
    }
    out
}

pub(super) fn claims(site: &Site<'_>) -> Part {
    let intro = vec![
        "Every statement that carries a ground, with its source, the place in it, the level of that source and the certainty behind the statement.".into(),
        "A row keeps its id when a file is indented anew or a list is put in another order; the digits after the stop change with what stands there.".into(),
    ];
    (intro, by_kind(site, "claims"))
}

pub(super) fn numbers(site: &Site<'_>) -> Part {
    let intro = vec![
        "Our dose beside the dose studied, and every amount that somebody wrote outside of protocols and muscles, with what it rests on. Results of sources are those that a question or a claim uses.".into(),
    ];
    let mut sections = vec![beside_studied(site)];
    sections.extend(by_kind(site, "numbers"));
    (intro, sections)
}

/// Numbers of a kind of document that fills a page of its own.
pub(super) fn numbers_of(site: &Site<'_>, part: &str) -> Part {
    let intro = vec![
        "Every amount that somebody wrote here, with what it rests on. A dose without a ground of its own rests on the number of its technique, which is named.".into(),
    ];
    (intro, by_kind(site, part))
}

pub(super) fn computed(site: &Site<'_>, part: &str) -> Part {
    let intro = vec!["Every amount that is computed from others, with the rows behind it.".into()];
    (intro, by_kind(site, part))
}

/// Dose of each step beside the dose that its source studied.
fn beside_studied(site: &Site<'_>) -> Section {
    let mut rows = Vec::new();
    for b in ratios::all(site.catalog) {
        let mut ratio: Vec<Line> = Vec::new();
        if let Some(found) = &b.against {
            for r in &found.ratios {
                let one = |x: f64| shown(r.ours.dim, Interval::exact(x));
                ratio.push(Line::words(format!(
                    "{}: {} against {}, {} times",
                    words::parameter(&r.ours.name),
                    one(r.ours.most),
                    one(r.theirs),
                    times(r.times())
                )));
            }
            ratio.push(Line::words(format!("in all, of what adds up: {} times", times(found.in_all()))));
        }
        ratio.extend(b.not_reported.iter().map(|n| Line::words(format!("{}: not reported", words::parameter(n)))));
        let named = |name: &str| {
            b.not_reported.iter().any(|n| n == name) || b.against.as_ref().is_some_and(|a| a.ratios.iter().any(|r| r.ours.name == name))
        };
        ratio.extend(
            b.ours
                .iter()
                .filter(|o| o.name != PER_WEEK && !named(&o.name))
                .map(|o| Line::words(format!("{}: not in the source's arms", words::parameter(&o.name)))),
        );
        let mut source = Line::link(site.link(doc(Kind::Source, b.source)));
        source.after = b.at.map(|a| format!(", {a}")).unwrap_or_default() + if b.inherited { " (through the technique)" } else { "" };
        let arm = b.against.as_ref().map_or_else(|| "none can be compared".to_string(), |a| a.arm.name.value.to_string());
        let mut place = Line::link(site.link(doc(Kind::Protocol, b.protocol)));
        place.after = format!(", {}", b.path);
        let way = if b.own_way { "yes: a basis stands beside the source" } else { "no" };
        rows.push(TableRow {
            id: None,
            cells: vec![
                Cell { lines: vec![place] },
                Cell { lines: vec![source] },
                Cell::words(arm),
                Cell { lines: ratio },
                Cell::words(way),
            ],
        });
    }
    Section {
        id: "studied".into(),
        heading: "Our dose beside the dose studied".into(),
        words: vec!["High ends are compared. Where a source has several arms, the closest one is taken. What no arm gives says so.".into()],
        heads: vec!["Step or home item", "Source", "Arm", "Ours against theirs", "House goes its own way"],
        rows,
        ..Section::default()
    }
}

fn times(ratio: f64) -> String {
    number((ratio * 10.0).round() / 10.0)
}
