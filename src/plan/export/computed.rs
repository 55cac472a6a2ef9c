//! What was worked out from results, for machines: full precision, and the name of every method.

use crate::compute::appraisal::certainty::Proposal;
use crate::compute::appraisal::study::{self, People};
use crate::compute::appraisal::{Answer, OutcomeFacts, StudyFacts, claims};
use crate::compute::evidence::{Effect, Interval, Level, Pooled};
use crate::model::docs::{Data, StudyResult};
use crate::model::evidence::{Certainty, Direction, Judgement};
use crate::model::{Catalog, Kind};
use crate::plan::site::doc;
use crate::plan::view::effect::without;
use serde_json::{Value, json};

fn ends(i: Interval) -> Value {
    json!([i.low, i.high])
}

/// An effect on its scale of analysis, and as shown.
fn effect(e: &Effect) -> Value {
    let shown = e.shown(Level::P95);
    json!({
        "scale": e.scale.name(), "value": e.value, "variance": e.variance, "variant": e.variant,
        "shown_as": e.scale.shown_name(), "shown": shown.value, "shown_interval_95": ends(shown.interval),
    })
}

/// The effect of a result by its own numbers, and what it comes to.
pub(super) fn result(catalog: &Catalog, r: &StudyResult) -> Value {
    let own = study::own_measure(r).filter(|_| !matches!(r.data, Data::Words)).map(|m| study::from_groups(&r.data, m));
    json!({
        "effect": own.as_ref().and_then(|e| e.as_ref().ok()).map(effect),
        "no_effect_because": own.and_then(Result::err).as_ref().map(without),
        "direction": claims::of_result(catalog, r).map(Direction::word),
    })
}

/// What follows for one outcome of a question.
pub(super) fn outcome(catalog: &Catalog, facts: &OutcomeFacts) -> Value {
    let usable = facts.studies.iter().filter(|s| s.effect.is_ok());
    let left_out = |(s, p): (&StudyFacts, &Pooled)| json!({"without": name(catalog, s), "pool": pooled(p)});
    json!({
        "results": facts.studies.iter().map(|s| one(catalog, s)).collect::<Vec<_>>(),
        "answer": answer(&facts.answer), "people": facts.people.number, "people_of_whole_studies": facts.people.whole_studies, "direction": facts.direction.map(Direction::word),
        "leave_one_out": usable.zip(&facts.without).map(left_out).collect::<Vec<_>>(),
        "small_studies": facts.small.as_ref().map(|e| json!({
            "method": crate::compute::evidence::pool::small::EGGER, "slope": e.bias, "slope_se": e.bias_se, "t": e.t, "df": e.df, "p": e.p,
            "slope_interval_95": ends(e.bias_interval), "limit": e.limit, "limit_interval_95": ends(e.limit_interval),
        })),
        "proposed_steps": facts.proposals.iter().map(|p: &Proposal| json!({"for": p.domain.word(), "steps": p.steps})).collect::<Vec<_>>(),
        "proposed_certainty": facts.proposed.map(Certainty::word),
    })
}

fn name(catalog: &Catalog, s: &StudyFacts) -> Value {
    json!({"source": catalog.id(doc(Kind::Source, s.source)), "result": *s.result(catalog).id.value})
}

fn one(catalog: &Catalog, s: &StudyFacts) -> Value {
    json!({
        "of": name(catalog, s), "invented": catalog.sources[s.source].is_invented(), "effect": s.effect.as_ref().ok().map(effect),
        "no_effect_because": s.effect.as_ref().err().map(without), "weight_percent": s.weight, "people": s.people.map(People::number),
        "people_of_whole_study": s.people.is_some_and(People::is_whole_study), "events": s.events,
        "risk_of_bias": s.bias.map(Judgement::word),
    })
}

fn answer(answer: &Answer) -> Value {
    match answer {
        Answer::None => json!({"kind": "no usable effect"}),
        Answer::One(e, _) => json!({"kind": "one effect", "effect": effect(e)}),
        Answer::Apart => json!({"kind": "not pooled"}),
        Answer::Pooled(p) => json!({"kind": "pooled", "pool": pooled(p)}),
        Answer::Refused(why) => json!({"kind": "cannot be pooled", "because": why.to_string()}),
    }
}

fn pooled(p: &Pooled) -> Value {
    let (h, shown) = (&p.heterogeneity, p.shown());
    json!({
        "scale": p.scale.name(), "k": p.k, "method": p.tau_method.name(), "interval_method": p.interval_method.name(),
        "estimate": p.estimate, "se": p.se, "p": p.p, "interval_95": ends(p.interval),
        "shown_as": p.scale.shown_name(), "shown": shown.value, "shown_interval_95": ends(shown.interval),
        "tau2": p.tau2, "tau2_se": p.tau2_se, "tau2_interval_95_q_profile": p.tau2_interval.map(ends),
        "q": h.q, "q_df": h.df, "q_p": h.p, "i2_percent_from_q": h.i2_from_q, "h2_from_q": h.h2_from_q,
        "i2_percent_from_tau2": h.i2_from_tau2, "h2_from_tau2": h.h2_from_tau2, "weights_percent": p.weights,
        "prediction_95": p.prediction.as_ref().map(|(by, i)| json!({
            "method": by.name(), "interval": ends(*i), "shown": ends(i.map(|x| p.scale.show(x))),
        })),
    })
}
