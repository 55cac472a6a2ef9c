//! One line of a list of changes, how dangerous it is, and how far it demands that the edition is raised.
//!
//! How dangerous follows from what changed ([`Topic`]) and which way ([`Way`]), and from nothing else. The order of the
//! classes is common practice of release notes in safety work, put into the terms of this trade; no source.

use crate::model::DocName;
use serde::{Deserialize, Serialize};
use std::cmp::Ordering;

/// How far an edition is raised: numbers of Semantic Versioning 2.0.0, <https://semver.org/spec/v2.0.0.html>, items 6 to 8.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Step {
    /// The last number.
    Patch,
    /// The middle number.
    Minor,
    /// The first number.
    Major,
}

impl Step {
    /// Word.
    pub fn word(self) -> &'static str {
        match self {
            Step::Patch => "patch",
            Step::Minor => "minor",
            Step::Major => "major",
        }
    }

    /// The least edition that goes this far beyond another; `None` if that one is not three numbers.
    pub fn beyond(self, edition: &str) -> Option<String> {
        let [major, minor, patch] = numbers(edition)?;
        let next = match self {
            Step::Major => [major.checked_add(1)?, 0, 0],
            Step::Minor => [major, minor.checked_add(1)?, 0],
            Step::Patch => [major, minor, patch.checked_add(1)?],
        };
        Some(next.map(|n| n.to_string()).join("."))
    }
}

fn numbers(edition: &str) -> Option<[u64; 3]> {
    let parts: Vec<u64> = edition.split('.').map(str::parse).collect::<Result<_, _>>().ok()?;
    parts.try_into().ok()
}

/// How far one edition lies beyond another; `None` if it lies not beyond it, or one of them is not three numbers.
pub fn raised(old: &str, new: &str) -> Option<Step> {
    let ([a, b, c], [x, y, z]) = (numbers(old)?, numbers(new)?);
    match (x.cmp(&a), y.cmp(&b), z.cmp(&c)) {
        (Ordering::Greater, ..) => Some(Step::Major),
        (Ordering::Equal, Ordering::Greater, _) => Some(Step::Minor),
        (Ordering::Equal, Ordering::Equal, Ordering::Greater) => Some(Step::Patch),
        _ => None,
    }
}

/// The least step that these changes demand; `None` if there are none.
pub fn demanded(changes: &[Change]) -> Option<Step> {
    changes.iter().map(|c| c.class.step()).max()
}

/// True if the edition was raised as far as the changes demand.
pub fn enough(old: &str, new: &str, changes: &[Change]) -> bool {
    demanded(changes).is_none_or(|step| raised(old, new).is_some_and(|made| made >= step))
}

/// How dangerous a change is, most dangerous first.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Class {
    /// A caution, red flag or stop rule is gone or weaker, or says something else; urgency is later.
    Warning,
    /// A total, peak or cap is higher; rest, layers or looks at the skin are fewer; more people are let in.
    Exposure,
    /// Consent, screening, a test or watching is gone.
    Safeguard,
    /// Stressors follow each other where they did not.
    Meeting,
    /// Another target, side, point or position; something else is done.
    Method,
    /// Certainty, a claim or a source.
    Evidence,
    /// A step or a whole document is added or taken out.
    Step,
    /// Less exposure, or more care.
    Safer,
    /// A note, a leaflet, what the pack says of itself.
    Note,
    /// Words that change nothing that is derived.
    Wording,
}

impl Class {
    /// All, most dangerous first.
    pub const ALL: [Class; 10] = [
        Class::Warning,
        Class::Exposure,
        Class::Safeguard,
        Class::Meeting,
        Class::Method,
        Class::Evidence,
        Class::Step,
        Class::Safer,
        Class::Note,
        Class::Wording,
    ];

    /// The least step of the edition.
    pub fn step(self) -> Step {
        match self {
            Class::Warning | Class::Exposure | Class::Safeguard | Class::Meeting | Class::Method => Step::Major,
            Class::Evidence | Class::Step | Class::Safer => Step::Minor,
            Class::Note | Class::Wording => Step::Patch,
        }
    }

    /// Word for programs.
    pub fn word(self) -> &'static str {
        match self {
            Class::Warning => "warning",
            Class::Exposure => "exposure",
            Class::Safeguard => "safeguard",
            Class::Meeting => "meeting",
            Class::Method => "method",
            Class::Evidence => "evidence",
            Class::Step => "step",
            Class::Safer => "safer",
            Class::Note => "note",
            Class::Wording => "wording",
        }
    }

    /// Heading for people.
    pub fn heading(self) -> &'static str {
        match self {
            Class::Warning => "Cautions, red flags and stop rules: gone, weaker or not the same",
            Class::Exposure => "More exposure, less rest, or more people let in",
            Class::Safeguard => "Consent, screening, tests and watching: gone or not the same",
            Class::Meeting => "Stressors that newly follow each other on one region",
            Class::Method => "Target, side, point, position, or what is done",
            Class::Evidence => "Certainty, claims and sources",
            Class::Step => "Steps and documents added or taken out",
            Class::Safer => "Less exposure or more care",
            Class::Note => "Notes, leaflets, and what the pack says of itself",
            Class::Wording => "Wording",
        }
    }
}

/// Which way a change goes, most dangerous first.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Way {
    /// More risk.
    Looser,
    /// Neither; a person has to judge.
    Different,
    /// Less risk.
    Tighter,
}

impl Way {
    /// Word.
    pub fn word(self) -> &'static str {
        match self {
            Way::Looser => "looser",
            Way::Different => "different",
            Way::Tighter => "tighter",
        }
    }

    /// The other way.
    #[must_use]
    pub fn back(self) -> Way {
        match self {
            Way::Looser => Way::Tighter,
            Way::Different => Way::Different,
            Way::Tighter => Way::Looser,
        }
    }
}

/// What a change is about.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Topic {
    /// A caution.
    Caution,
    /// A red flag.
    Flag,
    /// A stop rule.
    StopRule,
    /// How soon a person is sent on.
    Urgency,
    /// Where to.
    Destination,
    /// A total of the ledger.
    Total,
    /// The highest pain allowed in a step.
    Peak,
    /// A dose parameter.
    Dose,
    /// A limit.
    Limit,
    /// Rest, spacing, layers, recovery.
    Rest,
    /// Time between two looks.
    Interval,
    /// Who is treated.
    Population,
    /// Who may treat.
    Training,
    /// Consent and what guards dignity.
    Consent,
    /// Screening and rules for starting.
    Screening,
    /// Test of feeling.
    SensationTest,
    /// Watching during the treatment, and what to do if it goes wrong.
    Monitoring,
    /// Measuring before and after.
    Retest,
    /// Which stressor comes before which.
    Order,
    /// Where it acts, on whom lying how.
    Place,
    /// Anything else that is done.
    Method,
    /// Claims, certainty, sources.
    Evidence,
    /// A step.
    Step,
    /// A whole document.
    Document,
    /// Notes, leaflets, what the pack says of itself.
    Note,
    /// Words alone.
    Wording,
}

impl Topic {
    /// How dangerous a change of this topic is.
    pub fn class(self, way: Way) -> Class {
        use Topic as T;
        let loose = match self {
            T::Caution | T::Flag | T::StopRule | T::Urgency | T::Destination => Class::Warning,
            T::Dose if way == Way::Different => Class::Method,
            T::Total | T::Peak | T::Dose | T::Limit | T::Rest | T::Interval | T::Population | T::Training => Class::Exposure,
            T::Consent | T::Screening | T::SensationTest | T::Monitoring | T::Retest => Class::Safeguard,
            T::Order => Class::Meeting,
            T::Place | T::Method => Class::Method,
            T::Evidence => return Class::Evidence,
            T::Step | T::Document => return Class::Step,
            T::Note => return Class::Note,
            T::Wording => return Class::Wording,
        };
        if way == Way::Tighter { Class::Safer } else { loose }
    }
}

/// One change.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Change {
    /// How dangerous.
    pub class: Class,
    /// Which way.
    pub way: Way,
    /// What it is about.
    pub topic: Topic,
    /// The document; by its new name, if it has one.
    pub document: DocName,
    /// Its title.
    pub title: String,
    /// Field or cell, in words.
    pub path: String,
    /// Before; `None` if there was nothing.
    pub old: Option<String>,
    /// After; `None` if there is nothing any more.
    pub new: Option<String>,
    /// New amount over old, where both are finite and the old one is not zero.
    pub ratio: Option<f64>,
    /// Protocols and sessions whose page or card shows it.
    pub shows_on: Vec<DocName>,
}

impl Change {
    /// Most dangerous first; of two alike, the larger rise, and what has no end or no beginning before any ratio.
    pub(super) fn order(&self, other: &Change) -> Ordering {
        let rank = |c: &Change| (c.class, c.way);
        let rise = |c: &Change| match (c.ratio, &c.old, &c.new) {
            (Some(ratio), ..) => ratio,
            (None, Some(_), None) | (None, None, Some(_)) => f64::INFINITY,
            _ => 0.0,
        };
        let key = |c: &Change| (c.document.clone(), c.path.clone(), c.old.clone(), c.new.clone());
        rank(self).cmp(&rank(other)).then(rise(other).total_cmp(&rise(self))).then_with(|| key(self).cmp(&key(other)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edition_is_raised_by_its_first_number_that_grows() {
        let cases = [
            ("1.0.0", "2.0.0", Some(Step::Major)),
            ("1.4.7", "2.0.0", Some(Step::Major)),
            ("1.4.7", "1.5.0", Some(Step::Minor)),
            ("1.4.7", "1.4.10", Some(Step::Patch)),
            ("1.4.7", "1.4.7", None),
            ("1.4.7", "1.3.9", None),
            ("1.4.7", "0.9.9", None),
            ("1.4", "1.5", None),
            ("1.4.x", "1.5.0", None),
        ];
        for (old, new, step) in cases {
            assert_eq!(raised(old, new), step, "{old} {new}");
        }
        for (step, next) in [(Step::Patch, "1.4.8"), (Step::Minor, "1.5.0"), (Step::Major, "2.0.0")] {
            assert_eq!(step.beyond("1.4.7").as_deref(), Some(next));
            assert_eq!(raised("1.4.7", next), Some(step));
        }
        assert_eq!(Step::Major.beyond("one"), None);
    }

    #[test]
    fn classes_stand_in_order_and_demand_no_more_further_down() {
        assert!(Class::ALL.is_sorted());
        assert!(Class::ALL.windows(2).all(|w| w[0].step() >= w[1].step()));
    }
}
