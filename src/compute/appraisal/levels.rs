//! The best level of evidence that a design can have for a kind of question.
//!
//! After the table of the Oxford Centre for Evidence-Based Medicine, 2011 (Howick J et al, The Oxford Levels
//! of Evidence 2; read from memory). The table names fewer designs than there are; where it is silent, a
//! design has the level of what it resembles, which is house practice of the tool. A level may always be
//! lowered for quality, never raised by the design alone.

use crate::model::docs::Source;
use crate::model::evidence::{Asks, Design};

/// The level of reasoning from mechanism.
pub const MECHANISM: u32 = 5;

/// Best level of a design for a kind of question.
pub fn best(design: Design, asks: Asks) -> u32 {
    use Asks::{Benefit, Diagnosis, Harm, Prevalence};
    match (design, asks) {
        (Design::SystematicReview, Prevalence) => 2,
        (Design::SystematicReview, _) => 1,
        (Design::Survey, Prevalence) => 1,
        (Design::RandomisedTrial, Benefit | Harm | Diagnosis) => 2,
        (Design::AccuracyStudy | Design::Cohort, Diagnosis) => 2,
        (Design::ControlledTrial | Design::Cohort, Benefit | Harm | Prevalence | Diagnosis) => 3,
        (Design::RandomisedTrial, Prevalence) | (Design::ReliabilityStudy, Diagnosis) => 3,
        (Design::CaseSeries | Design::CaseReport | Design::Survey | Design::AccuracyStudy | Design::ReliabilityStudy, _) => 4,
        (Design::Guideline | Design::Standard | Design::Handbook | Design::LaboratoryStudy | Design::Consensus | Design::Narrative, _) => {
            MECHANISM
        }
    }
}

/// The level of a source for benefit: as stated for benefit, else the best that its design allows.
pub fn for_benefit(source: &Source) -> Option<u32> {
    let stated = source.level.as_ref().filter(|l| l.asks == Asks::Benefit).map(|l| l.number.value);
    stated.or_else(|| source.design.as_ref().map(|d| best(d.value, Asks::Benefit)))
}
