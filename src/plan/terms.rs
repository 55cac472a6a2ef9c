//! What the words of the closed lists mean on this site. Each has one meaning, and the compiler sees that none is forgotten.
//!
//! The meanings are ours: they say how the words are used here, and are no facts about a body. Words of certainty stand
//! in `view/wording`, tags of regions in `words`.

use crate::compute::coverage::Extent;
use crate::compute::currency::sign_off::{NOTICE_DAYS, State};
use crate::model::evidence::{Comparator, Design, Direction, Domain, HarmsStatus, Judgement, RetractionStatus};
use crate::model::vocabulary::{Basis, Cover, Danger, Per, Role, Strength, Stressor, ThermalSource, Urgency};

/// What a step does to the body.
pub fn stressor(stressor: Stressor) -> &'static str {
    match stressor {
        Stressor::Pressure => "Steady force on the skin by thumb, knuckle, forearm or tool.",
        Stressor::Squeeze => "A fold of skin and muscle held between thumb and fingers.",
        Stressor::Shear => "Skin moved against what lies under it.",
        Stressor::Cold => "Something colder than the skin, held on it or moved over it.",
        Stressor::Heat => "Something warmer than the skin, held on it or near it.",
        Stressor::Stretch => "A muscle lengthened to the end of the range that the person allows.",
        Stressor::Contraction => "Force that the person makes with the muscle.",
        Stressor::Position => "What lying, sitting or standing so does by itself: weight on a part, a joint near its end.",
        Stressor::Topical => "Something put on the skin, or that comes off on it.",
    }
}

/// How strongly a condition blocks.
pub fn strength(strength: Strength) -> &'static str {
    match strength {
        Strength::Never => "The load is left out, anywhere on the body.",
        Strength::NotHere => "The load is left out where the trouble is, or in the regions that are named.",
        Strength::Limit => "The load stays below the numbers, or within the words, that stand beside it.",
        Strength::AskFirst => "The load is given only after written clearance by somebody who may clear it.",
        Strength::Watch => "The load is given, and is watched more closely in the steps that are named.",
        Strength::None => "Somebody has considered this load and found nothing to change. Silence would say nothing at all.",
    }
}

/// How fast a person is sent on. The clock stands in the vocabulary and is put before it.
pub fn urgency(urgency: Urgency) -> &'static str {
    match urgency {
        Urgency::Now => "Treatment stops and help is called; nothing is finished first.",
        Urgency::SameDay => "Treatment stops, and the place to go is agreed before the person leaves.",
        Urgency::TwoWeeks => "Treatment stops until somebody qualified has looked.",
        Urgency::Routine => "The person is told, and it is written down.",
    }
}

/// Where a document stands.
pub fn state(state: State) -> String {
    match state {
        State::Draft => "Nobody has approved it as it is now.".into(),
        State::InReview => "It is being read, or some of those who have to approve it have done so.".into(),
        State::Approved => "Everybody who has to has approved it as it is now, with all on which it rests.".into(),
        State::Due => format!("Approved, and to be looked at again within {NOTICE_DAYS} days."),
        State::Overdue => "Approved once, and the day for looking at it again has passed.".into(),
        State::Suspended => "Not to be used for now: it, or something on which it rests, is in doubt.".into(),
        State::Retired => "Not to be used any more. It keeps its page and has no card.".into(),
    }
}

/// What a value stands on when no source carries it.
pub fn basis(basis: Basis) -> &'static str {
    match basis {
        Basis::House => "Decided in the house. No source carries it.",
        Basis::Common => "Usual in the trade. No source carries it.",
        Basis::Derived => "Follows from other values of the pack.",
        Basis::NotReported => "What was read does not say.",
    }
}

/// What part a technique plays.
pub fn role(role: Role) -> &'static str {
    match role {
        Role::Treatment => "Loads the body with an aim.",
        Role::Screening => "Asks what stops or limits the rest.",
        Role::Consent => "Agrees with the person on what will be done.",
        Role::SensationTest => "Tests feeling in the skin before heat, cold and pressure.",
        Role::Measurement => "Takes a number, before or after.",
        Role::Education => "Tells the person what to expect and what to do.",
        Role::Movement => "The person moves.",
        Role::Pause => "Nothing is done, so that something can wear off.",
    }
}

/// Over what an exposure is added up.
pub fn per(per: Per) -> &'static str {
    match per {
        Per::Step => "Counted in one step.",
        Per::Point => "Counted on one palpation point over a session.",
        Per::Session => "Counted over all steps of a session.",
        Per::Week => "Counted over the sessions of a week and the home programme.",
    }
}

/// What brings heat or cold.
pub fn thermal_source(source: ThermalSource) -> &'static str {
    match source {
        ThermalSource::GrainBag => "A bag of grain, warmed.",
        ThermalSource::ClayPack => "A pack of moist clay gel, warmed in a water bath.",
        ThermalSource::GelPack => "A gel pack, warmed.",
        ThermalSource::WaterBottle => "A rubber bottle of hot water.",
        ThermalSource::ElectricPad => "An electric heating pad.",
        ThermalSource::HeldHeat => "Heat that never runs down: the bound for a source that nobody knows.",
        ThermalSource::IcePack => "A bag of loose ice cubes.",
        ThermalSource::CrushedIce => "A bag of crushed ice.",
        ThermalSource::FrozenGel => "A gel pack from a freezer, colder than melting ice.",
        ThermalSource::MovingIce => "Ice that is stroked along the skin.",
        ThermalSource::ColdStream => "A stream of a liquid that boils on the skin.",
    }
}

/// What lies between a pack and the skin.
pub fn cover(cover: Cover) -> &'static str {
    match cover {
        Cover::LoftedTowel => "A dry towel that keeps its loft.",
        Cover::PressedTowel => "A dry towel under the weight of the pack.",
        Cover::DampTowel => "A towel damp from the pack.",
        Cover::WetTowel => "A towel wrung out of water.",
        Cover::CottonSheet => "A thin cotton sheet.",
        Cover::ElasticWrap => "An elastic bandage.",
        Cover::None => "Nothing between the pack and the skin.",
    }
}

/// What a mistake in a published edition could do.
pub fn danger(danger: Danger) -> &'static str {
    match danger {
        Danger::Harm => "Somebody could come to harm by it. Look for prints of that edition and take them out of use.",
        Danger::Mislead => "Somebody could act otherwise because of it; no harm is in sight.",
        Danger::Words => "It changes nothing that is done.",
    }
}

/// How much of a cell of the coverage table there is.
pub fn extent(extent: Extent) -> &'static str {
    match extent {
        Extent::There => "Everything that the column asks for is in the documents.",
        Extent::Part => "Some of it is; the cell names what is not.",
        Extent::Missing => "None of it is.",
    }
}

/// Which way a comparison came out.
pub fn direction(direction: Direction) -> &'static str {
    match direction {
        Direction::Better => "Better on the treated side than under the comparator.",
        Direction::Worse => "Worse on the treated side than under the comparator.",
        Direction::NoDifference => "About the same on both sides.",
        Direction::Unclear => "The studies do not tell.",
    }
}

/// Compared with what.
pub fn comparator(comparator: Comparator) -> &'static str {
    match comparator {
        Comparator::NoTreatment => "People who got nothing.",
        Comparator::Sham => "People who got something that only looks like the treatment.",
        Comparator::UsualCare => "People who got what is given in any case.",
        Comparator::Mixed => "Sham, nothing and other care in one pool.",
        Comparator::AnotherTreatment => "People who got something else that may work.",
        Comparator::AnotherDose => "People who got the same at another dose.",
        Comparator::OwnBaseline => "The same people before. What time alone would have done is not taken out.",
    }
}

/// Why certainty moves.
pub fn domain(domain: Domain) -> &'static str {
    match domain {
        Domain::RiskOfBias => "The studies have flaws by which they may mislead.",
        Domain::Inconsistency => "The studies do not agree with each other.",
        Domain::Indirectness => "Other people, another treatment or another outcome than asked about.",
        Domain::Imprecision => "Too few people, or an interval that leaves the question open.",
        Domain::PublicationBias => "Results may exist that nobody published.",
        Domain::LargeEffect => "An effect too large to be made by flaws alone.",
        Domain::DoseResponse => "More dose goes with more effect.",
        Domain::OpposingConfounding => "What mixes in would have hidden the effect, and it shows all the same.",
    }
}

/// Judgement of a risk of bias.
pub fn judgement(judgement: Judgement) -> &'static str {
    match judgement {
        Judgement::Low => "Little reason to think that this part of a study misleads.",
        Judgement::SomeConcerns => "Some reason to think so.",
        Judgement::High => "Strong reason to think so.",
    }
}

/// How a study was made.
pub fn design(design: Design) -> &'static str {
    match design {
        Design::SystematicReview => "A review that says how it searched and what it let in.",
        Design::RandomisedTrial => "People put into groups by chance.",
        Design::ControlledTrial => "Groups, and not by chance.",
        Design::Cohort => "People followed over time.",
        Design::ReliabilityStudy => "Do examiners, or days, agree?",
        Design::AccuracyStudy => "A sign held against a reference standard.",
        Design::CaseSeries => "Several people described.",
        Design::CaseReport => "One person described.",
        Design::Guideline => "Advice of a body that says how it came to it.",
        Design::Standard => "An agreed document of a standards body.",
        Design::Handbook => "A book of the trade.",
        Design::LaboratoryStudy => "Measured in a laboratory.",
        Design::Survey => "People were asked.",
        Design::Consensus => "Experts agreed by a stated procedure.",
        Design::Narrative => "Told without a stated search.",
    }
}

/// What a source says of harms.
pub fn harms(status: HarmsStatus) -> &'static str {
    match status {
        HarmsStatus::Reported => "Harms are told, in numbers or words.",
        HarmsStatus::NoneReported => "Somebody looked, and none was found.",
        HarmsStatus::NotCollected => "Nobody looked. That is no sign of safety.",
        HarmsStatus::NotRead => "The part that was read does not say.",
    }
}

/// Whether a source still stands.
pub fn retraction(status: RetractionStatus) -> &'static str {
    match status {
        RetractionStatus::NotLookedUp => "Nobody has looked whether it was withdrawn.",
        RetractionStatus::NoneFound => "Somebody looked and found nothing.",
        RetractionStatus::Corrected => "The journal has corrected it.",
        RetractionStatus::Concern => "The journal has voiced concern.",
        RetractionStatus::Retracted => "The journal has withdrawn it.",
    }
}
