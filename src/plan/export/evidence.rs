//! Sources, questions, outcomes and populations for machines.

use super::computed;
use super::values::{dose, id, pairs, result_ref, text, texts};
use crate::compute::appraisal::OutcomeFacts;
use crate::model::docs::{Asked, Data, GroupCount, GroupMean, Outcome, Population, Printed, Question, Rating, Source, StudyResult, Told};
use crate::model::{Catalog, Idx, Kind};
use crate::plan::site::Site;
use crate::source::Spanned;
use serde_json::{Value, json};

pub(super) fn outcome(o: &Outcome) -> Value {
    json!({"other_names": texts(&o.other_names), "better": o.better.map(crate::model::evidence::Better::word), "about": *o.about.value})
}

pub(super) fn population(catalog: &Catalog, p: &Population) -> Value {
    json!({"in": p.within.as_ref().and_then(|w| id(catalog, Kind::Population, w)), "about": text(&p.about)})
}

pub(super) fn source(catalog: &Catalog, s: &Source) -> Value {
    json!({
        "csl": crate::plan::csl::item(&s.head.id.value, &s.bibliography), "design": s.design.as_ref().map(|d| d.value.word()),
        "invented": s.is_invented(), "who": s.who.as_ref().and_then(|w| id(catalog, Kind::Population, w)), "people": count(&s.n),
        "facts": pairs(&s.facts),
        "level": s.level.as_ref().map(|l| json!({"number": l.number.value, "for": l.asks.word(), "scale": "OCEBM 2011"})),
        "arms": s.arms.iter().map(|a| json!({
            "id": *a.id.value, "name": *a.name.value, "n": count(&a.n), "analysed": count(&a.analysed), "lost": count(&a.lost),
            "technique": text(&a.technique), "dose": dose(&a.dose),
        })).collect::<Vec<_>>(),
        "results": s.results.iter().map(|r| result(catalog, r)).collect::<Vec<_>>(),
        "conclusions": s.conclusions.iter().map(|c| json!({
            "words": *c.words.value, "at": text(&c.at), "outcome": c.outcome.as_ref().and_then(|o| id(catalog, Kind::Outcome, o)),
            "found": c.found.as_ref().map(|f| f.value.word()), "arm": text(&c.arm),
        })).collect::<Vec<_>>(),
        "findings": s.findings.iter().map(|f| json!({"name": *f.name.value, "result": *f.result.value, "at": text(&f.at)})).collect::<Vec<_>>(),
        "harms": told(&s.harms, crate::model::evidence::HarmsStatus::word),
        "funding": told(&s.funding, crate::model::evidence::Disclosure::word),
        "interests": told(&s.interests, crate::model::evidence::Disclosure::word),
        "risk_of_bias": s.bias.iter().map(|b| json!({
            "tool": *b.tool.value, "results": texts(&b.results), "overall": b.overall.value.word(), "why": text(&b.why), "by": text(&b.by),
            "domains": b.domains.iter().map(|d| json!({"domain": *d.domain.value, "judgement": d.judgement.value.word(), "why": *d.why.value}))
                .collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "includes": s.includes.iter().filter_map(|r| id(catalog, Kind::Source, r)).collect::<Vec<_>>(),
        "part_of": s.part_of.as_ref().and_then(|r| id(catalog, Kind::Source, r)),
        "retraction": {
            "status": s.retraction.as_ref().map(|r| r.value.word()),
            "checked": s.retraction_checked.as_ref().map(|d| d.value.to_string()), "notice": text(&s.retraction_notice),
        },
        "seen": {"status": text(&s.seen), "what": text(&s.seen_what)}, "licence": text(&s.licence),
    })
}

fn count(n: &Option<Spanned<u32>>) -> Option<u32> {
    n.as_ref().map(|n| n.value)
}

fn told<T: Copy>(told: &Option<Told<T>>, word: impl Fn(T) -> &'static str) -> Value {
    told.as_ref().map_or(Value::Null, |t| json!({"status": word(t.status.value), "what": text(&t.what)}))
}

fn result(catalog: &Catalog, r: &StudyResult) -> Value {
    json!({
        "id": *r.id.value, "outcome": id(catalog, Kind::Outcome, &r.outcome), "arms": texts(&r.arms),
        "comparator": r.comparator.as_ref().map(|c| c.value.word()), "who": r.who.as_ref().and_then(|w| id(catalog, Kind::Population, w)),
        "time": text(&r.time), "unit": text(&r.unit), "at": text(&r.at), "words": text(&r.words),
        "found": r.found.as_ref().map(|f| f.value.word()), "data": data(&r.data), "printed": r.printed.as_ref().map(printed),
        "computed": computed::result(catalog, r),
    })
}

fn data(data: &Data) -> Value {
    match data {
        Data::Means(groups) => json!({"means": groups.each_ref().map(mean)}),
        Data::Counts(groups) => json!({"counts": groups.each_ref().map(counted)}),
        Data::Change(c) => json!({"change": {
            "n": c.n.value, "before": c.before.value, "after": c.after.value, "sd_change": plain(&c.sd_change),
            "sd_before": plain(&c.sd_before), "sd_after": plain(&c.sd_after), "r": plain(&c.r),
        }}),
        Data::Correlation { n, r } => json!({"correlation": {"n": n.value, "r": r.value}}),
        Data::Share(group) => json!({"share": counted(group)}),
        Data::Estimate(p) => json!({"estimate": printed(p)}),
        Data::Words => Value::Null,
    }
}

fn plain(x: &Option<Spanned<f64>>) -> Option<f64> {
    x.as_ref().map(|x| x.value)
}

fn mean(g: &GroupMean) -> Value {
    json!({"n": g.n.value, "mean": g.mean.value, "sd": g.sd()})
}

fn counted(g: &GroupCount) -> Value {
    json!({"events": g.events.value, "n": g.n.value})
}

fn printed(p: &Printed) -> Value {
    json!({
        "measure": p.measure.value.word(), "value": p.value.value, "interval": p.interval.as_ref().map(|[a, b]| [a.value, b.value]),
        "level": p.level.as_ref().map_or(95.0, |l| l.value), "p": p.p.as_ref().map(|p| p.written.value.to_string()),
        "studies": count(&p.studies), "people": count(&p.people), "i2_percent": plain(&p.i2),
    })
}

pub(super) fn question(site: &Site<'_>, idx: Idx<Question>, q: &Question) -> Value {
    let catalog = site.catalog;
    let facts = &site.facts.appraisal.of(idx).outcomes;
    json!({
        "who": id(catalog, Kind::Population, &q.who), "intervention": *q.intervention.value,
        "technique": q.technique.as_ref().and_then(|t| id(catalog, Kind::Technique, t)),
        "comparator": q.comparator.as_ref().map(|c| c.value.word()), "compared_with": text(&q.compared_with),
        "invented": crate::compute::appraisal::invented(catalog, q),
        "search": {"date": q.search.date.as_ref().map(|d| d.value.to_string()), "places": texts(&q.search.places), "how": text(&q.search.how)},
        "include": *q.include.value, "outcomes": q.outcomes.iter().zip(facts).map(|(a, f)| asked(catalog, a, f)).collect::<Vec<_>>(), "notes": text(&q.notes),
    })
}

fn asked(catalog: &Catalog, a: &Asked, facts: &OutcomeFacts) -> Value {
    json!({
        "outcome": id(catalog, Kind::Outcome, &a.outcome), "measured_by": a.measured_by.as_ref().and_then(|m| id(catalog, Kind::Measure, m)),
        "importance": text(&a.importance), "time": text(&a.time), "measure": a.measure.as_ref().map(|m| m.value.word()),
        "pooling": a.pooling.as_ref().map(|p| p.value.word()), "interval": a.interval.as_ref().map(|i| i.value.word()),
        "why_pooled": text(&a.why_pooled), "matters": plain(&a.matters), "matters_why": text(&a.matters_why),
        "results": a.results.iter().map(|r| result_ref(catalog, r)).collect::<Vec<_>>(), "certainty": rating(&a.certainty),
        "direction": a.direction.as_ref().map(|d| d.value.word()), "statement": text(&a.statement),
        "computed": computed::outcome(catalog, facts),
    })
}

fn rating(r: &Rating) -> Value {
    let step = |s: &crate::model::docs::RatingStep| json!({"for": s.domain.value.word(), "steps": s.steps, "why": text(&s.why)});
    json!({
        "start": r.start.as_ref().map(|s| s.value.word()), "steps": r.steps.iter().map(step).collect::<Vec<_>>(),
        "result": r.result.as_ref().map(|s| s.value.word()),
    })
}
