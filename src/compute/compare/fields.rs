//! What a change of a field means: one table for each kind of document, read from top to bottom.
//!
//! A pattern is a path of keys; `*` stands for an item of a list or for any key. The longest pattern that is the path or
//! a part of its beginning holds. What no pattern names is judged by its value: see [`Judge::Any`].

use super::change::Topic;
use super::change::Topic as T;
use crate::model::{DocName, Kind};

/// How a change of a field is judged.
#[derive(Copy, Clone, Debug, PartialEq)]
pub(super) enum Judge {
    /// A cap: more is looser, and none at all too.
    Up,
    /// A floor: less is looser, and none at all too.
    Down,
    /// A dose parameter: its name says which way.
    Dose,
    /// A range of what is allowed: a wider one is looser.
    Wider,
    /// A word on a list from tight to loose.
    Rank(&'static [&'static str]),
    /// Looser if gone, tighter if new; other words are weighed.
    Guard,
    /// The same, and every word counts.
    Keep,
    /// Looser if new, tighter if gone.
    Gain,
    /// Every word counts; none is better than another.
    Said,
    /// Words that count only if a number or a denial in them changed.
    Prose,
    /// By the value: prose for a sentence, `Said` for anything else.
    Any,
}

use Judge as J;

/// What a field is about, and how its change is judged.
#[derive(Copy, Clone, Debug, PartialEq)]
pub(super) struct Rule {
    /// Topic.
    pub topic: Topic,
    /// Judgement.
    pub judge: Judge,
}

type Row = (&'static str, Topic, Judge);

/// From strongest to none.
const STRENGTHS: &[&str] = &["never", "not here", "limit", "ask first", "watch", "no restriction"];
/// From soonest to latest.
const URGENCIES: &[&str] = &["now", "same day", "within 2 weeks", "routine"];
/// From least to most; to claim more is looser.
const CERTAINTIES: &[&str] = &["very low", "low", "moderate", "high"];

const ANYWHERE: &[Row] = &[
    ("cite", T::Evidence, J::Said),
    ("basis", T::Evidence, J::Said),
    ("why", T::Wording, J::Prose),
    ("note", T::Note, J::Prose),
    ("notes", T::Note, J::Prose),
    ("name", T::Wording, J::Prose),
    ("title", T::Wording, J::Prose),
    ("other-names", T::Wording, J::Prose),
];

const PROTOCOL: &[Row] = &[
    ("muscle", T::Place, J::Said),
    ("side", T::Place, J::Said),
    ("population", T::Population, J::Said),
    ("population.ages", T::Population, J::Wider),
    ("population.excludes.*", T::Population, J::Guard),
    ("population.pregnancy", T::Population, J::Rank(&["excluded", "included"])),
    ("aim", T::Wording, J::Prose),
    ("rationale.*", T::Evidence, J::Gain),
    ("rationale.*.text", T::Evidence, J::Said),
    ("rationale.*.certainty", T::Evidence, J::Rank(CERTAINTIES)),
    ("evidence.*", T::Evidence, J::Gain),
    ("evidence.*.text", T::Evidence, J::Said),
    ("evidence.*.certainty", T::Evidence, J::Rank(CERTAINTIES)),
    ("consent", T::Consent, J::Guard),
    ("consent.alternatives", T::Note, J::Guard),
    ("sensitive", T::Consent, J::Guard),
    ("steps", T::Method, J::Any),
    ("steps.*.target", T::Place, J::Said),
    ("steps.*.position", T::Place, J::Said),
    ("steps.*.dose.*", T::Dose, J::Dose),
    ("steps.*.exposure", T::Consent, J::Prose),
    ("steps.*.monitoring", T::Monitoring, J::Guard),
    ("steps.*.stop.*", T::StopRule, J::Keep),
    ("steps.*.then.up-to", T::Dose, J::Up),
    ("steps.*.measure", T::Retest, J::Said),
    ("steps.*.when", T::Retest, J::Said),
    ("steps.*.taken", T::Retest, J::Said),
    ("steps.*.goal", T::Evidence, J::Said),
    ("steps.*.borrowed", T::Note, J::Prose),
    ("steps.*.joints.*", T::Dose, J::Up),
    ("steps.*.sweep", T::Place, J::Said),
    ("steps.*.sweep.leaves-out.*", T::Place, J::Guard),
    ("home", T::Method, J::Any),
    ("home.*.target", T::Place, J::Said),
    ("home.*.dose.*", T::Dose, J::Dose),
    ("home.*.per-day", T::Dose, J::Up),
    ("home.*.days", T::Dose, J::Up),
    ("home.*.weeks", T::Dose, J::Up),
    ("home.*.stop.*", T::StopRule, J::Keep),
    ("home.*.joints.*", T::Dose, J::Up),
    ("home.*.first-check", T::Monitoring, J::Guard),
    ("spacing", T::Rest, J::Said),
    ("spacing.gap", T::Rest, J::Down),
    ("spacing.per-week", T::Dose, J::Up),
    ("spacing.sessions", T::Dose, J::Up),
    ("spacing.decide-after", T::Retest, J::Up),
    ("spacing.decide", T::Retest, J::Guard),
    ("aftercare.*", T::Note, J::Guard),
    ("refer.*", T::Flag, J::Guard),
    ("refer.*.urgency", T::Urgency, J::Rank(URGENCIES)),
    ("refer.*.destination", T::Destination, J::Said),
    ("refer.*.note", T::Flag, J::Prose),
    ("cautions.*", T::Caution, J::Keep),
    ("totals.*", T::Note, J::Said),
    ("tailoring", T::Note, J::Prose),
    ("modifications", T::Note, J::Prose),
    ("audit", T::Note, J::Prose),
    ("leaflet", T::Note, J::Prose),
    ("record.*", T::Note, J::Guard),
];

const TECHNIQUE: &[Row] = &[
    ("exposes.*", T::Caution, J::Keep),
    ("exposes.*.total", T::Total, J::Guard),
    ("exposes.*.peak", T::Peak, J::Guard),
    ("exposes.*.numbs-for", T::Rest, J::Down),
    ("parameters.*.allowed", T::Limit, J::Dose),
    ("parameters.*.words.*", T::Limit, J::Gain),
    ("parameters.*.required", T::Limit, J::Rank(&["yes", "no"])),
    ("parameters.*.means", T::Wording, J::Prose),
    ("thermal.*.first-check", T::Interval, J::Up),
    ("thermal.*.cover", T::Rest, J::Said),
    ("thermal.*.safety", T::Monitoring, J::Guard),
    ("training", T::Training, J::Said),
    ("authorisation", T::Training, J::Keep),
    ("monitoring", T::Monitoring, J::Guard),
    ("monitoring.every", T::Interval, J::Up),
    ("start.*", T::Screening, J::Guard),
    ("stop.*", T::StopRule, J::Keep),
    ("order.*", T::Order, J::Keep),
    ("order.*.gap", T::Rest, J::Down),
    ("limits.*", T::Limit, J::Keep),
    ("limits.*.max", T::Limit, J::Up),
    ("limits.*.regions", T::Limit, J::Gain),
    ("limits.*.regions.*", T::Limit, J::Guard),
    ("limits.*.tags", T::Limit, J::Gain),
    ("limits.*.tags.*", T::Limit, J::Guard),
    ("recovery", T::Rest, J::Down),
    ("after-effects", T::Note, J::Any),
    ("harms.*", T::Evidence, J::Guard),
    ("harms.*.certainty", T::Evidence, J::Rank(CERTAINTIES)),
    ("if-wrong", T::Monitoring, J::Guard),
    ("breathing", T::Monitoring, J::Guard),
    ("aim", T::Wording, J::Prose),
];

const CONDITION: &[Row] = &[
    ("question", T::Screening, J::Guard),
    ("look-for", T::Screening, J::Guard),
    ("scope", T::Caution, J::Rank(&["general", "local"])),
    ("rules", T::Caution, J::Keep),
    ("rules.*.*.strength", T::Caution, J::Rank(STRENGTHS)),
    ("rules.*.*.regions", T::Caution, J::Gain),
    ("rules.*.*.regions.*", T::Caution, J::Guard),
    ("rules.*.*.max.*", T::Caution, J::Dose),
    ("rules.*.*.instead", T::Method, J::Said),
    ("allows.*", T::Caution, J::Gain),
    ("clears", T::Caution, J::Keep),
    ("lasts.kind", T::Caution, J::Rank(&["permanent", "time-bound"])),
    ("lasts.until", T::Caution, J::Said),
    // Editions kept from before `together` have a text instead.
    ("with", T::Caution, J::Guard),
    ("together.*", T::Caution, J::Keep),
    ("together.*.with.*", T::Caution, J::Guard),
    ("together.*.rules", T::Caution, J::Keep),
    ("together.*.rules.*.*.strength", T::Caution, J::Rank(STRENGTHS)),
    ("together.*.rules.*.*.regions", T::Caution, J::Gain),
    ("together.*.rules.*.*.regions.*", T::Caution, J::Guard),
    ("together.*.rules.*.*.max.*", T::Caution, J::Dose),
    ("together.*.rules.*.*.instead", T::Method, J::Said),
    ("together.*.reason", T::Wording, J::Prose),
    ("reason", T::Wording, J::Prose),
];

const FLAG: &[Row] = &[
    ("covers.*", T::Flag, J::Guard),
    ("presentation", T::Flag, J::Guard),
    ("question", T::Flag, J::Guard),
    ("sign", T::Flag, J::Guard),
    ("regions.*", T::Flag, J::Guard),
    ("urgency", T::Urgency, J::Rank(URGENCIES)),
    ("destination", T::Destination, J::Keep),
    ("treatment", T::Flag, J::Said),
    ("meanwhile", T::Flag, J::Guard),
    ("say", T::Flag, J::Prose),
    ("write", T::Note, J::Guard),
    ("safety-net", T::Flag, J::Guard),
    ("guidance", T::Evidence, J::Said),
];

const PACK: &[Row] = &[
    ("house.pain-cap", T::Limit, J::Up),
    ("house.thermal", T::Limit, J::Up),
    ("house.thermal.heat-factor", T::Limit, J::Down),
    ("house.thermal.first-check", T::Interval, J::Up),
    ("house.thermal.check-every", T::Interval, J::Up),
    ("house.thermal.cold-floor", T::Limit, J::Down),
    ("house.thermal.stream-floor", T::Limit, J::Down),
    ("house.thermal.opposed-gap", T::Rest, J::Down),
    ("house.thermal.topical", T::Rest, J::Down),
    ("house.thumb", T::Limit, J::Up),
    ("house.limits.*", T::Limit, J::Keep),
    ("house.limits.*.max", T::Limit, J::Up),
    ("house.limits.*.regions", T::Limit, J::Gain),
    ("house.limits.*.regions.*", T::Limit, J::Guard),
    ("house.limits.*.tags", T::Limit, J::Gain),
    ("house.limits.*.tags.*", T::Limit, J::Guard),
    ("scope.practice", T::Population, J::Said),
    ("scope.treats.*", T::Evidence, J::Gain),
    ("scope.training.*", T::Training, J::Gain),
    ("scope.authorisations.*", T::Training, J::Gain),
    ("reading-grade", T::Note, J::Up),
    ("destinations.*", T::Destination, J::Keep),
    ("destinations.*.name", T::Destination, J::Said),
    ("emergency", T::Destination, J::Keep),
    ("jurisdiction", T::Destination, J::Said),
];

/// The rest of the pack file, which is about the pack and not about treatment.
const ABOUT: &[Row] = &[
    ("waivers.*", T::Note, J::Gain),
    ("waivers.*.until", T::Note, J::Said),
    ("levels.*", T::Note, J::Keep),
    ("protected-words.*", T::Note, J::Guard),
    ("review", T::Note, J::Up),
    ("title", T::Note, J::Prose),
    ("", T::Note, J::Any),
];

const POSITION: &[Row] = &[
    ("how", T::Place, J::Prose),
    ("joints", T::Place, J::Said),
    ("supports", T::Place, J::Guard),
    ("exposed.*", T::Consent, J::Gain),
    ("drape", T::Consent, J::Guard),
    ("bears-weight", T::Place, J::Said),
    ("barred-by.*", T::Caution, J::Keep),
    ("airway", T::Monitoring, J::Guard),
    ("time-limit", T::Limit, J::Up),
    ("end-range", T::Place, J::Said),
];

const MUSCLE: &[Row] = &[
    ("latin", T::Wording, J::Prose),
    ("misspellings", T::Wording, J::Prose),
    ("regions", T::Place, J::Said),
    ("hazards.*", T::Caution, J::Guard),
    ("points", T::Place, J::Said),
    ("points.*.hazard", T::Caution, J::Guard),
    ("points.*.stop", T::StopRule, J::Keep),
    ("palpation", T::Place, J::Any),
    ("chart", T::Place, J::Said),
    ("look-alikes", T::Note, J::Any),
    ("neighbours", T::Note, J::Any),
    ("", T::Method, J::Any),
];

const MEASURE: &[Row] = &[
    ("loads.*", T::Caution, J::Keep),
    ("how", T::Retest, J::Any),
    ("unit", T::Retest, J::Said),
    ("bounds", T::Retest, J::Said),
    ("", T::Evidence, J::Any),
];

const EVIDENCE: &[Row] = &[
    ("outcomes.*.certainty.result", T::Evidence, J::Rank(CERTAINTIES)),
    ("outcomes.*.certainty.start", T::Evidence, J::Rank(CERTAINTIES)),
    ("", T::Evidence, J::Any),
];

const POPULATION: &[Row] = &[("", T::Population, J::Any)];

const SESSION: &[Row] = &[
    ("protocols.*", T::Step, J::Said),
    ("protocols", T::Order, J::Said),
    ("order", T::Order, J::Said),
    ("appointment", T::Method, J::Said),
];

const TEXT: &[Row] = &[("", T::Note, J::Any)];

fn table(name: &DocName) -> &'static [Row] {
    match name.kind {
        Kind::Protocol => PROTOCOL,
        Kind::Technique => TECHNIQUE,
        Kind::Condition => CONDITION,
        Kind::Flag => FLAG,
        Kind::Pack if *name.id == *super::ABOUT => ABOUT,
        Kind::Pack => PACK,
        Kind::Position => POSITION,
        Kind::Muscle => MUSCLE,
        Kind::Measure => MEASURE,
        Kind::Question | Kind::Source | Kind::Outcome => EVIDENCE,
        Kind::Population => POPULATION,
        Kind::Session => SESSION,
        Kind::Page | Kind::Audit | Kind::Change => TEXT,
    }
}

/// What a whole document is about: what it means if it is gone.
pub(super) fn document(kind: Kind) -> Rule {
    match kind {
        Kind::Condition => Rule { topic: T::Caution, judge: J::Keep },
        Kind::Flag => Rule { topic: T::Flag, judge: J::Keep },
        Kind::Question | Kind::Source | Kind::Outcome => Rule { topic: T::Evidence, judge: J::Said },
        Kind::Page | Kind::Audit | Kind::Change => Rule { topic: T::Note, judge: J::Said },
        _ => Rule { topic: T::Document, judge: J::Said },
    }
}

/// The rule for a path of keys.
pub(super) fn rule(name: &DocName, path: &[&str]) -> Rule {
    let fits = |pattern: &str| -> Option<(usize, usize)> {
        let parts: Vec<&str> = pattern.split('.').filter(|p| !p.is_empty()).collect();
        let holds = parts.len() <= path.len() && parts.iter().zip(path).all(|(p, key)| *p == "*" || p == key);
        holds.then(|| (parts.len(), parts.iter().filter(|p| **p != "*").count()))
    };
    let best = |rows: &'static [Row]| rows.iter().filter_map(|r| Some((fits(r.0)?, r))).max_by_key(|(fit, _)| *fit);
    let own = best(table(name));
    // Citations and grounds are the same in every document, wherever they stand; other shared keys give way to the table.
    let shared = ANYWHERE.iter().find(|(key, ..)| match *key {
        "cite" | "basis" => path.contains(key),
        _ => path.last() == Some(key) || path.contains(&"other-names") && *key == "other-names",
    });
    let whole = own.is_some_and(|((n, _), _)| n == path.len());
    let row = if whole && !shared.is_some_and(|(k, ..)| matches!(*k, "cite" | "basis")) { own.map(|(_, r)| r) } else { None };
    match row.or(shared).or(own.map(|(_, r)| r)) {
        Some((_, topic, judge)) => Rule { topic: *topic, judge: *judge },
        None => Rule { topic: T::Method, judge: J::Any },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_pattern_holds_and_grounds_are_grounds_everywhere() {
        let cases = [
            ("techniques/heat", "limits.*.max", T::Limit, J::Up),
            ("techniques/heat", "limits.*.why", T::Wording, J::Prose),
            ("techniques/heat", "limits.*.cite.*.source", T::Evidence, J::Said),
            ("techniques/heat", "stop.*.do", T::StopRule, J::Keep),
            ("techniques/heat", "name", T::Wording, J::Prose),
            ("techniques/heat", "never-heard-of", T::Method, J::Any),
            ("pack/house", "house.limits.*.max", T::Limit, J::Up),
            ("pack/house", "house.thermal.dwell", T::Limit, J::Up),
            ("pack/referral", "destinations.*.name", T::Destination, J::Said),
            ("pack/about", "notice", T::Note, J::Any),
            ("conditions/numb", "rules.*.*.strength", T::Caution, J::Rank(STRENGTHS)),
            ("conditions/numb", "rules.*.*.why", T::Wording, J::Prose),
            ("conditions/numb", "together.*.rules.heat.*.strength", T::Caution, J::Rank(STRENGTHS)),
            ("conditions/numb", "together.*.with.*", T::Caution, J::Guard),
            ("protocols/soleus", "steps.*.dose.hold", T::Dose, J::Dose),
            ("protocols/soleus", "refer.*.note", T::Flag, J::Prose),
        ];
        for (name, path, topic, judge) in cases {
            let path: Vec<&str> = path.split('.').collect();
            let name = DocName::read(name).expect("is a name");
            assert_eq!(rule(&name, &path), Rule { topic, judge }, "{name} {path:?}");
        }
    }
}
