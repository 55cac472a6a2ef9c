//! `fascicle calc`: reference cases, what is refused and where, exit status, no panic.
//!
//! Cases, sources and tolerances stand in `reference/thermal`, `reference/units.json` and
//! `reference/anatomy`.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod common;
use common::root;
use common::worksheet::{answer, cases, read as sheet, run};
use fascicle::calc::{self, show};
use proptest::prelude::*;
use serde_json::{Map, Value, json};
use std::io::Write;
use std::process::{Command, Output, Stdio};

fn case(name: &str) -> Value {
    let text = std::fs::read_to_string(root().join("tests/reference").join(name)).unwrap();
    serde_json::from_str(&text).unwrap()
}

fn entry(case: &Value) -> Value {
    json!({"id": case["id"], "kind": case["kind"], "inputs": case["inputs"]})
}

/// The values of a series at the times of the case.
fn at_times(got: &Value, key: &str, times: &Value) -> Value {
    let own = got["t_s"].as_array().unwrap();
    times.as_array().unwrap().iter().map(|t| own.iter().position(|o| o == t).map_or(Value::Null, |i| got[key][i].clone())).collect()
}

/// Differences outside the tolerance, and how many values were compared.
fn differ(name: &str, got: &Value, want: &Value, tolerance: &Value, out: &mut Vec<String>) -> usize {
    match want {
        Value::Object(map) => map
            .iter()
            .filter(|(k, _)| *k != "t_s")
            .map(|(k, w)| differ(&format!("{name}.{k}"), &at_times(got, k, &want["t_s"]), w, tolerance, out))
            .sum(),
        Value::Array(list) => list.iter().enumerate().map(|(i, w)| differ(&format!("{name}[{i}]"), &got[i], w, tolerance, out)).sum(),
        Value::Null => {
            out.extend((!got.is_null()).then(|| format!("{name}: {got}, never expected")));
            1
        }
        _ => {
            let (want, abs, rel) = (want.as_f64().unwrap(), tolerance["abs"].as_f64().unwrap(), tolerance["rel"].as_f64().unwrap());
            let off = got.as_f64().map_or(f64::INFINITY, |g| (g - want).abs());
            // Expected values are written with seven figures.
            if off > abs.max(rel * want.abs()).max(5e-7 * want.abs()) {
                out.push(format!("{name}: {got}, expected {want}"));
            }
            1
        }
    }
}

#[test]
fn every_thermal_case_is_met_from_a_worksheet() {
    let cases = cases("thermal");
    let results = answer(&cases.iter().map(entry).collect::<Vec<_>>());
    let (mut wrong, mut values) = (Vec::new(), 0);
    for (case, result) in cases.iter().zip(&results) {
        let id = case["id"].as_str().unwrap();
        assert!(result["ok"] == true && result["id"] == id, "{id}: {}", result["error"]);
        for (key, want) in case["expected"].as_object().unwrap() {
            values += differ(&format!("{id}.{key}"), &result["result"][key], want, &case["tolerance"][key], &mut wrong);
        }
    }
    assert!(wrong.is_empty(), "{} of {values} values:\n{}", wrong.len(), wrong.join("\n"));
    assert!(cases.len() == 86 && values == 974, "{} cases, {values} values", cases.len());
}

/// NIST Special Publication 811 (2008), appendix B; SI Brochure, 9th edition (2019); the source stands in the file.
#[test]
fn every_conversion_is_met_from_a_worksheet() {
    let case = case("units.json");
    let (abs, rel) = (case["tolerance"]["abs"].as_f64().unwrap(), case["tolerance"]["rel"].as_f64().unwrap());
    let inputs = case["inputs"].clone();
    let mut entries = vec![json!({"id": "all", "kind": "convert", "inputs": inputs})];
    entries.extend(
        case["inputs"]["cases"]
            .as_array()
            .unwrap()
            .iter()
            .map(|c| json!({"id": format!("case-{}", c["id"]), "kind": "convert", "inputs": c})),
    );
    let results = answer(&entries);
    let wanted = case["expected"]["cases"].as_array().unwrap();
    let mut compared = 0;
    for (i, want) in wanted.iter().enumerate() {
        let together = &results[0]["result"]["cases"][i];
        assert_eq!(together["id"], want["id"]);
        for got in [together, &results[i + 1]["result"]] {
            let pairs = want["values"].as_array().unwrap().iter().zip(got["values"].as_array().unwrap());
            for (want, got) in pairs.map(|(w, g)| (w.as_f64().unwrap(), g.as_f64().unwrap())) {
                assert!((got - want).abs() <= abs + rel * want.abs(), "case {}: {got}, expected {want}", i + 1);
                compared += 1;
            }
        }
    }
    assert!(compared > 90, "{compared}");
}

/// Rows of a table of `reference/anatomy`, by column.
fn rows(name: &str) -> Vec<Map<String, Value>> {
    let text = std::fs::read_to_string(root().join("tests/reference/anatomy").join(name)).unwrap();
    let mut lines = text.lines().filter(|l| !l.starts_with('#'));
    let head: Vec<&str> = lines.next().unwrap().split(',').collect();
    let fields = |line: &str| {
        let mut quoted = false;
        line.split(move |c: char| {
            quoted ^= c == '"';
            c == ',' && !quoted
        })
        .map(|f| Value::from(f.trim_matches('"')))
        .collect::<Vec<_>>()
    };
    lines.map(|l| head.iter().map(|h| (*h).to_string()).zip(fields(l)).collect()).collect()
}

fn part_of(row: &Map<String, Value>) -> String {
    ["muscle", "part", "model"].map(|k| row[k].as_str().unwrap()).join("/")
}

fn floats(text: &Value) -> Vec<f64> {
    text.as_str().unwrap().split(' ').map(|n| n.parse().unwrap()).collect()
}

/// Predictions of the compact form on the tables of `reference/anatomy`, which names the open models behind them.
#[test]
fn every_predicted_length_change_is_met_from_a_worksheet() {
    let (arms, couplings) = (rows("compact_arms.csv"), rows("compact_couplings.csv"));
    let mut positions = rows("stretch_positions.csv");
    positions.retain(|p| p["compact_form_predicts_mm"] != "");
    let mut compared = 0;
    for some in positions.chunks(500) {
        let entries: Vec<Value> = some.iter().enumerate().map(|(i, position)| stretch(i, position, &arms, &couplings)).collect();
        for (position, result) in some.iter().zip(answer(&entries)) {
            assert!(result["ok"] == true, "{position:?}: {}", result["error"]);
            let want: f64 = position["compact_form_predicts_mm"].as_str().unwrap().parse().unwrap();
            let got = result["result"]["length_change_mm"].as_f64().unwrap();
            assert!((got - want).abs() <= 0.0051, "{position:?}: {got}, expected {want}");
            compared += 1;
        }
    }
    assert!(compared > 3000, "{compared}");
}

fn stretch(i: usize, position: &Map<String, Value>, arms: &[Map<String, Value>], couplings: &[Map<String, Value>]) -> Value {
    let part = part_of(position);
    let own = |rows: &[Map<String, Value>]| rows.iter().filter(|r| part_of(r) == part).cloned().collect::<Vec<_>>();
    let arms: Map<String, Value> = own(arms)
        .iter()
        .map(|r| {
            (r["dof"].as_str().unwrap().to_string(), json!({"angles_deg": floats(&r["angles_deg"]), "arms_mm": floats(&r["arms_mm"])}))
        })
        .collect();
    let couplings: Vec<Value> = own(couplings)
        .iter()
        .map(|r| json!({"between": [r["dof_a"], r["dof_b"]], "mm_per_rad": floats(&r["coupling_mm_per_rad"])[0]}))
        .collect();
    let angles = position["joint_angles_deg"].as_str().unwrap().split("; ").filter_map(|j| {
        let (joint, angle) = j.rsplit_once(' ')?;
        Some((joint.to_string(), json!(angle.parse::<f64>().unwrap())))
    });
    json!({"id": format!("p-{i}"), "kind": "stretch", "inputs": {"arms": arms, "couplings": couplings, "angles_deg": angles.collect::<Map<_, _>>()}})
}

/// Kind and inputs that no calculation may be made from; the characters at fault; the message.
const NONSENSE: &[(&str, &str, &str, &str)] = &[
    ("heat", "source: grain bag, start: 400 degC, cover: none, time: 10 min", "400 degC", "`start: 400 degC` is outside what is possible"),
    ("heat", "source: grain bag, start: 60, cover: none, time: 10 min", "0", "`60` cannot be read as a quantity"),
    ("heat", "source: grain bag, start_C: 60 degC, cover: none, time: 10 min", "60 degC", "`start_C` should be a number, not text"),
    (
        "heat",
        "source: grain bag, start_C: 60, start: 60 degC, cover: none, time: 10 min",
        "start",
        "`start_C` and `start` say the same thing twice",
    ),
    (
        "heat",
        "source: grain bag, start: 55-60 degC, cover: none, time: 10 min",
        "55-60 degC",
        "`start: 55-60 degC` is a range, and one value is wanted",
    ),
    ("heat", "source: grain bag, start: 60 degC, cover: none, time: 0 min", "0 min", "0 s is outside what is possible here"),
    ("heat", "source: grain bag, start: 60 degC, cover: none, time: -5 min", "-5 min", "`time: -5 min` is outside what is possible"),
    ("heat", "source: grain bag, start: 60 degC, cover: none, time: 10 cm", "cm", "`time` should be a time, and `10 cm` is a length"),
    ("heat", "source: brick, start: 60 degC, cover: none, time: 10 min", "brick", "`brick` is not known as `source`"),
    ("heat", "source: ice pack, cover: none, time: 10 min", "ice pack", "`ice pack` is not known as `source`"),
    ("heat", "source: grain bag, start: 60 degC, cover: foil, layers: 2, time: 10 min", "foil", "`foil` is not known as `cover`"),
    ("heat", "source: grain bag, start: 60 degC, cover: wet towel, time: 10 min", "inputs", "`inputs` has no `layers`"),
    (
        "heat",
        "source: grain bag, start: 60 degC, cover: none, layers: 2, time: 10 min",
        "2",
        "`cover: none` and 2 layers contradict each other",
    ),
    (
        "heat",
        "source: grain bag, start: 60 degC, cover: wet towel, layers: 1.5, time: 10 min",
        "1.5",
        "`layers: 1.5` is outside what is possible",
    ),
    ("heat", "source: grain bag, start: 60 degC, cover: none, tme: 10 min", "tme", "`tme` is not a known key"),
    (
        "cold",
        "source: ice pack, start: -10 degC, cover: none, time: 10 min",
        "-10 degC",
        "`ice pack` is reckoned at 0 degC, and the sheet says -10 degC",
    ),
    ("cold-stream", "footprint: 5 cm, speed: 0 cm/s, passes: 3, gap: 5 s", "0 cm/s", "`speed: 0 cm/s` is outside what is possible"),
    ("cold-stream", "footprint: 5 cm, speed: 10 cm/s, passes: 3", "inputs", "`inputs` has no `gap_s`"),
    ("pressure", "force: 20 N, area: 0 cm2", "0 cm2", "`area: 0 cm2` is outside what is possible"),
    ("pressure", "force_N: -20, area_m2: 1.0e-4", "-20", "`force_N: -20` is outside what is possible"),
    ("pressure", "force: 20 N", "inputs", "two of force, area and pressure are needed"),
    ("isothermal", "temperature_C: 151, time_s: 60", "151", "`temperature_C: 151` is outside what is possible"),
    ("isothermal", "temperature_C: 1.0e999, time_s: 60", "1.0e999", "`temperature_C: 1.0e999` is outside what is possible"),
    ("isothermal", "temperature_C: null, time_s: 60", "null", "`temperature_C` should be a number, not nothing"),
    ("isothermal", "temperature_C: [45], time_s: 60", "[45]", "`temperature_C` should be a number, not a list"),
    ("isothermal", "temperature_C: yes, time_s: 60", "yes", "`yes` can be read in more than one way"),
    ("damage-history", "t_s: [0, 60, 60], T_C: [40, 41, 42]", "[0, 60, 60]", "`t_s` does not rise from entry to entry"),
    ("damage-history", "t_s: [0, 60], T_C: [40, 41, 42]", "[40, 41, 42]", "`T_C` has 3 entries; 2 can be read"),
    ("damage-isothermal", "T_C: 45, kelvin_offset: 273", "273", "`kelvin_offset: 273` is outside what is possible"),
    (
        "damage-isothermal",
        "T_C: 45, cem43: {zero_below_C: 39, break_C: 42, R_below: 0.25, R_above: 0.5}",
        "42",
        "`break_C` is part of the definition of CEM43 and is 43",
    ),
    (
        "slab-insulated",
        "k_W_mK: 0.2, rho_kg_m3: 770, c_J_kgK: 1900, thickness_m: -0.03, T0_C: 60, surface_C: 40, x_m: 0, t_s: 9",
        "-0.03",
        "`thickness_m: -0.03` is outside what is possible",
    ),
    (
        "slab-insulated",
        "k_W_mK: 0.2, rho_kg_m3: 770, c_J_kgK: 1900, thickness: 3 cm, T0_C: 60, surface_C: 40, x: 4 cm, t_s: 9",
        "4 cm",
        "the slab is 0.03 m thick, and `x_m` is 0.04",
    ),
    (
        "slab-insulated",
        "k_W_mK: 0, rho_kg_m3: 770, c_J_kgK: 1900, thickness: 3 cm, T0_C: 60, surface_C: 40, x_m: 0, t_s: 9",
        "0",
        "`k_W_mK: 0` is outside what is possible",
    ),
    (
        "series-resistance",
        "T_hot_C: 60, T_cold_C: 40, resistances_m2K_W: [0.004, 0]",
        "0",
        "`resistances_m2K_W: 0` is outside what is possible",
    ),
    (
        "series-resistance",
        "T_hot_C: 60, T_cold_C: 40, resistances_m2K_W: []",
        "[]",
        "`resistances_m2K_W` has 0 entries; 1 to 1000 can be read",
    ),
    (
        "stretch",
        "arms: {hip.flexion: {angles_deg: [0, 90], arms_mm: [-50, -40]}}, angles: {hip.flexion: 1.9 rad}",
        "rad",
        "`1.9 rad` cannot be read as a quantity",
    ),
    (
        "stretch",
        "arms: {hip.flexion: {angles_deg: [0, 90], arms_mm: [-50, -40]}}, angles_rad: {hip.flexion: 1.9}",
        "angles_rad",
        "`angles_rad` is not a known key",
    ),
    (
        "stretch",
        "arms: {hip.flexion: {angles_deg: [90, 0], arms_mm: [-50, -40]}}, angles_deg: {hip.flexion: 9}",
        "[90, 0]",
        "angle 2 of the moment arm is not above the one before it",
    ),
    (
        "stretch",
        "arms: {hip.flexon: {angles_deg: [0, 90], arms_mm: [-50, -40]}}, angles_deg: {hip.flexion: 9}",
        "hip.flexon",
        "`hip.flexon` is not known as a joint coordinate",
    ),
    ("stretch", "arms: {}, angles_deg: {hip.flexion: 9}", "{}", "a muscle part needs the moment arm of at least one joint"),
    ("convert", "values: [four], from: kPa, to: psi", "four", "`values` should be a number, not text"),
    ("convert", "values: [4], from: kgf/cm, to: psi", "kgf/cm", "`kgf/cm` is not known as `from`"),
    ("convert", "values: [4], from: kPa, to: degC", "degC", "`kPa` is a pressure, and `degC` is a temperature"),
    ("convert", "values: [-1], from: K, to: degC", "[-1]", "no temperature is so low"),
    ("convert", "kind: interval, values: [3, 1], from: kPa, to: psi", "[3, 1]", "the low end is above the high end"),
    ("convert", "kind: plus_minus, values: [3, -1], from: kPa, to: psi", "[3, -1]", "a half-width is never negative"),
    ("heet", "{}", "heet", "`heet` is not allowed for `kind`"),
];

#[test]
fn nonsense_is_refused_at_its_characters_and_never_gives_a_number() {
    for (kind, inputs, at, message) in NONSENSE {
        let inputs = if *inputs == "{}" { (*inputs).to_string() } else { format!("{{{inputs}}}") };
        let text = format!(
            "worksheet: 1\ncalculations:\n  - id: good\n    kind: convert\n    inputs: {{values: [1], from: kPa, to: Pa}}\n  - id: bad\n    kind: {kind}\n    inputs: {inputs}\n"
        );
        let sheet = sheet(&text);
        let done = run(&sheet);
        assert!(done[0].result.is_ok(), "{inputs}: one bad entry takes the other down");
        let found = done[1].result.as_ref().err().unwrap_or_else(|| panic!("{kind} {inputs} gave a number"));
        let shown: Vec<(&str, &str)> = found.iter().map(|f| (sheet.map.slice(f.primary.span), f.message.as_str())).collect();
        assert_eq!(shown, [(*at, *message)], "{kind} {inputs}");
        assert!(found[0].help.is_some(), "{kind} {inputs}");
        let report: Value = serde_json::from_str(&show::json(&sheet, &done)).unwrap();
        let error = &report["results"][1]["error"];
        let place = sheet.map.position(sheet.file, found[0].primary.span.start);
        assert_eq!(place.line, if at == kind { 7 } else { 8 }, "{kind} {inputs}");
        assert_eq!((error["line"].as_u64(), error["column"].as_u64()), (u64::try_from(place.line).ok(), u64::try_from(place.column).ok()));
        assert!(report["results"][1]["ok"] == false && error["pointer"].as_str().unwrap().starts_with("/calculations/1/"), "{error}");
        assert!(report["results"][1].get("result").is_none(), "{kind} {inputs}");
    }
}

const GOOD: &str = "worksheet: 1\ncalculations:\n  - {id: a, kind: convert, inputs: {values: [1], from: kgf/cm2, to: kPa}}\n";
const MIXED: &str = "worksheet: 1\ncalculations:\n  - {id: a, kind: convert, inputs: {values: [1], from: kgf/cm2, to: kPa}}\n  - {id: b, kind: pressure, inputs: {force: 20 N, area: 0 cm2}}\n";

fn calc(arguments: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_fascicle"))
        .arg("calc")
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
    child.wait_with_output().unwrap()
}

fn told(output: &Output) -> (Option<i32>, String, String) {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (output.status.code(), text(&output.stdout), text(&output.stderr))
}

#[test]
fn the_exit_status_says_how_it_went() {
    let cases = [
        (GOOD, 0, "392", "1 calculated, 0 failed"),
        (MIXED, 1, "not calculated", "1 calculated, 1 failed"),
        ("worksheet: 2\ncalculations: []\n", 2, "", "nothing was calculated"),
        ("worksheet: [1\n", 2, "", "the file cannot be read as YAML"),
        ("", 2, "", "the worksheet is empty"),
    ];
    for (text, status, out, err) in cases {
        let (code, stdout, stderr) = told(&calc(&["-"], text));
        assert_eq!(code, Some(status), "{text:?}: {stderr}");
        assert!(stderr.contains(err), "{text:?}: {stderr}");
        assert!(status == 2 || stdout.contains("98.07") && (status == 0 || stdout.contains(out)), "{text:?}: {stdout}");
    }
    let (code, _, stderr) = told(&calc(&["no-such-sheet.yaml"], ""));
    assert!(code == Some(2) && stderr.contains("no-such-sheet.yaml"), "{stderr}");
}

#[test]
fn people_read_the_caution_and_the_place_of_a_mistake() {
    let (_, stdout, stderr) = told(&calc(&["-"], MIXED));
    assert!(stdout.contains("Local rules and licensed practice come first"), "{stdout}");
    assert!(stderr.contains("standard input:4:57") && stderr.contains("`area: 0 cm2` is outside what is possible"), "{stderr}");
    let (code, _, stderr) = told(&calc(&["-"], &MIXED.replace("id: b", "id: a")));
    assert!(code == Some(1) && stderr.contains("the id `a` stands twice"), "{stderr}");
}

#[test]
fn programs_read_one_object_with_full_precision_from_a_file_or_standard_input() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("sheet.json");
    let entries = json!([{"id": "one", "kind": "damage-isothermal", "inputs": {"T_C": 38.5}}, {"id": "two", "kind": "brew", "inputs": {}}]);
    let text = json!({"worksheet": 1, "title": "two", "calculations": entries}).to_string();
    std::fs::write(&path, &text).unwrap();
    let (code, stdout, stderr) = told(&calc(&[path.to_str().unwrap(), "--format", "json"], ""));
    assert!(code == Some(1) && stderr.is_empty(), "{stderr}");
    let report: Value = serde_json::from_str(&stdout).unwrap();
    let [one, two] = report["results"].as_array().unwrap().as_slice() else { panic!("{report}") };
    let rate = fascicle::compute::thermal::damage::HENRIQUES.rate(38.5);
    assert_eq!(one["result"]["henriques_rate_1_s"].as_f64().map(f64::to_bits), Some(rate.to_bits()));
    assert!(one["result"]["two_range_t_omega_1_s"].is_null() && one["ok"] == true && one["notes"].is_array());
    assert_eq!(
        (report["version"].as_u64(), two["ok"].as_bool(), two["error"]["pointer"].as_str()),
        (Some(1), Some(false), Some("/calculations/1/kind"))
    );
    let from_stdin = told(&calc(&["-", "--format", "json"], &text)).1.replace("standard input", "");
    assert_eq!(from_stdin, stdout.replace(&*path.to_string_lossy(), ""));
    let (code, stdout, _) = told(&calc(&["-", "--format", "json"], "worksheet: [1"));
    let report: Value = serde_json::from_str(&stdout).unwrap();
    assert_eq!((code, report["results"].as_array().map(Vec::len), report["errors"][0]["line"].as_u64()), (Some(2), Some(0), Some(1)));
}

#[test]
fn the_worksheet_of_the_readme_runs() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let text = readme.split("```yaml\n").find_map(|part| part.split("```").next().filter(|t| t.starts_with("worksheet: 1"))).unwrap();
    let done = run(&sheet(text));
    assert!(done.len() == 3 && done.iter().all(|d| d.result.is_ok()));
}

fn schema() -> Value {
    let files = fascicle::load::schema::files();
    let (_, text) = files.iter().find(|(n, _)| n == "worksheet.json").unwrap();
    serde_json::from_str(text).unwrap()
}

#[test]
fn the_schema_knows_every_kind_with_its_keys_and_no_other() {
    let schema = schema();
    let entry = &schema["properties"]["calculations"]["items"];
    let kinds: Vec<&str> = calc::kinds().map(|k| k.name).collect();
    let named: std::collections::BTreeSet<&str> =
        entry["properties"]["kind"]["enum"].as_array().unwrap().iter().map(|k| k.as_str().unwrap()).collect();
    assert_eq!(named, kinds.iter().copied().collect());
    for (kind, part) in
        entry["allOf"].as_array().unwrap().iter().map(|b| (b["if"]["properties"]["kind"]["const"].as_str().unwrap(), &b["then"]))
    {
        let known = calc::kinds().find(|k| k.name == kind).unwrap();
        let mut wanted: Vec<&str> = known.keys.iter().flat_map(|k| std::iter::once(*k).chain(calc::plain_key(k))).collect();
        let mut stated: Vec<&str> = part["properties"]["inputs"]["properties"].as_object().unwrap().keys().map(String::as_str).collect();
        wanted.sort_unstable();
        stated.sort_unstable();
        assert_eq!(stated, wanted, "{kind}");
    }
}

#[test]
fn the_schema_accepts_what_is_calculated() {
    let validator = jsonschema::validator_for(&schema()).unwrap();
    let mut entries: Vec<Value> = cases("thermal").iter().map(entry).collect();
    entries.push(json!({"id": "u", "kind": "convert", "inputs": case("units.json")["inputs"]}));
    entries.extend([
        json!({"id": "h", "kind": "heat", "inputs": {"source": "grain bag", "start": "60 degC", "cover": "dry towel", "layers": 2, "time": "10 min"}}),
        json!({"id": "c", "kind": "cold", "inputs": {"source": "ice massage", "cover": "none", "time_s": 300, "site": "limb"}}),
        json!({"id": "s", "kind": "cold-stream", "inputs": {"footprint": "5 cm", "speed": "10 cm/s", "passes": "3 passes", "gap": "5 s"}}),
        json!({"id": "p", "kind": "pressure", "inputs": {"force": "20 N", "area": "1 cm2"}}),
        json!({"id": "i", "kind": "isothermal", "inputs": {"temperature": "45 degC", "time": "10 min"}}),
        json!({"id": "x", "kind": "moment-arm", "inputs": {"arms": {"hip.flexion": {"angles_deg": [0], "arms_mm": [-40]}}, "angles": {"hip.flexion": "90 deg"}}}),
    ]);
    let sheet = json!({"worksheet": 1, "calculations": entries});
    let errors: Vec<String> = validator.iter_errors(&sheet).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    assert!(answer(&entries).iter().all(|r| r["ok"] == true));
    let wrong = json!({"worksheet": 1, "calculations": [{"id": "h", "kind": "isothermal", "inputs": {"temperature_C": 400, "time_s": 1}}]});
    assert!(!validator.is_valid(&wrong));
}

/// The number under a pointer of the entry with this id.
fn told_by(results: &[Value], id: &str, pointer: &str) -> Option<f64> {
    results.iter().find(|r| r["id"] == id).unwrap_or_else(|| panic!("no entry `{id}`")).pointer(pointer)?.as_f64()
}

#[test]
fn the_worksheet_of_a_protocol_gives_the_numbers_of_its_page() {
    let judged = fascicle::build::judge(&[root().join("packs/millrace-course")], common::TODAY).unwrap();
    let catalog = judged.catalog.unwrap();
    let plan = fascicle::plan::plan(&catalog, &judged.facts).unwrap();
    let (mut thermal, mut stretches) = (0, 0);
    for (idx, protocol) in catalog.protocols.iter() {
        let Some(artifact) = plan.artifacts.get(&format!("worksheets/{}.yaml", protocol.head.id.value)) else { continue };
        let fascicle::plan::Body::Text(text) = &artifact.body else { panic!("a worksheet is text") };
        let sheet = sheet(text);
        let report: Value = serde_json::from_str(&show::json(&sheet, &run(&sheet))).unwrap();
        let results = report["results"].as_array().unwrap();
        assert!(results.iter().all(|r| r["ok"] == true), "{report}");
        let facts = judged.facts.of(idx);
        let steps = protocol.steps.iter().map(|s| format!("step-{}", s.number.value)).zip(&facts.steps);
        let home = (1..=protocol.home.len()).map(|i| format!("home-{i}")).zip(&facts.home);
        for (name, facts) in steps.chain(home) {
            if let Some(of) = &facts.thermal {
                let (worst, heat) = (of.exposure.worst(), of.exposure.scenario.is_heat());
                let id = format!("{name}-{}", if heat { "heat" } else { "cold" });
                let (key, value) = if heat { ("T_basal_max_C", worst.basal_max) } else { ("T_skin_min_C", worst.skin_min) };
                assert_eq!(told_by(results, &id, &format!("/result/{key}")), Some(value), "{id}");
                let (key, value) = if heat { ("share_of_safe_time", of.exposure.used()) } else { ("rewarm_to_30_s", of.exposure.rewarm()) };
                assert_eq!(told_by(results, &id, &format!("/result/{key}")), value, "{id}");
                thermal += 1;
            }
            for part in facts.stretch.iter().flat_map(|s| &s.parts) {
                let written = &catalog.muscles[facts.muscle.unwrap()].mechanics[part.row];
                let id = format!("{name}-stretch-{}", written.name.value.to_lowercase().replace(' ', "-"));
                assert_eq!(told_by(results, &id, "/result/length_change_mm"), Some(part.change.total), "{id}");
                stretches += 1;
            }
        }
    }
    assert!(thermal > 5 && stretches > 5, "{thermal} {stretches}");
}

/// Something that may stand where a value belongs.
fn value() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        prop_oneof![Just(0.0), Just(-1.0), Just(1e-300), Just(1e300), Just(4e4), -100.0..200.0f64, 0.0..1.0f64].prop_map(|n| json!(n)),
        prop_oneof![
            Just("room"),
            Just("60 degC"),
            Just("10 min"),
            Just("1 rad"),
            Just("unknown"),
            Just("held"),
            Just("none"),
            Just("\u{202e}")
        ]
        .prop_map(|t| json!(t)),
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
    ];
    leaf.prop_recursive(2, 8, 3, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..3).prop_map(Value::from),
            prop::collection::hash_map("(hip.flexion|T_C|kind|x)", inner, 0..3).prop_map(|m| m.into_iter().collect::<Map<_, _>>().into()),
        ]
    })
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

/// No panic; every mistake lies in the sheet; nothing that is no number is told as one.
fn survives(text: &str) -> Result<(), TestCaseError> {
    let sheet = sheet(text);
    let findings = match calc::run(&sheet) {
        Ok(done) => {
            let report: Value = serde_json::from_str(&show::json(&sheet, &done)).unwrap();
            prop_assert_eq!(report["results"].as_array().map(Vec::len), Some(done.len()));
            show::table(&done);
            done.into_iter().filter_map(|d| d.result.err()).flatten().collect()
        }
        Err(unreadable) => unreadable.0,
    };
    for finding in findings {
        prop_assert!(text.get(finding.primary.span.range()).is_some(), "{finding:?}");
        fascicle::report::human::render(&finding, &sheet.map, 60, false);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_value_in_a_case_makes_it_panic(which in any::<prop::sample::Index>(), at in prop::collection::vec(any::<prop::sample::Index>(), 1..5), with in value()) {
        let cases = cases("thermal");
        let mut entry = entry(&cases[which.index(cases.len())]);
        replace(&mut entry["inputs"], &at, &with);
        survives(&json!({"worksheet": 1, "calculations": [entry]}).to_string())?;
    }

    #[test]
    fn no_inputs_of_any_kind_make_it_panic(kind in any::<prop::sample::Index>(), values in prop::collection::vec(value(), 0..12), skip in any::<u16>()) {
        let kinds: Vec<_> = calc::kinds().collect();
        let kind = kinds[kind.index(kinds.len())];
        let keys = kind.keys.iter().enumerate().filter(|(i, _)| skip >> (i % 16) & 1 == 0).map(|(_, k)| (*k).to_string());
        let inputs: Map<String, Value> = keys.zip(values).collect();
        survives(&json!({"worksheet": 1, "calculations": [{"id": "a", "kind": kind.name, "inputs": inputs}]}).to_string())?;
    }

    #[test]
    fn no_bytes_make_it_panic(at in any::<prop::sample::Index>(), with in "[ -~\u{e9}\u{202e}\n\t\"'\\[\\]{}&*:|>#-]{0,6}", drop in 0..30usize) {
        let mut bytes = MIXED.as_bytes().to_vec();
        let start = at.index(bytes.len());
        bytes.splice(start..(start + drop).min(bytes.len()), with.bytes());
        survives(&String::from_utf8_lossy(&bytes))?;
    }
}
