//! A dose next to the dose of the publication that it cites.
//!
//! Only amounts that load the person are compared: what a technique adds up, its peak, effort, force
//! and pressure, and how often in a week. A longer rest or more cover is no larger dose. Where a
//! source has several arms, the arm that comes closest is taken, never the best of each.

use crate::model::docs::{Arm, DoseEntry, DoseValue, Source, Technique};
use crate::model::quantity::Quantity;
use crate::model::unit::Dim;
use crate::source::Span;

/// Name under which the sessions of a week are compared.
pub const PER_WEEK: &str = "per-week";

/// What the arms of a source say of a parameter.
#[derive(Debug)]
pub enum Said {
    /// No arm names it.
    Nothing,
    /// Arms name it and none gives it; where the first one says so.
    NotReported(Span),
    /// At least one arm gives it.
    Given,
}

/// What a source says of a parameter.
pub fn said(source: &Source, parameter: &str) -> Said {
    let entries: Vec<&DoseEntry> = source.arms.iter().filter_map(|a| a.dose.entry(parameter)).collect();
    let silent = |e: &&&DoseEntry| matches!(&e.value, DoseValue::Word(w) if &**w == "not reported");
    match entries.iter().find(silent) {
        Some(first) if entries.iter().all(|e| silent(&e)) => Said::NotReported(first.span),
        _ if entries.is_empty() => Said::Nothing,
        _ => Said::Given,
    }
}

/// An amount of our own, in base units.
#[derive(Clone, Debug)]
pub struct Ours {
    /// Parameter.
    pub name: String,
    /// Dimension.
    pub dim: Dim,
    /// Most.
    pub most: f64,
    /// True if it multiplies with the others to a total.
    pub adds_up: bool,
    /// Where it stands.
    pub at: Span,
}

/// One of ours against one of an arm.
#[derive(Clone, Debug)]
pub struct Ratio {
    /// Ours.
    pub ours: Ours,
    /// Most of the arm.
    pub theirs: f64,
    /// Where the arm says so.
    pub at: Span,
}

impl Ratio {
    /// How many times theirs.
    pub fn times(&self) -> f64 {
        self.ours.most / self.theirs
    }
}

/// A dose against one arm.
#[derive(Debug)]
pub struct Against<'a> {
    /// The arm.
    pub arm: &'a Arm,
    /// Parameters that both give.
    pub ratios: Vec<Ratio>,
}

impl Against<'_> {
    /// Ratio of the totals: the product of all that adds up.
    pub fn in_all(&self) -> f64 {
        self.ratios.iter().filter(|r| r.ours.adds_up).map(Ratio::times).product()
    }

    /// The largest ratio: of the totals, or of one of the others.
    pub fn most(&self) -> f64 {
        self.ratios.iter().filter(|r| !r.ours.adds_up).map(Ratio::times).fold(self.in_all(), f64::max)
    }
}

/// The arm that comes closest to our dose, or the named arm; `None` if nothing can be compared.
pub fn against<'a>(source: &'a Source, ours: &[Ours], arm: Option<&str>) -> Option<Against<'a>> {
    let arms = source.arms.iter().filter(|a| arm.is_none_or(|name| &*a.name.value == name));
    arms.filter_map(|a| compare(a, ours)).min_by(|a, b| a.most().total_cmp(&b.most()))
}

fn compare<'a>(arm: &'a Arm, ours: &[Ours]) -> Option<Against<'a>> {
    let ratio = |o: &Ours| {
        let (theirs, at) = theirs(arm, o)?;
        (theirs > 0.0 && theirs.is_finite()).then(|| Ratio { ours: o.clone(), theirs, at })
    };
    let ratios: Vec<Ratio> = ours.iter().filter_map(ratio).collect();
    // How often says nothing as long as no dose is given.
    let any = ratios.iter().any(|r| r.ours.name != PER_WEEK);
    any.then_some(Against { arm, ratios })
}

fn theirs(arm: &Arm, ours: &Ours) -> Option<(f64, Span)> {
    let amount = |name: &str| arm.dose.entry(name).and_then(|e| amount(e).map(|q| (q, e.span)));
    if let Some((given, at)) = amount(&ours.name) {
        return (given.dim() == ours.dim).then(|| (given.base().hi, at));
    }
    let ((per_day, at), (days, _)) = (amount("per-day")?, amount("days")?);
    (ours.name == PER_WEEK).then(|| (per_day.base().hi / 7.0 * days.base().hi, at))
}

fn amount(entry: &DoseEntry) -> Option<&Quantity> {
    match &entry.value {
        DoseValue::Amount(quantity) => Some(quantity),
        _ => None,
    }
}

/// An entry of a dose as one of ours, if a larger amount of it is a larger dose.
pub fn ours(technique: &Technique, entry: &DoseEntry) -> Option<Ours> {
    let (given, name) = (amount(entry)?, &*entry.name.value);
    let adds_up = technique.exposes.iter().any(|e| e.total.iter().any(|n| &*n.value == name));
    let peak = technique.exposes.iter().any(|e| e.peak.as_ref().is_some_and(|n| &*n.value == name));
    let loads = adds_up || peak || matches!(given.dim(), Dim::Percent | Dim::Force | Dim::Pressure);
    let counts = loads && !given.is_open();
    counts.then(|| Ours { name: name.to_string(), dim: given.dim(), most: given.base().hi, adds_up, at: entry.span })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{FileId, Spanned};

    fn span() -> Span {
        Span::new(FileId(0), 0, 0)
    }

    fn arm(name: &str, dose: &[(&str, f64)]) -> Arm {
        let unit = |n: &str| if n == PER_WEEK { "/wk" } else { "s" };
        let entries = dose.iter().map(|(n, most)| DoseEntry {
            name: Spanned::new((*n).into(), span()),
            value: crate::model::quantity::parse(&format!("{most} {}", unit(n))).map_or(DoseValue::Unreadable, DoseValue::Amount),
            span: span(),
        });
        let dose = crate::model::docs::Dose { entries: entries.collect(), span: None };
        Arm {
            id: Spanned::new(name.into(), span()),
            name: Spanned::new(name.into(), span()),
            n: None,
            analysed: None,
            lost: None,
            technique: None,
            dose,
        }
    }

    fn own(name: &str, most: f64) -> Ours {
        let dim = if name == PER_WEEK { Dim::PerWeek } else { Dim::Time };
        Ours { name: name.into(), dim, most, adds_up: true, at: span() }
    }

    #[test]
    fn holds_and_sessions_multiply() {
        let trial = arm("pressure", &[("hold", 60.0), (PER_WEEK, 1.0)]);
        let found = compare(&trial, &[own("hold", 90.0), own(PER_WEEK, 3.0)]).unwrap();
        assert!((found.in_all() - 4.5).abs() < 1e-9);
        assert!((found.most() - 4.5).abs() < 1e-9);
    }

    #[test]
    fn sessions_alone_are_no_dose() {
        let trial = arm("pressure", &[(PER_WEEK, 1.0)]);
        assert!(compare(&trial, &[own("hold", 90.0), own(PER_WEEK, 3.0)]).is_none());
    }
}
