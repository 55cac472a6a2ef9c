//! The pack file and its Markdown pages.

use super::Acknowledged;
use super::Amount;
use super::ChangeReason;
use super::Ground;
use super::Head;
use super::HouseThermal;
use super::Limit;
use super::SignOffRule;
use crate::model::vocabulary::Citing;
use crate::model::vocabulary::Danger;
use crate::source::Spanned;
use crate::source::Text;

/// `pack.yaml`.
#[derive(Clone, Debug)]
pub struct Pack {
    /// Common part; `pack` points at itself.
    pub head: Head,
    /// Title.
    pub title: Text,
    /// Edition.
    pub edition: Text,
    /// Language tag.
    pub language: Text,
    /// Country.
    pub jurisdiction: Text,
    /// SPDX expression.
    pub licence: Text,
    /// Notice for every page and card.
    pub notice: Text,
    /// Banner of a demonstration.
    pub demonstration: Option<Text>,
    /// The pack on which this one builds.
    pub extends: Option<Extends>,
    /// Scope in words.
    pub practice: Option<Text>,
    /// Medical conditions that the pack may claim to treat.
    pub treats: Vec<Text>,
    /// Training levels in scope.
    pub training: Vec<Text>,
    /// Special authorisations held.
    pub authorisations: Vec<Text>,
    /// Longest time between reviews.
    pub review_interval: Option<Amount>,
    /// Age from which on the search of a question is too old.
    pub search_limit: Option<Amount>,
    /// Roles that may approve.
    pub roles: Vec<Text>,
    /// Whose approval a document needs.
    pub sign_off: SignOffRule,
    /// Suspensions that were read.
    pub acknowledged: Vec<Acknowledged>,
    /// Reasons of dangerous changes.
    pub changes: Vec<ChangeReason>,
    /// Mistakes in editions that were published.
    pub errata: Vec<Erratum>,
    /// Address at which the site is published.
    pub published: Option<Text>,
    /// Appointment length.
    pub appointment: Option<Amount>,
    /// Emergency number.
    pub emergency: Option<Text>,
    /// Ground of the number.
    pub emergency_ground: Ground,
    /// Destinations by role.
    pub destinations: Vec<Destination>,
    /// House ceiling on pain.
    pub pain_cap: Option<Amount>,
    /// Time for a turn.
    pub turn: Option<Amount>,
    /// Time for notes.
    pub notes_time: Option<Amount>,
    /// Longest time for which the thumb may be held down without a break.
    pub thumb_hold: Option<Amount>,
    /// Most time of thumb pressure in a session.
    pub thumb_session: Option<Amount>,
    /// House limits.
    pub limits: Vec<Limit>,
    /// House numbers about heat and cold.
    pub thermal: HouseThermal,
    /// Ground of the house numbers.
    pub house_ground: Ground,
    /// Raised levels.
    pub levels: Vec<Raise>,
    /// Findings let through.
    pub waivers: Vec<Waiver>,
    /// Words that must not appear.
    pub protected_words: Vec<Text>,
    /// Highest grade at which texts for the person may read.
    pub reading_grade: Option<Spanned<f64>>,
    /// Most words of a quotation.
    pub quote_words: Option<Spanned<i64>>,
    /// How references are cited and listed.
    pub references: Option<Spanned<Citing>>,
    /// Words of the pack with their meaning.
    pub glossary: Vec<Word>,
    /// Open questions.
    pub open_questions: Vec<Text>,
}

/// A word and what it means in a pack.
#[derive(Clone, Debug)]
pub struct Word {
    /// The word or words.
    pub word: Text,
    /// What it means.
    pub means: Text,
    /// What the meaning stands on.
    pub ground: Ground,
}

/// A mistake in an edition that was published, and what is right.
#[derive(Clone, Debug)]
pub struct Erratum {
    /// When it was made known.
    pub date: Option<Spanned<jiff::civil::Date>>,
    /// The edition that has the mistake.
    pub edition: Text,
    /// The document as `folder/id`.
    pub document: Text,
    /// Place in it, in words.
    pub place: Text,
    /// What it said.
    pub was: Text,
    /// What is right.
    pub is: Text,
    /// How it came about, or why it matters.
    pub why: Text,
    /// What it could do.
    pub danger: Option<Spanned<Danger>>,
}

/// The pack on which another builds.
#[derive(Clone, Debug)]
pub struct Extends {
    /// Its id.
    pub pack: Text,
    /// Its edition as asked for.
    pub edition: Text,
    /// The same, read.
    pub wanted: Option<semver::VersionReq>,
    /// Its folder as written.
    pub at: Text,
    /// Digest over all that it says.
    pub digest: Option<Spanned<crate::model::content::Digest>>,
    /// The key.
    pub span: crate::source::Span,
}

/// A destination.
#[derive(Clone, Debug)]
pub struct Destination {
    /// Role id.
    pub id: Text,
    /// Name.
    pub name: Text,
    /// How to reach it.
    pub how: Text,
}

/// A raised level.
#[derive(Clone, Debug)]
pub struct Raise {
    /// Check.
    pub check: Text,
    /// `error` or `warning`.
    pub level: Text,
    /// Reason.
    pub reason: Text,
    /// Who decided.
    pub role: Text,
    /// Last day.
    pub until: Option<Spanned<jiff::civil::Date>>,
}

/// A finding let through for a time.
#[derive(Clone, Debug)]
pub struct Waiver {
    /// Check.
    pub check: Text,
    /// Document as `folder/id`.
    pub document: Text,
    /// Place in it.
    pub pointer: Option<Text>,
    /// Reason.
    pub reason: Text,
    /// Who decided.
    pub role: Text,
    /// Last day.
    pub until: Option<Spanned<jiff::civil::Date>>,
}

/// A Markdown page.
#[derive(Clone, Debug)]
pub struct Page {
    /// Common part.
    pub head: Head,
    /// First heading.
    pub title: Text,
    /// The whole text.
    pub body: Text,
}
