//! Nothing to tell a person in whom the flag is absent today.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "safety-net-missing",
    summary: "a flag has no words for the person when it is absent today",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("safety_net_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for flag in case.catalog.flags.rows().iter().filter(|f| f.safety_net.is_none()) {
        let message = format!("`{}` has no words for the person when it is absent today", flag.name.value);
        sink.report(flag.name.span, "what if it starts tonight?", message)
            .help("add `safety-net:` with the signs to watch for and whom to call, in plain words");
    }
}
