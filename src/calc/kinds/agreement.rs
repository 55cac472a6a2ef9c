//! Raters and readings: `kappa`, `fleiss-kappa`, `intraclass`, `measurement-error`,
//! `limits-of-agreement`.

use super::Kind;
use super::evidence::settled;
use crate::calc::inputs::{Cells, Inputs};
use crate::calc::outcome::{Outcome, number};
use crate::compute::evidence::agreement::error::{MeasurementError, SemVariant, from_sd_and_icc, of_ratings};
use crate::compute::evidence::agreement::fleiss::fleiss;
use crate::compute::evidence::agreement::intraclass::{Form, anova, intraclass as correlation};
use crate::compute::evidence::agreement::kappa::{Beside, Kappa, Weights, beside, kappa as of_table};
use crate::compute::evidence::agreement::limits::{OfLimits, limits as of_pairs};
use crate::compute::evidence::{Interval, Level};
use serde_json::{Map, Value, json};

/// The kinds.
pub static KINDS: &[Kind] = &[
    Kind { name: "kappa", summary: "two raters: kappa, weighted kappa, adjusted kappa", keys: &["table", "rows", "columns"], run: kappa },
    Kind { name: "fleiss-kappa", summary: "several raters: Fleiss' kappa", keys: &["counts", "rows", "columns"], run: fleiss_kappa },
    Kind {
        name: "intraclass",
        summary: "intraclass correlation of ratings, six forms",
        keys: &["ratings", "rows", "columns", "design"],
        run: intraclass,
    },
    Kind {
        name: "measurement-error",
        summary: "standard error of measurement and smallest detectable change",
        keys: &["cases", "ratings", "rows", "columns"],
        run: measurement_error,
    },
    Kind { name: "limits-of-agreement", summary: "two methods on the same people: bias and limits", keys: &["a", "b"], run: limits },
];

/// Words for the reader of the sheet, which no result depends on.
fn words(inputs: &Inputs<'_>) -> Option<()> {
    for key in ["rows", "columns"] {
        if inputs.given(key) {
            inputs.text(key)?;
        }
    }
    Some(())
}

fn maybe(value: Option<f64>) -> Value {
    value.map_or(Value::Null, number)
}

fn put_ends(map: &mut Map<String, Value>, low: &str, high: &str, interval: Option<Interval>) {
    map.insert(low.into(), maybe(interval.map(|i| i.low)));
    map.insert(high.into(), maybe(interval.map(|i| i.high)));
}

fn kappa(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (rows, ()) = (inputs.table("table", Cells::Counts, 2, 2), words(inputs)?);
    let rows = rows?;
    let of = settled(inputs, beside(&rows, Level::P95))?;
    let mut out = Outcome::default();
    out.number("n", of.n).number("categories", of.categories);
    for (key, weights) in [("unweighted", Weights::Unweighted), ("linear", Weights::Linear), ("quadratic", Weights::Quadratic)] {
        let k = settled(inputs, of_table(&rows, weights, Level::P95))?;
        let cohen = (weights == Weights::Unweighted).then_some(of.se_cohen);
        out.put(key, one_kappa(&k, weights, cohen));
    }
    adjusted(&mut out, &of);
    out.note("`se` (Fleiss, Cohen and Everitt 1969) makes the interval, `se_null` the test of no agreement beyond chance. `linear` and `quadratic` mean something only if the answers have an order.");
    out.note("`pabak` is kappa as if the margins were even, (k po - 1)/(k - 1); `kappa_max` the highest kappa that the margins allow.");
    Some(out)
}

fn one_kappa(k: &Kappa, weights: Weights, cohen: Option<f64>) -> Value {
    let mut map = Map::new();
    for (key, value) in
        [("observed_agreement", k.observed), ("expected_agreement", k.expected), ("kappa", k.kappa), ("se", k.se), ("se_null", k.se_null)]
    {
        map.insert(key.into(), number(value));
    }
    put_ends(&mut map, "ci_lb", "ci_ub", Some(k.interval));
    map.insert("z_null".into(), maybe(k.z_null));
    map.insert("p_null".into(), maybe(k.p_null));
    if let Some(se) = cohen {
        map.insert("se_cohen_1960".into(), number(se));
    }
    map.insert("variant".into(), Value::from(weights.name()));
    Value::Object(map)
}

fn adjusted(out: &mut Outcome, of: &Beside) {
    let mut map = Map::new();
    map.insert("value".into(), number(of.adjusted.value));
    map.insert("se".into(), number(of.adjusted_se));
    put_ends(&mut map, "ci_lb", "ci_ub", Some(of.adjusted.interval));
    if let Some(two) = of.two {
        put_ends(&mut map, "ci_wilson_lb", "ci_wilson_ub", Some(two.adjusted_wilson));
    }
    out.put("pabak", Value::Object(map)).number("kappa_max", of.most);
    if let Some(two) = of.two {
        out.number("prevalence_index", two.prevalence_index).number("bias_index", two.bias_index);
        out.maybe("positive_agreement", two.positive).maybe("negative_agreement", two.negative);
    }
}

fn fleiss_kappa(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (rows, ()) = (inputs.table("counts", Cells::Counts, 1, 2), words(inputs)?);
    let f = settled(inputs, fleiss(&rows?, Level::P95))?;
    let mut out = Outcome::default();
    out.number("subjects", f.subjects).number("raters", f.raters).number("categories", f.categories);
    out.number("observed_agreement", f.observed).number("expected_agreement", f.expected).number("kappa", f.kappa);
    out.number("se_null", f.se_null).number("z", f.z).number("p", f.p);
    put_ends(&mut out.result, "ci_lb_null_se", "ci_ub_null_se", Some(f.null_interval));
    out.maybe("se_gwet", f.se);
    put_ends(&mut out.result, "ci_lb_gwet_t", "ci_ub_gwet_t", f.interval);
    out.put("category_kappa", f.category.iter().copied().map(maybe).collect()).number("category_se_null", f.category_se_null);
    out.note("`se_null` (Fleiss, Nee and Landis 1979) holds if there is no agreement beyond chance: it makes the test, and an interval only in name. `ci_*_gwet_t` (Gwet 2008, t with N-1, cut at 1) is the interval to read.");
    Some(out)
}

/// True if a table may only be read as repetitions in no order.
fn one_way(inputs: &Inputs<'_>) -> Option<bool> {
    if !inputs.given("design") {
        return Some(false);
    }
    let text = inputs.text("design")?;
    let starts = |word: &str| text.to_lowercase().replace(' ', "-").starts_with(word);
    match (starts("one-way"), starts("two-way")) {
        (true, _) => Some(true),
        (_, true) => Some(false),
        _ => inputs.refuse(
            "design",
            "not known",
            format!("`design: {text}` says neither one-way nor two-way"),
            "begin it with `one-way` or `two-way`",
        ),
    }
}

fn intraclass(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (rows, design, ()) = (inputs.table("ratings", Cells::Numbers, 2, 2), one_way(inputs), words(inputs)?);
    let (rows, one_way) = (rows?, design?);
    let a = settled(inputs, anova(&rows))?;
    let mut out = Outcome::default();
    out.number("n", a.n).number("k", a.k).number("grand_mean", a.mean);
    let mut squares = json!({
        "ms_between": number(a.between), "ms_within": number(a.within), "df_between": number(a.df_between()), "df_within": number(a.df_within()),
    });
    if let (Some(map), false) = (squares.as_object_mut(), one_way) {
        map.insert("ms_raters".into(), number(a.raters));
        map.insert("ms_error".into(), number(a.error));
        map.insert("df_raters".into(), number(a.df_raters()));
        map.insert("df_error".into(), number(a.df_error()));
    }
    out.put("anova", squares);
    let forms: &[Form] = if one_way { &Form::ONE_WAY } else { &Form::ALL };
    for form in forms {
        let i = settled(inputs, correlation(&a, *form, Level::P95))?;
        let mut map = Map::new();
        map.insert("icc".into(), number(i.icc));
        map.insert("F".into(), maybe(i.f));
        map.insert("df1".into(), number(i.df1));
        map.insert("df2".into(), number(i.df2));
        map.insert("p".into(), maybe(i.p));
        put_ends(&mut map, "lb", "ub", i.interval);
        map.insert("variant".into(), Value::from(form.name()));
        out.put(form.short(), Value::Object(map));
    }
    out.note("Forms of Shrout and Fleiss 1979, intervals 95 %, not cut off at 0. Which form answers a question depends on who will rate: another rater (ICC2), the same raters (ICC3), one or the mean of k.");
    Some(out)
}

fn measurement_error(inputs: &Inputs<'_>) -> Option<Outcome> {
    let mut out =
        if inputs.given("cases") { of_cases(&inputs.only(&["cases"]))? } else { of_rows(&inputs.only(&["ratings", "rows", "columns"]))? };
    out.note(
        "In the unit of the readings. `mdc95` and `mdc90` are z sqrt(2) SEM with the exact z: a change within them is no more than error.",
    );
    Some(out)
}

fn put_error(map: &mut Map<String, Value>, e: &MeasurementError) {
    map.insert("sem".into(), number(e.sem));
    map.insert("mdc95".into(), number(e.mdc95));
    map.insert("mdc90".into(), number(e.mdc90));
}

fn of_cases(inputs: &Inputs<'_>) -> Option<Outcome> {
    let cases = inputs.objects("cases", 1, 1000, &["sd", "icc"], |case| {
        let (sd, icc) = (case.number("sd"), case.number("icc"));
        let e = settled(case, from_sd_and_icc(sd?, icc?))?;
        let mut map = Map::new();
        put_error(&mut map, &e);
        map.insert("individual_95_ci_half_width".into(), number(e.half_width_95));
        map.insert("mdc95_with_z_1_96".into(), number(e.mdc95_rounded_z));
        Some(Value::Object(map))
    })?;
    let mut out = Outcome::default();
    out.put("cases", Value::Array(cases)).note("SEM = SD sqrt(1 - ICC).");
    Some(out)
}

const SEM: [(&str, SemVariant); 9] = [
    ("sem_within_sd_sqrt_ms_within", SemVariant::Within),
    ("sem_consistency_sqrt_ms_error", SemVariant::Consistency),
    ("sem_agreement_sqrt_var_raters_plus_ms_error", SemVariant::Agreement),
    ("sem_sd_all_sqrt_1_minus_ICC2", SemVariant::AllIcc2),
    ("sem_sd_trial_1_sqrt_1_minus_ICC2", SemVariant::FirstIcc2),
    ("sem_sd_pooled_over_trials_sqrt_1_minus_ICC2", SemVariant::PooledIcc2),
    ("sem_sd_all_sqrt_1_minus_ICC3", SemVariant::AllIcc3),
    ("sem_sd_trial_1_sqrt_1_minus_ICC3", SemVariant::FirstIcc3),
    ("sem_sd_pooled_over_trials_sqrt_1_minus_ICC3", SemVariant::PooledIcc3),
];

fn of_rows(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (rows, ()) = (inputs.table("ratings", Cells::Numbers, 2, 2), words(inputs)?);
    let of = settled(inputs, of_ratings(&rows?))?;
    let mut out = Outcome::default();
    out.number("sd_all", of.sd_all).number("sd_trial_1", of.sd_first).number("sd_pooled_over_trials", of.sd_pooled);
    out.number("grand_mean", of.anova.mean);
    for (key, variant) in SEM {
        let Some((_, e)) = of.errors.iter().find(|(v, _)| *v == variant) else { continue };
        let mut map = Map::new();
        put_error(&mut map, e);
        let share = Some(100.0 * e.mdc95 / of.anova.mean.abs()).filter(|x| x.is_finite());
        map.insert("mdc95_percent_of_mean".into(), maybe(share));
        map.insert("variant".into(), Value::from(variant.name()));
        out.put(key, Value::Object(map));
    }
    out.maybe("sd_difference_over_sqrt2", of.sd_difference_over_sqrt2);
    out.note("The variants differ in what counts as error: consistency leaves a steady difference between trials out, agreement takes it in. SD sqrt(1-ICC3) equals the consistency form only with the SD pooled over trials.");
    Some(out)
}

fn limits(inputs: &Inputs<'_>) -> Option<Outcome> {
    let a = inputs.numbers("a", 2, 5000);
    let b = a.as_ref().map_or_else(|| inputs.numbers("b", 2, 5000), |a| inputs.as_many("b", a.len()));
    let of = settled(inputs, of_pairs(&a?, &b?, Level::P95))?;
    let mut out = Outcome::default();
    out.number("n", of.n).number("bias", of.bias).number("sd", of.sd).number("bias_se", of.bias_se);
    out.number("bias_ci_lb", of.bias_interval.low).number("bias_ci_ub", of.bias_interval.high);
    out.number("loa_lower", of.limits.low).number("loa_upper", of.limits.high);
    out.number("loa_lower_2sd", of.limits_2sd.low).number("loa_upper_2sd", of.limits_2sd.high);
    out.put("loa_ci_approx_3s2_over_n", of_limits(&[("se", of.rough_se)], &of.rough));
    out.put("loa_ci_bland_altman_1999", of_limits(&[("se", of.better_se)], &of.better));
    out.put("loa_ci_exact_carkeet_2015", of_limits(&[("k_inner", of.k_inner), ("k_outer", of.k_outer)], &of.exact));
    out.number("repeatability_coefficient_1_96_sd", of.repeatability);
    out.note("First less second, in the unit of the readings. Limits are bias -/+ z SD with the exact z, `*_2sd` with the 2 of the paper of 1986; intervals are 95 %, by t with n-1 or exact by the non-central t.");
    Some(out)
}

fn of_limits(first: &[(&str, f64)], of: &OfLimits) -> Value {
    let mut map: Map<String, Value> = first.iter().map(|(key, value)| ((*key).to_string(), number(*value))).collect();
    put_ends(&mut map, "lower_lb", "lower_ub", Some(of.lower));
    put_ends(&mut map, "upper_lb", "upper_ub", Some(of.upper));
    Value::Object(map)
}
