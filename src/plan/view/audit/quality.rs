//! The description of each protocol in 12 cells, and two published lists by item number.

use super::{Cell, Line, Section, TableRow};
use crate::compute::dossier::quality::{Domain, Item, RATERS_LEAST, Where, agree, right};
use crate::compute::reporting::State;
use crate::model::Kind;
use crate::plan::route;
use crate::plan::site::Site;
use crate::plan::view::parts::Link;

type Part = (Vec<String>, Vec<Section>);

pub(super) fn quality(site: &Site<'_>) -> Part {
    let intro = vec![
        "What is reported, and where. Item numbers follow the published lists; the words are ours and stand for neither text. Read the lists themselves before judging.".into(),
    ];
    let mut sections = vec![cells(site), reported(site)];
    sections.push(Section {
        id: "made".into(),
        heading: "Is the pack well made? By item of AGREE II".into(),
        words: vec![
            "Brouwers 2010, CMAJ 182:E839-E842, doi:10.1503/cmaj.090449. Items are named by number; the instrument is its authors' and is to be used as they say.".into(),
            format!("Ratings are those of people who read the pack, entered in the folder audits of the pack; the tool fills in none. A domain has a score once {RATERS_LEAST} raters have rated each of its items: (obtained - least) / (most - least)."),
        ],
        ..Section::default()
    });
    sections.extend(agree(site.catalog).iter().enumerate().map(|(i, d)| domain(site, i, d)));
    (intro, sections)
}

fn cells(site: &Site<'_>) -> Section {
    let rows = site.catalog.docs(Kind::Protocol).zip(&site.facts.protocols).map(|(d, f)| {
        let state = |c: &crate::compute::reporting::Cell| match c.state {
            State::Filled => Cell::words("filled"),
            State::Empty => Cell::words("empty"),
            State::NotApplicable(why) => Cell::words(format!("does not apply: {why}")),
        };
        TableRow { id: None, cells: std::iter::once(Cell::link(site.link(d))).chain(f.reporting.iter().map(state)).collect() }
    });
    let names = site.facts.protocols.first().map(|f| f.reporting.iter().map(|c| c.name).collect::<Vec<_>>()).unwrap_or_default();
    Section {
        id: "description".into(),
        heading: "Could somebody else do it? Each protocol in 12 cells".into(),
        words: vec!["In the order of the items of TIDieR (Hoffmann 2014, BMJ 348:g1687, doi:10.1136/bmj.g1687).".into()],
        heads: std::iter::once("Protocol").chain(names).collect(),
        rows: rows.collect(),
        ..Section::default()
    }
}

fn reported(site: &Site<'_>) -> Section {
    Section {
        id: "reported".into(),
        heading: "Is the pack well reported? By sub-item of RIGHT".into(),
        words: vec![
            "Chen 2017, Ann Intern Med 166:128-132, doi:10.7326/M16-1565. No score is computed: its authors advise against a sum. What items 10 to 22 ask is worded from memory.".into(),
        ],
        heads: vec!["Item", "In our words", "In the pack"],
        rows: right(site.catalog).iter().map(|i| item(site, i)).collect(),
        ..Section::default()
    }
}

fn item(site: &Site<'_>, i: &Item) -> TableRow {
    TableRow { id: None, cells: vec![Cell::words(i.number), Cell::words(i.words), shown(site, i)] }
}

fn shown(site: &Site<'_>, i: &Item) -> Cell {
    let Some((what, at)) = i.shown else { return Cell::words("not in the pack") };
    let href = match at {
        Where::Pack => site.to(route::HOME),
        Where::Kind(kind) => site.to(&route::list(kind)),
        Where::Part(part) => site.to(&route::audit(part)),
    };
    Cell::link(Link { text: what.into(), href })
}

fn domain(site: &Site<'_>, i: usize, d: &Domain) -> Section {
    let rows = d.items.iter().map(|item| {
        let number: i64 = item.number.parse().unwrap_or(0);
        let rated =
            site.catalog.audits.rows().iter().flat_map(|a| a.ratings.iter().map(move |r| (a, r))).filter(|(_, r)| r.item.value == number);
        let line = |(a, r): (&crate::model::docs::Audit, &crate::model::docs::ItemRating)| {
            let why = r.why.as_ref().map(|w| format!(": {}", w.value)).unwrap_or_default();
            Line::words(format!("{} of 7, {}{why}", r.score.value, a.head.id.value))
        };
        let cells =
            vec![Cell::words(item.number), Cell::words(item.words), shown(site, item), Cell::lines(rated.map(line).collect(), "not rated")];
        TableRow { id: None, cells }
    });
    let score = match d.score {
        Some(score) => format!("Scaled score {} % from {} raters.", score.round(), d.raters),
        None => format!("No score: {} of at least {RATERS_LEAST} raters have rated every item.", d.raters),
    };
    Section {
        id: format!("domain-{}", i + 1),
        heading: format!("Domain {}: {}", i + 1, d.name),
        words: vec![score],
        heads: vec!["Item", "In our words", "What the pack shows", "Ratings"],
        rows: rows.collect(),
        ..Section::default()
    }
}
