//! A base pack with another id, or that says something else than what is meant.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "base-pack-differs",
    summary: "the base pack is not the one that is named",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("base_pack_differs.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for house in &case.facts.houses {
        let (Some(extends), Some(base)) = (&case.catalog.packs[house.pack].extends, house.base()) else { continue };
        let (wanted, there) = (&extends.pack, &base.head.id);
        if wanted.value != there.value {
            sink.report(
                wanted.span,
                "another pack is there",
                format!("the base pack is `{}`, and `{}` is asked for", there.value, wanted.value),
            )
            .also(there.span, "the pack that is there")
            .help("correct `at` or `pack`, whichever is wrong, and read what changes");
            continue;
        }
        let now = house.facts.currency.digest();
        if let Some(digest) = extends.digest.as_ref().filter(|d| d.value != now) {
            let message = format!("the base pack `{}` does not say what it said when this digest was written", there.value);
            sink.report(digest.span, "another digest", message)
                .note("A digest names exactly one state of the base pack, whatever its edition says.")
                .help(format!("compare the two states of the base pack, then write {now}"));
        }
    }
}
