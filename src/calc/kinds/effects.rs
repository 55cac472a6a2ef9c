//! Effects of studies: `effect-means`, `effect-binary`, `effect-prepost`, `effect-correlation`,
//! `effect-proportion`.

use super::Kind;
use super::evidence::{NOTE, effect, ends, labelled, settled};
use crate::calc::inputs::Inputs;
use crate::calc::outcome::{Outcome, number};
use crate::compute::evidence::effect::binary::{CountsVariant, TwoCounts, counts, newcombe};
use crate::compute::evidence::effect::change::{ChangeVariant, PrePost, Spread, change, change_t, difference};
use crate::compute::evidence::effect::correlation::fisher_z;
use crate::compute::evidence::effect::means::{MeansVariant, TwoMeans, approximate_j, exact_j, means, pooled_t, welch};
use crate::compute::evidence::effect::proportion::{ProportionVariant, agresti_coull, clopper_pearson, proportion, wilson};
use crate::compute::evidence::{Effect, Level};
use serde_json::{Map, Value, json};

/// The kinds.
pub static KINDS: &[Kind] = &[
    Kind {
        name: "effect-means",
        summary: "two groups with means: difference, Hedges' g and its relatives",
        keys: &["groups"],
        run: of_means,
    },
    Kind {
        name: "effect-binary",
        summary: "two groups with events: risk ratio, odds ratio, risk difference",
        keys: &["tables"],
        run: of_counts,
    },
    Kind {
        name: "effect-prepost",
        summary: "groups before and after: change, standardised change, difference of two changes",
        keys: &["cases", "treatment", "control"],
        run: of_changes,
    },
    Kind { name: "effect-correlation", summary: "correlations as Fisher's z", keys: &["correlations"], run: of_correlations },
    Kind { name: "effect-proportion", summary: "proportions, their transformations and intervals", keys: &["counts"], run: of_proportions },
];

/// Most studies of a list.
const MOST: usize = 2000;
const CHANGE: &[&str] = &["label", "n", "m_pre", "m_post", "sd_pre", "sd_post", "r", "sd_change"];

/// Rows of one list to the columns of the result: each row gives the same keys.
fn by_key(rows: Vec<Map<String, Value>>) -> Map<String, Value> {
    let mut out: Map<String, Value> = Map::new();
    for row in rows {
        for (key, value) in row {
            if let Value::Array(list) = out.entry(key).or_insert_with(|| Value::Array(Vec::new())) {
                list.push(value);
            }
        }
    }
    out
}

fn outcome(rows: Vec<Map<String, Value>>) -> Outcome {
    let mut out = Outcome { result: by_key(rows), ..Outcome::default() };
    out.note(NOTE);
    out
}

fn row<const N: usize>(entries: [(&str, Value); N]) -> Map<String, Value> {
    entries.into_iter().map(|(k, v)| (k.to_string(), v)).collect()
}

fn of_means(inputs: &Inputs<'_>) -> Option<Outcome> {
    let rows = inputs.objects("groups", 1, MOST, &["label", "n1", "m1", "sd1", "n2", "m2", "sd2"], |g| {
        let (n1, m1, sd1) = (g.number("n1"), g.number("m1"), g.number("sd1"));
        let (n2, m2, sd2) = (g.number("n2"), g.number("m2"), g.number("sd2"));
        let label = labelled(g)?;
        let of = TwoMeans { n1: n1?, m1: m1?, sd1: sd1?, n2: n2?, m2: m2?, sd2: sd2? };
        let by = |variant| settled(g, means(&of, variant)).map(|e| effect(&label, &e));
        let t = |of| {
            settled(g, of).map(|t: crate::compute::evidence::effect::TInterval| {
                let mut map = ends(&label, t.interval);
                map.insert("df".into(), number(t.df));
                Value::Object(map)
            })
        };
        let (sd, m) = (settled(g, of.pooled_sd())?, of.n1 + of.n2 - 2.0);
        Some(row([
            ("md", by(MeansVariant::Difference)?),
            ("md_welch_t", t(welch(&of, Level::P95))?),
            ("md_pooled_variance", by(MeansVariant::DifferencePooled)?),
            ("md_pooled_t", t(pooled_t(&of, Level::P95))?),
            ("cohen_d", by(MeansVariant::CohenD)?),
            ("smd_g_exact_ls", by(MeansVariant::HedgesExact)?),
            ("smd_g_exact_ub", by(MeansVariant::HedgesUnbiased)?),
            ("smd_g_approx_borenstein", by(MeansVariant::HedgesJSquared)?),
            ("smd_g_approx_cochrane", by(MeansVariant::HedgesCochrane)?),
            ("j", json!({"id": label, "exact": number(exact_j(m)), "approx": number(approximate_j(m)), "pooled_sd": number(sd)})),
        ]))
    })?;
    let mut out = outcome(rows);
    out.note("Group 1 less group 2. Differences are in the unit of the means, standardised ones in standard deviations.");
    Some(out)
}

fn of_counts(inputs: &Inputs<'_>) -> Option<Outcome> {
    let rows = inputs.objects("tables", 1, MOST, &["label", "a", "n1", "c", "n2"], |t| {
        let (a, n1, c, n2) = (t.number("a"), t.number("n1"), t.number("c"), t.number("n2"));
        let label = labelled(t)?;
        let of = TwoCounts { a: a?, n1: n1?, c: c?, n2: n2? };
        let by = |variant| settled(t, counts(&of, variant)).map(|e| effect(&label, &e));
        Some(row([
            ("log_rr", by(CountsVariant::LogRiskRatio)?),
            ("log_or", by(CountsVariant::LogOddsRatio)?),
            ("rd", by(CountsVariant::RiskDifference)?),
            ("rd_no_correction", by(CountsVariant::RiskDifferenceAsCounted)?),
            ("rd_newcombe", Value::Object(ends(&label, settled(t, newcombe(&of, Level::P95))?))),
        ]))
    })?;
    let mut out = outcome(rows);
    out.note("Group 1 over, or less, group 2. 0.5 is added to all four cells of a table with an empty cell; `rd_no_correction` and the hybrid score interval `rd_newcombe` take the counts as they are.");
    Some(out)
}

fn one_change(g: &Inputs<'_>) -> Option<(PrePost, Value)> {
    let (n, m_pre, m_post) = (g.number("n"), g.number("m_pre"), g.number("m_post"));
    let (sd_pre, sd_post, sd_change, r) = (g.maybe("sd_pre"), g.maybe("sd_post"), g.maybe("sd_change"), g.maybe("r"));
    let label = labelled(g)?;
    let (sd_pre, sd_post, sd_change, r) = (sd_pre?, sd_post?, sd_change?, r?);
    let spread = match (sd_pre, sd_post, r, sd_change) {
        (Some(sd_pre), Some(sd_post), Some(r), None) => Spread::Both { sd_pre, sd_post, r },
        (None, None, r, Some(sd_change)) => Spread::Change { sd_change, r },
        (_, _, _, Some(_)) => {
            return g.refuse(
                "sd_change",
                "a second source",
                "the spread of the change is given in two ways",
                "keep `sd_change`, or `sd_pre` with `sd_post` and `r`",
            );
        }
        _ => {
            let help = "add `sd_pre`, `sd_post` and `r` (the correlation of before and after), or `sd_change`";
            return g.incomplete("the spread of the change cannot be known from this", help);
        }
    };
    Some((PrePost { n: n?, m_pre: m_pre?, m_post: m_post?, spread }, label))
}

fn change_row(g: &Inputs<'_>) -> Option<(Map<String, Value>, Option<Effect>)> {
    let (of, label) = one_change(g)?;
    let sd = settled(g, of.sd_change())?;
    let baseline = match of.spread {
        Spread::Both { .. } => Some(settled(g, change(&of, ChangeVariant::ByBaseline))?),
        Spread::Change { .. } => None,
    };
    let known = !matches!(of.spread, Spread::Change { r: None, .. });
    let matched = if known {
        let mut shown = effect(&label, &settled(g, change(&of, ChangeVariant::Matched))?);
        shown.as_object_mut()?.insert("sd_within".into(), number(settled(g, of.sd_within())?));
        shown
    } else {
        Value::Null
    };
    let t = settled(g, change_t(&of, Level::P95))?;
    let mut t_row = ends(&label, t.interval);
    t_row.insert("df".into(), number(t.df));
    let map = row([
        ("mean_change", effect(&label, &settled(g, change(&of, ChangeVariant::Mean))?)),
        ("sd_change", number(sd)),
        ("mean_change_t", Value::Object(t_row)),
        ("smcc", effect(&label, &settled(g, change(&of, ChangeVariant::ByChange))?)),
        ("smcr", baseline.map_or(Value::Null, |e| effect(&label, &e))),
        ("smd_matched_borenstein", matched),
    ]);
    Some((map, baseline))
}

fn of_changes(inputs: &Inputs<'_>) -> Option<Outcome> {
    let mut out = if inputs.given("cases") {
        let rows = inputs.only(&["cases"]).objects("cases", 1, MOST, CHANGE, change_row)?;
        outcome(rows.into_iter().map(|(map, _)| map).collect())
    } else {
        let inputs = inputs.only(&["treatment", "control"]);
        let treated = inputs.objects("treatment", 1, MOST, CHANGE, change_row)?;
        let n = treated.len();
        let control = if inputs.given("control") { inputs.objects("control", n, n, CHANGE, change_row)? } else { Vec::new() };
        let mut out = Outcome::default();
        let pairs = treated.iter().zip(&control).map(|((_, t), (_, c))| t.as_ref().zip(c.as_ref()));
        let between: Vec<Value> = pairs
            .map(|pair| match pair.map(|(t, c)| difference(t, c)) {
                Some(Ok(e)) => effect(&Value::Null, &e),
                _ => Value::Null,
            })
            .collect();
        let with_control = !control.is_empty();
        out.put("treatment", Value::Object(by_key(treated.into_iter().map(|(map, _)| map).collect())));
        if with_control {
            out.put("control", Value::Object(by_key(control.into_iter().map(|(map, _)| map).collect())));
            out.put("difference_in_smcr", Value::Array(between));
        }
        out.note(NOTE);
        out
    };
    out.note(
        "After less before. A change within one group is no effect of its treatment: pain that brings people in gets better by itself.",
    );
    Some(out)
}

fn of_correlations(inputs: &Inputs<'_>) -> Option<Outcome> {
    let rows = inputs.objects("correlations", 1, MOST, &["label", "r", "n"], |c| {
        let (r, n) = (c.number("r"), c.number("n"));
        let label = labelled(c)?;
        Some(row([("fisher_z", effect(&label, &settled(c, fisher_z(r?, n?))?))]))
    })?;
    Some(outcome(rows))
}

fn of_proportions(inputs: &Inputs<'_>) -> Option<Outcome> {
    let rows = inputs.objects("counts", 1, MOST, &["label", "x", "n"], |c| {
        let (x, n) = (c.number("x"), c.number("n"));
        let label = labelled(c)?;
        let (x, n) = (x?, n?);
        let by = |variant| settled(c, proportion(x, n, variant)).map(|e| effect(&label, &e));
        let interval = |of| settled(c, of).map(|i| Value::Object(ends(&label, i)));
        Some(row([
            ("raw", by(ProportionVariant::Raw)?),
            ("raw_no_correction", by(ProportionVariant::RawAsCounted)?),
            ("logit", by(ProportionVariant::Logit)?),
            ("arcsine", by(ProportionVariant::Arcsine)?),
            ("freeman_tukey", by(ProportionVariant::DoubleArcsine)?),
            ("wilson", interval(wilson(x, n, Level::P95))?),
            ("clopper_pearson", interval(clopper_pearson(x, n, Level::P95))?),
            ("agresti_coull", interval(agresti_coull(x, n, Level::P95))?),
        ]))
    })?;
    let mut out = outcome(rows);
    out.note("`wilson` is the score interval without continuity correction, `clopper_pearson` the exact one, `agresti_coull` adds z^2/2 to events and to the others and may leave 0 to 1.");
    Some(out)
}
