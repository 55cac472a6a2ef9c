//! Statistics of evidence and measurement from a worksheet: every reference case, what is refused and
//! where, what people read.
//!
//! Cases, sources and tolerances stand in `reference/evidence`.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod common;
use common::root;
use fascicle::calc::{self, Done, show};
use fascicle::load::worksheet::{self, Worksheet};
use proptest::prelude::*;
use serde_json::{Value, json};

/// Kinds by the first letters of the file.
const KINDS: [(&str, &str); 13] = [
    ("effect_means", "effect-means"),
    ("effect_binary", "effect-binary"),
    ("effect_prepost", "effect-prepost"),
    ("effect_correlation", "effect-correlation"),
    ("effect_proportion", "effect-proportion"),
    ("pool", "pool"),
    ("smallstudy", "small-study"),
    ("kappa", "kappa"),
    ("fleiss", "fleiss-kappa"),
    ("icc", "intraclass"),
    ("sem_mdc", "measurement-error"),
    ("bland_altman", "limits-of-agreement"),
    ("diagnostic", "test-accuracy"),
];

const P_VALUES: [&str; 6] = ["p", "pval", "Q_p", "Qp", "intercept_p", "p_null"];

fn cases() -> Vec<Value> {
    let folder = std::fs::read_dir(root().join("tests/reference/evidence")).unwrap();
    let mut paths: Vec<_> = folder.map(|e| e.unwrap().path()).filter(|p| p.extension().is_some_and(|e| e == "json")).collect();
    paths.sort();
    paths.iter().map(|p| serde_json::from_str(&std::fs::read_to_string(p).unwrap()).unwrap()).collect()
}

fn entry(case: &Value) -> Value {
    let id = case["id"].as_str().unwrap();
    let (_, kind) = KINDS.iter().find(|(prefix, _)| id.starts_with(prefix)).unwrap_or_else(|| panic!("no kind for {id}"));
    json!({"id": id, "kind": kind, "inputs": case["inputs"]})
}

fn read(text: &str) -> Worksheet {
    worksheet::read("sheet.yaml".into(), text.as_bytes().to_vec()).unwrap()
}

fn run(sheet: &Worksheet) -> Vec<Done> {
    calc::run(sheet).unwrap_or_else(|e| panic!("{:?}", e.0))
}

fn answer(entries: &[Value]) -> Vec<Value> {
    let sheet = read(&json!({"worksheet": 1, "calculations": entries}).to_string());
    let report: Value = serde_json::from_str(&show::json(&sheet, &run(&sheet))).unwrap();
    report["results"].as_array().unwrap().clone()
}

/// Differences outside the tolerance, and how many values were compared.
fn differ(name: &str, key: &str, got: &Value, want: &Value, tolerance: &Value, out: &mut Vec<String>) -> usize {
    match want {
        // Printed values of papers, which are rounded.
        Value::Object(map) => map
            .iter()
            .filter(|(k, _)| *k != "published")
            .map(|(k, w)| differ(&format!("{name}.{k}"), k, got.get(k).unwrap_or(&Value::Null), w, tolerance, out))
            .sum(),
        Value::Array(list) => {
            if got.as_array().is_none_or(|g| g.len() != list.len()) {
                out.push(format!("{name}: {} entries expected, got {got}", list.len()));
                return 1;
            }
            list.iter().enumerate().map(|(i, w)| differ(&format!("{name}[{i}]"), key, &got[i], w, tolerance, out)).sum()
        }
        Value::Number(n) if n.is_f64() || got.is_f64() => {
            let tolerance = if P_VALUES.contains(&key) { &tolerance["p_values"] } else { tolerance };
            let (want, abs, rel) = (n.as_f64().unwrap(), tolerance["abs"].as_f64().unwrap(), tolerance["rel"].as_f64().unwrap());
            let off = got.as_f64().map_or(f64::INFINITY, |g| (g - want).abs());
            if off > abs + rel * want.abs() {
                out.push(format!("{name}: {got}, expected {want}"));
            }
            1
        }
        other => {
            if got != other {
                out.push(format!("{name}: {got}, expected {other}"));
            }
            1
        }
    }
}

#[test]
fn every_reference_case_is_met_from_a_worksheet() {
    let cases = cases();
    let results = answer(&cases.iter().map(entry).collect::<Vec<_>>());
    let (mut wrong, mut values) = (Vec::new(), 0);
    for (case, result) in cases.iter().zip(&results) {
        let id = case["id"].as_str().unwrap();
        assert!(result["ok"] == true && result["id"] == id, "{id}: {}", result["error"]);
        values += differ(id, "", &result["result"], &case["expected"], &case["tolerance"], &mut wrong);
    }
    assert!(wrong.is_empty(), "{} of {values} values:\n{}", wrong.len(), wrong.join("\n"));
    assert_eq!((cases.len(), values), (35, 0));
}
