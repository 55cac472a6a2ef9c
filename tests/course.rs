//! Pages for a course: what is printed for people says the same numbers as the page, coverage counts what is written, and
//! every word that a page uses for a state is in the glossary.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking, and names its own files")]

mod common;

use fascicle::build::{Judged, judge};
use fascicle::model::docs::{Dose, DoseValue};
use fascicle::model::vocabulary::{Role, Strength, Stressor, Urgency};
use fascicle::plan::Shape;
use fascicle::render::{Built, Templates, render};
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::LazyLock;

const PACKS: [&str; 3] = ["tests/checks/base", "packs/millrace-course", "packs/millrace-house"];

/// A pack, judged once for all tests.
fn judged(pack: &str) -> &'static Judged {
    static ALL: [LazyLock<Judged>; 3] =
        [LazyLock::new(|| judge_one(PACKS[0])), LazyLock::new(|| judge_one(PACKS[1])), LazyLock::new(|| judge_one(PACKS[2]))];
    &ALL[PACKS.iter().position(|p| *p == pack).unwrap()]
}

fn judge_one(pack: &str) -> Judged {
    judge(&[common::root().join(pack)], common::TODAY).unwrap()
}

fn built(judged: &Judged) -> BTreeMap<String, Built> {
    let plan = fascicle::plan::plan(judged.catalog.as_ref().unwrap(), &judged.facts).unwrap();
    assert!(plan.clashes.is_empty(), "{:?}", plan.clashes);
    render(&plan, Templates::shipped()).unwrap().into_iter().map(|b| (b.path.clone(), b)).collect()
}

/// What a reader sees: no tags, entities read, single blanks.
fn seen(html: &str) -> String {
    let body = html.split_once("<main").map_or(html, |(_, rest)| rest);
    let mut out = String::new();
    let mut inside = false;
    for c in body.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                out.push(' ');
            }
            c if !inside => out.push(c),
            _ => {}
        }
    }
    let out = out
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&#x27;", "'")
        .replace("&#39;", "'")
        .replace("&amp;", "&");
    out.split([' ', '\n']).filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ")
}

/// The amounts of a table or list of doses in the order of the page: the text of every `<strong class="num">`.
fn amounts(html: &str) -> Vec<String> {
    html.split("<strong class=\"num\">")
        .skip(1)
        .filter_map(|rest| rest.split("</strong>").next())
        .map(|t| seen(&format!("<main>{t}")))
        .collect()
}

fn shown(dose: &Dose) -> Vec<String> {
    let one = |value: &DoseValue| match value {
        DoseValue::Amount(q) => q.shown(),
        DoseValue::Word(word) => word.to_string(),
        DoseValue::Unreadable => panic!("the packs of this test are readable"),
    };
    dose.entries.iter().map(|e| seen(&format!("<main>{}", one(&e.value)))).collect()
}

fn row_of<'a>(html: &'a str, start: &str) -> &'a str {
    let at = html.find(start).unwrap_or_else(|| panic!("{start} is not there"));
    html[at..].split("</tr>").next().unwrap()
}

#[test]
fn a_mark_sheet_has_every_step_with_its_dose_and_every_question() {
    for pack in PACKS {
        let judged = judged(pack);
        let catalog = judged.catalog.as_ref().unwrap();
        let files = built(judged);
        for (idx, p) in catalog.protocols.iter() {
            let path = format!("mark-sheets/{}.html", p.head.id.value);
            let html = files[&path].text();
            let text = seen(html);
            for s in &p.steps {
                let part = html.split_once("id=\"steps\"").unwrap().1;
                let ends = [" <", "<"].map(|end| format!("<th scope=\"row\">{}{end}", s.number.value));
                let row = row_of(part, ends.iter().find(|e| part.contains(e.as_str())).expect("the step has a row"));
                assert_eq!(amounts(row), shown(&s.dose), "{path}, step {}", s.number.value);
                assert!(seen(row).contains(&*seen(&format!("<main>{}", s.action.value))), "{path}: {}", s.action.value);
                let role = catalog.techniques[s.technique.to.unwrap()].role;
                let must = matches!(role, Role::Screening | Role::Consent | Role::SensationTest);
                assert_eq!(row.contains("class=\"must\""), must, "{path}, step {}: {}", s.number.value, role.word());
            }
            let home: Vec<String> = p.home.iter().flat_map(|h| shown(&h.dose)).collect();
            assert_eq!(html.split_once("id=\"after\"").map(|(_, rest)| amounts(rest)).unwrap_or_default(), home, "{path}");
            let facts = judged.facts.of(idx);
            let flags = facts.flags.flags.iter().map(|f| &*catalog.flags[f.flag].question.value);
            let cautions = facts.cautions.iter().filter_map(|c| Some(&*catalog.conditions[c.condition].question.as_ref()?.value));
            for question in flags.chain(cautions) {
                assert!(text.contains(&seen(&format!("<main>{question}"))), "{path}: {question}");
            }
            for caution in facts.cautions.iter().filter(|c| c.strength.blocks()) {
                let name = &catalog.conditions[caution.condition].name.value;
                let part = html.split_once("id=\"cautions\"").unwrap().1;
                let row =
                    part.split("<tr").find(|r| seen(&format!("<main {r}")).contains(&**name)).unwrap_or_else(|| panic!("{path}: {name}"));
                assert!(row.contains("class=\"must\""), "{path}: {name} bars a step, and its row is no must");
            }
            let rules = p.steps.iter().flat_map(|s| catalog.techniques[s.technique.to.unwrap()].stop.iter().chain(&s.stop));
            for rule in rules {
                let sign = seen(&format!("<main>{}", rule.sign.value));
                assert!(text.to_lowercase().contains(&sign.to_lowercase()), "{path}: {sign}");
            }
            let form = html.split_once("<main").unwrap().1;
            assert!(!form.contains("<input") && !form.contains("<textarea") && !form.contains("<form"), "{path}: it is a form for print");
        }
    }
}

/// For a person at home a number a day is said in words.
fn in_words(shown: &str) -> String {
    match shown.strip_suffix("/day") {
        Some("1") => "once a day".to_string(),
        Some(times) => format!("{times} times a day"),
        None => shown.to_string(),
    }
}

#[test]
fn a_leaflet_has_the_doses_of_the_page_and_every_red_flag() {
    for pack in PACKS {
        let judged = judged(pack);
        let catalog = judged.catalog.as_ref().unwrap();
        let files = built(judged);
        let mut leaflets = 0;
        for (idx, p) in catalog.protocols.iter().filter(|(_, p)| p.leaflet.is_some()) {
            leaflets += 1;
            let path = format!("leaflets/{}.html", p.head.id.value);
            let html = files[&path].text();
            let text = seen(html);
            let facts = judged.facts.of(idx);
            let measures =
                |f: &fascicle::compute::steps::StepFacts| f.technique.is_some_and(|t| catalog.techniques[t].role == Role::Measurement);
            let treats = p.steps.iter().zip(&facts.steps).filter(|(_, f)| f.is_treatment() && !measures(f));
            let done: Vec<String> = treats.flat_map(|(s, _)| shown(&s.dose)).collect();
            let part = |id: &str| html.split_once(&format!("id=\"{id}\"")).map_or("", |(_, r)| r.split("</table>").next().unwrap());
            assert_eq!(amounts(part("done")), done, "{path}");
            for h in &p.home {
                let row = row_of(part("home"), &format!("<th scope=\"row\">{}", h.name.value));
                let often =
                    [&h.per_day, &h.days, &h.weeks].into_iter().flatten().map(|q| seen(&format!("<main>{}", in_words(&q.value.shown()))));
                assert_eq!(amounts(row), shown(&h.dose).into_iter().chain(often).collect::<Vec<_>>(), "{path}: {}", h.name.value);
            }
            for flag in facts.flags.flags.iter().map(|f| &catalog.flags[f.flag]) {
                let words = flag.safety_net.as_ref().unwrap_or(&flag.question);
                assert!(text.contains(&seen(&format!("<main>{}", words.value))), "{path}: {}", flag.name.value);
                assert!(html.contains(&format!("data-flag=\"{}\"", flag.head.id.value)), "{path}");
            }
        }
        assert!(leaflets > 0 || pack == PACKS[0], "{pack}");
    }
}

fn json(files: &BTreeMap<String, Built>, path: &str) -> Value {
    serde_json::from_slice(&files[path].bytes).unwrap()
}

fn has(value: &Value) -> bool {
    match value {
        Value::Null => false,
        Value::Array(items) => !items.is_empty(),
        Value::String(text) => !text.is_empty(),
        _ => true,
    }
}

/// Extents of a muscle by another way: from the data of the site instead of the documents.
fn walked(files: &BTreeMap<String, Built>, id: &str) -> Vec<(&'static str, Vec<bool>)> {
    let muscle = json(files, &format!("data/muscles/{id}.json"));
    let m = &muscle["document"];
    let all: Vec<Value> = files.keys().filter(|k| k.starts_with("data/protocols/")).map(|k| json(files, k)).collect();
    let own: Vec<&Value> = all.iter().filter(|p| p["document"]["muscle"] == id && p["state"] != "retired").collect();
    let every = |items: &[&Value], is: &dyn Fn(&Value) -> bool| !items.is_empty() && items.iter().all(|i| is(i));
    let list = |v: &Value| -> Vec<Value> { v.as_array().cloned().unwrap_or_default() };
    let points = list(&m["points"]);
    let points: Vec<&Value> = points.iter().collect();
    let end = |word: &str| list(&m["attachments"]).iter().any(|a| a["end"] == word);
    let loads =
        |technique: &Value| has(&json(files, &format!("data/techniques/{}.json", technique.as_str().unwrap()))["document"]["exposes"]);
    let doc = |is: &dyn Fn(&Value) -> bool| every(&own, &|p| is(&p["document"]));
    let claims = |p: &Value| -> Vec<Value> { list(&p["evidence"]) };
    let carried = |c: &Value| has(&c["ground"]["cite"]) || has(&c["effect"]["question"]) || has(&c["effect"]["result"]);
    vec![
        (
            "anatomy",
            vec![
                end("proximal") && end("distal"),
                list(&m["actions"]).iter().any(|a| has(&a["motion"])),
                has(&m["nerve"]["name"]) && has(&m["nerve"]["segments"]),
                has(&m["fibres"]["text"]),
            ],
        ),
        (
            "find",
            vec![
                has(&m["palpation"]["method"]),
                !points.is_empty(),
                every(&points, &|p| has(&p["landmark"]["from"]) && (has(&p["landmark"]["direction"]) || has(&p["landmark"]["distance"]))),
            ],
        ),
        ("do", vec![!own.is_empty(), doc(&|p| list(&p["steps"]).iter().all(|s| !loads(&s["technique"]) || has(&s["dose"])))]),
        (
            "cautions",
            vec![
                has(&m["hazards"]),
                doc(&|p| has(&p["derived"]["cautions"]) && has(&p["derived"]["flags"])),
                doc(&|p| !has(&p["derived"]["uncovered"])),
            ],
        ),
        ("evidence", vec![doc(&|p| !claims(p).is_empty()), doc(&|p| !claims(p).is_empty() && claims(p).iter().all(carried))]),
        (
            "chart",
            vec![
                list(&m["chart"]).iter().any(|d| has(&d["outline"])),
                every(&points, &|p| has(&p["chart"])),
                every(&points, &|p| has(&p["zone"])),
            ],
        ),
        ("mechanics", vec![has(&m["mechanics"])]),
        ("sign-off", vec![muscle["signed"] == true, every(&own, &|p| p["signed"] == true)]),
    ]
}

#[test]
fn coverage_is_what_another_walk_finds() {
    for pack in PACKS {
        let files = built(judged(pack));
        let coverage = json(&files, "data/coverage.json");
        let muscles = coverage["muscles"].as_array().unwrap();
        assert!(!muscles.is_empty());
        let mut counts: BTreeMap<(String, String), u64> = BTreeMap::new();
        for row in muscles {
            let id = row["id"].as_str().unwrap();
            for (cell, (column, found)) in row["cells"].as_array().unwrap().iter().zip(walked(&files, id)) {
                let n = found.iter().filter(|f| **f).count();
                let extent = if n == 0 {
                    "missing"
                } else if n == found.len() {
                    "there"
                } else {
                    "in part"
                };
                assert_eq!(
                    (cell["column"].as_str().unwrap(), cell["extent"].as_str().unwrap()),
                    (column, extent),
                    "{pack}, {id}: {found:?}, lacks {}",
                    cell["lacks"]
                );
                assert_eq!(cell["lacks"].as_array().unwrap().len(), found.len() - n, "{pack}, {id}, {column}");
                *counts.entry((column.into(), extent.into())).or_default() += 1;
            }
        }
        for total in coverage["totals"].as_array().unwrap() {
            for (extent, n) in total["muscles"].as_object().unwrap() {
                let key = (total["column"].as_str().unwrap().to_string(), extent.clone());
                assert_eq!(n.as_u64().unwrap(), counts.get(&key).copied().unwrap_or(0), "{pack}: {key:?}");
            }
        }
        let uses = coverage["techniques"].as_array().unwrap().iter().flat_map(|t| t["protocols"].as_array().unwrap());
        let steps: usize = uses.map(|u| u["steps"].as_array().unwrap().len() + u["home"].as_array().unwrap().len()).sum();
        let judged = judged(pack);
        let written: usize = judged.catalog.as_ref().unwrap().protocols.rows().iter().map(|p| p.steps.len() + p.home.len()).sum();
        assert_eq!(steps, written, "{pack}: every step stands under its technique");
    }
}

#[test]
fn words_of_cautions_flags_and_loads_are_in_the_glossary() {
    let files = built(judged(PACKS[0]));
    let html = files["glossary.html"].text();
    let term = |word: &str| html.contains(&format!("<dt><strong>{word}</strong></dt>"));
    assert!(Strength::ALL.iter().all(|s| term(s.word())) && Stressor::ALL.iter().all(|s| term(s.word())));
    for urgency in Urgency::ALL {
        assert!(term(urgency.word()) && seen(html).to_lowercase().contains(urgency.clock()), "{}", urgency.word());
    }
    assert!(!html.contains(" title=\""), "meanings are in sight, not under a pointer");
}

#[test]
fn words_of_a_pack_come_first_with_what_they_stand_on() {
    let judged = judged(PACKS[1]);
    let catalog = judged.catalog.as_ref().unwrap();
    let files = built(judged);
    let html = files["glossary.html"].text();
    let site: serde_json::Value = serde_json::from_str(files["data/site.json"].text()).unwrap();
    let words = &catalog.packs.rows()[0].glossary;
    assert!(words.len() > 2, "the demo pack has words of its own");
    let exported = site["packs"][0]["glossary"].as_array().unwrap();
    assert_eq!(exported.len(), words.len());
    for (word, data) in words.iter().zip(exported) {
        let basis = word.ground.basis.as_ref().unwrap().value.word();
        let at = html.find(&*word.means.value).unwrap_or_else(|| panic!("{} is not explained", word.word.value));
        assert!(at < html.find("Words of these pages</h2>").unwrap());
        assert!(html[at..].split("</dd>").next().unwrap().contains(basis));
        assert_eq!((data["word"].as_str(), data["means"].as_str()), (Some(&*word.word.value), Some(&*word.means.value)));
    }
}

#[test]
fn a_word_with_a_source_leads_there_and_one_that_is_not_there_is_found() {
    for (source, found) in [("house-trial", false), ("no-such-trial", true)] {
        let dir = tempfile::tempdir().unwrap();
        common::copy(&common::root().join(PACKS[0]), dir.path()).unwrap();
        let word = format!("+ glossary: [{{word: heel cord, means: The tendon of the calf., cite: [{{source: {source}, at: table 2}}]}}]");
        common::apply(dir.path(), &format!("pack.yaml\n- edition: 1.0.0\n+ edition: 1.0.0\n{word}\n")).unwrap();
        let judged = judge(&[dir.path().to_path_buf()], common::TODAY).unwrap();
        let named = judged.findings(common::TODAY).iter().any(|f| f.message.contains("no-such-trial"));
        assert_eq!(named, found, "{source}");
        if !found {
            let files = built(&judged);
            let html = files["glossary.html"].text();
            let said = html.split_once("The tendon of the calf.").unwrap().1.split("</dd>").next().unwrap();
            assert!(said.contains("sources/house-trial.html") && said.contains("table 2"), "{said}");
        }
    }
}

#[test]
fn pairs_stand_side_by_side_and_both_muscles_lead_there() {
    let judged = judged(PACKS[1]);
    let catalog = judged.catalog.as_ref().unwrap();
    let files = built(judged);
    let pairs = fascicle::compute::chart::to_tell_apart(catalog, &judged.facts.chart);
    assert!(pairs.len() > 1, "the demo pack has neighbours");
    let mut neighbours = 0;
    for (a, b) in pairs {
        let ids = [a, b].map(|m| catalog.muscles[m].head.id.value.to_string());
        let path = format!("side-by-side/{}-and-{}.html", ids[0], ids[1]);
        assert!(files.contains_key(&path), "{path}");
        for id in &ids {
            assert!(files[&format!("muscles/{id}.html")].text().contains(&format!("href=\"../{path}\"")), "{id}: {path}");
        }
        let text = seen(files[&path].text());
        let shown = |said: &str| seen(&format!("<main>{said}"));
        for muscle in [a, b].map(|m| &catalog.muscles[m]) {
            for end in &muscle.attachments {
                assert!(text.contains(&shown(&end.text.value)), "{path}");
            }
        }
        // What one muscle says of its neighbour is about the neighbour and stands under it.
        let html = files[&path].text();
        let told = html.split_once("How to tell them apart").unwrap().1.split_once("</section>").unwrap().0;
        let cells: Vec<String> = told.split("<div class=\"pair-cell\">").skip(1).map(|c| seen(&format!("<main>{c}"))).collect();
        for (own, other, cell) in [(a, b, &cells[1]), (b, a, &cells[0])] {
            for n in catalog.muscles[own].neighbours.iter().filter(|n| n.muscle.as_ref().is_some_and(|r| r.to == Some(other))) {
                neighbours += 1;
                assert!(cell.contains(&shown(&n.tell_apart.value)), "{path}: {:?}", n.tell_apart.value);
            }
        }
    }
    assert!(neighbours > 3);
}

#[test]
fn an_erratum_stands_on_its_page_and_on_that_of_its_document() {
    let dir = tempfile::tempdir().unwrap();
    common::copy(&common::root().join(PACKS[0]), dir.path()).unwrap();
    let edits = std::fs::read_to_string(common::root().join("tests/checks/erratum-not-borne-out/silent/edits.txt")).unwrap();
    common::apply(dir.path(), &edits).unwrap();
    let judged = judge(&[dir.path().to_path_buf()], common::TODAY).unwrap();
    let files = built(&judged);
    for path in ["errata.html", "protocols/soleus.html", "mark-sheets/soleus.html"] {
        let text = seen(files[path].text());
        assert!(text.contains("2026-11-20") && text.contains("90-120 s") && text.to_lowercase().contains("could harm"), "{path}");
    }
    assert!(!seen(files["muscles/soleus.html"].text()).contains("Erratum"));
}

#[test]
fn what_is_retired_is_not_printed() {
    let dir = tempfile::tempdir().unwrap();
    common::copy(&common::root().join(PACKS[0]), dir.path()).unwrap();
    let retired = "protocols/soleus.yaml\n- id: soleus\n+ id: soleus\n+ status: retired\n+ since: 2026-11-20\n+ because: Nobody uses it.\n";
    common::apply(dir.path(), retired).unwrap();
    let files = built(&judge(&[dir.path().to_path_buf()], common::TODAY).unwrap());
    assert!(!files.keys().any(|p| p.starts_with("mark-sheets/") || p.starts_with("leaflets/")));
    assert!(files.values().all(|f| f.shape != Shape::Handout));
}
