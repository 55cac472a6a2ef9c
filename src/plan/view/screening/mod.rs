//! The questions of all red flags and conditions on one page: a yes shows what may still be done. Without script
//! and on paper the same stands as tables.

pub mod data;

pub use data::Data;

use super::parts::{CautionRow, CautionView, FlagGroup, Frame, Link, Mark};
use super::protocol::stop;
use crate::compute::currency::sign_off::State;
use crate::compute::finder;
use crate::compute::together::Combination;
use crate::model::docs::{Condition, Protocol};
use crate::model::vocabulary::Strength;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, text};
use crate::plan::{route, words};
use serde::Serialize;

/// Protocols side by side in one table: as many as a sheet of A4 holds.
const SIDE_BY_SIDE: usize = 8;

/// View of `screening.html`.
#[derive(Debug, Serialize)]
pub struct ScreeningPage {
    /// Frame.
    pub frame: Frame,
    /// Every red flag, most urgent first.
    pub flags: Vec<FlagGroup>,
    /// Questions about conditions, in groups.
    pub groups: Vec<QuestionGroup>,
    /// Conditions by protocols, the strongest word.
    pub overview: Vec<OverviewTable>,
    /// One table for each protocol.
    pub tables: Vec<ProtocolTable>,
}

/// Questions that belong together.
#[derive(Debug, Serialize)]
pub struct QuestionGroup {
    /// Heading.
    pub name: &'static str,
    /// Questions.
    pub questions: Vec<Question>,
}

/// A question about a condition.
#[derive(Debug, Serialize)]
pub struct Question {
    /// Condition.
    pub id: String,
    /// Condition.
    pub link: Link,
    /// The question.
    pub text: String,
    /// What to look for.
    pub look_for: Option<String>,
    /// Reason of what holds.
    pub reason: String,
    /// Who may clear it.
    pub clears: Option<String>,
}

/// Some protocols side by side.
#[derive(Debug, Serialize)]
pub struct OverviewTable {
    /// Protocols.
    pub protocols: Vec<Link>,
    /// Conditions.
    pub rows: Vec<OverviewRow>,
    /// What some of them do together.
    pub together: Vec<OverviewRow>,
}

/// A condition over some protocols.
#[derive(Debug, Serialize)]
pub struct OverviewRow {
    /// Condition.
    pub link: Link,
    /// The others of a combination; empty for the condition alone.
    pub with: Vec<Link>,
    /// Strongest word for each protocol; none where nothing is touched.
    pub cells: Vec<Option<Mark>>,
}

/// Everything that touches a protocol.
#[derive(Debug, Serialize)]
pub struct ProtocolTable {
    /// Protocol.
    pub link: Link,
    /// Why nobody may use it, whatever the answers.
    pub barred: Option<&'static str>,
    /// Whom it is not for, in the author's words.
    pub not_for: Option<String>,
    /// Conditions that put a person outside.
    pub excludes: Vec<Link>,
    /// Conditions, strongest first.
    pub cautions: Vec<ConditionLines>,
    /// What some of them do together, strongest first.
    pub together: Vec<ConditionLines>,
}

/// What a condition does to a protocol.
#[derive(Debug, Serialize)]
pub struct ConditionLines {
    /// Id.
    pub id: String,
    /// Condition.
    pub link: Link,
    /// The others of a combination; empty for the condition alone.
    pub with: Vec<Link>,
    /// True if the protocol excludes people with it.
    pub excluded: bool,
    /// What holds, strongest first.
    pub lines: Vec<Line>,
}

/// Rows of a condition that say the same of different loads.
#[derive(Debug, Serialize)]
pub struct Line {
    /// Strength.
    pub strength: &'static str,
    /// Each load with its steps.
    pub loads: Vec<String>,
    /// Numbers of a limit.
    pub numbers: String,
    /// Where; empty means everywhere.
    pub places: Vec<String>,
    /// Why, if the row says so itself.
    pub why: Option<String>,
    /// Technique instead.
    pub instead: Option<String>,
}

/// Title of the page, everywhere. The step that asks has a technique of its own, and that may be called screening.
pub const TITLE: &str = "Screening questions";

impl ScreeningPage {
    /// Makes the page.
    pub fn new(site: &Site<'_>) -> ScreeningPage {
        let catalog = site.catalog;
        let view = |idx| super::flag::view(site, idx, &catalog.packs[catalog.flags[idx].head.pack]);
        let offered = offered(site);
        let mut frame = site.frame(TITLE);
        frame.data = Some(site.to(route::SCREENING_DATA));
        ScreeningPage {
            frame,
            flags: stop::flag_groups(finder::flags(catalog).into_iter().map(|(idx, _)| view(idx)).collect()),
            groups: groups(site),
            overview: offered.chunks(SIDE_BY_SIDE).map(|some| overview(site, some)).collect(),
            tables: offered.iter().map(|idx| table(site, *idx)).collect(),
        }
    }
}

/// Protocols that can be asked about: all but the retired ones.
fn offered(site: &Site<'_>) -> Vec<Idx<Protocol>> {
    let in_use = |idx: &Idx<Protocol>| site.state_of(doc(Kind::Protocol, *idx)) != Some(State::Retired);
    site.catalog.protocols.iter().map(|(idx, _)| idx).filter(in_use).collect()
}

/// Why nobody may use a protocol, whatever the answers.
fn barred(site: &Site<'_>, idx: Idx<Protocol>) -> Option<&'static str> {
    let state = site.state(doc(Kind::Protocol, idx));
    (!state.is_in_force()).then(|| words::state_of_card(state, false).word)
}

/// The question of a condition, in the words in which pages ask it.
fn question(c: &Condition) -> String {
    text(&c.question).or_else(|| text(&c.look_for)).unwrap_or_else(|| c.name.value.to_string())
}

fn groups(site: &Site<'_>) -> Vec<QuestionGroup> {
    let local = |c: &Condition| c.scope.as_ref().is_some_and(|s| &*s.value == "local");
    let strongest = |idx: Idx<Condition>| {
        let all = site.facts.protocols.iter().flat_map(|p| &p.cautions);
        all.filter(|c| c.condition == idx).map(|c| c.strength).min().unwrap_or(Strength::None)
    };
    let group = |name, is_local: bool| {
        let mut all: Vec<(Idx<Condition>, &Condition)> = site.catalog.conditions.iter().filter(|(_, c)| local(c) == is_local).collect();
        all.sort_by_key(|(idx, _)| (strongest(*idx), *idx));
        let questions = all.into_iter().map(|(idx, c)| Question {
            id: c.head.id.value.to_string(),
            link: site.link(doc(Kind::Condition, idx)),
            text: question(c),
            look_for: text(&c.look_for).filter(|_| c.question.is_some()),
            reason: c.reason.value.to_string(),
            clears: text(&c.clears),
        });
        QuestionGroup { name, questions: questions.collect() }
    };
    let all = [group("About the whole person", false), group("About the place to be treated", true)];
    all.into_iter().filter(|g| !g.questions.is_empty()).collect()
}

fn overview(site: &Site<'_>, protocols: &[Idx<Protocol>]) -> OverviewTable {
    let cell = |protocol: Idx<Protocol>, condition: Idx<Condition>| {
        let excluded = site.catalog.protocols[protocol].population.excludes.iter().any(|r| r.to == Some(condition));
        let caution = || site.facts.of(protocol).cautions.iter().find(|c| c.condition == condition).map(|c| stop::mark(c.strength));
        if excluded { Some(Mark { word: NOT_THIS, ..stop::OUTSIDE }) } else { caution() }
    };
    let rows = site.catalog.conditions.iter().map(|(condition, _)| OverviewRow {
        link: site.link(doc(Kind::Condition, condition)),
        with: Vec::new(),
        cells: protocols.iter().map(|p| cell(*p, condition)).collect(),
    });
    let links = protocols.iter().map(|p| site.link(doc(Kind::Protocol, *p)));
    OverviewTable { protocols: links.collect(), rows: rows.collect(), together: overview_together(site, protocols) }
}

fn overview_together(site: &Site<'_>, protocols: &[Idx<Protocol>]) -> Vec<OverviewRow> {
    let mut out = Vec::new();
    for (condition, c) in site.catalog.conditions.iter() {
        for (row, together) in c.together.iter().enumerate() {
            let own = |p: &Idx<Protocol>| site.facts.of(*p).combinations.iter().find(|c| (c.condition, c.row) == (condition, row));
            out.push(OverviewRow {
                link: site.link(doc(Kind::Condition, condition)),
                with: together.others(condition).into_iter().map(|o| site.link(doc(Kind::Condition, o))).collect(),
                cells: protocols.iter().map(|p| own(p).map(|c| words::strength(c.strength))).collect(),
            });
        }
    }
    out
}

/// A person with the condition is outside the protocol.
const NOT_THIS: &str = "not this protocol";

fn table(site: &Site<'_>, idx: Idx<Protocol>) -> ProtocolTable {
    ProtocolTable {
        link: site.link(doc(Kind::Protocol, idx)),
        barred: barred(site, idx),
        not_for: site.catalog.protocols[idx].not_for().map(|t| t.value.to_string()),
        excludes: site.follow_all(Kind::Condition, &site.catalog.protocols[idx].population.excludes),
        cautions: stop::cautions(site, idx).into_iter().filter(|c| c.excluded || !c.rows.is_empty()).map(condition_lines).collect(),
        together: site.facts.of(idx).combinations.iter().map(|c| together_lines(site, idx, c)).collect(),
    }
}

fn condition_lines(caution: CautionView) -> ConditionLines {
    ConditionLines { id: caution.id, link: caution.link, with: Vec::new(), excluded: caution.excluded, lines: lines(caution.rows, None) }
}

fn together_lines(site: &Site<'_>, idx: Idx<Protocol>, combination: &Combination) -> ConditionLines {
    let link = |c: Idx<Condition>| site.link(doc(Kind::Condition, c));
    let reason = combination.written(site.catalog).map(|t| t.reason.value.to_string());
    ConditionLines {
        id: site.catalog.id(doc(Kind::Condition, combination.condition)).to_string(),
        link: link(combination.condition),
        with: combination.others.iter().map(|o| link(*o)).collect(),
        excluded: false,
        lines: lines(stop::combined_rows(site, idx, combination), reason.as_ref()),
    }
}

/// Rows that say the same of different loads as one; `reason` stands where a row gives none.
fn lines(rows: Vec<CautionRow>, reason: Option<&String>) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    for r in rows {
        let instead = r.instead.map(|l| l.text);
        let why = r.why.or_else(|| reason.cloned());
        let load = format!("{}: {}", r.stressor, r.steps);
        let same =
            |l: &&mut Line| (l.strength, &l.numbers, &l.places, &l.why, &l.instead) == (r.strength, &r.numbers, &r.places, &why, &instead);
        match lines.iter_mut().find(same) {
            Some(line) => line.loads.push(load),
            None => lines.push(Line { strength: r.strength, loads: vec![load], numbers: r.numbers, places: r.places, why, instead }),
        }
    }
    lines
}
