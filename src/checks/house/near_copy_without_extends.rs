//! A renamed copy of another pack.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::house::likeness::NEAR;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "near-copy-without-extends",
    summary: "a pack says nearly the same as another and does not name it as its base",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("near_copy_without_extends.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for like in case.facts.alike.iter().filter(|l| l.share >= NEAR) {
        let Some(pack) = case.catalog.packs.rows().iter().find(|p| p.head.id.value == like.pack) else { continue };
        let percent = (like.share * 100.0).floor();
        let message = format!("`{}` says {percent} % the same as the pack in {}, and neither builds on the other", like.pack, like.other);
        sink.report(pack.head.id.span, "a near copy", message)
            .note("What holds for a house pack is not checked here: that it loosens nothing in silence.")
            .help("delete what is the same, name the other pack under `extends`, and write the rest as changes");
    }
}
