//! Statistics of evidence and measurement from a worksheet: every reference case, what is refused and
//! where, what people read.
//!
//! Cases, sources and tolerances stand in `reference/evidence`.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod common;
use common::root;
use common::worksheet::{answer, cases, read, run};
use fascicle::calc::{Done, show};
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

fn entry(case: &Value) -> Value {
    let id = case["id"].as_str().unwrap();
    let (_, kind) = KINDS.iter().find(|(prefix, _)| id.starts_with(prefix)).unwrap_or_else(|| panic!("no kind for {id}"));
    json!({"id": id, "kind": kind, "inputs": case["inputs"]})
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
    let cases = cases("evidence");
    let results = answer(&cases.iter().map(entry).collect::<Vec<_>>());
    let (mut wrong, mut values) = (Vec::new(), 0);
    for (case, result) in cases.iter().zip(&results) {
        let id = case["id"].as_str().unwrap();
        assert!(result["ok"] == true && result["id"] == id, "{id}: {}", result["error"]);
        values += differ(id, "", &result["result"], &case["expected"], &case["tolerance"], &mut wrong);
    }
    assert!(wrong.is_empty(), "{} of {values} values:\n{}", wrong.len(), wrong.join("\n"));
    assert_eq!((cases.len(), values), (39, 7852));
}

/// Kind and inputs that nothing may be calculated from; the characters at fault; the message.
const NONSENSE: &[(&str, &str, &str, &str)] = &[
    ("effect-means", "groups: [{n1: -5, m1: 1, sd1: 1, n2: 9, m2: 1, sd2: 1}]", "-5", "`n1` is -5, and the least possible is 2"),
    (
        "effect-means",
        "groups: [{n1: 9.5, m1: 1, sd1: 1, n2: 9, m2: 1, sd2: 1}]",
        "9.5",
        "`n1` counts people or events, and 9.5 is no whole number",
    ),
    ("effect-means", "groups: [{n1: 9, m1: 1, sd1: -1, n2: 9, m2: 1, sd2: 1}]", "-1", "`sd1` is -1, and the least possible is 0"),
    (
        "effect-means",
        "groups: [{n1: 9, m1: 1, sd1: 0, n2: 9, m2: 1, sd2: 0}]",
        "0",
        "there is no result from `sd1`, because neither group has any spread",
    ),
    ("effect-means", "groups: []", "[]", "`groups` has 0 entries; 1 to 2000 can be read"),
    ("effect-binary", "tables: [{a: 8, n1: 7, c: 1, n2: 9}]", "8", "`a` is 8, more than `n1`, which is 7"),
    ("effect-binary", "tables: [{a: 0, n1: 0, c: 1, n2: 9}]", "0", "`n1` is 0, and the least possible is 1"),
    ("effect-binary", "tables: [{a: 1, n1: 7, n2: 9}]", "{a: 1, n1: 7, n2: 9}", "`tables` has no `c`"),
    (
        "effect-prepost",
        "cases: [{n: 9, m_pre: 1, m_post: 2, sd_pre: 1}]",
        "{n: 9, m_pre: 1, m_post: 2, sd_pre: 1}",
        "the spread of the change cannot be known from this",
    ),
    ("effect-prepost", "cases: [{n: 9, m_pre: 1, m_post: 2, sd_change: 1, r: 1.2}]", "1.2", "`r` is 1.2, and has to be below 1"),
    ("effect-correlation", "correlations: [{r: 1, n: 20}]", "1", "`r` is 1, and has to be below 1"),
    ("effect-correlation", "correlations: [{r: 0.2, n: 3}]", "3", "`n` is 3, and the least possible is 4"),
    ("effect-proportion", "counts: [{x: 5, n: 4}]", "5", "`x` is 5, more than `n`, which is 4"),
    ("pool", "studies: [{yi: 1, vi: 0.1}, {yi: 1, vi: 0}]", "0", "`vi` is 0, and has to be above 0"),
    ("pool", "studies: [{yi: 1, vi: 0.1}]", "[{yi: 1, vi: 0.1}]", "`studies` has 1 entries; 2 to 2000 can be read"),
    (
        "small-study",
        "studies: [{yi: 1, vi: 0.1}, {yi: 1, vi: 0.2}]",
        "[{yi: 1, vi: 0.1}, {yi: 1, vi: 0.2}]",
        "`studies` has 2 entries; 3 to 2000 can be read",
    ),
    ("kappa", "table: [[1, 2], [3]]", "[3]", "this row of `table` has 1 entries; 2 are wanted"),
    ("kappa", "table: [[1, 2, 3], [3, 4, 5]]", "[[1, 2, 3], [3, 4, 5]]", "row 1 of `table` has 3 entries, and should have 2"),
    ("kappa", "table: [[1, -2], [3, 4]]", "-2", "`table` counts, and -2 is no number of people or answers"),
    (
        "kappa",
        "table: [[7, 0], [0, 0]]",
        "[[7, 0], [0, 0]]",
        "there is no result from `table`, because all ratings are the same one answer",
    ),
    ("fleiss-kappa", "counts: [[1, 2], [3, 1]]", "[[1, 2], [3, 1]]", "row 2 of `counts` adds up to 4, and the first row to 3"),
    (
        "fleiss-kappa",
        "counts: [[1, 0], [0, 1]]",
        "[[1, 0], [0, 1]]",
        "there is no result from `counts`, because agreement needs at least two raters",
    ),
    ("intraclass", "ratings: [[1, 2]]", "[[1, 2]]", "`ratings` has 1 entries; 2 to 5000 can be read"),
    ("intraclass", "ratings: [[1, 1], [1, 1]]", "[[1, 1], [1, 1]]", "there is no result from `ratings`, because subjects do not differ"),
    ("intraclass", "ratings: [[1, 2], [3, 4]], design: nested", "nested", "`design: nested` says neither one-way nor two-way"),
    ("measurement-error", "cases: [{sd: 4, icc: 1.2}]", "1.2", "`icc` is 1.2, and the most possible is 1"),
    ("limits-of-agreement", "a: [1, 2, 3], b: [1, 2]", "[1, 2]", "`b` has 2 entries; 3 can be read"),
    ("test-accuracy", "cases: [{tp: 0, fp: 0, fn: 0, tn: 0}]", "0", "there is no result from `tp`, because nobody was tested"),
    ("test-accuracy", "cases: [{tp: 3, fp: 1, fn: 1, tn: 9, pretest: [1.5]}]", "[1.5]", "`pretest` is 1.5, and has to be below 1"),
];

#[test]
fn nonsense_is_refused_at_its_characters() {
    let mut wrong = Vec::new();
    for (kind, inputs, at, message) in NONSENSE {
        let text = format!("worksheet: 1\ncalculations:\n  - id: bad\n    kind: {kind}\n    inputs: {{{inputs}}}\n");
        let sheet = read(&text);
        let done = run(&sheet);
        let Err(found) = &done[0].result else { panic!("{kind} {inputs} gave a number") };
        let shown: Vec<(&str, &str)> = found.iter().map(|f| (sheet.map.slice(f.primary.span), f.message.as_str())).collect();
        if shown != [(*at, *message)] {
            wrong.push(format!("{kind} {inputs}: {shown:?}"));
        }
        assert!(found.iter().all(|f| f.help.is_some()), "{kind} {inputs}");
        let report: Value = serde_json::from_str(&show::json(&sheet, &done)).unwrap();
        assert!(report["results"][0]["error"]["pointer"].as_str().unwrap().starts_with("/calculations/0/inputs"), "{report}");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Every mistake of a list is told in one run.
#[test]
fn all_mistakes_of_a_list_are_told_at_once() {
    let text = "worksheet: 1\ncalculations:\n  - id: bad\n    kind: pool\n    inputs: {studies: [{yi: 1, vi: 0}, {yi: 2, vi: 1}, {yi: 3, vi: -1}]}\n";
    let sheet = read(text);
    let done = run(&sheet);
    let Err(found) = &done[0].result else { panic!("it gave a number") };
    assert_eq!(found.iter().map(|f| sheet.map.slice(f.primary.span)).collect::<Vec<_>>(), ["0", "-1"]);
}

#[test]
fn people_read_names_variants_and_notes() {
    let entries = [
        json!({"id": "two", "kind": "effect-binary", "inputs": {"tables": [{"label": "first", "a": 0, "n1": 20, "c": 3, "n2": 20}, {"label": "second", "a": 4, "n1": 20, "c": 3, "n2": 20}]}}),
        json!({"id": "all", "kind": "pool", "inputs": {"measure": "log risk ratio", "studies": [{"yi": 0.1, "vi": 0.2}, {"yi": 0.6, "vi": 0.1}, {"yi": -0.2, "vi": 0.4}]}}),
    ];
    let sheet = read(&json!({"worksheet": 1, "calculations": entries}).to_string());
    let table = show::table(&run(&sheet));
    for words in [
        "first",
        "second",
        "0.5 added to all four cells",
        "log odds ratio, as counted",
        "restricted maximum likelihood",
        "risk ratio",
        "t with k-1",
        "Of 3 studies",
    ] {
        assert!(table.contains(words), "{words} is missing in\n{table}");
    }
}

#[test]
fn the_schema_accepts_what_is_calculated() {
    let files = fascicle::load::schema::files();
    let (_, text) = files.iter().find(|(n, _)| n == "worksheet.json").unwrap();
    let validator = jsonschema::validator_for(&serde_json::from_str(text).unwrap()).unwrap();
    let sheet = json!({"worksheet": 1, "calculations": cases("evidence").iter().map(entry).collect::<Vec<_>>()});
    let errors: Vec<String> = validator.iter_errors(&sheet).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(errors.is_empty(), "{errors:#?}");
}

fn number() -> impl Strategy<Value = Value> {
    prop_oneof![
        prop_oneof![Just(0.0), Just(-1.0), Just(1e-300), Just(1e300), Just(0.5), Just(1.0)].prop_map(|n| json!(n)),
        Just(Value::Null),
        Just(json!("x")),
        Just(json!([])),
        Just(json!({})),
    ]
}

/// Puts a value at the place in a tree that `at` leads to.
fn replace(tree: &mut Value, at: &[prop::sample::Index], with: &Value) {
    let next = match tree {
        Value::Object(map) if !map.is_empty() => {
            let n = at.first().map_or(0, |i| i.index(map.len()));
            map.iter_mut().nth(n).map(|(_, v)| v)
        }
        Value::Array(list) if !list.is_empty() => {
            let n = at.first().map_or(0, |i| i.index(list.len()));
            list.get_mut(n)
        }
        _ => None,
    };
    match next {
        Some(inner) if at.len() > 1 => replace(inner, &at[1..], with),
        Some(inner) => *inner = with.clone(),
        None => *tree = with.clone(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_value_in_a_case_makes_it_panic(which in any::<prop::sample::Index>(), at in prop::collection::vec(any::<prop::sample::Index>(), 1..5), with in number()) {
        let cases = cases("evidence");
        let mut entry = entry(&cases[which.index(cases.len())]);
        replace(&mut entry["inputs"], &at, &with);
        let text = json!({"worksheet": 1, "calculations": [entry]}).to_string();
        let sheet = read(&text);
        let done = run(&sheet);
        show::table(&done);
        for finding in done.into_iter().filter_map(|d| d.result.err()).flatten() {
            prop_assert!(text.get(finding.primary.span.range()).is_some() && finding.help.is_some(), "{finding:?}");
        }
    }
}

#[test]
fn the_worksheets_of_the_readme_run() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let blocks = readme.split("```yaml\n").skip(1).filter_map(|part| part.split("```").next()).filter(|t| t.starts_with("worksheet: 1"));
    let done: Vec<Done> = blocks.flat_map(|text| run(&read(text))).collect();
    assert!(done.iter().any(|d| d.kind == "pool") && done.iter().all(|d| d.result.is_ok()));
}
