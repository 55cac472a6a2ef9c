//! View models: one struct for each template and the small parts they share.
//!
//! Everything is already text or number. Templates only lay out; they compute nothing and know no
//! document.

pub mod altered;
pub mod audit;
pub mod az;
pub mod card;
pub mod card_check;
pub mod chart;
pub mod claim;
pub mod condition;
pub mod course;
pub mod design;
pub mod differs;
pub mod effect;
pub mod evidence;
pub mod finder;
pub mod flag;
pub mod forest;
pub mod home;
pub mod list;
pub mod measure;
pub mod missing;
pub mod muscle;
pub mod outcome;
pub mod page;
pub mod parts;
pub mod pictogram;
pub mod population;
pub mod position;
pub mod protocol;
pub mod question;
pub mod region;
pub mod regions;
pub mod result;
pub mod room;
pub mod screening;
pub mod session;
pub mod source;
pub mod sources;
pub mod standing;
pub mod stretch;
pub mod technique;
pub mod told;
pub mod wording;

/// A finished view and, through its variant, the template that lays it out.
#[derive(Debug)]
pub enum View {
    /// Start page.
    Home(Box<home::Home>),
    /// List of one kind.
    List(Box<list::List>),
    /// List from A to Z.
    Az(Box<az::Az>),
    /// Part of the reviewer's dossier.
    Audit(Box<audit::AuditPage>),
    /// Finder.
    Finder(Box<finder::FinderPage>),
    /// Picture of one view of the body chart.
    Figure(Box<chart::figure::Figure>),
    /// Region.
    Region(Box<region::RegionPage>),
    /// Overview of regions.
    Regions(Box<regions::Regions>),
    /// Muscle.
    Muscle(Box<muscle::MusclePage>),
    /// Protocol.
    Protocol(Box<protocol::ProtocolPage>),
    /// Protocol in the treatment room.
    Room(Box<room::RoomPage>),
    /// Screening.
    Screening(Box<screening::ScreeningPage>),
    /// Technique.
    Technique(Box<technique::TechniquePage>),
    /// Condition.
    Condition(Box<condition::ConditionPage>),
    /// Red flag.
    Flag(Box<flag::FlagPage>),
    /// Measure.
    Measure(Box<measure::MeasurePage>),
    /// Source.
    Source(Box<source::SourcePage>),
    /// Position.
    Position(Box<position::PositionPage>),
    /// Free text.
    Page(Box<page::TextPage>),
    /// Evidence in one place.
    Evidence(Box<evidence::EvidencePage>),
    /// What the words of certainty mean.
    Wording(Box<wording::WordingPage>),
    /// Does a card still hold?
    CardCheck(Box<card_check::CardCheck>),
    /// Question.
    Question(Box<question::QuestionPage>),
    /// Outcome.
    Outcome(Box<outcome::OutcomePage>),
    /// Population.
    Population(Box<population::PopulationPage>),
    /// Session.
    Session(Box<session::SessionPage>),
    /// For a course.
    Course(Box<course::CourseView>),
    /// Cards.
    Card(Box<card::Cards>),
    /// Tokens and components.
    Design(Box<design::DesignPage>),
    /// What a host shows for an address that is not in the site.
    Missing(Box<missing::Missing>),
    /// Pages for search engines.
    Sitemap(Box<super::hosting::Sitemap>),
    /// Feed of changes.
    Feed(Box<super::hosting::Feed>),
    /// Description of the search.
    Described(Box<super::hosting::Described>),
}

impl View {
    /// Name of the template that lays it out.
    pub fn template(&self) -> &'static str {
        match self {
            View::Home(_) => "home.html",
            View::Evidence(_) => "evidence.html",
            View::Wording(_) => "wording.html",
            View::CardCheck(_) => "card_check.html",
            View::List(_) => "list.html",
            View::Az(_) => "az.html",
            View::Audit(_) => "audit.html",
            View::Finder(_) => "finder.html",
            View::Figure(_) => "figure.svg",
            View::Region(_) => "region.html",
            View::Regions(_) => "regions.html",
            View::Muscle(_) => "muscle.html",
            View::Protocol(_) => "protocol.html",
            View::Room(_) => "room.html",
            View::Screening(_) => "screening.html",
            View::Technique(_) => "technique.html",
            View::Condition(_) => "condition.html",
            View::Flag(_) => "flag.html",
            View::Measure(_) => "measure.html",
            View::Source(_) => "source.html",
            View::Position(_) => "position.html",
            View::Page(_) => "page.html",
            View::Question(_) => "question.html",
            View::Outcome(_) => "outcome.html",
            View::Population(_) => "population.html",
            View::Session(_) => "session.html",
            View::Course(v) => v.template(),
            View::Card(_) => "card.html",
            View::Design(_) => "design.html",
            View::Missing(_) => "missing.html",
            View::Sitemap(_) => "sitemap.xml",
            View::Feed(_) => "feed.xml",
            View::Described(_) => "opensearch.xml",
        }
    }
}
