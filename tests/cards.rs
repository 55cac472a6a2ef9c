//! What stands on the cards of the demonstration packs, read as data.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use fascicle::build::{Judged, judge};
use fascicle::model::Kind;
use fascicle::model::docs::{DoseValue, StopRule};
use fascicle::model::unit::Dim;
use fascicle::model::vocabulary::{Role, Strength};
use fascicle::plan::paper::A5;
use fascicle::plan::view::card::{Face, Item};
use fascicle::plan::view::parts::DoseView;
use std::collections::{BTreeMap, BTreeSet};

fn judged() -> Judged {
    judge(&[common::root().join("packs/millrace-course")], common::TODAY).unwrap()
}

/// Every word of an item.
fn words(item: &Item) -> String {
    let pieces =
        item.fine.iter().chain(&item.lines).flatten().map(|p| format!("{}: {}", p.label, p.text).trim_start_matches(": ").to_string());
    item.first.iter().chain(&item.lead).cloned().chain(pieces).collect::<Vec<_>>().join("\n")
}

fn items(faces: &[Face]) -> impl Iterator<Item = (&'static str, &Item)> {
    faces.iter().flat_map(|f| &f.sections).flat_map(|s| s.items.iter().map(|i| (s.class, i)))
}

/// What stands at a step: its own item, or its lines in a run.
fn at_step(faces: &[Face], number: u32) -> String {
    let own = items(faces).find(|(class, i)| *class == "do" && i.number == Some(number)).map(|(_, i)| words(i));
    own.unwrap_or_else(|| {
        let label = format!("Step {number}, ");
        let runs = items(faces).filter(|(class, i)| *class == "do" && i.number.is_none()).flat_map(|(_, i)| &i.lines);
        let lines = runs.filter(|l| l.first().is_some_and(|p| p.label.starts_with(&label)));
        lines.flatten().map(|p| format!("{} {}", p.label, p.text)).collect::<Vec<_>>().join(" ")
    })
}

#[test]
fn every_step_carries_the_signs_that_stop_it_and_what_is_watched() {
    let judged = judged();
    let catalog = judged.catalog.as_ref().unwrap();
    let cards = fascicle::plan::cards(catalog, &judged.facts, A5).unwrap();
    let (mut rules, mut watched) = (0, 0);
    for (idx, protocol) in catalog.protocols.iter() {
        let card = cards.iter().find(|c| c.doc.kind == Kind::Protocol && c.doc.row as usize == idx.row()).unwrap();
        for (step, facts) in protocol.steps.iter().zip(&judged.facts.of(idx).steps) {
            let technique = &catalog.techniques[facts.technique.unwrap()];
            let at = |what: &str| format!("{}, step {}: {what}", protocol.title.value, step.number.value);
            let said = at_step(&card.faces, step.number.value).to_lowercase();
            let own: Vec<&StopRule> = technique.stop.iter().chain(&step.stop).collect();
            let asks = matches!(technique.role, Role::Screening | Role::Consent | Role::Education);
            for rule in own.iter().filter(|_| !asks) {
                assert!(said.contains(&rule.sign.value.to_lowercase()), "{}", at(&rule.sign.value));
                rules += 1;
            }
            for line in technique.monitoring.iter().chain(&step.monitoring).filter(|_| facts.is_treatment()) {
                assert!(said.contains(&line.value.to_lowercase()), "{}", at(&line.value));
                watched += 1;
            }
        }
    }
    assert!(rules > 100 && watched > 40, "{rules} rules, {watched} lines");
}

/// Large numerals are lowered where they stand: whoever is barred from a step, or needs leave for it, is named there.
#[test]
fn a_step_names_for_whom_it_is_left_out_or_lower() {
    let judged = judged();
    let catalog = judged.catalog.as_ref().unwrap();
    let cards = fascicle::plan::cards(catalog, &judged.facts, A5).unwrap();
    let mut named: BTreeMap<Strength, usize> = BTreeMap::new();
    let mut numbers = 0;
    for (idx, protocol) in catalog.protocols.iter() {
        let card = cards.iter().find(|c| c.doc.kind == Kind::Protocol && c.doc.row as usize == idx.row()).unwrap();
        let excluded = |c| protocol.population.excludes.iter().any(|e| e.to == Some(c));
        for caution in judged.facts.of(idx).cautions.iter().filter(|c| !excluded(c.condition)) {
            let condition = &catalog.conditions[caution.condition];
            for (row, step) in protocol.steps.iter().enumerate() {
                let strongest = caution.hits.iter().filter(|h| !h.home && h.step == row).map(|h| h.strength).min();
                let bars = |h: &&fascicle::compute::cautions::Hit| {
                    !h.home && h.step == row && h.strength == Strength::NotHere && condition.bars(&condition.rules[h.rule])
                };
                let label = match strongest {
                    _ if caution.hits.iter().any(|h| bars(&h)) => "Leave out for",
                    Some(Strength::Never) => "Leave out for",
                    Some(Strength::AskFirst) => "Written clearance first for",
                    Some(Strength::Limit) => "",
                    _ => continue,
                };
                let begins = |line: &str| line.starts_with(label) && (!label.is_empty() || line.to_lowercase().contains("at most "));
                let said = at_step(&card.faces, step.number.value);
                let here = said.split('\n').any(|line| begins(line) && line.contains(&*condition.name.value));
                // A limit to which the step keeps as it is written is left out; of one that it passes the number stands with the name.
                let limits = caution.hits.iter().filter(|h| !h.home && h.step == row && h.strength == Strength::Limit);
                let passed: Vec<String> = limits
                    .flat_map(|h| &condition.rules[h.rule].max.entries)
                    .filter_map(|e| {
                        let (DoseValue::Amount(limit), Some(own)) = (&e.value, step.dose.amount(&e.name.value)) else { return None };
                        (own.dim() == limit.dim() && own.dim() != Dim::Layers && own.base().hi > limit.base().hi).then(|| limit.shown())
                    })
                    .collect();
                let with = |number: &String| said.split('\n').any(|l| l.contains(&*condition.name.value) && l.contains(&**number));
                let at = format!("{}, step {}: {}, {passed:?}", protocol.title.value, step.number.value, condition.name.value);
                if strongest == Some(Strength::Limit) {
                    assert!(passed.iter().all(with), "{at}: {said}");
                    numbers += passed.len();
                } else {
                    assert!(here, "{at}");
                }
                *named.entry(strongest.unwrap()).or_default() += usize::from(here);
            }
        }
    }
    assert!(named.len() == 3 && named.values().all(|n| *n > 10) && numbers > 20, "{named:?} {numbers}");
}

/// Whoever must leave one protocol of a session out is named at its steps, and on the first faces with the protocol.
#[test]
fn a_session_names_at_each_step_who_leaves_its_protocol_out() {
    let judged = judged();
    let catalog = judged.catalog.as_ref().unwrap();
    let cards = fascicle::plan::cards(catalog, &judged.facts, A5).unwrap();
    let mut named = 0;
    for (idx, session) in catalog.sessions.iter() {
        let card = cards.iter().find(|c| c.doc.kind == Kind::Session && c.doc.row as usize == idx.row()).unwrap();
        let visit = &judged.facts.sessions[idx.row()].visit;
        let first: String = items(&card.faces).filter(|(class, _)| *class == "stop").map(|(_, i)| words(i)).collect();
        for (condition, c) in catalog.conditions.iter() {
            let excludes = |part: usize| {
                let protocol = visit.parts[part];
                let outside = catalog.protocols[protocol].population.excludes.iter().any(|e| e.to == Some(condition));
                outside && judged.facts.of(protocol).cautions.iter().any(|c| c.condition == condition)
            };
            let parts: Vec<usize> = (0..visit.parts.len()).filter(|p| excludes(*p)).collect();
            if parts.is_empty() || parts.len() == visit.parts.len() {
                continue;
            }
            let muscle = &catalog.muscles[catalog.protocols[visit.parts[parts[0]]].muscle.to.unwrap()].name.value;
            let (_, after) = first.split_once(&format!("{} (", c.name.value)).unwrap();
            assert!(after.split(')').next().unwrap().contains(&**muscle), "{}: {}", session.head.id.value, c.name.value);
            for (number, act) in (1..).zip(&visit.acts) {
                let own = act.steps.members.iter().all(|m| parts.contains(&m.part));
                let facts = &judged.facts.of(visit.parts[act.steps.lead.part]).steps[act.steps.lead.step];
                if own && facts.is_treatment() {
                    let said = at_step(&card.faces, number);
                    let here = said.split('\n').any(|line| line.starts_with("Leave out for") && line.contains(&*c.name.value));
                    assert!(here, "{}, step {number}: {}", session.head.id.value, c.name.value);
                    named += 1;
                }
            }
        }
    }
    assert!(named > 5, "{named}");
}

#[test]
fn the_first_face_says_when_to_go_on_and_where_the_rest_stands() {
    let judged = judged();
    for card in fascicle::plan::cards(judged.catalog.as_ref().unwrap(), &judged.facts, A5).unwrap() {
        let first_face = &card.faces[0];
        let go_on = &first_face.sections[0].items[0];
        assert_eq!(go_on.stop.as_ref().map(|s| s.mark.word), Some("go on"), "{}", first_face.id);
        let mut sent = 0;
        for (piece, bar) in go_on.lines.iter().flatten().filter_map(|p| Some((p, p.page_of?))) {
            let on: Vec<usize> = card.faces.iter().filter(|f| f.sections.iter().any(|s| s.heading == bar)).map(|f| f.page).collect();
            let (first, range) = (on[0].to_string(), format!("{}–{}", on[0], on[on.len() - 1]));
            assert!(piece.text.split([' ', '\u{a0}']).any(|w| w == first || w == range), "{}: {}, {on:?}", first_face.id, piece.text);
            sent += 1;
        }
        assert!(sent >= 4 && !first_face.figures.is_empty(), "{}: {sent}", first_face.id);
    }
}

#[test]
fn the_whole_visit_stands_behind_the_first_face_in_order_with_every_dose() {
    let judged = judged();
    let catalog = judged.catalog.as_ref().unwrap();
    let mut steps = 0;
    for card in fascicle::plan::cards(catalog, &judged.facts, A5).unwrap() {
        let of = |class: &'static str| items(&card.faces).filter(move |(c, i)| *c == class && i.number.is_some()).map(|(_, i)| i);
        let told = |i: &Item| (i.number, i.first.clone(), i.lead.clone(), i.dose.iter().map(DoseView::shown).collect::<Vec<_>>());
        // Each row sends to the face on which its step stands.
        for row in of("visit") {
            let step = card.faces.iter().find(|f| {
                let mut own = f.sections.iter().filter(|s| s.class == "do").flat_map(|s| &s.items);
                own.any(|i| i.number == row.number || row.number.is_some_and(|n| i.steps.contains(&n)))
            });
            let page = row.aside.iter().map(|p| p.text.rsplit(' ').next().unwrap_or_default()).collect::<String>();
            assert_eq!(page, step.unwrap().page.to_string(), "{}, step {:?}", card.faces[0].id, row.number);
        }
        // A step that tests or looks has a row there too, without a dose.
        let whole: Vec<_> = of("visit").filter(|i| !i.dose.is_empty()).map(told).collect();
        assert_eq!(whole, of("do").map(told).collect::<Vec<_>>(), "{}", card.faces[0].id);
        steps += whole.len();
        let begins = |i: &Item| i.lead.as_ref().is_some_and(|l| l.starts_with("Begin"));
        let home =
            |class: &str| items(&card.faces).filter(|(c, i)| *c == class && i.number.is_none() && i.lead.is_some() && !begins(i)).count();
        assert_eq!(items(&card.faces).filter(|(c, i)| *c == "visit" && begins(i)).count(), 1, "{}", card.faces[0].id);
        assert_eq!(home("visit"), home("home"), "{}", card.faces[0].id);
        assert!(card.faces[..2].iter().any(|f| f.sections.iter().any(|s| s.class == "visit")), "{}", card.faces[0].id);
    }
    assert!(steps > 60, "{steps} steps");
}

#[test]
fn every_question_of_a_condition_is_asked_and_every_point_is_drawn() {
    let judged = judged();
    let catalog = judged.catalog.as_ref().unwrap();
    let cards = fascicle::plan::cards(catalog, &judged.facts, A5).unwrap();
    let (mut asked, mut drawn) = (0, 0);
    for (idx, protocol) in catalog.protocols.iter() {
        let card = cards.iter().find(|c| c.doc.kind == Kind::Protocol && c.doc.row as usize == idx.row()).unwrap();
        let all: String = items(&card.faces).map(|(_, i)| words(i)).collect::<Vec<_>>().join("\n");
        for caution in &judged.facts.of(idx).cautions {
            let question = &catalog.conditions[caution.condition].question.as_ref().unwrap().value;
            assert!(all.contains(&**question), "{}: {question}", protocol.title.value);
            asked += 1;
        }
        let muscle = &catalog.muscles[protocol.muscle.to.unwrap()];
        let charts: Vec<_> = items(&card.faces).flat_map(|(_, i)| &i.charts).collect();
        let rings: BTreeSet<u32> = charts.iter().flat_map(|c| &c.panel.ring_numbers).map(|r| r.number).collect();
        let points: BTreeSet<u32> = muscle.points.iter().filter(|p| !p.chart.is_empty()).map(|p| p.number.value).collect();
        assert_eq!(rings, points, "{}", protocol.title.value);
        assert!(charts.iter().all(|c| c.panel.zones.is_empty() && !c.panel.outlines.is_empty()), "{}", protocol.title.value);
        drawn += rings.len();
    }
    assert!(asked > 100 && drawn > 10, "{asked} questions, {drawn} points");
}

/// What is left out where the trouble is goes on elsewhere, with the limits that hold there; what is barred for whoever
/// has the condition stands alone.
#[test]
fn a_step_that_goes_on_elsewhere_keeps_its_limits_and_clearances() {
    let cases = [("local", true), ("general", false)];
    for (scope, beside) in cases {
        let dir = tempfile::tempdir().unwrap();
        common::copy(&common::root().join("tests/checks/base"), dir.path()).unwrap();
        let edits = format!(
            "conditions/numb-skin.yaml\n- scope: local\n+ scope: {scope}\n- end-range stretch: watch\n+ end-range stretch: not here\n\
             - contraction load: no restriction\n+ contraction load: [{{strength: limit, max: {{effort: 10 %}}, instead: sensation-test}}]\n\
             - allows: [contract-relax]\n+ allows: []\n"
        );
        common::apply(dir.path(), &edits).unwrap();
        let judged = judge(&[dir.path().to_path_buf()], common::TODAY).unwrap();
        let cards = fascicle::plan::cards(judged.catalog.as_ref().unwrap(), &judged.facts, A5).unwrap();
        let card = cards.iter().find(|c| c.doc.kind == Kind::Protocol).unwrap();
        let said: String = items(&card.faces).filter(|(class, _)| *class == "cautions").map(|(_, i)| words(i)).collect();
        // What bars whoever has the condition is told as never, whatever the word of its row.
        let word = if beside { "Not here: step\u{a0}8" } else { "Never: steps\u{a0}5,\u{a0}7,\u{a0}8" };
        assert!(said.contains(word), "{scope}: {said}");
        let limit = said.contains("step\u{a0}8, home\u{a0}1: at most 10\u{a0}% of full effort; else Sensation test");
        assert_eq!(limit, beside, "{scope}: {said}");
    }
}

/// What is asked with the person on the table stands at the step in letters that are read from 70 cm (16 minutes of arc), or the
/// step would be higher than a face.
#[test]
fn nine_steps_of_ten_are_read_from_the_trolley() {
    let judged = judged();
    let cards = fascicle::plan::cards(judged.catalog.as_ref().unwrap(), &judged.facts, A5).unwrap();
    let steps: Vec<(&str, &Item)> = cards
        .iter()
        .flat_map(|c| items(&c.faces).map(|(class, i)| (class, &*c.faces[0].id, i)))
        .filter(|(c, _, _)| *c == "do")
        .map(|(_, id, i)| (id, i))
        .collect();
    let near: Vec<_> = steps.iter().filter(|(_, i)| !i.far).map(|(id, i)| (id, i.number)).collect();
    assert!(near.len() * 10 < steps.len(), "{} of {}: {near:?}", near.len(), steps.len());
}
