//! An approval without a declaration of interests.

use super::entries;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "interests-undeclared",
    summary: "an approval in force says nothing of the interests of who gave it",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("interests_undeclared.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for entry in entries::in_force(case).filter(|e| e.approval.interests.is_none()) {
        let message = format!("`{}` approved `{}` without a declaration of interests", entry.approval.role, entry.approval.document);
        sink.report(entry.at("role"), "nothing declared", message)
            .help("approve again with `--interests`; `none` if there are none. The entry stays as it is");
    }
}
