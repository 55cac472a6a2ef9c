//! Parts that several views share.

use crate::plan::menu::MenuGroup;
use serde::Serialize;

/// A link inside the site.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Link {
    /// Words.
    pub text: String,
    /// Relative address.
    pub href: String,
}

/// A label and its text.
#[derive(Debug, Clone, Serialize)]
pub struct Pair {
    /// Label.
    pub label: String,
    /// Text.
    pub text: String,
}

/// A state with its word and the name of its shape, so that colour is never alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Mark {
    /// Word.
    pub word: &'static str,
    /// Shape: `octagon`, `triangle`, `diamond`, `square`, `circle`, `ring`, `dash`, `arrow`.
    pub shape: &'static str,
    /// Style class.
    pub class: &'static str,
}

/// A pack as every page shows it.
#[derive(Debug, Clone, Serialize)]
pub struct PackLine {
    /// Title.
    pub title: String,
    /// Edition.
    pub edition: String,
    /// Notice.
    pub notice: String,
    /// Banner of a demonstration.
    pub demonstration: Option<String>,
    /// Licence.
    pub licence: String,
}

/// What surrounds the content of every page.
#[derive(Debug, Clone, Serialize)]
pub struct Frame {
    /// Language tag.
    pub lang: String,
    /// Title of the page.
    pub title: String,
    /// Title of the site.
    pub site: String,
    /// Kind of the document, for people.
    pub kind: Option<&'static str>,
    /// The way to the top folder.
    pub root: String,
    /// The way to the start page.
    pub home: String,
    /// What the page is, as JSON-LD.
    pub about: String,
    /// Files for hosts that pages name.
    pub hosted: crate::plan::hosting::Hosted,
    /// Menu.
    pub nav: Vec<MenuGroup>,
    /// Path back to the start page.
    pub crumbs: Vec<Link>,
    /// Packs whose content stands here.
    pub packs: Vec<PackLine>,
    /// State of the document.
    pub state: Option<Mark>,
    /// Where the address of a retired document leads on to.
    pub moved: Option<String>,
    /// What is said above everything, where it must not be used as it is.
    pub banner: Option<super::standing::Banner>,
    /// Day by which it is to be looked at again.
    pub review_by: Option<String>,
    /// What the site is for and what it is not.
    pub use_note: &'static str,
    /// The same content for machines.
    pub data: Option<String>,
    /// Mistakes in earlier editions of the document.
    pub errata: Vec<super::course::errata::ErratumView>,
    /// What is not as in the base pack.
    pub differs: Option<super::differs::Differs>,
}

/// A source that a value rests on.
#[derive(Debug, Clone, Serialize)]
pub struct CiteView {
    /// The source.
    pub source: Link,
    /// Where in it.
    pub at: Option<String>,
    /// The source in which it was read, if it was not opened itself.
    pub through: Option<Link>,
    /// What it supports.
    pub supports: Option<String>,
}

/// What a value rests on.
#[derive(Debug, Clone, Default, Serialize)]
pub struct GroundView {
    /// Sources.
    pub cites: Vec<CiteView>,
    /// Basis, where there is no source.
    pub basis: Option<&'static str>,
}

/// A number on a page and its row in the dossier.
#[derive(Debug, Clone, Serialize)]
pub struct Trace {
    /// What the number is.
    pub name: String,
    /// The row.
    pub href: String,
}

/// A statement with its certainty and ground.
#[derive(Debug, Clone, Serialize)]
pub struct ClaimView {
    /// The statement.
    pub text: String,
    /// Certainty.
    pub certainty: Option<String>,
    /// The page that says what the word means.
    pub wording: String,
    /// What carries it: the answer to a question, or a result of a source.
    pub carried_by: Option<Link>,
    /// Compared with what and in whom.
    pub setting: Vec<String>,
    /// True if what carries it was made up for a demonstration.
    pub invented: bool,
    /// Ground.
    pub ground: GroundView,
}

/// A stop rule.
#[derive(Debug, Clone, Serialize)]
pub struct StopView {
    /// Sign.
    pub sign: String,
    /// Threshold.
    pub at: Option<String>,
    /// Action.
    pub act: Option<String>,
    /// Exit.
    pub then: Option<String>,
    /// True if the step added it to the rules of its technique.
    pub added: bool,
}

/// One number or word of a dose.
#[derive(Debug, Clone, Serialize)]
pub struct DoseView {
    /// What it is, for people.
    pub label: String,
    /// Value with its unit.
    pub value: String,
    /// The same in the other unit of a pair.
    pub other: Option<String>,
    /// True if it sets the tool rather than says how long, how many or how hard.
    pub minor: bool,
    /// True if it caps pain.
    pub cap: bool,
}

impl DoseView {
    /// The value, with the other unit of a pair behind it.
    pub fn shown(&self) -> String {
        let other = self.other.as_ref().map(|o| format!(" ({o})")).unwrap_or_default();
        format!("{}{other}", self.value)
    }
}

/// A limit.
#[derive(Debug, Clone, Serialize)]
pub struct LimitView {
    /// Stressor.
    pub stressor: &'static str,
    /// Over what.
    pub per: &'static str,
    /// The most.
    pub max: String,
    /// Where; empty means everywhere.
    pub places: Vec<String>,
    /// Why.
    pub why: Option<String>,
    /// Ground.
    pub ground: GroundView,
}

/// Markdown text and where its links lead from this page.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Prose {
    /// Text.
    pub text: String,
    /// Links.
    pub links: Vec<ProseLink>,
    /// Headings are moved down by this many levels.
    pub down: u8,
}

/// A link of a Markdown text.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct ProseLink {
    /// As written, `kind:id`.
    pub from: String,
    /// Relative address.
    pub to: String,
    /// True if it leads to a source.
    pub source: bool,
}

/// Links to documents of one kind.
#[derive(Debug, Clone, Serialize)]
pub struct LinkGroup {
    /// Heading.
    pub heading: &'static str,
    /// Links.
    pub links: Vec<Link>,
}

/// A flag as protocols, sessions and cards show it.
#[derive(Debug, Clone, Serialize)]
pub struct FlagView {
    /// Id.
    pub id: String,
    /// Page.
    pub link: Link,
    /// Question.
    pub question: String,
    /// Sign to check.
    pub sign: Option<String>,
    /// Urgency with its shape.
    pub urgency: Mark,
    /// Clock.
    pub clock: &'static str,
    /// Destination.
    pub destination: String,
    /// How to reach it.
    pub how: Option<String>,
    /// What to do meanwhile.
    pub meanwhile: String,
    /// What to say.
    pub say: Option<String>,
    /// What to write.
    pub write: Option<String>,
    /// Safety net.
    pub safety_net: Option<String>,
    /// Why it is here, in words.
    pub because: Vec<String>,
    /// Note of the protocol.
    pub note: Option<String>,
    /// Row of the dossier, on the page of a protocol.
    pub trace: Option<String>,
}

/// Flags that send people to the same place in the same time.
#[derive(Debug, Clone, Serialize)]
pub struct FlagGroup {
    /// Urgency with its shape.
    pub urgency: Mark,
    /// Clock.
    pub clock: &'static str,
    /// Destination.
    pub destination: String,
    /// How to reach it.
    pub how: Option<String>,
    /// Flags.
    pub flags: Vec<FlagView>,
}

/// Cautions of one strength.
#[derive(Debug, Clone, Serialize)]
pub struct CautionGroup {
    /// Strength with its shape.
    pub strength: Mark,
    /// What to do with it, in a sentence.
    pub act: &'static str,
    /// Cautions.
    pub cautions: Vec<CautionView>,
}

/// A caution as protocols and cards show it.
#[derive(Debug, Clone, Serialize)]
pub struct CautionView {
    /// Id.
    pub id: String,
    /// Page.
    pub link: Link,
    /// Question.
    pub question: String,
    /// What to look for.
    pub look_for: Option<String>,
    /// Strongest strength with its shape.
    pub strength: Mark,
    /// Rows that touch the protocol.
    pub rows: Vec<CautionRow>,
    /// Reason.
    pub reason: String,
    /// Who may clear it.
    pub clears: Option<String>,
    /// What it does together with others.
    pub together: Vec<TogetherView>,
    /// True if the protocol excludes people with it.
    pub excluded: bool,
}

/// What a condition does together with others.
#[derive(Debug, Clone, Serialize)]
pub struct TogetherView {
    /// The others: one of them is enough.
    pub with: Vec<Link>,
    /// Strongest strength with its shape.
    pub strength: Mark,
    /// Rows that touch the protocol.
    pub rows: Vec<CautionRow>,
    /// Reason.
    pub reason: String,
}

/// What a caution does to some steps.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CautionRow {
    /// Stressor.
    pub stressor: &'static str,
    /// Strength.
    pub strength: &'static str,
    /// Numbers of a limit.
    pub numbers: String,
    /// Steps and home items, in words.
    pub steps: String,
    /// Where; empty means everywhere.
    pub places: Vec<String>,
    /// Why.
    pub why: Option<String>,
    /// Technique instead.
    pub instead: Option<Link>,
    /// Row of the dossier.
    pub trace: Option<String>,
}

/// A row of a ledger.
#[derive(Debug, Clone, Serialize)]
pub struct LedgerRow {
    /// Where.
    pub place: String,
    /// Stressor.
    pub stressor: &'static str,
    /// `session` or `week`.
    pub over: &'static str,
    /// Best case.
    pub best: String,
    /// Worst case.
    pub worst: String,
    /// The most, if a limit holds.
    pub limit: Option<String>,
    /// Whose limit.
    pub whose: &'static str,
    /// Which steps add to it.
    pub steps: String,
    /// Bar, if a limit holds.
    pub bar: Option<Bar>,
    /// Row of the dossier with what it is computed from.
    pub trace: Option<String>,
    /// True if the worst case is above the limit.
    pub over_limit: bool,
}

/// A bar on a scale of 100.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bar {
    /// Length of the best case.
    pub best: f64,
    /// Length of the worst case.
    pub worst: f64,
    /// Place of the limit.
    pub limit: f64,
}
