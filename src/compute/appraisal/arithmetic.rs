//! Whether a printed effect follows from the groups beside it, and its p from its interval, within the
//! rounding of the printed digits.
//!
//! Sources differ in the formula and rarely name it, so an effect fits if one of the usual formulas leads to
//! it. What stands in the pack is rounded too: each mean, spread and correlation may lie half a unit of its
//! last digit away.

use super::study::{as_printed, people, scale};
use crate::compute::evidence::dist::{normal_two_sided, t_two_sided};
use crate::compute::evidence::effect::binary::{CountsVariant, TwoCounts, counts, newcombe};
use crate::compute::evidence::effect::change::{ChangeVariant, PrePost, Spread as Known, change, change_t};
use crate::compute::evidence::effect::correlation::fisher_z;
use crate::compute::evidence::effect::means::{MeansVariant, TwoMeans, means, pooled_t, welch};
use crate::compute::evidence::effect::proportion::{ProportionVariant, agresti_coull, clopper_pearson, proportion, wilson};
use crate::compute::evidence::effect::{Effect, TInterval};
use crate::compute::evidence::{Estimate, Interval, Level};
use crate::model::docs::{Change, Data, GroupMean, PValue, Printed, Source, Spread, StudyResult};
use crate::model::evidence::EffectMeasure;

/// What does not follow.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Misfit {
    /// The value.
    Value,
    /// The interval; the value does.
    Interval,
    /// The p value; the effect does.
    P,
}

/// What would explain it.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Slip {
    /// Standard errors stand as standard deviations.
    SeAsSd,
    /// Standard deviations stand as standard errors.
    SdAsSe,
    /// The groups stand in the other order.
    Reversed,
}

/// A printed effect that does not follow from its groups.
#[derive(Clone, Debug, PartialEq)]
pub struct Recomputed {
    /// What does not follow.
    pub misfit: Misfit,
    /// What follows by the plainest formula.
    pub follows: Estimate,
    /// Its p.
    pub p: Option<f64>,
    /// What would explain it.
    pub slip: Option<Slip>,
}

/// Half a unit of the last digit of a number as it is written.
pub fn half(written: &str) -> f64 {
    let digits =
        written.trim_start_matches(['<', '=', ' ']).split_once('.').map_or(0, |(_, d)| d.chars().take_while(char::is_ascii_digit).count());
    0.5 * 10f64.powi(-i32::try_from(digits).unwrap_or(0))
}

/// What one formula makes of the groups.
struct Made {
    shown: Estimate,
    p: Option<f64>,
}

/// The printed effect against the groups; `None` if it follows or if there are no groups to follow from.
pub fn recomputed(result: &StudyResult) -> Option<Recomputed> {
    let printed = result.printed.as_ref()?;
    let level = printed.level.as_ref().map_or(Some(Level::P95), |l| Level::new(l.value / 100.0).ok())?;
    let misfit = misfit(&result.data, printed, level)?;
    let plain = made(&result.data, printed.measure.value, level).into_iter().flatten().next()?;
    let slip = slips(&result.data).into_iter().find(|(data, _)| self::misfit(data, printed, level).is_none_or(|m| m == Misfit::P));
    Some(Recomputed { misfit, follows: plain.shown, p: plain.p, slip: slip.map(|(_, slip)| slip) })
}

fn misfit(data: &Data, printed: &Printed, level: Level) -> Option<Misfit> {
    let nudged: Vec<Vec<Option<Made>>> = nudged(data).iter().map(|d| made(d, printed.measure.value, level)).collect();
    let formulas = nudged.first().map_or(0, Vec::len);
    let reach = |formula: usize, of: &dyn Fn(&Made) -> Option<f64>| hull(nudged.iter().filter_map(|all| of(all.get(formula)?.as_ref()?)));
    let near = |range: Option<[f64; 2]>, value: f64, written: &str| {
        let slack = half(written) + 1e-9 * value.abs().max(1.0);
        range.is_some_and(|[low, high]| low - slack <= value && value <= high + slack)
    };
    let all: Vec<usize> = (0..formulas).filter(|i| reach(*i, &|m| Some(m.shown.value)).is_some()).collect();
    if all.is_empty() {
        return None;
    }
    let value: Vec<usize> =
        all.into_iter().filter(|i| near(reach(*i, &|m| Some(m.shown.value)), printed.value.value, &printed.written.value)).collect();
    if value.is_empty() {
        return Some(Misfit::Value);
    }
    if let (Some([low, high]), Some([low_written, high_written])) = (&printed.interval, &printed.ends) {
        let fits = |i: &&usize| {
            near(reach(**i, &|m| Some(m.shown.interval.low)), low.value, &low_written.value)
                && near(reach(**i, &|m| Some(m.shown.interval.high)), high.value, &high_written.value)
        };
        if !value.iter().any(|i| fits(&i)) {
            return Some(Misfit::Interval);
        }
    }
    // Counts have many tests and their p values lie far apart; only the others are judged.
    let tested = matches!(data, Data::Means(_) | Data::Change(_) | Data::Correlation { .. });
    let p = printed.p.as_ref().filter(|_| tested)?;
    let mut range: Vec<f64> = nudged.iter().flatten().flatten().filter_map(|m| m.p).collect();
    if matches!(data, Data::Means(_)) {
        // A trial tests the difference as it is, also where it prints a standardised one.
        range.extend(self::nudged(data).iter().flat_map(|d| made(d, EffectMeasure::MeanDifference, level)).flatten().filter_map(|m| m.p));
    }
    (!p_fits(p, hull(range.into_iter())?)).then_some(Misfit::P)
}

fn hull(values: impl Iterator<Item = f64>) -> Option<[f64; 2]> {
    values
        .filter(|v| v.is_finite())
        .fold(None, |all: Option<[f64; 2]>, v| Some(all.map_or([v, v], |[low, high]| [low.min(v), high.max(v)])))
}

/// True if a printed p can be one of a range.
fn p_fits(p: &PValue, range: [f64; 2]) -> bool {
    if p.below { range[0] < p.value } else { range[0] <= p.value + half(&p.written.value) && p.value - half(&p.written.value) <= range[1] }
}

/// The groups by every usual formula, the plainest first. The places are the same for all numbers.
fn made(data: &Data, measure: EffectMeasure, level: Level) -> Vec<Option<Made>> {
    use EffectMeasure as M;
    let normal = |e: Effect| Made { shown: e.shown(level), p: e.p() };
    let with = |value: f64, interval: Interval| Made { shown: Estimate { value, interval }, p: None };
    let by_t = |value: f64, t: TInterval| {
        let se = (t.interval.high - t.interval.low) / 2.0 / level.t(t.df);
        Made { p: (se > 0.0).then(|| t_two_sided(value / se, t.df)), ..with(value, t.interval) }
    };
    match (data, measure) {
        (Data::Means(groups), M::MeanDifference) => {
            let Some(of) = two_means(groups) else { return Vec::new() };
            let value = of.m1 - of.m2;
            let normals = [MeansVariant::Difference, MeansVariant::DifferencePooled].map(|v| means(&of, v).ok().map(normal));
            let ts = [welch(&of, level), pooled_t(&of, level)].map(|t| t.ok().map(|t| by_t(value, t)));
            normals.into_iter().chain(ts).collect()
        }
        (Data::Means(groups), M::StandardisedMeanDifference) => {
            use MeansVariant as V;
            let Some(of) = two_means(groups) else { return Vec::new() };
            let all = [V::HedgesExact, V::CohenD, V::HedgesUnbiased, V::HedgesJSquared, V::HedgesCochrane];
            all.into_iter().map(|v| means(&of, v).ok().map(normal)).collect()
        }
        (Data::Counts([a, c]), _) => {
            let of = TwoCounts { a: a.events.value, n1: a.n.value, c: c.events.value, n2: c.n.value };
            let by = |v| counts(&of, v).ok();
            match measure {
                M::RiskRatio => vec![by(CountsVariant::LogRiskRatio).map(normal)],
                M::OddsRatio => vec![by(CountsVariant::LogOddsRatio).map(normal)],
                M::RiskDifference => {
                    let plain = by(CountsVariant::RiskDifferenceAsCounted);
                    let score = plain.and_then(|e| Some(with(e.value, newcombe(&of, level).ok()?)));
                    vec![plain.map(normal), by(CountsVariant::RiskDifference).map(normal), score]
                }
                _ => Vec::new(),
            }
        }
        (Data::Change(c), M::MeanChange) => {
            let Some(of) = pre_post(c) else { return Vec::new() };
            vec![change(&of, ChangeVariant::Mean).ok().map(normal), change_t(&of, level).ok().map(|t| by_t(of.m_post - of.m_pre, t))]
        }
        (Data::Correlation { n, r }, M::Correlation) => vec![fisher_z(r.value, n.value).ok().map(normal)],
        (Data::Share(group), M::Proportion) => {
            let (x, n) = (group.events.value, group.n.value);
            let raw = proportion(x, n, ProportionVariant::RawAsCounted).ok();
            let around = |i: Result<Interval, _>| Some(with(raw?.value, i.ok()?));
            let others = [wilson(x, n, level), clopper_pearson(x, n, level), agresti_coull(x, n, level)].map(around);
            let logit = proportion(x, n, ProportionVariant::Logit).ok().map(normal);
            [raw.map(normal), logit].into_iter().chain(others).collect()
        }
        _ => Vec::new(),
    }
}

fn two_means([a, b]: &[GroupMean; 2]) -> Option<TwoMeans> {
    Some(TwoMeans { n1: a.n.value, m1: a.mean.value, sd1: a.sd()?, n2: b.n.value, m2: b.mean.value, sd2: b.sd()? })
}

fn pre_post(c: &Change) -> Option<PrePost> {
    let both = || Some(Known::Both { sd_pre: c.sd_before.as_ref()?.value, sd_post: c.sd_after.as_ref()?.value, r: c.r.as_ref()?.value });
    let spread = c.sd_change.as_ref().map(|sd| Known::Change { sd_change: sd.value, r: c.r.as_ref().map(|r| r.value) }).or_else(both)?;
    Some(PrePost { n: c.n.value, m_pre: c.before.value, m_post: c.after.value, spread })
}

/// The numbers with each rounded one at both ends of what it may stand for. A table prints a column with one
/// number of digits, so the longer of two tells it.
fn nudged(data: &Data) -> Vec<Data> {
    let grid = [-1.0, 0.0, 1.0];
    match data {
        Data::Means(groups) => {
            let half_of = |of: &dyn Fn(&GroupMean) -> f64| half_all(groups.iter().map(of));
            let (mean, spread) = (half_of(&|g| g.mean.value), half_of(&|g| spread(g)));
            let at = |m: f64, s: f64| {
                let [mut a, mut b] = groups.clone();
                a.mean.value += m * mean;
                b.mean.value -= m * mean;
                [&mut a, &mut b].into_iter().for_each(|g| widen(g, s * spread));
                Data::Means([a, b])
            };
            grid.iter().flat_map(|m| grid.iter().map(move |s| (*m, *s))).map(|(m, s)| at(m, s)).collect()
        }
        Data::Change(c) => {
            let mean = half_all([c.before.value, c.after.value].into_iter());
            let spreads = [&c.sd_change, &c.sd_before, &c.sd_after];
            let spread = half_all(spreads.into_iter().flatten().map(|s| s.value));
            let at = |m: f64, s: f64| {
                let mut c = c.clone();
                c.before.value -= m * mean;
                c.after.value += m * mean;
                [&mut c.sd_change, &mut c.sd_before, &mut c.sd_after]
                    .into_iter()
                    .flatten()
                    .for_each(|x| x.value = (x.value + s * spread).max(0.0));
                Data::Change(c)
            };
            grid.iter().flat_map(|m| grid.iter().map(move |s| (*m, *s))).map(|(m, s)| at(m, s)).collect()
        }
        Data::Correlation { n, r } => {
            let by = half_all(std::iter::once(r.value));
            let at = |s: f64| Data::Correlation { n: n.clone(), r: crate::source::Spanned::new(r.value + s * by, r.span) };
            grid.into_iter().map(at).collect()
        }
        other => vec![other.clone()],
    }
}

fn spread(group: &GroupMean) -> f64 {
    match &group.spread {
        Spread::Sd(s) | Spread::Se(s) => s.value,
        Spread::Missing => 0.0,
    }
}

fn widen(group: &mut GroupMean, by: f64) {
    if let Spread::Sd(s) | Spread::Se(s) = &mut group.spread {
        s.value = (s.value + by).max(0.0);
    }
}

/// Half a unit of the last digit of the longest of some numbers.
fn half_all(values: impl Iterator<Item = f64>) -> f64 {
    values.map(|v| half(&v.to_string())).fold(0.5, f64::min)
}

/// The numbers as they would be if a usual slip were mended.
fn slips(data: &Data) -> Vec<(Data, Slip)> {
    let Data::Means([a, b]) = data else { return Vec::new() };
    let as_se = |g: &GroupMean| match &g.spread {
        Spread::Sd(s) => GroupMean { spread: Spread::Se(s.clone()), ..g.clone() },
        _ => g.clone(),
    };
    let as_sd = |g: &GroupMean| match &g.spread {
        Spread::Se(s) => GroupMean { spread: Spread::Sd(s.clone()), ..g.clone() },
        _ => g.clone(),
    };
    vec![
        (Data::Means([as_se(a), as_se(b)]), Slip::SeAsSd),
        (Data::Means([as_sd(a), as_sd(b)]), Slip::SdAsSe),
        (Data::Means([b.clone(), a.clone()]), Slip::Reversed),
    ]
}

/// A printed effect at odds with itself.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Odds {
    /// The lower end lies above the upper, or the value outside of both.
    Outside,
    /// The value does not lie in the middle, on the scale on which such an interval is symmetric.
    OffCentre {
        /// The middle, as shown.
        middle: f64,
    },
    /// p does not follow from the interval.
    P {
        /// The p values that do.
        follows: [f64; 2],
    },
}

/// What is at odds in a printed effect. `df` opens the reading by t beside the normal one.
pub fn odds(printed: &Printed, df: Option<f64>) -> Option<Odds> {
    let ([low, high], [low_written, high_written]) = (printed.interval.as_ref()?, printed.ends.as_ref()?);
    let halves = [half(&low_written.value), half(&printed.written.value), half(&high_written.value)];
    let most = halves.into_iter().fold(0.0, f64::max);
    let value = printed.value.value;
    if low.value > high.value || value + most < low.value - most || value - most > high.value + most {
        return Some(Odds::Outside);
    }
    let measure = printed.measure.value;
    let symmetric = !matches!(measure, EffectMeasure::RiskDifference | EffectMeasure::Proportion);
    if symmetric
        && let Some(of) = as_printed(printed).ok().flatten()
        && of.centred(most) == Ok(false)
    {
        return Some(Odds::OffCentre { middle: of.read().map_or(f64::midpoint(low.value, high.value), |r| r.middle) });
    }
    let follows = p_range(printed, [low.value, value, high.value], halves, df)?;
    printed.p.as_ref().filter(|p| !p_fits(p, follows)).map(|_| Odds::P { follows })
}

/// Degrees of freedom of a result, where its people are known.
pub fn freedom(source: &Source, result: &StudyResult) -> Option<f64> {
    people(source, result).map(|n| n.number() - 2.0).filter(|df| *df >= 2.0)
}

/// The p values that fit an interval, at both ends of what its digits may stand for.
fn p_range(printed: &Printed, numbers: [f64; 3], halves: [f64; 3], df: Option<f64>) -> Option<[f64; 2]> {
    let measure = printed.measure.value;
    let (scale, shown_null) = (scale(measure), measure.null()?);
    let at = |x: f64| scale.analysed("value", x).ok();
    let null = at(shown_null)?;
    let level = printed.level.as_ref().map_or(Some(Level::P95), |l| Level::new(l.value / 100.0).ok())?;
    let ([low, value, high], [low_half, value_half, high_half]) = (numbers, halves);
    let distance = |x: f64| at(x).map(|x| (x - null).abs());
    let far = hull([value - value_half, value, value + value_half].into_iter().filter_map(distance))?;
    let near_null = (shown_null - value).abs() <= value_half;
    let far = if near_null { [0.0, far[1]] } else { far };
    let widest = at(high + high_half)? - at(low - low_half).or_else(|| at(low))?;
    let tightest = (at(high - high_half)? - at(low + low_half)?).max(0.0);
    let p_of = |distance: f64, width: f64| {
        let share = 2.0 * distance / width;
        let normal = normal_two_sided(share * level.z());
        df.map_or([normal, normal], |df| [normal, t_two_sided(share * level.t(df), df)])
    };
    let least = if tightest > 0.0 { p_of(far[1], tightest) } else { [0.0, 0.0] };
    hull(least.into_iter().chain(p_of(far[0], widest)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{FileId, Span, Spanned, Text};

    fn number(value: f64) -> Spanned<f64> {
        Spanned::new(value, Span::new(FileId(0), 0, 0))
    }

    fn text(written: &str) -> Text {
        Spanned::new(written.into(), Span::new(FileId(0), 0, 0))
    }

    fn printed(measure: EffectMeasure, [value, low, high]: [&str; 3], p: &str) -> Printed {
        let read = |t: &str| number(t.parse().unwrap());
        let bare = p.trim_start_matches(['<', ' ']);
        Printed {
            measure: Spanned::new(measure, Span::new(FileId(0), 0, 0)),
            value: read(value),
            written: text(value),
            interval: Some([read(low), read(high)]),
            ends: Some([text(low), text(high)]),
            level: None,
            p: bare.parse().ok().map(|value| PValue { value, below: p.starts_with('<'), written: text(p) }),
            studies: None,
            people: None,
            i2: None,
            span: Span::new(FileId(0), 0, 0),
        }
    }

    /// The first two lines as printed by Lu 2022 (doi:10.1186/s12998-022-00441-5, abstract); the others are made up.
    #[test]
    fn interval_and_p_fit_within_the_printed_digits() {
        use EffectMeasure as M;
        let smd = M::StandardisedMeanDifference;
        for (measure, numbers, p, fits) in [
            (smd, ["0.67", "0.35", "0.98"], "< 0.0001", true),
            (smd, ["-0.22", "-0.53", "0.09"], "0.16", true),
            (smd, ["0.67", "0.35", "0.98"], "0.02", false),
            (smd, ["0.5", "0.1", "0.9"], "0.2", false),
            (smd, ["0.5", "0.1", "0.9"], "0.01", true),
            (smd, ["0.50", "0.10", "0.90"], "0.03", false),
            (M::RiskRatio, ["0.61", "0.41", "0.91"], "0.015", true),
            (M::RiskRatio, ["0.61", "0.41", "0.91"], "0.2", false),
            (M::MeanDifference, ["0", "-1", "1"], "1.0", true),
        ] {
            let found = odds(&printed(measure, numbers, p), None);
            assert_eq!(found.is_none(), fits, "{numbers:?} {p}: {found:?}");
        }
        assert!(matches!(odds(&printed(smd, ["0.67", "0.35", "0.89"], ""), None), Some(Odds::OffCentre { .. })));
        assert_eq!(odds(&printed(smd, ["1.2", "0.2", "0.9"], ""), None), Some(Odds::Outside));
    }

    /// p by z, 3.1e-5 and 0.164 as printed, each within half a unit of its last digit, from the widths of the
    /// two printed intervals.
    #[test]
    fn p_follows_from_the_width() {
        let smd = EffectMeasure::StandardisedMeanDifference;
        for (numbers, p, half) in [(["0.67", "0.35", "0.98"], 3.1e-5, 5e-7), (["-0.22", "-0.53", "0.09"], 0.164, 5e-4)] {
            let of = printed(smd, numbers, "");
            let [value, low, high]: [f64; 3] = numbers.map(|n| n.parse().unwrap());
            let range = p_range(&of, [low, value, high], [0.0; 3], None).unwrap();
            assert!((range[0] - p).abs() < half && (range[1] - p).abs() < half, "{range:?}");
        }
    }

    fn groups(sd: f64) -> Data {
        let group =
            |mean: f64| GroupMean { n: number(20.0), mean: number(mean), spread: Spread::Sd(number(sd)), span: Span::new(FileId(0), 0, 0) };
        Data::Means([group(3.1), group(2.7)])
    }

    /// By hand: 0.4 with a standard error of sqrt(2 * 0.48^2 / 20) = 0.1518, so 0.10 to 0.70 and z = 2.64.
    #[test]
    fn an_effect_follows_from_its_groups_or_the_slip_is_named() {
        let level = Level::P95;
        let of = printed(EffectMeasure::MeanDifference, ["0.4", "0.1", "0.7"], "0.008");
        assert_eq!(misfit(&groups(0.48), &of, level), None);
        // 0.107 is 0.48 over the root of 20.
        assert_eq!(misfit(&groups(0.107), &of, level), Some(Misfit::Interval));
        let mended: Vec<Slip> =
            slips(&groups(0.107)).into_iter().filter(|(d, _)| misfit(d, &of, level).is_none()).map(|(_, slip)| slip).collect();
        assert_eq!(mended, [Slip::SeAsSd]);
        let reversed = printed(EffectMeasure::MeanDifference, ["-0.4", "-0.7", "-0.1"], "0.008");
        assert_eq!(misfit(&groups(0.48), &reversed, level), Some(Misfit::Value));
        let other = printed(EffectMeasure::MeanDifference, ["0.4", "0.1", "0.7"], "0.08");
        assert_eq!(misfit(&groups(0.48), &other, level), Some(Misfit::P));
        // d = 0.4 / 0.48 = 0.833, g = 0.98 d = 0.817.
        for (value, fits) in [("0.83", true), ("0.82", true), ("0.95", false)] {
            let made = made(&groups(0.48), EffectMeasure::StandardisedMeanDifference, level);
            let wanted: f64 = value.parse().unwrap();
            assert_eq!(made.iter().flatten().any(|m| (m.shown.value - wanted).abs() < 0.005), fits, "{value}");
        }
    }

    #[test]
    fn half_a_unit_is_that_of_the_last_digit() {
        for (written, wanted) in [("0.67", 0.005), ("3", 0.5), ("< 0.001", 0.0005), ("-0.20", 0.005), ("12.5", 0.05)] {
            assert!((half(written) - wanted).abs() < 1e-12, "{written}");
        }
    }
}
