//! A base pack of another edition than the one asked for.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "edition-not-satisfied",
    summary: "the base pack is of another edition than the house pack asks for",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("edition_not_satisfied.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for house in &case.facts.houses {
        let (Some(extends), Some(base)) = (&case.catalog.packs[house.pack].extends, house.base()) else { continue };
        let (Some(wanted), Ok(there)) = (&extends.wanted, semver::Version::parse(&base.edition.value)) else { continue };
        if wanted.matches(&there) {
            continue;
        }
        let message = format!("`{}` has edition {there}, and {} is asked for", base.head.id.value, extends.edition.value);
        sink.report(extends.edition.span, "asks for another edition", message)
            .also(base.edition.span, "the edition that is there")
            .note("Each change of this pack was weighed against the edition that is named here.")
            .help("read what changed between the two editions, then ask for the one that is there, or fetch the other");
    }
}
