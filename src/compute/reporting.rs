//! Could somebody else do this treatment? The 12 items of an intervention description.
//!
//! Item numbers follow TIDieR (Hoffmann 2014, BMJ 348:g1687, doi:10.1136/bmj.g1687); the words are
//! ours. A cell is filled, empty, or does not apply for a stated reason. No score is computed.

use super::steps::StepFacts;
use crate::model::docs::Protocol;

/// State of a cell.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum State {
    /// The pack says it.
    Filled,
    /// The pack does not say it.
    Empty,
    /// It does not apply.
    NotApplicable(&'static str),
}

/// One of the 12 cells.
#[derive(Clone, Debug)]
pub struct Cell {
    /// Item number, 1 to 12.
    pub item: u8,
    /// Our short words.
    pub name: &'static str,
    /// Where the pack says it.
    pub from: &'static str,
    /// State.
    pub state: State,
}

pub(super) fn of_protocol(protocol: &Protocol, steps: &[StepFacts]) -> Vec<Cell> {
    let has = |yes: bool| if yes { State::Filled } else { State::Empty };
    let text = |t: &Option<crate::source::Text>| has(t.as_ref().is_some_and(|t| !t.value.is_empty()));
    let cell = |item, name, from, state| Cell { item, name, from, state };
    let dosed = protocol.steps.iter().zip(steps).filter(|(_, f)| f.is_treatment()).all(|(s, _)| !s.dose.entries.is_empty());
    let first_edition = protocol.modifications.is_none();
    vec![
        cell(1, "Name", "title", has(!protocol.title.value.is_empty())),
        cell(2, "Why", "rationale", has(!protocol.rationale.is_empty())),
        cell(3, "Materials", "equipment", has(!protocol.equipment.is_empty())),
        cell(4, "Procedures", "steps", has(!protocol.steps.is_empty())),
        cell(5, "Who provides", "training of the techniques", has(steps.iter().all(|s| s.technique.is_some()))),
        cell(6, "How delivered", "mode", text(&protocol.mode)),
        cell(7, "Where", "setting", text(&protocol.setting)),
        cell(8, "When and how much", "dose and spacing", has(dosed && protocol.spacing.per_week.is_some())),
        cell(9, "Tailoring", "tailoring", text(&protocol.tailoring)),
        cell(
            10,
            "Modifications",
            "modifications",
            if first_edition { State::NotApplicable("no change has been recorded") } else { State::Filled },
        ),
        cell(11, "How well, planned", "audit", text(&protocol.audit_planned)),
        cell(
            12,
            "How well, actual",
            "audit",
            if protocol.audit_actual.is_some() { State::Filled } else { State::NotApplicable("no house audit has been entered") },
        ),
    ]
}
