//! Worksheets run as the command runs them, for the tests of calculations.

use fascicle::calc::{self, Done, show};
use fascicle::load::worksheet::{self, Worksheet};
use serde_json::{Value, json};

/// A worksheet from its text.
pub fn read(text: &str) -> Worksheet {
    worksheet::read("sheet.yaml".into(), text.as_bytes().to_vec()).unwrap()
}

/// Everything that it calculates.
pub fn run(sheet: &Worksheet) -> Vec<Done> {
    calc::run(sheet).unwrap_or_else(|e| panic!("{:?}", e.0))
}

/// The answer for programs to some calculations.
pub fn answer(entries: &[Value]) -> Vec<Value> {
    let sheet = read(&json!({"worksheet": 1, "calculations": entries}).to_string());
    let report: Value = serde_json::from_str(&show::json(&sheet, &run(&sheet))).unwrap();
    report["results"].as_array().unwrap().clone()
}

/// Every case of a folder of `tests/reference`, by name.
pub fn cases(folder: &str) -> Vec<Value> {
    let folder = std::fs::read_dir(super::root().join("tests/reference").join(folder)).unwrap();
    let mut paths: Vec<_> = folder.map(|e| e.unwrap().path()).filter(|p| p.extension().is_some_and(|e| e == "json")).collect();
    paths.sort();
    paths.iter().map(|p| serde_json::from_str(&std::fs::read_to_string(p).unwrap()).unwrap()).collect()
}
