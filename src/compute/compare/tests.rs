//! Fields of single documents: which way each goes, and back.

use super::change::{Topic, Way};
use super::walk::compare;
use crate::model::DocName;
use crate::model::content::Content;

fn content(text: &str) -> Content {
    Content::of(&crate::load::yaml::parse(crate::source::FileId(0), text).root.expect("is YAML"))
}

fn lines(name: &str, old: &str, new: &str) -> Vec<(Topic, Way, String)> {
    let name = DocName::read(name).expect("is a name");
    let lines = compare(&name, &content(old), &content(new), None);
    lines.into_iter().map(|l| (l.verdict.topic, l.verdict.way, l.path)).collect()
}

/// One line expected: topic, way, path.
fn one(name: &str, old: &str, new: &str, topic: Topic, way: Way, path: &str) {
    let there = lines(name, old, new);
    assert!(matches!(&there[..], [l] if (l.0, l.1, &*l.2) == (topic, way, path)), "{old}\n{new}\n{there:?}");
    let back = lines(name, new, old);
    assert!(matches!(&back[..], [l] if (l.0, l.1) == (topic, way.back())), "{new}\n{old}\n{back:?}");
}

type Case = (&'static str, &'static str, &'static str, Topic, Way, &'static str);

/// Document, before, after; then topic, way and path of the only line.
const CASES: &[Case] = &[
    (
        "techniques/x",
        "limits: [{stressor: heat, per: session, max: 20 min}]",
        "limits: [{stressor: heat, per: session, max: 25 min}]",
        Topic::Limit,
        Way::Looser,
        "limit heat per session, at most",
    ),
    (
        "techniques/x",
        "limits: [{stressor: heat, per: session}]",
        "limits: [{stressor: heat, per: session, regions: [shin]}]",
        Topic::Limit,
        Way::Looser,
        "limit heat per session, regions",
    ),
    (
        "techniques/x",
        "limits: [{stressor: heat, per: session, regions: [shin, heel]}]",
        "limits: [{stressor: heat, per: session, regions: [shin]}]",
        Topic::Limit,
        Way::Looser,
        "limit heat per session, regions",
    ),
    ("techniques/x", "limits: [{stressor: heat, per: session}]", "limits: []", Topic::Limit, Way::Looser, "limit heat per session"),
    ("techniques/x", "limits: [{stressor: heat, per: session}]", "aim:", Topic::Limit, Way::Looser, "limit heat per session"),
    ("conditions/x", "together: [{with: [y], rules: {heat: never}, reason: R.}]", "aim:", Topic::Caution, Way::Looser, "together with y"),
    (
        "conditions/x",
        "together: [{with: [y], rules: {heat: never}, reason: R.}]",
        "together: [{with: [y], rules: {heat: ask first}, reason: R.}]",
        Topic::Caution,
        Way::Looser,
        "together with y, rules, heat, strength",
    ),
    (
        "conditions/x",
        "together: [{with: [y, z], rules: {heat: never}, reason: R.}]",
        "together: [{with: [y], rules: {heat: never}, reason: R.}]",
        Topic::Caution,
        Way::Looser,
        "together with y, with",
    ),
    (
        "conditions/x",
        "together: [{with: [y], rules: {heat: [{strength: limit, max: {time: 5 min}}]}, reason: R.}]",
        "together: [{with: [y], rules: {heat: [{strength: limit, max: {time: 10 min}}]}, reason: R.}]",
        Topic::Caution,
        Way::Looser,
        "together with y, rules, heat, at most, time",
    ),
    ("conditions/x", "with: W.", "aim:", Topic::Caution, Way::Looser, "with"),
    ("techniques/x", "stop: [{sign: pain, do: stop}]", "aim:", Topic::StopRule, Way::Looser, "stop rule"),
    (
        "techniques/x",
        "monitoring: {every: 1 min}",
        "monitoring: {every: 3 min}",
        Topic::Interval,
        Way::Looser,
        "monitoring, time between two looks",
    ),
    ("techniques/x", "monitoring: {what: Look.}", "aim:", Topic::Monitoring, Way::Looser, "monitoring, what"),
    ("techniques/x", "recovery: 48 h", "recovery: 1 d", Topic::Rest, Way::Looser, "recovery"),
    (
        "techniques/x",
        "parameters: {rest: {allowed: 10-30 s}}",
        "parameters: {rest: {allowed: 5-30 s}}",
        Topic::Limit,
        Way::Looser,
        "parameters, rest, allowed",
    ),
    (
        "techniques/x",
        "parameters: {hold: {allowed: 30-90 s}}",
        "parameters: {hold: {allowed: 30-60 s}}",
        Topic::Limit,
        Way::Tighter,
        "parameters, hold, allowed",
    ),
    (
        "techniques/x",
        "parameters: {hold: {required: true}}",
        "parameters: {hold: {required: false}}",
        Topic::Limit,
        Way::Looser,
        "parameters, hold, required",
    ),
    (
        "techniques/x",
        "parameters: {agent: {words: [ice]}}",
        "parameters: {agent: {words: [ice, spray]}}",
        Topic::Limit,
        Way::Looser,
        "parameters, agent, words",
    ),
    ("techniques/x", "exposes: [{stressor: heat}]", "exposes: []", Topic::Caution, Way::Looser, "stressor heat"),
    ("techniques/x", "training: thermal", "training: foundation", Topic::Training, Way::Different, "training"),
    ("techniques/x", "start: [Skin intact.]", "aim:", Topic::Screening, Way::Looser, "rules for starting"),
    ("techniques/x", "never-heard-of: 3 min", "never-heard-of: 4 min", Topic::Method, Way::Different, "never heard of"),
    (
        "techniques/x",
        "never-heard-of: One long sentence here.",
        "never-heard-of: One longer sentence here.",
        Topic::Wording,
        Way::Different,
        "never heard of",
    ),
    ("conditions/x", "rules: {heat: never}", "rules: {heat: watch}", Topic::Caution, Way::Looser, "rules, heat, strength"),
    (
        "conditions/x",
        "rules: {heat: [{strength: limit, max: {pain: 3/10}}]}",
        "rules: {heat: [{strength: limit, max: {pain: 5/10}}]}",
        Topic::Caution,
        Way::Looser,
        "rules, heat, at most, pain",
    ),
    (
        "conditions/x",
        "rules: {heat: never}",
        "rules: {heat: [{strength: never, regions: [shin]}]}",
        Topic::Caution,
        Way::Looser,
        "rules, heat, regions",
    ),
    ("conditions/x", "allows: [a]", "allows: [a, b]", Topic::Caution, Way::Looser, "allows"),
    ("flags/x", "urgency: now", "urgency: within 2 weeks", Topic::Urgency, Way::Looser, "urgency"),
    ("flags/x", "destination: a", "destination: b", Topic::Destination, Way::Different, "destination"),
    ("flags/x", "regions: [shin, heel]", "regions: [shin]", Topic::Flag, Way::Looser, "regions"),
    ("pack/house", "house: {pain-cap: 5/10}", "house: {pain-cap: 6/10}", Topic::Limit, Way::Looser, "house, pain cap"),
    (
        "pack/house",
        "house: {thermal: {cold-floor: 5 degC}}",
        "house: {thermal: {cold-floor: 3 degC}}",
        Topic::Limit,
        Way::Looser,
        "house, thermal, cold floor",
    ),
    (
        "pack/house",
        "house: {thermal: {heat-factor: 1.5}}",
        "house: {thermal: {heat-factor: 1.2}}",
        Topic::Limit,
        Way::Looser,
        "house, thermal, heat factor",
    ),
    (
        "pack/referral",
        "destinations: {a: {name: A}, b: {name: B}}",
        "destinations: {a: {name: A}}",
        Topic::Destination,
        Way::Looser,
        "destinations, b",
    ),
    (
        "pack/referral",
        "emergency: {number: \"999\"}",
        "emergency: {number: \"112\"}",
        Topic::Destination,
        Way::Different,
        "emergency, number",
    ),
    ("protocols/x", "population: {ages: 18-75 y}", "population: {ages: 16-75 y}", Topic::Population, Way::Looser, "population, ages"),
    (
        "protocols/x",
        "population: {excludes: [a, b]}",
        "population: {excludes: [b]}",
        Topic::Population,
        Way::Looser,
        "population, excludes",
    ),
    (
        "protocols/x",
        "population: {pregnancy: excluded}",
        "population: {pregnancy: included}",
        Topic::Population,
        Way::Looser,
        "population, pregnancy",
    ),
    ("protocols/x", "spacing: {gap: 3-7 d}", "spacing: {gap: 2-7 d}", Topic::Rest, Way::Looser, "spacing, gap"),
    ("protocols/x", "consent: {may-stop: At any time.}", "consent: {}", Topic::Consent, Way::Looser, "consent, may stop"),
    (
        "protocols/x",
        "evidence: [{text: A., certainty: low}]",
        "evidence: [{text: A., certainty: high}]",
        Topic::Evidence,
        Way::Looser,
        "evidence A., certainty",
    ),
    ("protocols/x", "side: left", "side: both", Topic::Place, Way::Different, "side"),
    ("protocols/x", "leaflet: Walk.", "leaflet: Walk more.", Topic::Note, Way::Different, "leaflet"),
    ("sessions/x", "protocols: [a, b]", "protocols: [b, a]", Topic::Order, Way::Different, "protocols, order"),
    (
        "questions/x",
        "outcomes: [{outcome: pain, matters: 0.2}]",
        "outcomes: [{outcome: pain, matters: 0.25}]",
        Topic::Evidence,
        Way::Different,
        "outcome pain, matters",
    ),
    (
        "muscles/x",
        "points: [{number: 1, landmark: {distance: 3 cm}}]",
        "points: [{number: 1, landmark: {distance: 5 cm}}]",
        Topic::Place,
        Way::Different,
        "point 1, landmark, distance",
    ),
    ("pack/about", "waivers: []", "waivers: [{check: a, document: b}]", Topic::Note, Way::Looser, "waiver a"),
];

#[test]
fn a_field_is_judged_both_ways_at_its_own_document() {
    for (name, old, new, topic, way, path) in CASES {
        one(name, old, new, *topic, *way, path);
    }
}

#[test]
fn an_inserted_item_is_one_line_and_a_turned_list_too() {
    one(
        "techniques/x",
        "start: [Skin intact., Feeling tested.]",
        "start: [Consent given., Skin intact., Feeling tested.]",
        Topic::Screening,
        Way::Tighter,
        "rules for starting",
    );
    one(
        "techniques/x",
        "start: [Skin intact., Feeling tested.]",
        "start: [Feeling tested., Skin intact.]",
        Topic::Wording,
        Way::Different,
        "rules for starting, order",
    );
}
