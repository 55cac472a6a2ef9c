//! A sign-off ledger that was edited, cut or put in from elsewhere.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::currency::ledger::Fault;
use crate::finding::Level;
use crate::model::docs::Ledger;

/// The check.
pub static CHECK: Check = Check {
    name: "ledger-broken",
    summary: "an entry of the ledger was edited, taken out or put in, or the ledger is that of another pack",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("ledger_broken.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (ledger, faults) in case.catalog.ledgers.iter().zip(&case.facts.currency.faults) {
        faults.iter().for_each(|f| one(case, ledger, f, sink));
    }
}

fn one(case: &Case<'_>, ledger: &Ledger, fault: &Fault, sink: &mut Sink) {
    let (at, label, message) = match fault {
        Fault::Foreign => {
            let own = &case.catalog.packs[ledger.pack].head.id.value;
            (ledger.of.span, "another pack", format!("this is the ledger of `{}`, and the pack is `{own}`", ledger.of.value))
        }
        Fault::Chain(row) => {
            let Some(entry) = ledger.entries.get(*row) else { return };
            let before = row.checked_sub(1).and_then(|r| ledger.entries.get(r)).map(|e| e.approval.document.to_string());
            let before = before.map_or_else(|| "the beginning of the ledger".into(), |d| format!("the entry before, for `{d}`"));
            let message = format!("entry {} does not follow from {before}: one of the two was edited, or entries are gone", row + 1);
            (entry.at("document"), "the chain breaks here", message)
        }
        Fault::Head => (
            ledger.head.span,
            "not the last entry",
            "the last entry is not the one that the ledger names: it was edited, or entries were cut off".to_string(),
        ),
        _ => return,
    };
    sink.report(at, label, message)
        .note("Nothing in a broken ledger counts: all documents are drafts until it is whole.")
        .help("bring the file back as `fascicle approve` wrote it, from your version control or a copy; never mend it by hand");
}
