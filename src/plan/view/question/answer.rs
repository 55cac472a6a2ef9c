//! One outcome of a question: results, figure, pool.

use super::super::effect::{Digits, counted_words, extracted, p_value, percent, plain, three, unit, with_unit, without};
use super::super::forest::{Content, Forest, Study};
use super::super::parts::{Link, Pair};
use super::{Asking, OutcomeView, StudyRow, WithoutRow, asking, certainty, said};
use crate::compute::appraisal::study::People;
use crate::compute::appraisal::{Answer, EGGER_LEAST, OutcomeFacts, StudyFacts};
use crate::compute::evidence::{Estimate, Pooled, TauMethod, pool::small::EGGER};
use crate::model::Kind;
use crate::model::docs::{Asked, Data};
use crate::model::evidence::{Direction, EffectMeasure};
use crate::plan::site::{Site, doc, text};

/// Below this number of results the page says that they are few. House practice of the tool.
const FEW: usize = 5;

pub(super) fn view(site: &Site<'_>, number: usize, asked: &Asked, facts: &OutcomeFacts) -> OutcomeView {
    let measure = asked.measure.as_ref().map_or(EffectMeasure::MeanDifference, |m| m.value);
    let shown: Vec<Estimate> = facts.studies.iter().filter_map(|s| s.shown(site.catalog)).collect();
    let digits = Digits::of(measure, &shown);
    let name = asked.outcome.to.map(|o| site.catalog.outcomes[o].name.value.to_string()).unwrap_or_default();
    let pooled = match &facts.answer {
        Answer::Pooled(p) => Some(p.as_ref()),
        _ => None,
    };
    let content = Content {
        number,
        about: name.clone(),
        measure,
        unit: unit(measure, own_unit(site, facts).as_deref()),
        studies: facts.studies.iter().filter_map(|s| drawn(site, s)).collect(),
        pooled: pooled.map(Pooled::shown),
        prediction: pooled.and_then(|p| p.prediction.map(|(_, i)| i.map(|x| p.scale.show(x)))),
        matters: asked.matters.as_ref().map(|m| m.value),
        better: asked.outcome.to.and_then(|o| site.catalog.outcomes[o].better),
        digits,
    };
    let mut variants: Vec<&'static str> = facts.studies.iter().filter_map(|s| s.effect.as_ref().ok()).map(|e| e.variant).collect();
    variants.sort_unstable();
    variants.dedup();
    OutcomeView {
        id: super::anchor(site, asked),
        number,
        outcome: site.follow(Kind::Outcome, &asked.outcome).unwrap_or(Link { text: name, href: String::new() }),
        facts: about(site, asked, facts, &content.unit, measure),
        invented: invented(site, facts),
        forest: Forest::new(&content),
        studies: facts.studies.iter().map(|s| row(site, s, digits)).collect(),
        pooled: pooled.map(|p| Pair {
            label: format!("Pooled, {}", counted_words(&p.k.to_string(), "result", "results")),
            text: digits.both(&p.shown()),
        }),
        pool: pool(asked, facts, digits, (measure, &content.unit)),
        without: leave_one_out(site, facts, digits),
        variants,
        certainty: certainty::view(asked, facts),
    }
}

fn own_unit(site: &Site<'_>, facts: &OutcomeFacts) -> Option<String> {
    facts.studies.iter().find_map(|s| text(&s.result(site.catalog).unit))
}

fn source_name(site: &Site<'_>, s: &StudyFacts) -> String {
    site.name(doc(Kind::Source, s.source))
}

fn drawn(site: &Site<'_>, s: &StudyFacts) -> Option<Study> {
    let mark = if site.catalog.sources[s.source].is_invented() { " (invented)" } else { "" };
    let effect = s.shown(site.catalog)?;
    Some(Study { name: format!("{}{mark}", source_name(site, s)), effect, weight: s.weight })
}

fn row(site: &Site<'_>, s: &StudyFacts, digits: Digits) -> StudyRow {
    let source = &site.catalog.sources[s.source];
    let result = s.result(site.catalog);
    let page = site.href(doc(Kind::Source, s.source));
    StudyRow {
        source: Link { text: source_name(site, s), href: format!("{page}#result-{}", result.id.value) },
        invented: source.is_invented(),
        people: match s.people {
            Some(People::InResult(n)) => plain(n),
            Some(People::InStudy(n)) => format!("{} people in the whole study", plain(n)),
            None => "not given".into(),
        },
        numbers: if matches!(result.data, Data::Words) { text(&result.words).into_iter().collect() } else { extracted(source, result) },
        effect: match &s.effect {
            Ok(e) => digits.both(&crate::compute::appraisal::study::shown(result, e)),
            Err(why) => without(why),
        },
        counts: s.effect.is_ok(),
        weight: s.weight.map_or("none".into(), percent),
        bias: s.bias.map_or("not judged", crate::model::evidence::Judgement::word),
        at: text(&result.at).unwrap_or_else(|| "not given".into()),
    }
}

fn invented(site: &Site<'_>, facts: &OutcomeFacts) -> Option<String> {
    let made_up = facts.studies.iter().filter(|s| site.catalog.sources[s.source].is_invented()).count();
    let all = facts.studies.len();
    (made_up > 0).then(|| {
        let which = if made_up == all { "All results here are".to_string() } else { format!("{made_up} of {all} results here are") };
        format!("Invented for the demonstration. {which} made up, and so is what is worked out from them: it says nothing about people.")
    })
}

fn about(site: &Site<'_>, asked: &Asked, facts: &OutcomeFacts, unit: &str, measure: EffectMeasure) -> Vec<Asking> {
    let matters = asked.matters.as_ref().map(|m| {
        let why = text(&asked.matters_why).map(|w| format!(". {w}")).unwrap_or_default();
        let how = if measure.is_ratio() { "a factor of " } else { "" };
        format!("{how}{}{why}", with_unit(&plain(m.value), unit))
    });
    let parts = [
        said("Importance", text(&asked.importance)),
        said("When", text(&asked.time)),
        asking("Measured by", asked.measured_by.as_ref().and_then(|m| site.follow(Kind::Measure, m))),
        said("Expressed as", asked.measure.as_ref().map(|m| m.value.word().to_string())),
        said("Smallest effect that matters", matters.or_else(|| Some("nobody has said which".into()))),
        said("What the numbers come to", Some(direction(facts))),
        said("What the answer states", asked.direction.as_ref().map(|d| d.value.word().to_string())),
    ];
    parts.into_iter().flatten().collect()
}

fn direction(facts: &OutcomeFacts) -> String {
    match facts.direction {
        None => "not told: no pooled or single effect with a value of no effect".into(),
        Some(Direction::Better) => "better: the interval leaves out the value of no effect".into(),
        Some(Direction::Worse) => "worse: the interval leaves out the value of no effect".into(),
        Some(Direction::NoDifference) => "no difference: the interval includes the value of no effect and nothing that matters".into(),
        Some(Direction::Unclear) => {
            "unclear: the interval includes the value of no effect, and effects that matter are not ruled out".into()
        }
    }
}

/// The unit of a variance, in brackets: the square of that of the effect, or of the scale on which it is pooled.
fn squared(measure: EffectMeasure, unit: &str) -> String {
    match measure {
        EffectMeasure::RiskRatio | EffectMeasure::OddsRatio => " (square of the logarithm)".into(),
        EffectMeasure::Proportion => " (square of the log odds)".into(),
        EffectMeasure::Correlation => " (square of Fisher’s z)".into(),
        _ if unit.is_empty() => " (square of the difference)".into(),
        _ => format!(" (square of: {unit})"),
    }
}

fn pool(asked: &Asked, facts: &OutcomeFacts, digits: Digits, scale: (EffectMeasure, &str)) -> Vec<Pair> {
    let pair = |label: &str, text: String| Pair { label: label.into(), text };
    let usable = facts.studies.iter().filter(|s| s.effect.is_ok()).count();
    let mut out = match &facts.answer {
        Answer::Pooled(p) => pooled(p, digits, scale),
        Answer::None => vec![pair("Pool", "No result has a usable effect.".into())],
        Answer::One(..) => vec![pair("Pool", "One result has an effect, so there is nothing to pool.".into())],
        Answer::Apart => vec![pair("Pool", "The question does not pool its results; each stands by itself.".into())],
        Answer::Refused(why) => vec![pair("Pool", format!("The results cannot be pooled: {why}."))],
    };
    if (2..FEW).contains(&usable) {
        out.push(pair("Few results", format!("Only {usable}: how unlike they are, and every interval here, is itself very unsure.")));
    }
    if let (Answer::Pooled(_), Some(why)) = (&facts.answer, &asked.why_pooled) {
        out.push(pair("Why pooled all the same", why.value.to_string()));
    }
    if usable > 1 {
        out.push(pair("Small studies", small(facts, usable)));
    }
    out
}

fn pooled(p: &Pooled, digits: Digits, (measure, unit): (EffectMeasure, &str)) -> Vec<Pair> {
    let pair = |label: &str, text: String| Pair { label: label.into(), text };
    let h = &p.heterogeneity;
    let (spread, squared) = (three(p.tau2), squared(measure, unit));
    let tau2 = match (p.tau_method, p.tau2_interval) {
        (TauMethod::Fixed, _) => "taken as 0 under a fixed effect".to_string(),
        (_, Some(i)) => format!("{spread}, 95 % interval {} to {} by the Q-profile{squared}", three(i.low), three(i.high)),
        (_, None) => format!("{spread}{squared}; no interval, since the results agree more closely than any value lets expect"),
    };
    let prediction = match &p.prediction {
        Some((by, i)) => format!("{} ({})", digits.range(i.map(|x| p.scale.show(x))), by.name().replace("k-", "k−")),
        None if p.tau_method == TauMethod::Fixed => "none: a fixed effect assumes that all studies have the same one".into(),
        None if p.k < 3 => "none: two results cannot tell how far the effects of further studies spread".into(),
        None => "none: it has no bounds".into(),
    };
    vec![
        pair("Pooled effect", format!("{}, p {}", with_unit(&digits.both(&p.shown()), unit), p_value(p.p))),
        pair("Pooled by", p.tau_method.name().into()),
        pair("Interval by", format!("{}; 95 %", p.interval_method.name())),
        pair(
            "How unlike the results are",
            format!(
                "Q {:.2} with {}, p {}; I² {}, H² {:.2}, both from Q",
                h.q,
                counted_words(&plain(h.df), "degree of freedom", "degrees of freedom"),
                p_value(Some(h.p)),
                percent(h.i2_from_q),
                h.h2_from_q
            ),
        ),
        pair("Variance between studies, τ²", tau2),
        pair("Prediction interval", prediction),
    ]
}

fn small(facts: &OutcomeFacts, usable: usize) -> String {
    match &facts.small {
        Some(e) => format!(
            "regression on the standard error: slope {:.2} (95 % interval {:.2} to {:.2}), p {} ({EGGER}). It cannot tell a gap in what was published from true differences.",
            e.bias, e.bias_interval.low, e.bias_interval.high, p_value(e.p)
        )
        .replace('-', "−"),
        None if usable < EGGER_LEAST => format!("no test: with {usable} results it tells nothing; from {EGGER_LEAST} on it is made"),
        None => "no test: all standard errors are equal".into(),
    }
}

fn leave_one_out(site: &Site<'_>, facts: &OutcomeFacts, digits: Digits) -> Vec<WithoutRow> {
    let usable = facts.studies.iter().filter(|s| s.effect.is_ok());
    let row = |(s, p): (&StudyFacts, &Pooled)| WithoutRow {
        name: source_name(site, s),
        pooled: digits.both(&p.shown()),
        i2: percent(p.heterogeneity.i2_from_q),
        tau2: three(p.tau2),
    };
    usable.zip(&facts.without).map(row).collect()
}
