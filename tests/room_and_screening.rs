//! The room view and the screening page say what the facts and the page of the protocol say, number by number.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;

use fascicle::build::{Judged, judge};
use fascicle::model::docs::DoseValue;
use fascicle::model::unit::Dim;
use fascicle::model::vocabulary::Strength;
use fascicle::render::{Built, Templates, render};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::LazyLock;

const PACKS: [&str; 2] = ["tests/checks/base", "packs/millrace-course"];

fn judged(pack: &Path) -> (Judged, Vec<Built>) {
    let judged = judge(&[pack.to_path_buf()], common::TODAY).unwrap();
    let plan = fascicle::plan::plan(judged.catalog.as_ref().unwrap(), &judged.facts).unwrap();
    let built = render(&plan, Templates::shipped()).unwrap();
    (judged, built)
}

/// The packs of the tests, judged and rendered once: heat and cold take their time.
static BUILT: LazyLock<Vec<(Judged, Vec<Built>)>> = LazyLock::new(|| PACKS.map(|p| judged(&common::root().join(p))).into());

fn file<'a>(files: &'a [Built], path: &str) -> &'a str {
    files.iter().find(|f| f.path == path).unwrap_or_else(|| panic!("{path} is not there")).text()
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_else(|| panic!("{value} is no text")).to_string()
}

fn numbers_of(value: &Value) -> Vec<usize> {
    value.as_array().unwrap().iter().map(|n| usize::try_from(n.as_u64().unwrap()).unwrap()).collect()
}

/// Home item or step, number, stressor, strength, row of the condition, whether it bars.
type Said = BTreeSet<(bool, usize, String, String, usize, bool)>;

/// What the table says of a protocol and a condition.
fn said(data: &Value, protocol: &Value, condition: &str) -> Said {
    let all = data["conditions"].as_array().unwrap();
    let rules = all.iter().find(|c| c["id"] == condition).unwrap()["rules"].as_array().unwrap();
    let mut out = Said::new();
    for touch in protocol["touches"].as_array().unwrap().iter().filter(|t| t["condition"] == condition) {
        for row in touch["rows"].as_array().unwrap() {
            let rule = rules.iter().find(|r| r["rule"] == row["rule"]).unwrap();
            for (home, list) in [(false, "steps"), (true, "home")] {
                for number in numbers_of(&row[list]) {
                    let index = usize::try_from(row["rule"].as_u64().unwrap()).unwrap();
                    out.insert((home, number, text(&rule["stressor"]), text(&rule["strength"]), index, rule["bars"] == true));
                }
            }
        }
    }
    out
}

#[test]
fn the_screening_table_is_the_caution_matrix_of_every_protocol_and_condition() {
    for (judged, files) in BUILT.iter() {
        let catalog = judged.catalog.as_ref().unwrap();
        let data: Value = serde_json::from_str(file(files, "data/screening.json")).unwrap();
        let script = file(files, "assets/screening-data.js");
        let inner = script.trim_end().strip_prefix("fascicleScreeningData(").and_then(|s| s.strip_suffix(");")).unwrap();
        assert_eq!(serde_json::from_str::<Value>(inner).unwrap(), data, "page and programs read the same");
        assert_eq!(data["flags"].as_array().unwrap().len(), catalog.flags.len());
        let mut touched = 0;
        for (idx, protocol) in catalog.protocols.iter() {
            let row = data["protocols"].as_array().unwrap().iter().find(|p| p["id"] == *protocol.head.id.value).unwrap();
            let excludes: Vec<String> = protocol.population.excludes.iter().map(|r| r.written.value.to_string()).collect();
            assert_eq!(row["excludes"].as_array().unwrap().iter().map(text).collect::<Vec<_>>(), excludes);
            for (condition, doc) in catalog.conditions.iter() {
                let hits = judged.facts.of(idx).cautions.iter().filter(|c| c.condition == condition).flat_map(|c| &c.hits);
                let wanted: Said = hits
                    .map(|h| {
                        let number = if h.home { h.step + 1 } else { protocol.steps[h.step].number.value as usize };
                        let rule = &doc.rules[h.rule];
                        (h.home, number, h.stressor.word().to_string(), h.strength.word().to_string(), h.rule, doc.bars(rule))
                    })
                    .collect();
                assert_eq!(said(&data, row, &doc.head.id.value), wanted, "{}, {}", protocol.head.id.value, doc.head.id.value);
                touched += wanted.len();
            }
        }
        assert!(touched > 4, "{touched}");
    }
}

#[test]
fn the_screening_table_has_every_pair_with_its_steps() {
    let (judged, files) = &BUILT[1];
    let catalog = judged.catalog.as_ref().unwrap();
    let data: Value = serde_json::from_str(file(files, "data/screening.json")).unwrap();
    let page = file(files, "screening.html");
    let mut seen = 0;
    for (idx, protocol) in catalog.protocols.iter() {
        let row = data["protocols"].as_array().unwrap().iter().find(|p| p["id"] == *protocol.head.id.value).unwrap();
        let pairs = &judged.facts.of(idx).combinations;
        assert_eq!(row["together"].as_array().unwrap().len(), pairs.len());
        for (pair, touch) in pairs.iter().zip(row["together"].as_array().unwrap()) {
            let told = &data["combinations"][usize::try_from(touch["combination"].as_u64().unwrap()).unwrap()];
            let written = pair.written(catalog).unwrap();
            let with: Vec<String> = written.with.iter().map(|c| c.written.value.to_string()).collect();
            assert_eq!(told["condition"], *catalog.conditions[pair.condition].head.id.value);
            assert_eq!(told["with"].as_array().unwrap().iter().map(text).collect::<BTreeSet<_>>(), with.into_iter().collect());
            for hit in &pair.hits {
                let rows = touch["rows"].as_array().unwrap();
                let own = rows.iter().find(|r| r["rule"] == hit.rule).unwrap();
                let number = if hit.home { hit.step + 1 } else { protocol.steps[hit.step].number.value as usize };
                assert!(numbers_of(&own[if hit.home { "home" } else { "steps" }]).contains(&number), "{own}");
                seen += 1;
            }
            assert!(page.contains(&format!("data-together=\"{}\"", catalog.conditions[pair.condition].head.id.value)));
        }
    }
    assert!(seen > 4, "{seen}");
}

#[test]
fn the_limits_of_the_screening_table_are_those_of_the_conditions() {
    let (judged, files) = &BUILT[1];
    let catalog = judged.catalog.as_ref().unwrap();
    let data: Value = serde_json::from_str(file(files, "data/screening.json")).unwrap();
    let mut seen = 0;
    for (_, doc) in catalog.conditions.iter() {
        let row = data["conditions"].as_array().unwrap().iter().find(|c| c["id"] == *doc.head.id.value).unwrap();
        for rule in row["rules"].as_array().unwrap() {
            let own = &doc.rules[usize::try_from(rule["rule"].as_u64().unwrap()).unwrap()];
            for limit in rule["limits"].as_array().unwrap() {
                let amount = own.max.amount(&text(&limit["parameter"])).unwrap();
                assert_eq!(limit["base"].as_f64(), Some(amount.base().hi));
                assert_eq!(text(&limit["text"]), amount.shown());
                assert_eq!(limit["least"] == true, amount.dim() == Dim::Layers);
                assert!(text(&rule["numbers"]).contains(&amount.shown()), "{rule}");
                seen += 1;
            }
        }
    }
    assert!(seen > 5, "{seen}");
}

/// The markup from an element with this id to the next one that starts with `end`.
fn part<'a>(html: &'a str, id: &str, end: &str) -> &'a str {
    let from = html.find(&format!(" id=\"{id}\"")).unwrap_or_else(|| panic!("no {id}"));
    let rest = &html[from..];
    &rest[..rest.find(end).unwrap_or(rest.len())]
}

/// Text without tags.
fn plain(html: &str) -> String {
    let mut out = String::new();
    for (i, piece) in html.split('<').enumerate() {
        out.push_str(if i == 0 { piece } else { piece.split_once('>').map_or("", |(_, text)| text) });
        out.push(' ');
    }
    out
}

/// Numbers with what is written together with them: `45–60`, `4/10`, `2.5`.
fn numbers(text: &str) -> BTreeSet<String> {
    let words = text.split(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '–' | '/')));
    let trimmed = words.map(|w| w.trim_matches(['.', '/', '–']).to_string());
    trimmed.filter(|w| w.chars().any(|c| c.is_ascii_digit())).collect()
}

/// Least and most of every timer, in seconds.
fn timers(html: &str) -> Vec<(f64, f64)> {
    let value =
        |piece: &str, name: &str| -> Option<f64> { piece.split_once(&format!("data-{name}=\""))?.1.split('"').next()?.parse().ok() };
    html.split("class=\"timer\"").skip(1).filter_map(|t| Some((value(t, "least")?, value(t, "most")?))).collect()
}

#[test]
fn no_number_of_the_room_view_differs_from_the_page_of_the_protocol() {
    for (judged, files) in BUILT.iter() {
        for protocol in judged.catalog.as_ref().unwrap().protocols.rows() {
            let id = &protocol.head.id.value;
            let (room, page) = (file(files, &format!("room/{id}.html")), file(files, &format!("protocols/{id}.html")));
            let card = numbers(&plain(file(files, &format!("cards/{id}.html"))));
            let whole = numbers(&plain(page));
            for step in &protocol.steps {
                let number = step.number.value;
                let screen = part(room, &format!("step-{number}"), "</section>");
                let body = screen.split("class=\"room-body\"").nth(1).unwrap().split("<nav").next().unwrap();
                let body = body.split_once("</p>").expect("the line that says where the protocol stands").1;
                let there = numbers(&plain(part(page, &format!("step-{number}"), "\n<li class=\"step\"")));
                for n in numbers(&plain(body)).iter().filter(|n| *n != "0" && *n != "00") {
                    let modelled = body.contains("In the model") && card.contains(n);
                    assert!(there.contains(n) || modelled, "{id}, step {number}: {n} is not on the page");
                }
                for entry in &step.dose.entries {
                    let DoseValue::Amount(q) = &entry.value else { continue };
                    assert!(plain(body).contains(&q.shown()), "{id}, step {number}: {}", q.shown());
                    let counted = q.dim() == Dim::Time && &*entry.name.value != "pace" && q.base().hi.is_finite();
                    let timer = |(least, most): &(f64, f64)| (least - q.base().lo).abs() < 1e-9 && (most - q.base().hi).abs() < 1e-9;
                    assert!(!counted || timers(body).iter().any(timer), "{id}, step {number}: no timer of {}", q.shown());
                }
            }
            for screen in ["set-up", "after-care"] {
                let body = part(room, screen, "<nav");
                let body = body.split("class=\"room-stands\"").nth(1).unwrap().split_once("</p>").unwrap().1;
                for n in numbers(&plain(body)) {
                    assert!(whole.contains(&n), "{id}, {screen}: {n} is not on the page");
                }
            }
        }
    }
}

#[test]
fn the_stop_rules_of_a_step_are_on_its_screen_and_behind_its_stop_button() {
    let (judged, files) = &BUILT[1];
    for protocol in judged.catalog.as_ref().unwrap().protocols.rows() {
        let room = file(files, &format!("room/{}.html", protocol.head.id.value));
        for step in &protocol.steps {
            let number = step.number.value;
            let technique = &judged.catalog.as_ref().unwrap().techniques[step.technique.to.unwrap()];
            let screens = [part(room, &format!("step-{number}"), "<nav"), part(room, &format!("stop-{number}"), "<nav")];
            assert!(room.contains(&format!("href=\"#stop-{number}\"")));
            for rule in technique.stop.iter().chain(&step.stop) {
                assert!(screens.iter().all(|s| plain(s).contains(&*rule.sign.value)), "step {number}: {}", rule.sign.value);
            }
        }
    }
}

/// On the page of a protocol and of a session, folded, and on both screens of the room; once for a step that is several.
#[test]
fn what_to_do_if_a_step_goes_wrong_stands_at_the_step() {
    for (judged, files) in BUILT.iter() {
        let catalog = judged.catalog.as_ref().unwrap();
        let wrong = |protocol: &fascicle::model::docs::Protocol, row: usize| {
            catalog.techniques[protocol.steps[row].technique.to.unwrap()].if_wrong.value.to_string()
        };
        let folded = |html: &str| plain(html.split("<details class=\"if-wrong\">").nth(1).unwrap().split("</details>").next().unwrap());
        for protocol in catalog.protocols.rows() {
            let id = &protocol.head.id.value;
            let (room, page) = (file(files, &format!("room/{id}.html")), file(files, &format!("protocols/{id}.html")));
            for (row, step) in protocol.steps.iter().enumerate() {
                let (number, text) = (step.number.value, wrong(protocol, row));
                let there = folded(part(page, &format!("step-{number}"), "\n<li class=\"step\""));
                assert!(there.contains(&text) && there.contains(&format!("step {number}")), "{id}: {there}");
                let screens = [part(room, &format!("step-{number}"), "<nav"), part(room, &format!("stop-{number}"), "<nav")];
                assert!(screens.iter().all(|s| plain(s).contains(&text)), "{id}, step {number}");
            }
        }
        for (idx, session) in catalog.sessions.iter() {
            let page = file(files, &format!("sessions/{}.html", session.head.id.value));
            let visit = &judged.facts.sessions[idx.row()].visit;
            for (row, act) in visit.acts.iter().enumerate() {
                let there = folded(part(page, &format!("step-{}", row + 1), "\n<li class=\"step\""));
                for at in &act.steps.members {
                    let text = wrong(&catalog.protocols[visit.parts[at.part]], at.step);
                    assert_eq!(there.matches(&text).count(), 1, "{}, step {}", session.head.id.value, row + 1);
                }
            }
        }
    }
}

#[test]
fn what_is_suspended_says_so_in_the_room_and_in_the_screening() {
    let dir = tempfile::tempdir().unwrap();
    common::copy(&common::root().join(PACKS[0]), dir.path()).unwrap();
    let edit = "protocols/soleus.yaml\n- side: either\n+ side: either\n+ status: suspended\n+ since: 2026-11-20\n+ because: A burn was reported.\n";
    common::apply(dir.path(), edit).unwrap();
    let (_, files) = &judged(dir.path());
    let room = file(files, "room/soleus.html");
    for screen in ["stop", "set-up", "step-1"] {
        assert!(plain(part(room, screen, "<nav")).contains("Suspended, do not use"), "{screen}");
    }
    let data: Value = serde_json::from_str(file(files, "data/screening.json")).unwrap();
    assert_eq!(data["protocols"][0]["barred"], "Suspended, do not use");
}

/// No question asks for it, so the words of the author stand wherever people are asked.
#[test]
fn whom_a_protocol_is_not_for_stands_in_the_screening_the_room_and_every_session() {
    let (judged, files) = &BUILT[1];
    let catalog = judged.catalog.as_ref().unwrap();
    let words = |p: &fascicle::model::docs::Protocol| p.not_for().unwrap().value.trim_end_matches('.').to_string();
    let data: Value = serde_json::from_str(file(files, "data/screening.json")).unwrap();
    let tables = plain(file(files, "screening.html").split_once("id=\"table-steps\"").unwrap().1);
    for (_, p) in catalog.protocols.iter() {
        let (id, said) = (&*p.head.id.value, words(p));
        let row = data["protocols"].as_array().unwrap().iter().find(|r| r["id"] == id).unwrap();
        assert!(text(&row["not_for"]).contains(&said) && tables.contains(&said), "{id}");
        let room = file(files, &format!("room/{id}.html"));
        assert!(plain(part(room, "cautions", "<nav")).contains(&said), "{id}");
    }
    for (_, session) in catalog.sessions.iter() {
        let id = &session.head.id.value;
        let (page, card) = (file(files, &format!("sessions/{id}.html")), file(files, &format!("cards/session-{id}.html")));
        let cautions = plain(page.split_once("id=\"cautions\"").unwrap().1.split_once("</section>").unwrap().0);
        let first = plain(card.split_once("part-visit").unwrap().0);
        for p in session.protocols.iter().map(|p| &catalog.protocols[p.to.unwrap()]) {
            assert!(cautions.contains(&words(p)) && first.contains(&words(p)), "{id}: {}", p.head.id.value);
        }
    }
}

/// Large numerals are lowered where they stand: whoever is barred from a step, or needs leave for it, is named on its screen.
#[test]
fn a_step_of_the_room_view_names_for_whom_it_is_left_out() {
    let (judged, files) = &BUILT[1];
    let catalog = judged.catalog.as_ref().unwrap();
    let mut named = 0;
    for (idx, p) in catalog.protocols.iter() {
        let room = file(files, &format!("room/{}.html", p.head.id.value));
        let excluded = |c| p.population.excludes.iter().any(|e| e.to == Some(c));
        for caution in judged.facts.of(idx).cautions.iter().filter(|c| !excluded(c.condition)) {
            for (row, step) in p.steps.iter().enumerate() {
                let strongest = caution.hits.iter().filter(|h| !h.home && h.step == row).map(|h| h.strength).min();
                let label = match strongest {
                    Some(Strength::Never) => "Leave out for",
                    Some(Strength::AskFirst) => "Written clearance first for",
                    _ => continue,
                };
                let screen = part(room, &format!("step-{}", step.number.value), "<nav").split_once("class=\"room-lower\"").unwrap().1;
                let rows: Vec<String> = screen.split("<dt>Technique").next().unwrap().split("<dt>").map(plain).collect();
                let name = &*catalog.conditions[caution.condition].name.value;
                assert!(
                    rows.iter().any(|r| r.contains(label) && r.contains(name)),
                    "{}, step {}: {name}",
                    p.head.id.value,
                    step.number.value
                );
                named += 1;
            }
        }
    }
    assert!(named > 60, "{named}");
}

/// A gauge that presses and a leg that is raised are left out where pressing and stretching are.
#[test]
fn a_measure_that_loads_is_left_out_with_the_steps_that_load_alike() {
    let (judged, _) = &BUILT[1];
    let catalog = judged.catalog.as_ref().unwrap();
    let mut measured = 0;
    for (idx, p) in catalog.protocols.iter() {
        let loads = |s: &fascicle::model::docs::Step| s.measure.as_ref().and_then(|m| m.to).map(|m| catalog.measures[m].loads.clone());
        for (row, load) in p.steps.iter().enumerate().flat_map(|(row, s)| loads(s).into_iter().flatten().map(move |l| (row, l.value))) {
            let cautions = &judged.facts.of(idx).cautions;
            let touched = |row: usize| -> BTreeSet<usize> {
                let here =
                    |c: &&fascicle::compute::cautions::Caution| c.hits.iter().any(|h| !h.home && h.step == row && h.stressor == load);
                cautions.iter().filter(here).map(|c| c.condition.row()).collect()
            };
            let alike = |s: &fascicle::compute::steps::StepFacts| s.load(load).is_some();
            let treats =
                judged.facts.of(idx).steps.iter().enumerate().position(|(i, s)| i != row && p.steps[i].measure.is_none() && alike(s));
            assert_eq!(touched(row), touched(treats.unwrap()), "{}, step {}", p.head.id.value, row + 1);
            assert!(touched(row).len() > 3);
            measured += 1;
        }
    }
    assert_eq!(measured, 4, "two readings of the gauge and two of the raised leg");
}

/// A condition that puts a person outside one protocol of a session is said first, with the protocol that is left out,
/// and never under the weaker word of its steps.
#[test]
fn a_session_leaves_out_the_protocol_that_a_condition_excludes() {
    let (judged, files) = &BUILT[1];
    let catalog = judged.catalog.as_ref().unwrap();
    let mut outside = 0;
    for (_, session) in catalog.sessions.iter() {
        let html = file(files, &format!("sessions/{}.html", session.head.id.value));
        let cautions = html.split_once("id=\"cautions\"").unwrap().1.split_once("</section>").unwrap().0;
        let mut inside = false;
        for part in cautions.split("<article class=\"caution\" data-condition=\"").skip(1) {
            let id = part.split('"').next().unwrap();
            let parts = session.protocols.iter().map(|p| &catalog.protocols[p.to.unwrap()]);
            let excluding: Vec<_> = parts
                .filter(|p| p.population.excludes.iter().any(|c| c.to.is_some_and(|c| *catalog.conditions[c].head.id.value == *id)))
                .collect();
            let all = excluding.len() == session.protocols.len();
            assert_eq!(part.contains("if yes, not this session"), all, "{id}");
            assert_eq!(part.contains("if yes, a protocol is left out"), !excluding.is_empty() && !all, "{id}");
            assert!(excluding.is_empty() || !inside, "{id} stands behind a weaker one");
            inside |= excluding.is_empty();
            let named = part.split_once("If yes, leave out:").map_or("", |(_, rest)| rest.split("</p>").next().unwrap());
            for p in &excluding {
                outside += 1;
                assert!(named.contains(&format!("protocols/{}.html", p.head.id.value)), "{id}: {named}");
            }
        }
    }
    assert!(outside > 3);
}

#[test]
fn the_card_of_a_session_says_for_whom_each_protocol_is_lowered() {
    let (judged, files) = &BUILT[1];
    let catalog = judged.catalog.as_ref().unwrap();
    let mut said = 0;
    for (_, session) in catalog.sessions.iter() {
        let card = plain(file(files, &format!("cards/session-{}.html", session.head.id.value)));
        let before = card.split_once("What next,").unwrap().0;
        for protocol in session.protocols.iter().map(|p| &catalog.protocols[p.to.unwrap()]) {
            let Some(text) = &protocol.tailoring else { continue };
            let muscle = &catalog.muscles[protocol.muscle.to.unwrap()].name.value;
            let line = before.split_once(&format!("Tailoring, {muscle}")).unwrap_or_else(|| panic!("{muscle}")).1;
            assert!(line.contains(&*text.value), "{muscle}");
            said += 1;
        }
    }
    assert!(said > 4);
}
