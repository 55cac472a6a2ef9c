//! Closed word lists of evidence: directions, comparators, certainty, designs, ways to pool.

use super::vocabulary::words;

words! {
    /// Which way an outcome gets better.
    Better {
        /// A larger value is better.
        Higher = "higher",
        /// A smaller value is better.
        Lower = "lower",
    }
}

words! {
    /// What a comparison came to, seen from the treated side.
    Direction {
        /// Better than the comparator.
        Better = "better",
        /// Worse than the comparator.
        Worse = "worse",
        /// About the same.
        NoDifference = "no difference",
        /// Cannot be told.
        Unclear = "unclear",
    }
}

words! {
    /// Compared with what.
    Comparator {
        /// Nothing.
        NoTreatment = "no treatment",
        /// A treatment that only looks like one.
        Sham = "sham",
        /// What people get anyway.
        UsualCare = "usual care",
        /// Sham, nothing or other care, mixed in one pool.
        Mixed = "mixed",
        /// A rival.
        AnotherTreatment = "another treatment",
        /// The same at another dose.
        AnotherDose = "another dose",
        /// The same people before.
        OwnBaseline = "own baseline",
    }
}

impl Comparator {
    /// The words for people.
    pub fn shown(self) -> &'static str {
        match self {
            Comparator::Mixed => "sham, nothing or other care",
            other => other.word(),
        }
    }
}

words! {
    /// Certainty of evidence for one outcome, least first.
    Certainty {
        /// Very low.
        VeryLow = "very low",
        /// Low.
        Low = "low",
        /// Moderate.
        Moderate = "moderate",
        /// High.
        High = "high",
    }
}

impl Certainty {
    /// The level after some steps up (down if negative); held inside the four.
    pub fn moved(self, steps: i32) -> Certainty {
        let last = i32::try_from(Certainty::ALL.len()).unwrap_or(1) - 1;
        let at = (self as i32).saturating_add(steps).clamp(0, last);
        usize::try_from(at).ok().and_then(|i| Certainty::ALL.get(i)).copied().unwrap_or(self)
    }
}

words! {
    /// Why certainty moves. The first five lower it, the last three raise it.
    Domain {
        /// Flaws of the studies.
        RiskOfBias = "risk of bias",
        /// Studies disagree.
        Inconsistency = "inconsistency",
        /// Other people, treatment or outcome than asked about.
        Indirectness = "indirectness",
        /// Too few people, too wide an interval.
        Imprecision = "imprecision",
        /// Results that were never published.
        PublicationBias = "publication bias",
        /// A large effect.
        LargeEffect = "large effect",
        /// More dose, more effect.
        DoseResponse = "dose-response",
        /// What confounds would only have hidden it.
        OpposingConfounding = "opposing confounding",
    }
}

impl Domain {
    /// True if it lowers certainty.
    pub fn lowers(self) -> bool {
        !matches!(self, Domain::LargeEffect | Domain::DoseResponse | Domain::OpposingConfounding)
    }
}

words! {
    /// Judgement of one domain of bias, best first.
    Judgement {
        /// Low risk.
        Low = "low",
        /// Some concerns.
        SomeConcerns = "some concerns",
        /// High risk.
        High = "high",
    }
}

words! {
    /// How an effect is expressed.
    EffectMeasure {
        /// In the unit of the outcome.
        MeanDifference = "mean difference",
        /// In standard deviations (Hedges g).
        StandardisedMeanDifference = "standardised mean difference",
        /// Ratio of risks.
        RiskRatio = "risk ratio",
        /// Ratio of odds.
        OddsRatio = "odds ratio",
        /// Difference of risks.
        RiskDifference = "risk difference",
        /// Share of people.
        Proportion = "proportion",
        /// Change of one group.
        MeanChange = "mean change",
        /// Correlation.
        Correlation = "correlation",
    }
}

impl EffectMeasure {
    /// The value that means no effect; a proportion has none.
    pub fn null(self) -> Option<f64> {
        match self {
            EffectMeasure::RiskRatio | EffectMeasure::OddsRatio => Some(1.0),
            EffectMeasure::Proportion => None,
            _ => Some(0.0),
        }
    }

    /// True if it is pooled as a logarithm and shown as a ratio.
    pub fn is_ratio(self) -> bool {
        matches!(self, EffectMeasure::RiskRatio | EffectMeasure::OddsRatio)
    }
}

words! {
    /// How the spread between studies is estimated.
    Pooling {
        /// None is allowed for.
        Fixed = "fixed effect",
        /// DerSimonian and Laird.
        DerSimonianLaird = "DerSimonian-Laird",
        /// Paule and Mandel.
        PauleMandel = "Paule-Mandel",
        /// Restricted maximum likelihood.
        Reml = "REML",
    }
}

words! {
    /// How the interval of a pooled value is made.
    PooledInterval {
        /// Normal quantile.
        Wald = "Wald",
        /// Knapp and Hartung, untruncated.
        KnappHartung = "Knapp-Hartung",
    }
}

words! {
    /// How a study was made.
    Design {
        /// Review with a stated search.
        SystematicReview = "systematic review",
        /// People put into arms by chance.
        RandomisedTrial = "randomised trial",
        /// Arms, but not by chance.
        ControlledTrial = "controlled trial",
        /// People followed.
        Cohort = "cohort",
        /// Do raters or days agree.
        ReliabilityStudy = "reliability study",
        /// A sign against a reference standard.
        AccuracyStudy = "accuracy study",
        /// Several people described.
        CaseSeries = "case series",
        /// One person described.
        CaseReport = "case report",
        /// Guideline.
        Guideline = "guideline",
        /// Standard.
        Standard = "standard",
        /// Handbook.
        Handbook = "handbook",
        /// Measured in the laboratory.
        LaboratoryStudy = "laboratory study",
        /// Asked.
        Survey = "survey",
        /// Agreed by experts.
        Consensus = "consensus",
        /// Told.
        Narrative = "narrative",
    }
}

words! {
    /// What a level of evidence is a level for.
    Asks {
        /// Does it help.
        Benefit = "benefit",
        /// Does it harm.
        Harm = "harm",
        /// Is the sign right.
        Diagnosis = "diagnosis",
        /// How common is it.
        Prevalence = "prevalence",
    }
}

words! {
    /// What a source says of harms.
    HarmsStatus {
        /// Some, or the absence of some, in numbers or words.
        Reported = "reported",
        /// Looked for, and none found.
        NoneReported = "none reported",
        /// Nobody looked.
        NotCollected = "not collected",
        /// The part that was read does not say.
        NotRead = "not read",
    }
}

words! {
    /// What a source says of money and interests.
    Disclosure {
        /// Stated.
        Stated = "stated",
        /// Stated that there are none.
        None = "none",
        /// The source is silent.
        NotStated = "not stated",
        /// The part that was read does not say.
        NotRead = "not read",
    }
}

words! {
    /// Whether a source still stands.
    RetractionStatus {
        /// Nobody has looked.
        NotLookedUp = "not looked up",
        /// Looked up, nothing found.
        NoneFound = "none found",
        /// Corrected.
        Corrected = "corrected",
        /// The journal has voiced concern.
        Concern = "concern",
        /// Withdrawn.
        Retracted = "retracted",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn certainty_moves_and_stays_inside_its_four_levels() {
        assert_eq!(Certainty::High.moved(-2), Certainty::Low);
        assert_eq!(Certainty::Low.moved(1), Certainty::Moderate);
        assert_eq!(Certainty::Low.moved(-5), Certainty::VeryLow);
        assert_eq!(Certainty::Moderate.moved(i32::MAX), Certainty::High);
    }
}
