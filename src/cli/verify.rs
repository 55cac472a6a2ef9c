//! `fascicle verify`: does the ledger hold, where does each document stand, does a card still hold.

use super::{Ended, Format, Packs, counted, print, show};
use crate::build::{self, Judged};
use crate::checks::review::card_superseded;
use crate::checks::{self, Case};
use crate::compute::currency::code::{self, Code, Known, NoCode};
use crate::compute::currency::sign_off::State;
use crate::error::ToolError;
use crate::model::Catalog;
use crate::plan::view::card_check;
use jiff::civil::Date;
use std::path::PathBuf;

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// Pack folders (each has a pack.yaml)
    #[arg(required = true, value_name = "PACKS")]
    packs: Vec<PathBuf>,
    /// Ask about the check code of a card
    #[arg(long, value_name = "CODE")]
    card: Option<String>,
    /// Judge dates as on this day (year-month-day) instead of today
    #[arg(long, value_name = "DATE")]
    today: Option<Date>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    let packs = Packs { folders: arguments.packs.clone(), strict: false, today: arguments.today, format: Format::Human };
    let today = packs.today();
    let judged = build::judge(&packs.folders, today)?;
    let mut findings = judged.findings(today);
    let Some(catalog) = &judged.catalog else { return Ok(show(&judged, &findings, &packs)) };
    if let Some(typed) = &arguments.card {
        return card(&judged, catalog, typed, &packs);
    }
    findings.retain(|f| checks::review::is_about_signing(f.check));
    let ended = show(&judged, &findings, &packs);
    print(&summary(&judged, catalog));
    Ok(ended)
}

fn summary(judged: &Judged, catalog: &Catalog) -> String {
    let mut out = String::new();
    for (ledger, faults) in catalog.ledgers.iter().zip(&judged.facts.currency.faults) {
        let signed = ledger.entries.iter().filter(|e| e.approval.signature.is_some()).count();
        let holds = if faults.is_empty() { "the chain holds" } else { "the chain does NOT hold, so nothing counts as approved" };
        out += &format!("{}: {}, {signed} signed with a key; {holds}\n", ledger.of.value, counted_approvals(ledger.entries.len()));
    }
    if catalog.ledgers.is_empty() {
        out += "no ledger: nothing was ever approved (`fascicle approve` begins one)\n";
    }
    let states: Vec<State> = catalog.all_docs().filter_map(|d| judged.facts.state_of(catalog, d)).collect();
    for state in State::ALL {
        let n = states.iter().filter(|s| *s == state).count();
        if n > 0 {
            out += &format!("  {:<10} {}\n", state.word(), counted(n, "document"));
        }
    }
    out
}

fn counted_approvals(n: usize) -> String {
    counted(n, "approval")
}

fn card(judged: &Judged, catalog: &Catalog, typed: &str, packs: &Packs) -> Result<Ended, ToolError> {
    let code = Code::read(typed).map_err(|why| ToolError::Usage(refusal(typed, why)))?;
    let today = packs.today();
    let known = code::register(catalog, &judged.facts.currency, today);
    let found: Vec<&Known> = known.iter().filter(|k| k.code == code).collect();
    if found.is_empty() {
        print(&format!("{code}: not a code of this pack. Do not use the card until its pack is known.\n"));
        return Ok(Ended::Findings);
    }
    found.iter().for_each(|k| print(&format!("{code}: {} ({})\n{}\n", k.title, k.protocol, card_check::answer(k))));
    let case = Case { catalog, facts: &judged.facts, today };
    let findings: Vec<_> = found.iter().filter_map(|k| card_superseded::finding(&case, k, &card_check::answer(k))).collect();
    Ok(show(judged, &findings, packs))
}

fn refusal(typed: &str, why: NoCode) -> String {
    let letters: String = code::LETTERS.iter().map(|l| char::from(*l)).collect();
    match why {
        NoCode::Length(n) => format!("`{typed}` has {}; a check code has 8, as XXXX-XXXX", counted(n, "letter")),
        NoCode::Letter(c) => format!("`{typed}`: no check code has `{c}`; the letters are {letters}"),
        NoCode::Check => format!("`{typed}` was misread or mistyped: its last letter does not fit the others. Read it again from the card"),
    }
}
