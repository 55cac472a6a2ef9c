//! Where each file lies in the site and how one file links to another. Nothing else makes a path.

use crate::model::region::{RegionId, regions};
use crate::model::{Catalog, DocRef, Kind};

/// Kinds that have a page for each document, in the order of menus.
pub const PAGED: [Kind; 13] = [
    Kind::Protocol,
    Kind::Muscle,
    Kind::Technique,
    Kind::Condition,
    Kind::Flag,
    Kind::Position,
    Kind::Measure,
    Kind::Question,
    Kind::Outcome,
    Kind::Population,
    Kind::Session,
    Kind::Page,
    Kind::Source,
];

/// Path of the start page.
pub const HOME: &str = "index.html";
/// Path of the list from A to Z.
pub const A_TO_Z: &str = "a-z.html";
/// Path of the finder.
pub const FINDER: &str = "finder.html";
/// Path of the page of evidence.
pub const EVIDENCE: &str = "evidence.html";
/// Path of the page that says what the words of certainty mean.
pub const WORDING: &str = "wording.html";
/// Path of the page that leads to everything for a course.
pub const COURSE: &str = "course.html";
/// Path of the table of coverage.
pub const COVERAGE: &str = "coverage.html";
/// Path of the glossary.
pub const GLOSSARY: &str = "glossary.html";
/// Path of the errata.
pub const ERRATA: &str = "errata.html";
/// Path of the list of editions.
pub const EDITIONS: &str = "editions.html";
/// Path of the overview of regions.
pub const REGIONS: &str = "regions/index.html";
/// Path of the page that says whether a card still holds.
pub const CARD_CHECK: &str = "card-check.html";
/// Path of the first part of the dossier.
pub const DOSSIER: &str = "audit/index.html";
/// Path of the page of tokens and components.
pub const DESIGN: &str = "design.html";
/// Path of the sheet of all cards.
pub const ALL_CARDS: &str = "cards/all.html";

/// Path of the page that a host shows for an address that is not in the site.
pub const MISSING: &str = "404.html";
/// Path of the list of pages for search engines.
pub const SITEMAP: &str = "sitemap.xml";
/// Path of the feed of changes.
pub const FEED: &str = "feed.xml";
/// Path of the description of the search for browsers.
pub const OPENSEARCH: &str = "opensearch.xml";
/// Path of the page that asks everything and shows what may still be done.
pub const SCREENING: &str = "screening.html";
/// Path of the same as data.
pub const SCREENING_DATA: &str = "data/screening.json";

/// Path of the page of a document. A pack is shown on the start page, a change on the page of what it changes.
pub fn page(catalog: &Catalog, doc: DocRef) -> String {
    match doc.kind {
        Kind::Pack => HOME.to_string(),
        Kind::Audit => format!("{}#record-{}", audit("sample"), catalog.id(doc)),
        Kind::Change => catalog.changed_by(doc).map_or_else(|| HOME.to_string(), |changed| page(catalog, changed)),
        kind => format!("{}/{}.html", kind.folder(), catalog.id(doc)),
    }
}

/// Path of a part of the reviewer's dossier.
pub fn audit(part: &str) -> String {
    format!("audit/{part}.html")
}

/// Path of the page of a region.
pub fn region(id: RegionId) -> String {
    format!("regions/{}.html", regions().get(id).id)
}

/// Address of a part of the body on the overview of regions.
pub fn body_part(group: &str) -> String {
    format!("{REGIONS}#group-{group}")
}

/// Path of the list of a kind.
pub fn list(kind: Kind) -> String {
    format!("{}/index.html", kind.folder())
}

/// Path of the card of a protocol.
pub fn card(id: &str) -> String {
    format!("cards/{id}.html")
}

/// Path of a protocol in the treatment room.
pub fn room(id: &str) -> String {
    format!("room/{id}.html")
}

/// Path of the mark sheet of a protocol.
pub fn mark_sheet(id: &str) -> String {
    format!("mark-sheets/{id}.html")
}

/// Path of the leaflet of a protocol.
pub fn leaflet(id: &str) -> String {
    format!("leaflets/{id}.html")
}

/// Path of two muscles side by side.
pub fn side_by_side(one: &str, two: &str) -> String {
    format!("side-by-side/{one}-and-{two}.html")
}

/// Path of the card of a session. A protocol may have the same id.
pub fn session_card(id: &str) -> String {
    format!("cards/session-{id}.html")
}

/// Path of the card of a protocol or session; `None` for what has no card.
pub fn card_of(catalog: &Catalog, doc: DocRef) -> Option<String> {
    match doc.kind {
        Kind::Protocol => Some(card(catalog.id(doc))),
        Kind::Session => Some(session_card(catalog.id(doc))),
        _ => None,
    }
}

/// Path of the worksheet of a protocol.
pub fn worksheet(id: &str) -> String {
    format!("worksheets/{id}.yaml")
}

/// Path of the data of a document.
pub fn data(catalog: &Catalog, doc: DocRef) -> String {
    format!("data/{}/{}.json", doc.kind.folder(), catalog.id(doc))
}

/// The way from the folder of file `from` back to the top: empty or one `../` for each folder.
pub fn root(from: &str) -> String {
    "../".repeat(from.matches('/').count())
}

/// The link from file `from` to file `to`, always with the file name.
pub fn relative(from: &str, to: &str) -> String {
    let (from_folder, to_folder) = (folder(from), folder(to));
    if from_folder == to_folder {
        return to.get(to_folder.len()..).unwrap_or(to).to_string();
    }
    format!("{}{to}", root(from))
}

fn folder(path: &str) -> &str {
    path.rfind('/').and_then(|i| path.get(..=i)).unwrap_or("")
}

/// Heading of the list of a kind.
pub fn heading(kind: Kind) -> &'static str {
    match kind {
        Kind::Pack => "Packs",
        Kind::Audit => "Records of readers",
        Kind::Change => "Changes",
        Kind::Condition => "Conditions",
        Kind::Flag => "Red flags",
        Kind::Measure => "Measures",
        Kind::Muscle => "Muscles",
        Kind::Outcome => "Outcomes",
        Kind::Page => "Reading",
        Kind::Population => "Populations",
        Kind::Position => "Positions",
        Kind::Protocol => "Protocols",
        Kind::Question => "Questions",
        Kind::Session => "Sessions",
        Kind::Source => "Sources",
        Kind::Technique => "Techniques",
    }
}

/// Word for one document of a kind, for people.
pub fn word(kind: Kind) -> &'static str {
    match kind {
        Kind::Flag => "red flag",
        Kind::Page => "reading",
        kind => kind.word(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn links_name_a_file_and_never_leave_the_site() {
        assert_eq!(relative("index.html", "muscles/soleus.html"), "muscles/soleus.html");
        assert_eq!(relative("muscles/soleus.html", "index.html"), "../index.html");
        assert_eq!(relative("muscles/soleus.html", "muscles/index.html"), "index.html");
        assert_eq!(relative("muscles/soleus.html", "cards/soleus.html"), "../cards/soleus.html");
        assert_eq!(relative("index.html", "a-z.html"), "a-z.html");
    }
}
