//! A safety document that was approved, but not by the roles that have to see it.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::currency::sign_off::Need;
use crate::finding::Level;
use crate::source::Text;

/// The check.
pub static CHECK: Check = Check {
    name: "approver-role-missing",
    summary: "a condition, red flag or technique with heat or cold lacks a clinical or a reviewing approval",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("approver_role_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for doc in case.catalog.all_docs() {
        let name = case.catalog.name(doc);
        let (Some(head), Some(sign_off)) = (case.catalog.head(doc), case.facts.currency.sign_off(&name)) else { continue };
        // Until enough roles have approved, it is known to be unfinished.
        if sign_off.needs.iter().any(|n| matches!(n, Need::Roles(..))) {
            continue;
        }
        let rule = &case.pack(head).sign_off;
        for (need, word, roles) in [(Need::Clinical, "clinical", &rule.clinical), (Need::Review, "reviewing", &rule.review)] {
            if sign_off.needs.contains(&need) {
                let had: Vec<&str> = sign_off.current.iter().map(|a| &*a.role).collect();
                let message = format!("`{name}` is approved by {}, and by no {word} role", had.join(" and "));
                sink.report(head.at, format!("no {word} role"), message)
                    .note("Conditions, red flags and techniques with heat or cold need a clinical and a reviewing role.")
                    .help(format!("let one of these approve it: {}", joined(roles)));
            }
        }
    }
}

fn joined(roles: &[Text]) -> String {
    roles.iter().map(|r| &*r.value).collect::<Vec<_>>().join(", ")
}
