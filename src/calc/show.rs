//! Results as programs and people read them. Returns text; only `cli` prints.

use super::{CAUTION, Done, Outcome, place};
use crate::calc::rule::rule;
use crate::finding::Finding;
use crate::load::worksheet::Worksheet;
use serde::Serialize;
use serde_json::{Map, Value};

#[derive(Serialize)]
struct Report<'a> {
    version: u32,
    results: Vec<Entry<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    errors: Vec<Fault<'a>>,
    caution: &'static str,
}

#[derive(Serialize)]
struct Entry<'a> {
    id: &'a str,
    kind: &'a str,
    ok: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    result: Option<&'a Map<String, Value>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    notes: Option<&'a [String]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<Fault<'a>>,
    /// What else is wrong with the entry, after `error`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    more_errors: Vec<Fault<'a>>,
}

#[derive(Serialize)]
struct Fault<'a> {
    message: &'a str,
    pointer: String,
    file: &'a str,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
    check: &'a str,
    label: &'a str,
    help: Option<&'a str>,
}

/// Results for programs: one object, numbers with full precision, `null` for undefined and never.
pub fn json(sheet: &Worksheet, done: &[Done]) -> String {
    let results = done.iter().map(|d| entry(sheet, d)).collect();
    text(&Report { version: 1, results, errors: Vec::new(), caution: CAUTION })
}

/// What was wrong with a sheet that could not be read, for programs.
pub fn json_unreadable(sheet: &Worksheet, findings: &[Finding]) -> String {
    let errors = findings.iter().map(|f| fault(sheet, f)).collect();
    text(&Report { version: 1, results: Vec::new(), errors, caution: CAUTION })
}

fn text(report: &Report<'_>) -> String {
    let mut text = serde_json::to_string_pretty(report).unwrap_or_default();
    text.push('\n');
    text
}

fn entry<'a>(sheet: &'a Worksheet, done: &'a Done) -> Entry<'a> {
    let (outcome, findings): (Option<&Outcome>, &[Finding]) = match &done.result {
        Ok(outcome) => (Some(outcome), &[]),
        Err(findings) => (None, findings),
    };
    let mut faults = findings.iter().map(|f| fault(sheet, f));
    Entry {
        id: &done.id,
        kind: &done.kind,
        ok: outcome.is_some(),
        result: outcome.map(|o| &o.result),
        notes: outcome.map(|o| o.notes.as_slice()),
        error: faults.next(),
        more_errors: faults.collect(),
    }
}

fn fault<'a>(sheet: &'a Worksheet, finding: &'a Finding) -> Fault<'a> {
    let (pointer, line, column) = place(finding, &sheet.map, sheet.tree.as_ref());
    let end = sheet.map.position(finding.primary.span.file, finding.primary.span.end);
    Fault {
        message: &finding.message,
        pointer,
        file: sheet.map.path(sheet.file),
        line,
        column,
        end_line: end.line,
        end_column: end.column,
        check: finding.check,
        label: &finding.primary.text,
        help: finding.help.as_deref(),
    }
}

/// Results for people: rounded, with units. What failed is named here and told elsewhere.
pub fn table(done: &[Done]) -> String {
    let mut out = String::new();
    for d in done {
        match &d.result {
            Ok(outcome) => {
                out += &format!("{}  ({})\n", d.id, d.kind);
                out += &answer(outcome);
                let mut rows = Vec::new();
                lines("", &outcome.result, &mut rows);
                let width = rows.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0);
                for (name, value) in rows {
                    out += &format!("  {name:width$}  {value}\n");
                }
                for note in &outcome.notes {
                    out += &format!("  note: {note}\n");
                }
            }
            Err(_) => out += &format!("{}  ({})\n  not calculated\n", d.id, d.kind),
        }
        out.push('\n');
    }
    out + CAUTION + "\n"
}

/// The answer before its working.
fn answer(outcome: &Outcome) -> String {
    if outcome.answer.is_empty() {
        return String::new();
    }
    let cells: Vec<Vec<String>> = outcome.answer.iter().map(|row| row.iter().map(plain).collect()).collect();
    let told: String = aligned(&cells).into_iter().flat_map(|line| ["  ".to_string(), line, "\n".to_string()]).collect();
    format!("{told}\n  working\n")
}

fn lines(path: &str, map: &Map<String, Value>, rows: &mut Vec<(String, String)>) {
    for (key, value) in map {
        let name = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
        match value {
            Value::Object(inner) if side_by_side(inner) => columns(&name, inner, rows),
            Value::Object(inner) if !inner.is_empty() && !unit(key).is_empty() => {
                rows.extend(inner.iter().map(|(k, v)| (format!("{name}.{k}"), shown(key, v))));
            }
            Value::Object(inner) => lines(&name, inner, rows),
            Value::Array(items) if is_grid(items) => grid(&name, items, rows),
            Value::Array(items) if items.iter().any(Value::is_object) => {
                for (i, inner) in items.iter().enumerate().filter_map(|(i, item)| Some((i, item.as_object()?))) {
                    // A part that carries the reader's own id is found by it.
                    let id = inner.get("id").map_or_else(|| i.to_string(), plain);
                    let rest = inner.iter().filter(|(k, _)| *k != "id").map(|(k, v)| (k.clone(), v.clone())).collect();
                    lines(&format!("{name}.{id}"), &rest, rows);
                }
            }
            other => rows.push((name, shown(key, other))),
        }
    }
}

/// True for a list of like entries without lists of their own, which is read as a table.
fn is_grid(items: &[Value]) -> bool {
    let mut entries = items.iter().map(Value::as_object);
    let Some(Some(first)) = entries.next() else { return false };
    let flat = |map: &Map<String, Value>| map.values().all(|v| !v.is_object() && !v.is_array());
    items.len() > 1 && flat(first) && entries.all(|e| e.is_some_and(|e| flat(e) && e.keys().eq(first.keys())))
}

/// A line of heads and a line for each entry, which is found by its id; a text that all share is said once.
fn grid(name: &str, items: &[Value], rows: &mut Vec<(String, String)>) {
    let entries: Vec<&Map<String, Value>> = items.iter().filter_map(Value::as_object).collect();
    let Some(first) = entries.first() else { return };
    let shared = |key: &str, value: &Value| value.is_string() && entries.iter().all(|e| e.get(key) == Some(value));
    let own = first.iter().filter(|(k, _)| *k != "id");
    let (said, told): (Vec<_>, Vec<_>) = own.partition(|(k, v)| shared(k, v));
    let head = said.iter().map(|(_, v)| plain(v)).collect::<Vec<_>>().join("; ");
    let mut table = vec![told.iter().map(|(k, _)| (*k).clone()).collect::<Vec<String>>()];
    table.extend(entries.iter().map(|e| told.iter().filter_map(|(k, _)| Some(shown(k, e.get(*k)?))).collect()));
    let ids = entries.iter().enumerate().map(|(i, e)| e.get("id").map_or_else(|| i.to_string(), plain));
    rows.push((name.to_string(), head));
    let names = std::iter::once(String::new()).chain(ids.map(|id| format!("  {id}")));
    rows.extend(names.zip(aligned(&table)));
}

/// Lines of cells under each other.
fn aligned(table: &[Vec<String>]) -> Vec<String> {
    let columns = table.iter().map(Vec::len).max().unwrap_or(0);
    let width = |j: usize| table.iter().filter_map(|r| r.get(j)).map(|c| c.chars().count()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..columns).map(width).collect();
    let cells = |row: &Vec<String>| row.iter().zip(&widths).map(|(c, w)| format!("{c:w$}")).collect::<Vec<_>>().join("  ");
    let line = |row: &Vec<String>| cells(row).trim_end().to_string();
    table.iter().map(line).collect()
}

/// True for variants of one result, which are read side by side.
fn side_by_side(map: &Map<String, Value>) -> bool {
    let mut inner = map.values().map(|v| v.as_object().map(|o| o.keys().collect::<Vec<_>>()));
    let first = inner.next().flatten();
    map.len() > 1 && first.is_some() && inner.all(|keys| keys == first)
}

fn columns(name: &str, map: &Map<String, Value>, rows: &mut Vec<(String, String)>) {
    let keys: Vec<&String> = map.values().filter_map(Value::as_object).take(1).flat_map(Map::keys).collect();
    let mut table = vec![map.keys().cloned().collect::<Vec<String>>()];
    table.extend(keys.iter().map(|key| map.values().filter_map(|v| v.get(*key)).map(|v| shown(key, v)).collect()));
    let names = std::iter::once(name.to_string()).chain(keys.iter().map(|key| format!("  {key}")));
    rows.extend(names.zip(aligned(&table)));
}

/// A value with the unit that the end of its key says.
fn shown(key: &str, value: &Value) -> String {
    let bare = match value {
        Value::Null if key.ends_with("_s") => return "not reached".to_string(),
        Value::Null => return "not defined".to_string(),
        Value::Number(n) => n.as_f64().map(rounded).unwrap_or_default(),
        Value::Array(items) if items.is_empty() => return "none".to_string(),
        Value::Array(items) => items.iter().map(|i| i.as_f64().map_or_else(|| plain(i), rounded)).collect::<Vec<_>>().join("  "),
        other => return plain(other),
    };
    let unit = unit(key);
    if unit.is_empty() { bare } else { format!("{bare} {unit}") }
}

fn plain(value: &Value) -> String {
    match value {
        Value::String(s) => s.clone(),
        Value::Null => "-".to_string(),
        Value::Number(n) => n.as_f64().map(rounded).unwrap_or_default(),
        other => other.to_string(),
    }
}

fn unit(key: &str) -> &'static str {
    match key {
        _ if key.starts_with("percent_") || key.ends_with("_percent") || key.starts_with("I2_") => "%",
        _ if key.ends_with("_min") && !key.ends_with("T_min") => "min",
        _ if key.ends_with("rate_1_s") => "1/s",
        _ if key.ends_with("_kPa") => "kPa",
        _ if key.ends_with("_cm2") && key.starts_with("area") => "cm2",
        _ if key.ends_with("_kgf_cm2") => "kgf/cm2",
        _ if key.ends_with("_N_cm2") => "N/cm2",
        _ if key.ends_with("_kgf") => "kgf",
        _ => rule(key).unit,
    }
}

/// Four figures, and one decimal of what is large.
fn rounded(value: f64) -> String {
    let size = value.abs();
    if size < 1e7 && value.fract() == 0.0 {
        return format!("{value}");
    }
    if !(1e-4..1e7).contains(&size) {
        return format!("{value:.3e}");
    }
    let text = match size {
        _ if size >= 100.0 => format!("{value:.1}"),
        _ if size >= 10.0 => format!("{value:.2}"),
        _ if size >= 1.0 => format!("{value:.3}"),
        _ if size >= 0.1 => format!("{value:.4}"),
        _ => format!("{value:.6}"),
    };
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn an_answer_stands_before_its_working() {
        let rows = vec![vec![json!("by"), json!("pooled")], vec![json!("fixed"), json!(-0.770_67)]];
        let outcome = Outcome { answer: rows, ..Outcome::default() };
        assert_eq!(answer(&outcome), "  by     pooled\n  fixed  -0.7707\n\n  working\n");
        assert_eq!(answer(&Outcome::default()), "");
    }

    #[test]
    fn numbers_are_rounded_and_carry_the_unit_of_their_key() {
        let cases = [
            ("T_skin_max_C", json!(41.806_82), "41.81 degC"),
            ("t_first_basal_43_s", Value::Null, "not reached"),
            ("cem43_min", json!(4261.06), "4261.1 min"),
            ("rate_1_s", json!(6.433_627e-7), "6.434e-7 1/s"),
            ("values", json!([196.133, 343.232_75]), "196.1  343.2"),
            ("omega_henriques", json!(0.010_259), "0.010259"),
            ("verdict", json!("lengthens"), "lengthens"),
            ("count", json!(12.0), "12"),
            ("share_of_safe_time", Value::Null, "not defined"),
            ("t_s", json!([0.25, 60.0]), "0.25  60 s"),
        ];
        for (key, value, wanted) in cases {
            assert_eq!(shown(key, &value), wanted, "{key}");
        }
    }
}
