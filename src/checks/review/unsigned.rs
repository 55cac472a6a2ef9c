//! A document that nobody has approved, or not enough have.

use super::named::{documents, list};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::currency::Statement;
use crate::compute::currency::sign_off::{Need, State};
use crate::finding::Level;
use crate::model::docs::Pack;
use crate::model::vocabulary::Status;

/// The check.
pub static CHECK: Check = Check {
    name: "unsigned",
    summary: "a document that is signed on its own has no approval, or too few",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("unsigned.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let currency = &case.facts.currency;
    for (idx, pack) in case.catalog.packs.iter() {
        let broken = case.catalog.ledgers.iter().zip(&currency.faults).any(|(l, f)| l.pack == idx && !f.is_empty());
        if broken || pack.head.status.as_ref().is_some_and(|s| s.value == Status::Draft) {
            continue;
        }
        let own = |s: &&Statement| s.doc.and_then(|d| case.catalog.head(d)).is_some_and(|h| h.pack == idx);
        let waiting: Vec<&Statement> = currency.all().filter(own).filter(|s| waits(case, s)).collect();
        if waiting.is_empty() {
            continue;
        }
        if case.catalog.ledgers.iter().any(|l| l.pack == idx) {
            waiting.iter().for_each(|s| one(case, s, sink));
        } else {
            all(pack, &waiting, sink);
        }
    }
}

fn waits(case: &Case<'_>, statement: &Statement) -> bool {
    let Some(sign_off) = case.facts.currency.sign_off(&statement.name) else { return false };
    let few = sign_off.needs.iter().any(|n| matches!(n, Need::Roles(..)));
    few && sign_off.earlier.is_none() && matches!(sign_off.state(case.today), State::Draft | State::InReview)
}

fn one(case: &Case<'_>, statement: &Statement, sink: &mut Sink) {
    let (Some(sign_off), Some(head)) = (case.facts.currency.sign_off(&statement.name), statement.doc.and_then(|d| case.catalog.head(d)))
    else {
        return;
    };
    let roles: Vec<&str> = sign_off.current.iter().map(|a| &*a.role).collect();
    let so_far = if roles.is_empty() { "nobody has".into() } else { format!("so far: {}", roles.join(", ")) };
    let needed = sign_off.needs.iter().find_map(|n| if let Need::Roles(_, least) = n { Some(*least) } else { None }).unwrap_or(1);
    let plural = if needed == 1 { "role has" } else { "roles have" };
    let message = format!("{needed} {plural} to approve `{}`; {so_far}", statement.name);
    sink.report(head.at, "not approved", message)
        .help(format!("`fascicle approve` with the file {}.yaml shows what would be signed and appends it", statement.name));
}

fn all(pack: &Pack, waiting: &[&Statement], sink: &mut Sink) {
    let message = format!("nothing in `{}` is approved: {}", pack.head.id.value, documents(waiting.len()));
    sink.report(pack.head.at, "no ledger", message)
        .note(format!("Waiting: {}.", list(waiting.iter().map(|s| &s.name))))
        .help("begin the ledger with `fascicle approve`, or write `status: draft` into pack.yaml, so that it is said openly");
}
