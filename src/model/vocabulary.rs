//! Closed word lists of the trade: stressors, strengths of a caution, urgency, basis.

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$vdoc])* $variant),+ }

        impl $name {
            /// All values in order.
            pub const ALL: &'static [$name] = &[$($name::$variant),+];

            /// The word as written and shown.
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word),+ }
            }

            /// The value of a word.
            pub fn from_word(word: &str) -> Option<Self> {
                match word { $($word => Some($name::$variant),)+ _ => None }
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.serialize_str(self.word())
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                let word = <String as serde::Deserialize>::deserialize(from)?;
                Self::from_word(&word).ok_or_else(|| serde::de::Error::custom(format!("`{word}` is not on the list")))
            }
        }
    };
}

pub(crate) use words;

words! {
    /// How references are cited and listed.
    Citing {
        /// By author and year, in the order of the alphabet.
        AuthorDate = "author-date",
        /// By number, the same on every page.
        Numbered = "numbered",
    }
}

words! {
    /// What a step does to the body.
    Stressor {
        /// Steady pressure.
        Pressure = "pressure",
        /// Pincer squeeze.
        Squeeze = "squeeze",
        /// Shear along the skin.
        Shear = "shear",
        /// Cold.
        Cold = "cold",
        /// Heat.
        Heat = "heat",
        /// Stretch to the end of the range.
        Stretch = "end-range stretch",
        /// Load from the person's own effort.
        Contraction = "contraction load",
        /// The position itself.
        Position = "position",
        /// Something on the skin.
        Topical = "topical",
    }
}

words! {
    /// Where a document stands, as far as it is typed in.
    Status {
        /// Being written.
        Draft = "draft",
        /// Being read by those who will approve it.
        InReview = "in review",
        /// Not to be used for now.
        Suspended = "suspended",
        /// Not to be used any more.
        Retired = "retired",
    }
}

words! {
    /// How strongly a condition blocks, strongest first.
    Strength {
        /// Anywhere.
        Never = "never",
        /// In the affected or named region.
        NotHere = "not here",
        /// With numbers.
        Limit = "limit",
        /// Written clearance first.
        AskFirst = "ask first",
        /// Watch closely.
        Watch = "watch",
        /// Nothing.
        None = "no restriction",
    }
}

impl Strength {
    /// True if a step with it must not be given.
    pub fn blocks(self) -> bool {
        matches!(self, Strength::Never | Strength::NotHere)
    }
}

words! {
    /// How fast a person is sent on.
    Urgency {
        /// Emergency service.
        Now = "now",
        /// Before the day ends.
        SameDay = "same day",
        /// Soon.
        TwoWeeks = "within 2 weeks",
        /// Without haste.
        Routine = "routine",
    }
}

impl Urgency {
    /// The clock behind the tier, for people.
    pub fn clock(self) -> &'static str {
        match self {
            Urgency::Now => "at once",
            Urgency::SameDay => "before the day ends",
            Urgency::TwoWeeks => "within 14 days",
            Urgency::Routine => "at the next ordinary appointment",
        }
    }
}

words! {
    /// What a value stands on when no source carries it.
    Basis {
        /// Decided in the house.
        House = "house practice",
        /// Usual in the trade, no source.
        Common = "common practice",
        /// Follows from other values.
        Derived = "derived",
        /// The source does not say.
        NotReported = "not reported",
    }
}

words! {
    /// What part a technique plays.
    Role {
        /// Treats.
        Treatment = "treatment",
        /// Asks what stops or limits treatment.
        Screening = "screening",
        /// Agrees on what will be done.
        Consent = "consent",
        /// Tests feeling before heat and cold.
        SensationTest = "sensation test",
        /// Measures.
        Measurement = "measurement",
        /// Teaches.
        Education = "education",
        /// Active movement.
        Movement = "movement",
        /// Pause.
        Pause = "pause",
    }
}

words! {
    /// Over what an exposure is added up.
    Per {
        /// One step.
        Step = "step",
        /// One palpation point in a session.
        Point = "point",
        /// A session.
        Session = "session",
        /// A week, home programme included.
        Week = "week",
    }
}

words! {
    /// What a mistake in a published edition could do.
    Danger {
        /// Somebody could come to harm by it.
        Harm = "could harm",
        /// Somebody could be led to act otherwise, without harm in sight.
        Mislead = "could mislead",
        /// It changes nothing that is done.
        Words = "words alone",
    }
}

words! {
    /// What brings heat or cold to the skin.
    ThermalSource {
        /// Bag of grain, warmed.
        GrainBag = "grain bag",
        /// Pack of moist clay gel from a water bath.
        ClayPack = "clay pack",
        /// Gel pack, warmed.
        GelPack = "gel pack",
        /// Rubber bottle of hot water.
        WaterBottle = "water bottle",
        /// Electric heating pad.
        ElectricPad = "electric pad",
        /// Heat that never runs down: the bound for a source that nobody knows.
        HeldHeat = "held heat",
        /// Bag of loose ice cubes.
        IcePack = "ice pack",
        /// Bag of crushed ice.
        CrushedIce = "crushed ice",
        /// Gel pack from a freezer, colder than melting ice.
        FrozenGel = "frozen gel",
        /// Ice that is stroked along the skin.
        MovingIce = "moving ice",
        /// Stream of a liquid that boils on the skin.
        ColdStream = "cold stream",
    }
}

impl ThermalSource {
    /// True for heat, false for cold.
    pub fn is_heat(self) -> bool {
        match self {
            Self::GrainBag | Self::ClayPack | Self::GelPack | Self::WaterBottle | Self::ElectricPad | Self::HeldHeat => true,
            Self::IcePack | Self::CrushedIce | Self::FrozenGel | Self::MovingIce | Self::ColdStream => false,
        }
    }

    /// True for cold that is safe only while it moves along the skin.
    pub fn moves(self) -> bool {
        matches!(self, Self::MovingIce | Self::ColdStream)
    }
}

words! {
    /// What one layer between a pack and the skin is made of. How many there are is part of the dose.
    Cover {
        /// Dry towel that keeps its loft.
        LoftedTowel = "lofted towel",
        /// Dry towel under the weight of the pack.
        PressedTowel = "pressed towel",
        /// Towel damp from the pack.
        DampTowel = "damp towel",
        /// Towel wrung out of water.
        WetTowel = "wet towel",
        /// Thin cotton sheet.
        CottonSheet = "cotton sheet",
        /// Elastic bandage.
        ElasticWrap = "elastic wrap",
        /// Nothing.
        None = "none",
    }
}

words! {
    /// A coefficient of agreement. The six forms of the intraclass correlation are those of Shrout and
    /// Fleiss, Psychological Bulletin 1979;86:420-428; a form is named only where the source names it.
    Coefficient {
        /// Intraclass correlation, form not stated.
        Icc = "ICC",
        /// One way, single reading.
        Icc11 = "ICC(1,1)",
        /// One way, mean of readings.
        Icc1k = "ICC(1,k)",
        /// Two way, absolute agreement, single reading.
        Icc21 = "ICC(2,1)",
        /// Two way, absolute agreement, mean of readings.
        Icc2k = "ICC(2,k)",
        /// Two way, consistency, single reading.
        Icc31 = "ICC(3,1)",
        /// Two way, consistency, mean of readings.
        Icc3k = "ICC(3,k)",
        /// Agreement beyond chance on a yes or no.
        Kappa = "kappa",
        /// The same for ordered answers.
        WeightedKappa = "weighted kappa",
        /// The same for more than two raters.
        FleissKappa = "Fleiss kappa",
        /// Kappa adjusted for prevalence and bias.
        Pabak = "PABAK",
        /// Share of equal answers, chance included.
        PercentAgreement = "percent agreement",
    }
}

impl Coefficient {
    /// True for agreement on an answer, beyond chance.
    pub fn is_kappa(self) -> bool {
        matches!(self, Self::Kappa | Self::WeightedKappa | Self::FleissKappa | Self::Pabak)
    }
}

words! {
    /// Between which readings agreement or error lies.
    Raters {
        /// One rater, one occasion.
        Same = "same rater",
        /// Different raters.
        Two = "two raters",
        /// Different days.
        TwoDays = "two days",
    }
}

words! {
    /// Whether items of a scale may be reprinted.
    LicenceTerms {
        /// They may.
        Free = "free",
        /// They may not.
        Restricted = "restricted",
    }
}
