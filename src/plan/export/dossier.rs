//! The rows of the dossier for other programs: one table and one JSON object.

use crate::compute::Facts;
use crate::compute::currency::sign_off::State;
use crate::compute::dossier::matrix::matrix;
use crate::compute::dossier::reading::{bound, draw, outcome};
use crate::compute::dossier::{Row, ratios};
use crate::error::ToolError;
use crate::model::Catalog;
use crate::model::docs::Cite;
use crate::model::evidence::Certainty;
use crate::plan::references::References;
use crate::plan::site::Site;
use crate::plan::view::audit::{standing, state};
use crate::plan::{route, words};
use crate::source::Span;
use serde_json::{Value, json};

/// Version of the object; it changes when a key is taken away or means something else.
const VERSION: u32 = 1;

/// Where a value stands.
#[derive(Clone, Debug)]
pub struct Place {
    /// Number of the pack.
    pub pack: usize,
    /// Path inside the pack.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// JSON pointer.
    pub pointer: String,
}

/// A draw: seed and number of rows.
pub type Draw<'a> = Option<(&'a str, usize)>;

const HEADS: [&str; 19] = [
    "row",
    "mark",
    "kind",
    "pack",
    "document",
    "title",
    "path",
    "file",
    "line",
    "column",
    "name",
    "value",
    "sources",
    "places_in_sources",
    "basis",
    "level_and_certainty",
    "state",
    "invented",
    "through_rows",
];

fn chosen<'a>(facts: &'a Facts, drawn: Draw<'_>) -> Vec<&'a Row> {
    match drawn {
        Some((seed, n)) => draw(&facts.dossier, seed, n),
        None => facts.dossier.rows.iter().collect(),
    }
}

/// All rows, or those of a draw, as a table: RFC 4180 with a byte order mark, without which spreadsheet programs
/// misread what is not ASCII.
///
/// # Errors
/// When a shipped style of references is broken.
pub fn csv(catalog: &Catalog, facts: &Facts, drawn: Draw<'_>, place: &dyn Fn(Span) -> Place) -> Result<String, ToolError> {
    let references = &References::of(catalog)?;
    let site = &Site { catalog, facts, references, path: route::HOME };
    let mut out = String::from("\u{feff}");
    out += &record(HEADS.iter().map(ToString::to_string));
    for row in chosen(facts, drawn) {
        out += &record(fields(site, row, place));
    }
    Ok(out)
}

fn fields(site: &Site<'_>, row: &Row, place: &dyn Fn(Span) -> Place) -> [String; HEADS.len()] {
    let (catalog, facts) = (site.catalog, site.facts);
    let (dossier, at) = (&facts.dossier, place(row.at));
    let cites = dossier.cites(row);
    let each = |of: &dyn Fn(&Cite) -> String| cites.iter().map(|c| of(c)).collect::<Vec<_>>().join("; ");
    let through: Vec<&str> = row.from.iter().filter_map(|i| dossier.rows.get(*i)).map(|r| r.id.as_str()).collect();
    let pack = catalog.packs.rows().get(at.pack).map(|p| p.head.id.value.to_string()).unwrap_or_default();
    [
        row.id.clone(),
        row.mark.clone(),
        row.kind.word().into(),
        pack,
        format!("{}/{}", row.doc.kind.word(), catalog.id(row.doc)),
        catalog.title(row.doc).into(),
        row.path.clone(),
        at.file,
        at.line.to_string(),
        at.column.to_string(),
        row.name.clone(),
        row.value.clone(),
        each(&|c| c.source.written.value.to_string()),
        each(&|c| c.at.as_ref().map(|a| a.value.to_string()).unwrap_or_default()),
        dossier.bases(row).join("; "),
        standing(site, row).join("; "),
        state(site, row).into(),
        if dossier.is_invented(catalog, row) { "yes" } else { "no" }.into(),
        through.join(" "),
    ]
}

/// A record of the table, ended by CR and LF.
fn record(fields: impl IntoIterator<Item = String>) -> String {
    fields.into_iter().map(|f| field(&f)).collect::<Vec<_>>().join(",") + "\r\n"
}

/// A field. Spreadsheet programs run what begins with one of these characters as a formula, so an apostrophe is set
/// before it; hard spaces become plain ones, so that searching finds `30 s`.
fn field(text: &str) -> String {
    let plain = text.replace('\u{a0}', " ");
    let runs = plain.trim_start_matches(' ').starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']);
    let safe = if runs { format!("'{plain}") } else { plain };
    if safe.contains([',', '"', '\r', '\n']) || safe.starts_with(' ') || safe.ends_with(' ') {
        format!("\"{}\"", safe.replace('"', "\"\""))
    } else {
        safe
    }
}

/// The dossier as one JSON object.
pub fn json(catalog: &Catalog, facts: &Facts, drawn: Draw<'_>, place: &dyn Fn(Span) -> Place) -> String {
    let rows: Vec<Value> = chosen(facts, drawn).into_iter().map(|r| row(catalog, facts, r, place)).collect();
    let packs: Vec<Value> = catalog
        .packs
        .rows()
        .iter()
        .map(|p| json!({"id": *p.head.id.value, "edition": *p.edition.value, "demonstration": p.demonstration.as_ref().map(|d| d.value.to_string())}))
        .collect();
    let mut object = json!({"version": VERSION, "kind": "dossier", "use": words::USE_NOTE, "signed": false, "packs": packs});
    if let (Some((seed, n)), Some(map)) = (drawn, object.as_object_mut()) {
        map.insert(
            "draw".into(),
            json!({
                "seed": seed, "asked": n, "drawn": rows.len(), "bound_without_error": bound(rows.len(), 0), "confidence": 0.95,
                "support": "to be read", "order": "SHA-256 of seed, colon, row",
            }),
        );
    }
    if let Some(map) = object.as_object_mut() {
        map.insert("rows".into(), rows.into());
        if drawn.is_none() {
            map.insert("studied".into(), studied(catalog).into());
            map.insert("cautions".into(), silences(catalog, facts).into());
            map.insert("readings".into(), readings(catalog, facts).into());
        }
    }
    serde_json::to_string_pretty(&object).unwrap_or_default() + "\n"
}

fn row(catalog: &Catalog, facts: &Facts, row: &Row, place: &dyn Fn(Span) -> Place) -> Value {
    let (dossier, at) = (&facts.dossier, place(row.at));
    let cite = |c: &&Cite| {
        let source = c.source.to.map(|s| &catalog.sources[s]);
        json!({
            "source": *c.source.written.value, "at": c.at.as_ref().map(|a| a.value.to_string()), "for": c.supports.as_ref().map(|a| a.value.to_string()),
            "level": source.and_then(|s| s.level.as_ref()).map(|l| json!({"number": l.number.value, "for": l.asks.word()})),
            "invented": source.is_some_and(crate::model::docs::Source::is_invented),
        })
    };
    json!({
        "row": row.id, "mark": row.mark, "kind": row.kind.word(), "document": format!("{}/{}", row.doc.kind.word(), catalog.id(row.doc)),
        "path": row.path, "file": at.file, "line": at.line, "column": at.column, "pointer": at.pointer,
        "name": row.name, "value": row.value, "cites": dossier.cites(row).iter().map(cite).collect::<Vec<_>>(),
        "basis": dossier.bases(row), "own_ground": !row.ground.is_silent(),
        "through": row.from.iter().filter_map(|i| dossier.rows.get(*i)).map(|r| r.id.as_str()).collect::<Vec<_>>(),
        "certainty": row.certainty.map(Certainty::word),
        "state": facts.state_of(catalog, row.doc).map(State::word),
    })
}

fn studied(catalog: &Catalog) -> Vec<Value> {
    let one = |b: &ratios::Beside<'_>| {
        let of = |r: &crate::compute::studied::Ratio| json!({"parameter": r.ours.name, "ours": r.ours.most, "theirs": r.theirs, "times": r.times()});
        json!({
            "protocol": *catalog.protocols[b.protocol].head.id.value, "path": b.path, "source": *catalog.sources[b.source].head.id.value,
            "through_technique": b.inherited, "own_way": b.own_way, "arm": b.against.as_ref().map(|a| a.arm.id.value.to_string()),
            "ratios": b.against.as_ref().map(|a| a.ratios.iter().map(of).collect::<Vec<_>>()), "not_reported": b.not_reported,
        })
    };
    ratios::all(catalog).iter().map(one).collect()
}

/// Every cell of the matrix; an empty list is a silence.
fn silences(catalog: &Catalog, facts: &Facts) -> Vec<Value> {
    let mut out = Vec::new();
    for r in matrix(catalog, facts) {
        let with: Vec<&str> = r.with.iter().map(|c| &*catalog.conditions[*c].head.id.value).collect();
        for c in &r.cells {
            let says: Vec<Value> = c.says.iter().map(|(s, local)| json!({"strength": s.word(), "some_regions": local})).collect();
            out.push(json!({
                "condition": *catalog.conditions[r.condition].head.id.value, "with": with, "stressor": c.stressor.word(), "says": says,
                "protocols": c.protocols, "exposed": c.exposed,
            }));
        }
    }
    out
}

fn readings(catalog: &Catalog, facts: &Facts) -> Vec<Value> {
    let one = |a: &crate::model::docs::Audit| {
        let o = outcome(&facts.dossier, a)?;
        Some(json!({"record": *a.head.id.value, "read": o.read, "open": o.open, "stale": o.stale, "outside": o.outside, "bound": o.bound}))
    };
    catalog.audits.rows().iter().filter_map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::field;

    #[test]
    fn fields_are_quoted_where_they_must_and_never_run_as_formulas() {
        let cases = [
            ("30\u{a0}s", "30 s"),
            ("a, b", "\"a, b\""),
            ("a \"b\"", "\"a \"\"b\"\"\""),
            ("two\nlines", "\"two\nlines\""),
            ("=1+1", "'=1+1"),
            ("+1", "'+1"),
            ("-0.55 °C", "'-0.55 °C"),
            ("@x", "'@x"),
            ("\tx", "'\tx"),
            ("\rx", "\"'\rx\""),
            (" =1", "' =1"),
            ("=a,b", "\"'=a,b\""),
            ("", ""),
        ];
        for (text, wanted) in cases {
            assert_eq!(field(text), wanted, "{text:?}");
        }
    }
}
