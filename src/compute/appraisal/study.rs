//! The effect of one result, from whatever numbers the source gives.

use crate::compute::evidence::effect::binary::{CountsVariant, TwoCounts, counts};
use crate::compute::evidence::effect::change::{ChangeVariant, PrePost, Spread as Known, change};
use crate::compute::evidence::effect::correlation::fisher_z;
use crate::compute::evidence::effect::estimate;
use crate::compute::evidence::effect::means::{MeansVariant, TwoMeans, means};
use crate::compute::evidence::effect::proportion::{ProportionVariant, proportion};
use crate::compute::evidence::{Effect, Estimate, Interval, Level, Refusal, Scale};
use crate::model::docs::{Change, Data, GroupCount, GroupMean, Printed, Source, StudyResult};
use crate::model::evidence::EffectMeasure;

/// Why a result has no effect on the wanted scale.
#[derive(Clone, Debug, PartialEq)]
pub enum NoEffect {
    /// It is given in words only.
    Words,
    /// The numbers are of another form than the measure needs.
    OtherForm,
    /// The spread is not given.
    NoSpread,
    /// The interval is not given.
    NoInterval,
    /// The unit differs from that of the results before it.
    OtherUnit,
    /// A number is impossible.
    Impossible(Refusal),
}

impl From<Refusal> for NoEffect {
    fn from(refusal: Refusal) -> Self {
        NoEffect::Impossible(refusal)
    }
}

/// The effect of a result on the scale of a measure. `unit` is the unit of the pool, which counts where the
/// measure keeps units.
///
/// # Errors
/// Says what is missing.
pub fn effect(result: &StudyResult, measure: EffectMeasure, unit: Option<&str>) -> Result<Effect, NoEffect> {
    let keeps_unit = matches!(measure, EffectMeasure::MeanDifference | EffectMeasure::MeanChange);
    if keeps_unit && result.unit.as_ref().map(|u| &*u.value) != unit {
        return Err(NoEffect::OtherUnit);
    }
    match from_groups(&result.data, measure) {
        // What is printed stands in where the groups are not enough.
        Err(NoEffect::NoSpread) => result.printed.as_ref().map_or(Err(NoEffect::NoSpread), |p| from_printed(p, measure)),
        made => made,
    }
}

/// The effect worked out from the groups or the estimate of a result.
///
/// # Errors
/// Says what is missing.
pub fn from_groups(data: &Data, measure: EffectMeasure) -> Result<Effect, NoEffect> {
    use EffectMeasure as M;
    match (data, measure) {
        (Data::Words, _) => Err(NoEffect::Words),
        (Data::Means(groups), M::MeanDifference) => of_means(groups, MeansVariant::Difference),
        (Data::Means(groups), M::StandardisedMeanDifference) => of_means(groups, MeansVariant::HedgesExact),
        (Data::Counts(groups), M::RiskRatio) => of_counts(groups, CountsVariant::LogRiskRatio),
        (Data::Counts(groups), M::OddsRatio) => of_counts(groups, CountsVariant::LogOddsRatio),
        (Data::Counts(groups), M::RiskDifference) => of_counts(groups, CountsVariant::RiskDifference),
        (Data::Change(one), M::MeanChange) => of_change(one),
        (Data::Correlation { n, r }, M::Correlation) => Ok(fisher_z(r.value, n.value)?),
        (Data::Share(group), M::Proportion) => Ok(proportion(group.events.value, group.n.value, ProportionVariant::Logit)?),
        (Data::Estimate(printed), _) => from_printed(printed, measure),
        _ => Err(NoEffect::OtherForm),
    }
}

fn of_means(groups: &[GroupMean; 2], variant: MeansVariant) -> Result<Effect, NoEffect> {
    let [a, b] = groups;
    let (sd1, sd2) = a.sd().zip(b.sd()).ok_or(NoEffect::NoSpread)?;
    let of = TwoMeans { n1: a.n.value, m1: a.mean.value, sd1, n2: b.n.value, m2: b.mean.value, sd2 };
    Ok(means(&of, variant)?)
}

fn of_counts(groups: &[GroupCount; 2], variant: CountsVariant) -> Result<Effect, NoEffect> {
    let [a, c] = groups;
    Ok(counts(&TwoCounts { a: a.events.value, n1: a.n.value, c: c.events.value, n2: c.n.value }, variant)?)
}

fn of_change(c: &Change) -> Result<Effect, NoEffect> {
    let r = c.r.as_ref().map(|r| r.value);
    let both = || Some(Known::Both { sd_pre: c.sd_before.as_ref()?.value, sd_post: c.sd_after.as_ref()?.value, r: r? });
    let spread = c.sd_change.as_ref().map(|sd| Known::Change { sd_change: sd.value, r }).or_else(both).ok_or(NoEffect::NoSpread)?;
    Ok(change(&PrePost { n: c.n.value, m_pre: c.before.value, m_post: c.after.value, spread }, ChangeVariant::Mean)?)
}

/// The effect that a source prints.
///
/// # Errors
/// If it is expressed in another way or has no interval.
pub fn from_printed(printed: &Printed, measure: EffectMeasure) -> Result<Effect, NoEffect> {
    if printed.measure.value != measure {
        return Err(NoEffect::OtherForm);
    }
    Ok(as_printed(printed)?.ok_or(NoEffect::NoInterval)?.read()?.effect)
}

/// A printed effect with its interval, ready to be read; `None` without an interval.
///
/// # Errors
/// If the level is impossible.
pub fn as_printed(printed: &Printed) -> Result<Option<estimate::Printed>, Refusal> {
    let Some([low, high]) = &printed.interval else { return Ok(None) };
    let level = printed.level.as_ref().map_or(Ok(Level::P95), |l| Level::new(l.value / 100.0))?;
    Ok(Some(estimate::Printed { scale: scale(printed.measure.value), value: printed.value.value, low: low.value, high: high.value, level }))
}

/// An effect with its 95 % interval as shown. What a source prints stands as printed; the standard error that was
/// read off its width serves weights and pools alone.
pub fn shown(result: &StudyResult, effect: &Effect) -> Estimate {
    let printed = match &result.data {
        Data::Estimate(printed) => Some(printed),
        data => result.printed.as_ref().filter(|p| from_groups(data, p.measure.value).is_err()),
    };
    let as_printed = |p: &Printed| {
        let at_95 = p.level.as_ref().is_none_or(|l| (l.value - 95.0).abs() < 1e-9);
        let [low, high] = p.interval.as_ref().filter(|_| at_95 && scale(p.measure.value) == effect.scale)?;
        Some(Estimate { value: p.value.value, interval: Interval { low: low.value, high: high.value } })
    };
    printed.and_then(as_printed).unwrap_or_else(|| effect.shown(Level::P95))
}

/// The scale on which a measure is analysed.
pub fn scale(measure: EffectMeasure) -> Scale {
    match measure {
        EffectMeasure::MeanDifference => Scale::MeanDifference,
        EffectMeasure::StandardisedMeanDifference => Scale::StandardisedMeanDifference,
        EffectMeasure::RiskRatio => Scale::LogRiskRatio,
        EffectMeasure::OddsRatio => Scale::LogOddsRatio,
        EffectMeasure::RiskDifference => Scale::RiskDifference,
        EffectMeasure::Proportion => Scale::LogitProportion,
        EffectMeasure::MeanChange => Scale::MeanChange,
        EffectMeasure::Correlation => Scale::FisherZ,
    }
}

/// A number of people, and whether it is that of the result.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum People {
    /// Counted in the result itself.
    InResult(f64),
    /// In the whole study; how many of them the result is about is not given. Never fewer than that.
    InStudy(f64),
}

impl People {
    /// The number, whichever it is of.
    pub fn number(self) -> f64 {
        match self {
            People::InResult(n) | People::InStudy(n) => n,
        }
    }

    /// True if only the whole study is counted.
    pub fn is_whole_study(self) -> bool {
        matches!(self, People::InStudy(_))
    }
}

/// People in a result: its groups or the printed number; where neither is given, all people of the source.
pub fn people(source: &Source, result: &StudyResult) -> Option<People> {
    let printed = |p: &Printed| p.people.as_ref().map(|n| f64::from(n.value));
    let given = match &result.data {
        Data::Means([a, b]) => Some(a.n.value + b.n.value),
        Data::Counts([a, b]) => Some(a.n.value + b.n.value),
        Data::Change(c) => Some(c.n.value),
        Data::Correlation { n, .. } => Some(n.value),
        Data::Share(group) => Some(group.n.value),
        Data::Estimate(p) => printed(p),
        Data::Words => result.printed.as_ref().and_then(printed),
    };
    given.map(People::InResult).or_else(|| source.n.as_ref().map(|n| People::InStudy(f64::from(n.value))))
}

/// Events in a result, where it counts some.
pub fn events(result: &StudyResult) -> Option<f64> {
    match &result.data {
        Data::Counts([a, b]) => Some(a.events.value + b.events.value),
        Data::Share(group) => Some(group.events.value),
        _ => None,
    }
}

/// The measure in which a result stands by itself: as printed, else the plain one of its numbers.
pub fn own_measure(result: &StudyResult) -> Option<EffectMeasure> {
    if let Some(printed) = &result.printed {
        return Some(printed.measure.value);
    }
    match &result.data {
        Data::Means(_) => Some(EffectMeasure::MeanDifference),
        Data::Counts(_) => Some(EffectMeasure::RiskRatio),
        Data::Change(_) => Some(EffectMeasure::MeanChange),
        Data::Correlation { .. } => Some(EffectMeasure::Correlation),
        Data::Share(_) => Some(EffectMeasure::Proportion),
        Data::Estimate(printed) => Some(printed.measure.value),
        Data::Words => None,
    }
}
