//! The library of evidence against its reference cases, and what must hold whatever the numbers are.
//!
//! Sources and tolerances of the cases stand in `reference/evidence`; `evidence_calc.rs` holds every value
//! of them against the worksheet, this program the functions that packs are judged with.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod common;
use common::root;
use fascicle::compute::evidence::accuracy::{Counts, accuracy, post_test};
use fascicle::compute::evidence::agreement::error::{SemVariant, from_sd_and_icc, of_ratings};
use fascicle::compute::evidence::agreement::fleiss::fleiss;
use fascicle::compute::evidence::agreement::intraclass::{Form, anova, intraclass};
use fascicle::compute::evidence::agreement::kappa::{Weights, beside, kappa};
use fascicle::compute::evidence::agreement::limits::limits;
use fascicle::compute::evidence::effect::binary::{CountsVariant, TwoCounts, counts, newcombe};
use fascicle::compute::evidence::effect::change::{ChangeVariant, PrePost, Spread, change};
use fascicle::compute::evidence::effect::correlation::fisher_z;
use fascicle::compute::evidence::effect::estimate::with_se;
use fascicle::compute::evidence::effect::means::{MeansVariant, TwoMeans, means, pooled_t, welch};
use fascicle::compute::evidence::effect::proportion::{ProportionVariant, clopper_pearson, proportion, wilson};
use fascicle::compute::evidence::pool::leave_one_out;
use fascicle::compute::evidence::pool::small::{begg, egger, trim_and_fill};
use fascicle::compute::evidence::{Effect, IntervalMethod, Level, Pooled, PredictionMethod, Refusal, Scale, TauMethod, pool};
use proptest::prelude::*;
use serde_json::Value;

/// Cases whose id begins so.
fn cases(prefix: &str) -> Vec<Value> {
    let folder = std::fs::read_dir(root().join("tests/reference/evidence")).unwrap();
    let mut paths: Vec<_> = folder.map(|e| e.unwrap().path()).filter(|p| p.extension().is_some_and(|e| e == "json")).collect();
    paths.sort();
    let read = |p: &std::path::PathBuf| serde_json::from_str::<Value>(&std::fs::read_to_string(p).unwrap()).unwrap();
    let cases: Vec<Value> = paths.iter().map(read).filter(|c| c["id"].as_str().unwrap().starts_with(prefix)).collect();
    assert!(!cases.is_empty(), "no case {prefix}");
    cases
}

/// Compares with the tolerance of a case.
struct Judge<'a> {
    case: &'a Value,
    compared: usize,
}

impl<'a> Judge<'a> {
    fn new(case: &'a Value) -> Self {
        Self { case, compared: 0 }
    }

    fn input(&self, key: &str) -> &'a Vec<Value> {
        self.case["inputs"][key].as_array().unwrap()
    }

    fn meets(&mut self, pointer: &str, got: Option<f64>) {
        let want = self.case["expected"].pointer(pointer).unwrap_or_else(|| panic!("{}: no {pointer}", self.case["id"]));
        let last = pointer.rsplit('/').next().unwrap();
        let is_p = ["p", "pval", "Q_p", "Qp", "intercept_p", "p_null"].contains(&last);
        let tolerance = if is_p { &self.case["tolerance"]["p_values"] } else { &self.case["tolerance"] };
        let (abs, rel) = (tolerance["abs"].as_f64().unwrap(), tolerance["rel"].as_f64().unwrap());
        let met = match (got, want.as_f64()) {
            (Some(got), Some(want)) => (got - want).abs() <= abs + rel * want.abs(),
            (None, None) => true,
            _ => false,
        };
        assert!(met, "{} {pointer}: {got:?}, expected {want}", self.case["id"]);
        self.compared += 1;
    }

    fn effect(&mut self, pointer: &str, of: &Effect) {
        let interval = of.interval(Level::P95);
        self.meets(&format!("{pointer}/yi"), Some(of.value));
        self.meets(&format!("{pointer}/vi"), Some(of.variance));
        self.meets(&format!("{pointer}/zi"), of.z());
        self.meets(&format!("{pointer}/pval"), of.p());
        self.meets(&format!("{pointer}/ci_lb"), Some(interval.low));
        self.meets(&format!("{pointer}/ci_ub"), Some(interval.high));
        assert!(!of.variant.is_empty());
    }

    fn interval(&mut self, pointer: &str, keys: [&str; 2], of: fascicle::compute::evidence::Interval) {
        self.meets(&format!("{pointer}/{}", keys[0]), Some(of.low));
        self.meets(&format!("{pointer}/{}", keys[1]), Some(of.high));
    }
}

fn number(of: &Value, key: &str) -> f64 {
    of[key].as_f64().unwrap_or_else(|| panic!("no {key} in {of}"))
}

fn table(of: &Value) -> Vec<Vec<f64>> {
    of.as_array().unwrap().iter().map(|r| r.as_array().unwrap().iter().map(|c| c.as_f64().unwrap()).collect()).collect()
}

const CI: [&str; 2] = ["ci_lb", "ci_ub"];

#[test]
fn effects_of_two_means() {
    for case in cases("effect_means") {
        let mut judge = Judge::new(&case);
        for (i, g) in judge.input("groups").iter().enumerate() {
            let of = TwoMeans {
                n1: number(g, "n1"),
                m1: number(g, "m1"),
                sd1: number(g, "sd1"),
                n2: number(g, "n2"),
                m2: number(g, "m2"),
                sd2: number(g, "sd2"),
            };
            for (key, variant) in [
                ("md", MeansVariant::Difference),
                ("md_pooled_variance", MeansVariant::DifferencePooled),
                ("cohen_d", MeansVariant::CohenD),
                ("smd_g_exact_ls", MeansVariant::HedgesExact),
                ("smd_g_exact_ub", MeansVariant::HedgesUnbiased),
                ("smd_g_approx_borenstein", MeansVariant::HedgesJSquared),
                ("smd_g_approx_cochrane", MeansVariant::HedgesCochrane),
            ] {
                judge.effect(&format!("/{key}/{i}"), &means(&of, variant).unwrap());
            }
            judge.interval(&format!("/md_welch_t/{i}"), CI, welch(&of, Level::P95).unwrap().interval);
            judge.interval(&format!("/md_pooled_t/{i}"), CI, pooled_t(&of, Level::P95).unwrap().interval);
        }
        assert!(judge.compared >= 46, "{}", judge.compared);
    }
}

#[test]
fn effects_of_two_counts() {
    for case in cases("effect_binary") {
        let mut judge = Judge::new(&case);
        for (i, t) in judge.input("tables").iter().enumerate() {
            let of = TwoCounts { a: number(t, "a"), n1: number(t, "n1"), c: number(t, "c"), n2: number(t, "n2") };
            for (key, variant) in [
                ("log_rr", CountsVariant::LogRiskRatio),
                ("log_or", CountsVariant::LogOddsRatio),
                ("rd", CountsVariant::RiskDifference),
                ("rd_no_correction", CountsVariant::RiskDifferenceAsCounted),
            ] {
                let effect = counts(&of, variant).unwrap();
                judge.effect(&format!("/{key}/{i}"), &effect);
                assert_eq!(effect.variant.contains("0.5 added"), of.has_zero() && variant != CountsVariant::RiskDifferenceAsCounted);
            }
            let shown = counts(&of, CountsVariant::LogOddsRatio).unwrap().shown(Level::P95);
            judge.meets(&format!("/log_or/{i}/ratio"), Some(shown.value));
            judge.interval(&format!("/log_or/{i}"), ["ratio_lb", "ratio_ub"], shown.interval);
            judge.interval(&format!("/rd_newcombe/{i}"), CI, newcombe(&of, Level::P95).unwrap());
        }
    }
}

#[test]
fn effects_of_change_correlation_and_proportion() {
    for case in cases("effect_prepost_morris2008") {
        let mut judge = Judge::new(&case);
        for arm in ["treatment", "control"] {
            for (i, g) in judge.input(arm).iter().enumerate() {
                let spread = Spread::Both { sd_pre: number(g, "sd_pre"), sd_post: number(g, "sd_post"), r: number(g, "r") };
                let of = PrePost { n: number(g, "n"), m_pre: number(g, "m_pre"), m_post: number(g, "m_post"), spread };
                judge.meets(&format!("/{arm}/sd_change/{i}"), of.sd_change().ok());
                for (key, variant) in [
                    ("mean_change", ChangeVariant::Mean),
                    ("smcc", ChangeVariant::ByChange),
                    ("smcr", ChangeVariant::ByBaseline),
                    ("smd_matched_borenstein", ChangeVariant::Matched),
                ] {
                    judge.effect(&format!("/{arm}/{key}/{i}"), &change(&of, variant).unwrap());
                }
            }
        }
    }
    for case in cases("effect_correlation") {
        let mut judge = Judge::new(&case);
        for (i, c) in judge.input("correlations").iter().enumerate() {
            let z = fisher_z(number(c, "r"), number(c, "n")).unwrap();
            judge.effect(&format!("/fisher_z/{i}"), &z);
            judge.interval(&format!("/fisher_z/{i}"), ["r_ci_lb", "r_ci_ub"], z.shown(Level::P95).interval);
        }
    }
    for case in cases("effect_proportion") {
        let mut judge = Judge::new(&case);
        for (i, c) in judge.input("counts").iter().enumerate() {
            let (x, n) = (number(c, "x"), number(c, "n"));
            for (key, variant) in [
                ("raw", ProportionVariant::Raw),
                ("raw_no_correction", ProportionVariant::RawAsCounted),
                ("logit", ProportionVariant::Logit),
                ("arcsine", ProportionVariant::Arcsine),
                ("freeman_tukey", ProportionVariant::DoubleArcsine),
            ] {
                judge.effect(&format!("/{key}/{i}"), &proportion(x, n, variant).unwrap());
            }
            judge.interval(&format!("/wilson/{i}"), CI, wilson(x, n, Level::P95).unwrap());
            judge.interval(&format!("/clopper_pearson/{i}"), CI, clopper_pearson(x, n, Level::P95).unwrap());
        }
    }
}

fn studies(judge: &Judge<'_>) -> Vec<Effect> {
    let one = |s: &Value| Effect::new(Scale::MeanDifference, number(s, "yi"), number(s, "vi"), "as given").unwrap();
    judge.input("studies").iter().map(one).collect()
}

const TAU: [(&str, TauMethod); 4] =
    [("fixed", TauMethod::Fixed), ("DL", TauMethod::DerSimonianLaird), ("PM", TauMethod::PauleMandel), ("REML", TauMethod::Reml)];

#[test]
fn pooled_estimates() {
    for case in cases("pool") {
        let mut judge = Judge::new(&case);
        let effects = studies(&judge);
        for (key, tau) in TAU {
            let of = pool(&effects, tau, IntervalMethod::Wald).unwrap();
            judge.meets("/Q", Some(of.heterogeneity.q));
            judge.meets("/Q_p", Some(of.heterogeneity.p));
            judge.meets("/I2_from_Q", Some(of.heterogeneity.i2_from_q));
            judge.meets(&format!("/{key}/tau2"), Some(of.tau2));
            judge.meets(&format!("/{key}/estimate"), Some(of.estimate));
            judge.meets(&format!("/{key}/se"), Some(of.se));
            judge.meets(&format!("/{key}/p"), of.p);
            judge.interval(&format!("/{key}"), CI, of.interval);
            judge.meets(&format!("/{key}/I2_metafor"), Some(of.heterogeneity.i2_from_tau2));
            for (i, weight) in of.weights.iter().enumerate() {
                judge.meets(&format!("/{key}/weights_percent/{i}"), Some(*weight));
            }
            let ends = of.tau2_interval.unwrap();
            judge.interval("/tau2_q_profile_ci", ["lb", "ub"], ends);
            if tau == TauMethod::Fixed {
                assert!(of.prediction.is_none() && PredictionMethod::ALL.iter().all(|m| of.predicted(*m, Level::P95).is_none()));
                continue;
            }
            let by = pool(&effects, tau, IntervalMethod::KnappHartung).unwrap();
            judge.meets(&format!("/{key}/knapp_hartung/se"), Some(by.se));
            judge.interval(&format!("/{key}/knapp_hartung"), CI, by.interval);
            let by = pool(&effects, tau, IntervalMethod::KnappHartungAdHoc).unwrap();
            judge.interval(&format!("/{key}/knapp_hartung_adhoc"), CI, by.interval);
            for (name, method) in [
                ("z_wald_se", PredictionMethod::ZWald),
                ("t_km1_wald_se", PredictionMethod::TKm1Wald),
                ("t_km1_knapp_hartung_se", PredictionMethod::TKm1KnappHartung),
                ("t_km2_wald_se", PredictionMethod::TKm2Wald),
            ] {
                let predicted = of.predicted(method, Level::P95);
                let Some(interval) = predicted else {
                    assert!(of.k == 2 && method == PredictionMethod::TKm2Wald);
                    continue;
                };
                judge.interval(&format!("/{key}/prediction_interval/{name}"), ["lb", "ub"], interval);
            }
            assert_eq!(of.prediction.map(|p| p.0), (of.k > 2).then_some(PredictionMethod::TKm2Wald));
        }
    }
}

#[test]
fn small_studies() {
    for case in cases("smallstudy") {
        let mut judge = Judge::new(&case);
        let effects = studies(&judge);
        let e = egger(&effects).unwrap();
        judge.meets("/egger/bias_coefficient", Some(e.bias));
        judge.meets("/egger/p", e.p);
        judge.interval("/egger", ["limit_ci_lb", "limit_ci_ub"], e.limit_interval);
        judge.meets("/rank_test_begg/kendall_tau", Some(begg(&effects).unwrap().tau));
        judge.meets("/rank_test_begg/p", Some(begg(&effects).unwrap().p));
        for (key, tau) in &TAU[..2] {
            let t = trim_and_fill(&effects, *tau, IntervalMethod::Wald).unwrap();
            judge.meets(&format!("/trim_and_fill_L0/{key}/estimate"), Some(t.pooled.estimate));
            assert_eq!(judge.case["expected"]["trim_and_fill_L0"][key]["k0"], t.filled.len());
        }
        for (key, tau) in [TAU[0], TAU[1], TAU[3]] {
            for (i, without) in leave_one_out(&effects, tau, IntervalMethod::Wald).unwrap().iter().enumerate() {
                judge.meets(&format!("/leave_one_out/{key}/{i}/estimate"), Some(without.estimate));
                judge.meets(&format!("/leave_one_out/{key}/{i}/tau2"), Some(without.tau2));
                judge.interval(&format!("/leave_one_out/{key}/{i}"), CI, without.interval);
            }
        }
    }
}

#[test]
fn agreement_of_raters() {
    for case in cases("kappa") {
        let mut judge = Judge::new(&case);
        let rows = table(&case["inputs"]["table"]);
        for (key, weights) in [("unweighted", Weights::Unweighted), ("linear", Weights::Linear), ("quadratic", Weights::Quadratic)] {
            let k = kappa(&rows, weights, Level::P95).unwrap();
            judge.meets(&format!("/{key}/kappa"), Some(k.kappa));
            judge.meets(&format!("/{key}/se"), Some(k.se));
            judge.meets(&format!("/{key}/se_null"), Some(k.se_null));
            judge.interval(&format!("/{key}"), CI, k.interval);
        }
        let b = beside(&rows, Level::P95).unwrap();
        judge.meets("/pabak/value", Some(b.adjusted.value));
        judge.meets("/kappa_max", Some(b.most));
    }
    for case in cases("fleiss") {
        let mut judge = Judge::new(&case);
        let f = fleiss(&table(&case["inputs"]["counts"]), Level::P95).unwrap();
        judge.meets("/kappa", Some(f.kappa));
        judge.meets("/se_null", Some(f.se_null));
        judge.interval("", ["ci_lb_gwet_t", "ci_ub_gwet_t"], f.interval.unwrap());
    }
    for case in cases("icc") {
        let mut judge = Judge::new(&case);
        let a = anova(&table(&case["inputs"]["ratings"])).unwrap();
        for form in Form::ALL.into_iter().filter(|f| case["expected"].get(f.short()).is_some()) {
            let i = intraclass(&a, form, Level::P95).unwrap();
            judge.meets(&format!("/{}/icc", form.short()), Some(i.icc));
            judge.meets(&format!("/{}/p", form.short()), i.p);
            judge.interval(&format!("/{}", form.short()), ["lb", "ub"], i.interval.unwrap());
        }
    }
}

#[test]
fn error_of_measurement_and_tests() {
    for case in cases("sem_mdc_weir") {
        let mut judge = Judge::new(&case);
        let of = of_ratings(&table(&case["inputs"]["ratings"])).unwrap();
        let error = |v| of.errors.iter().find(|(variant, _)| *variant == v).unwrap().1;
        judge.meets("/sem_consistency_sqrt_ms_error/mdc95", Some(error(SemVariant::Consistency).mdc95));
        judge.meets("/sem_agreement_sqrt_var_raters_plus_ms_error/mdc90", Some(error(SemVariant::Agreement).mdc90));
        judge.meets("/sem_sd_all_sqrt_1_minus_ICC2/sem", Some(error(SemVariant::AllIcc2).sem));
    }
    for case in cases("bland_altman") {
        let mut judge = Judge::new(&case);
        let list = |key: &str| judge.input(key).iter().map(|x| x.as_f64().unwrap()).collect::<Vec<f64>>();
        let of = limits(&list("a"), &list("b"), Level::P95).unwrap();
        judge.meets("/bias", Some(of.bias));
        judge.interval("", ["loa_lower", "loa_upper"], of.limits);
        judge.interval("/loa_ci_exact_carkeet_2015", ["lower_lb", "lower_ub"], of.exact.lower);
    }
    for case in cases("diagnostic") {
        let mut judge = Judge::new(&case);
        for (i, c) in judge.input("cases").iter().enumerate() {
            let of = Counts { tp: number(c, "tp"), fp: number(c, "fp"), r#fn: number(c, "fn"), tn: number(c, "tn") };
            let a = accuracy(&of, Level::P95).unwrap();
            judge.interval(&format!("/cases/{i}/sensitivity"), CI, a.sensitivity.estimate.unwrap().interval);
            judge.meets(&format!("/cases/{i}/lr_positive/value"), a.ratios.positive.value);
            judge.meets(&format!("/cases/{i}/lr_negative/ci_lb"), a.ratios.negative.interval.map(|x| x.low));
            for (j, p) in c["pretest"].as_array().unwrap().iter().enumerate() {
                let after = post_test(&a.ratios, p.as_f64().unwrap()).unwrap();
                judge.meets(&format!("/cases/{i}/post_test/{j}/after_positive"), after.positive);
                judge.meets(&format!("/cases/{i}/post_test/{j}/after_negative_ub"), after.negative_interval.map(|x| x.high));
            }
        }
    }
}

fn given(values: &[(f64, f64)]) -> Vec<Effect> {
    values.iter().map(|(y, v)| Effect::new(Scale::MeanDifference, *y, *v, "as given").unwrap()).collect()
}

#[test]
fn what_cannot_be_pooled_is_refused() {
    let by = |effects: &[Effect]| pool(effects, TauMethod::Reml, IntervalMethod::Wald);
    assert_eq!(by(&[]), Err(Refusal::TooFew { what: "studies", least: 2, found: 0 }));
    assert_eq!(by(&given(&[(1.0, 1.0)])), Err(Refusal::TooFew { what: "studies", least: 2, found: 1 }));
    assert_eq!(by(&given(&[(1.0, 1.0), (2.0, 0.0)])), Err(Refusal::NoVariance { study: 1 }));
    let mut mixed = given(&[(1.0, 1.0), (2.0, 1.0)]);
    mixed[1].scale = Scale::LogRiskRatio;
    assert_eq!(by(&mixed), Err(Refusal::Mixed { study: 1, found: Scale::LogRiskRatio, wanted: Scale::MeanDifference }));
    let mut broken = given(&[(1.0, 1.0), (2.0, 1.0)]);
    broken[0].value = f64::NAN;
    assert_eq!(by(&broken), Err(Refusal::NotFinite { what: "value" }));
    assert_eq!(by(&given(&[(1e200, 1e-200), (-1e200, 1e-200)])), Err(Refusal::OutOfRange { what: "studies" }));
    let two = leave_one_out(&given(&[(1.0, 1.0), (2.0, 1.0)]), TauMethod::Fixed, IntervalMethod::Wald);
    assert_eq!(two, Err(Refusal::TooFew { what: "studies", least: 3, found: 2 }));
    assert!(with_se(Scale::MeanDifference, 1.0, 0.0).is_err());
}

#[test]
fn identical_studies_leave_no_spread_and_no_knapp_hartung_test() {
    let of = pool(&given(&[(0.3, 0.04); 4]), TauMethod::Reml, IntervalMethod::KnappHartung).unwrap();
    assert_eq!((of.tau2, of.heterogeneity.q, of.heterogeneity.i2_from_tau2, of.se, of.p), (0.0, 0.0, 0.0, 0.0, None));
    assert!((of.estimate - 0.3).abs() < 1e-15 && of.tau2_interval.is_none());
    let ad_hoc = of.tested(IntervalMethod::KnappHartungAdHoc, Level::P95);
    assert!((ad_hoc.se - 0.1).abs() < 1e-15, "{ad_hoc:?}");
}

/// Two maxima of the restricted likelihood: the higher one is taken, and no step lands on the lower.
#[test]
fn the_restricted_likelihood_is_highest_at_the_estimate() {
    for values in [
        vec![(0.0, 0.01), (0.02, 0.01), (3.0, 4.0), (-3.0, 4.0), (3.1, 4.0)],
        vec![(0.0, 1e-6), (1.0, 1e-6), (50.0, 900.0), (-40.0, 900.0)],
        vec![(5.0, 1.0), (5.1, 1.0), (4.9, 100.0)],
    ] {
        let effects = given(&values);
        let of = pool(&effects, TauMethod::Reml, IntervalMethod::Wald).unwrap();
        let likelihood = |t: f64| {
            let w: Vec<f64> = values.iter().map(|(_, v)| 1.0 / (v + t)).collect();
            let total: f64 = w.iter().sum();
            let mean = w.iter().zip(&values).map(|(w, (y, _))| w * y).sum::<f64>() / total;
            let q: f64 = w.iter().zip(&values).map(|(w, (y, _))| w * (y - mean).powi(2)).sum();
            0.5 * (w.iter().map(|w| w.ln()).sum::<f64>() - total.ln() - q)
        };
        let best = likelihood(of.tau2);
        for i in 0..4000 {
            let t = (f64::from(i) * 0.01 - 20.0).exp();
            assert!(likelihood(t) <= best + 1e-9, "{values:?}: {t} is better than {}", of.tau2);
        }
    }
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-7 * (1.0 + a.abs().max(b.abs()))
}

fn numbers(of: &Pooled) -> Vec<f64> {
    let h = of.heterogeneity;
    let mut all = vec![of.estimate, of.se, of.interval.low, of.interval.high, of.tau2, h.q, h.p, h.i2_from_q, h.h2_from_q, h.i2_from_tau2];
    all.extend(of.p.into_iter().chain(of.tau2_se));
    all.extend(of.tau2_interval.into_iter().chain(of.prediction.map(|p| p.1)).flat_map(|i| [i.low, i.high]));
    all.extend(&of.weights);
    all
}

fn some_studies() -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec((-3.0..3.0f64, prop_oneof![0.01..1.0f64, 1e-3..100.0f64]), 2..12)
}

/// Any numbers, the impossible and the enormous among them.
fn anything() -> impl Strategy<Value = f64> {
    prop_oneof![
        -3.0..300.0f64,
        (0..40i32).prop_map(f64::from),
        Just(0.0),
        Just(-1.0),
        Just(1e-300),
        Just(1e300),
        Just(f64::NAN),
        Just(f64::INFINITY),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_studies_does_not_matter(values in some_studies(), tau in prop::sample::select(&TauMethod::ALL[..]), turn in any::<prop::sample::Index>()) {
        let mut other = values.clone();
        other.rotate_left(turn.index(values.len()));
        other.reverse();
        let of = |v: &[(f64, f64)]| pool(&given(v), tau, IntervalMethod::KnappHartung).unwrap();
        let (a, b) = (of(&values), of(&other));
        for (a, b) in [(a.estimate, b.estimate), (a.se, b.se), (a.tau2, b.tau2), (a.heterogeneity.q, b.heterogeneity.q)] {
            prop_assert!(close(a, b), "{a} {b}");
        }
    }

    #[test]
    fn another_unit_scales_estimate_interval_and_tau(values in some_studies(), tau in prop::sample::select(&TauMethod::ALL[..]), unit in prop_oneof![Just(1e-6), Just(1000.0), Just(1e9), 0.1..10.0f64]) {
        let other: Vec<(f64, f64)> = values.iter().map(|(y, v)| (y * unit, v * unit * unit)).collect();
        let of = |v: &[(f64, f64)]| pool(&given(v), tau, IntervalMethod::Wald).unwrap();
        let (a, b) = (of(&values), of(&other));
        for (a, b) in [(a.estimate, b.estimate / unit), (a.interval.low, b.interval.low / unit), (a.interval.high, b.interval.high / unit), (a.tau2, b.tau2 / unit / unit)] {
            prop_assert!(close(a, b), "{a} {b}");
        }
    }

    #[test]
    fn without_variance_between_studies_all_methods_are_the_fixed_one(values in some_studies(), tau in prop::sample::select(&TauMethod::ALL[..])) {
        let of = |tau| pool(&given(&values), tau, IntervalMethod::Wald).unwrap();
        let (fixed, random) = (of(TauMethod::Fixed), of(tau));
        if random.tau2 == 0.0 {
            prop_assert_eq!((fixed.estimate, fixed.se, &fixed.weights), (random.estimate, random.se, &random.weights));
        } else {
            prop_assert!(random.se >= fixed.se);
        }
    }

    #[test]
    fn no_studies_give_anything_but_numbers_or_a_refusal(values in prop::collection::vec((anything(), anything()), 0..6), tau in prop::sample::select(&TauMethod::ALL[..])) {
        let made: Result<Vec<Effect>, Refusal> = values.iter().map(|(y, v)| Effect::new(Scale::LogRiskRatio, *y, *v, "as given")).collect();
        let Ok(effects) = made else { return Ok(()) };
        for by in [IntervalMethod::Wald, IntervalMethod::KnappHartung, IntervalMethod::KnappHartungAdHoc] {
            if let Ok(of) = pool(&effects, tau, by) {
                prop_assert!(numbers(&of).iter().all(|x| x.is_finite()), "{of:?}");
            }
        }
        if let Ok(e) = egger(&effects) {
            prop_assert!([e.bias, e.bias_se, e.limit, e.limit_se].iter().all(|x| x.is_finite()), "{e:?}");
        }
        if let Ok(t) = begg(&effects) {
            prop_assert!(t.tau.is_finite() && (0.0..=1.0).contains(&t.p), "{t:?}");
        }
        if let Ok(t) = trim_and_fill(&effects, TauMethod::Fixed, IntervalMethod::Wald) {
            prop_assert!(t.pooled.k == effects.len() + t.filled.len() && t.pooled.estimate.is_finite());
        }
    }

    #[test]
    fn no_inputs_give_an_effect_that_is_no_number(n in [anything(), anything(), anything(), anything(), anything(), anything()]) {
        let [a, b, c, d, e, f] = n;
        let means_of = TwoMeans { n1: a, m1: b, sd1: c, n2: d, m2: e, sd2: f };
        let counts_of = TwoCounts { a, n1: b, c, n2: d };
        let change_of = PrePost { n: a, m_pre: b, m_post: c, spread: Spread::Both { sd_pre: d, sd_post: e, r: f / 100.0 } };
        let mut made = vec![fisher_z(a / 100.0, b)];
        for variant in [MeansVariant::Difference, MeansVariant::HedgesExact, MeansVariant::HedgesUnbiased, MeansVariant::HedgesCochrane] {
            made.push(means(&means_of, variant));
        }
        for variant in [CountsVariant::LogRiskRatio, CountsVariant::LogOddsRatio, CountsVariant::RiskDifference] {
            made.push(counts(&counts_of, variant));
        }
        for variant in [ChangeVariant::Mean, ChangeVariant::ByChange, ChangeVariant::ByBaseline, ChangeVariant::Matched] {
            made.push(change(&change_of, variant));
        }
        for variant in [ProportionVariant::Raw, ProportionVariant::Logit, ProportionVariant::DoubleArcsine] {
            made.push(proportion(a, b, variant));
        }
        for effect in made.into_iter().flatten() {
            prop_assert!(effect.value.is_finite() && effect.variance.is_finite() && effect.variance >= 0.0, "{effect:?}");
        }
        if let Ok(e) = from_sd_and_icc(a, b / 100.0) {
            prop_assert!(e.mdc95.is_finite());
        }
    }

    #[test]
    fn no_table_gives_an_agreement_that_is_no_number(cells in prop::collection::vec((0..30u32).prop_map(f64::from), 9), k in 2..4usize, level in 0.01..0.99f64) {
        let rows: Vec<Vec<f64>> = cells.chunks(k).take(k).map(<[f64]>::to_vec).collect();
        let level = Level::new(level).unwrap();
        if let Ok(of) = kappa(&rows, Weights::Linear, level) {
            prop_assert!([of.kappa, of.se, of.se_null, of.interval.low].iter().all(|x| x.is_finite()) && of.kappa <= 1.0 + 1e-12, "{of:?}");
        }
        if let Ok(a) = anova(&rows) {
            for i in Form::ALL.into_iter().filter_map(|f| intraclass(&a, f, level).ok()) {
                prop_assert!(i.icc.is_finite() && i.interval.is_none_or(|x| x.low <= x.high + 1e-9), "{i:?}");
            }
        }
        let [a, b, c, d] = [0, 1, 2, 3].map(|i| cells[i]);
        if let Ok(of) = accuracy(&Counts { tp: a, fp: b, r#fn: c, tn: d }, level) {
            let after = post_test(&of.ratios, 0.3).unwrap();
            prop_assert!([after.positive, after.negative].iter().flatten().all(|p| (0.0..=1.0).contains(p)), "{after:?}");
        }
    }
}
