//! The list as a page that stands alone in its folder.

use super::{CAUTION, Listing, spoken};
use crate::compute::compare::Step;
use crate::plan::site::Site;
use crate::plan::view::audit::{AuditPage, Cell, Section, TableRow};
use crate::plan::view::parts::Link;

/// Number of changes and both editions.
pub fn headline(list: &Listing) -> String {
    list.headline()
}

/// A table for each class, most dangerous first.
pub fn by_class(list: &Listing) -> Vec<Section> {
    let mut sections: Vec<Section> = Vec::new();
    for (class, changes) in list.groups() {
        let rows = changes.iter().map(|change| {
            let own = spoken(change);
            let cells = [
                change.path.clone(),
                own.document,
                change.way.word().to_string(),
                own.old,
                own.new,
                own.ratio.unwrap_or_default(),
                own.shows_on,
            ];
            TableRow { id: None, cells: cells.map(Cell::words).into() }
        });
        sections.push(Section {
            id: class.word().into(),
            heading: class.heading().into(),
            open: class.step() == Step::Major,
            heads: vec!["what", "document", "way", "before", "after", "ratio", "shows on"],
            rows: rows.collect(),
            ..Section::default()
        });
    }
    sections
}

/// The page, as a table for each class. It is laid out like a part of the dossier.
pub fn page(site: &Site<'_>, list: &Listing) -> AuditPage {
    let mut sections = by_class(list);
    for (id, heading, cards) in [("reprint", "Cards to print again", &list.reprint), ("withdraw", "Cards to withdraw", &list.withdraw)] {
        if !cards.is_empty() {
            let row =
                |c: &super::Card| TableRow { id: None, cells: vec![Cell::words(c.title.clone()), Cell::words(c.document.to_string())] };
            let rows = cards.iter().map(row).collect();
            sections.push(Section {
                id: id.into(),
                heading: heading.into(),
                heads: vec!["protocol", "document"],
                rows,
                ..Section::default()
            });
        }
    }
    sections.push(Section { id: "edition".into(), heading: "Edition".into(), words: vec![list.verdict()], ..Section::default() });
    let parts = sections.iter().map(|s| Link { text: s.heading.clone(), href: format!("#{}", s.id) }).collect();
    let names = format!("{} compared with {}.", list.new.name, list.old.name);
    let mut page =
        AuditPage { frame: site.frame("What changed"), intro: vec![list.headline() + ".", names, CAUTION.into()], parts, sections }.alone();
    page.frame.crumbs.clear();
    page
}
