//! Against the outside world: each test names its published source.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;
use common::{TODAY, root};
use fascicle::compute::reporting::State;
use fascicle::model::Kind;
use fascicle::model::quantity::{parse, unit_named};

/// NIST Special Publication 811 (2008), appendix B; SI Brochure, 9th edition (2019). The cases and
/// their exact results stand in `tests/reference/units.json` with the source.
#[test]
fn pressure_units_convert_exactly() {
    let text = std::fs::read_to_string(root().join("tests/reference/units.json")).unwrap();
    let file: serde_json::Value = serde_json::from_str(&text).unwrap();
    let relative = file["tolerance"]["rel"].as_f64().unwrap();
    let mut compared = 0;
    for case in file["inputs"]["cases"].as_array().unwrap() {
        let symbol = |key: &str| match case[key].as_str().unwrap() {
            known @ ("kgf/cm2" | "kPa") => Some(known.to_string()),
            _ => None,
        };
        let (Some(from), Some(to)) = (symbol("from"), symbol("to")) else { continue };
        if case["kind"] != "value" {
            continue;
        }
        let expected = file["expected"]["cases"].as_array().unwrap().iter().find(|e| e["id"] == case["id"]).unwrap();
        for (value, wanted) in case["values"].as_array().unwrap().iter().zip(expected["values"].as_array().unwrap()) {
            let number = fascicle::model::quantity::number(value.as_str().unwrap().parse().unwrap());
            let given = parse(&format!("{number} {from}")).unwrap();
            let got = given.base().hi / unit_named(&to).factor;
            let wanted = wanted.as_f64().unwrap();
            assert!((got - wanted).abs() <= relative * wanted.abs(), "{case}: {got} is not {wanted}");
            compared += 1;
        }
    }
    assert!(compared >= 2, "only {compared} cases fit the units of packs");
}

fn demo() -> fascicle::build::Judged {
    fascicle::build::judge(&[root().join("packs/millrace-course")], TODAY).unwrap()
}

/// Gray H. Anatomy of the Human Body, 20th ed., 1918: attachments whose page text was read.
#[test]
fn attachments_of_the_demo_muscles_name_what_gray_names() {
    let judged = demo();
    let catalog = judged.catalog.unwrap();
    let table = std::fs::read_to_string(root().join("tests/reference/gray-1918.csv")).unwrap();
    let rows: Vec<Vec<&str>> = table.lines().filter(|l| !l.starts_with('#')).skip(1).map(|l| l.split(';').collect()).collect();
    assert_eq!(rows.len(), 12);
    for row in rows {
        let [muscle, end, gray, words] = row.as_slice() else { panic!("{row:?}") };
        let doc = catalog.find(Kind::Muscle, muscle).unwrap();
        let muscle = &catalog.muscles.rows()[doc.row as usize];
        let attachment = muscle.attachments.iter().find(|a| a.end == *end).unwrap();
        let text = attachment.text.value.to_lowercase();
        for word in words.split('|') {
            assert!(text.contains(word), "{} {end}: `{word}` of \"{gray}\" is not in \"{text}\"", muscle.name.value);
        }
        assert!(attachment.ground.cites.iter().any(|c| &*c.source.written.value == "gray-1918"), "{} {end}", muscle.name.value);
    }
}

/// Hoffmann TC et al. TIDieR. BMJ 2014;348:g1687: 12 items, numbered 1 to 12.
#[test]
fn a_protocol_has_the_twelve_cells_of_an_intervention_description() {
    let judged = demo();
    for facts in &judged.facts.protocols {
        assert_eq!(facts.reporting.iter().map(|c| c.item).collect::<Vec<_>>(), (1..=12).collect::<Vec<u8>>());
        assert!(facts.reporting.iter().all(|c| c.state != State::Empty), "{:?}", facts.reporting);
    }
}

/// Job map of the design, worked example: one sweep of 3 passes and one of 2 to 4 passes on one skin
/// give 5 at best and 7 at worst.
#[test]
fn two_ranges_of_passes_add_up_at_both_ends() {
    use fascicle::model::interval::Interval;
    let sum = Interval::exact(3.0) + Interval::new(2.0, 4.0);
    assert_eq!(sum, Interval::new(5.0, 7.0));
}
