//! Two answers to how fast, or where to.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Flag, Protocol, Restated};
use crate::model::region::any_meets;

/// The check.
pub static CHECK: Check = Check {
    name: "flag-urgency-conflict",
    summary: "a referral is restated with another urgency or destination, or two flags of one topic differ",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("flag_urgency_conflict.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for protocol in case.catalog.protocols.rows() {
        for restated in &protocol.refer {
            if let Some(flag) = restated.flag.to.map(|f| &case.catalog.flags[f]) {
                urgency_restated(protocol, restated, flag, sink);
                destination_restated(protocol, restated, flag, sink);
            }
        }
    }
    let flags = case.catalog.flags.rows();
    for (i, later) in flags.iter().enumerate() {
        for earlier in flags.iter().take(i) {
            two_flags(earlier, later, sink);
        }
    }
}

fn urgency_restated(protocol: &Protocol, restated: &Restated, flag: &Flag, sink: &mut Sink) {
    let (Some(said), Some(tier)) = (&restated.urgency, flag.urgency) else { return };
    if *said.value == *tier.word() {
        return;
    }
    let message =
        format!("`{}` says `{}` for `{}`, and the flag says `{}`", protocol.title.value, said.value, flag.name.value, tier.word());
    sink.report(said.span, "another urgency", message)
        .also(flag.urgency_written.span, format!("the flag: {}", tier.clock()))
        .help(format!("delete this `urgency`; pages and cards show `{}` from the flag", tier.word()));
}

fn destination_restated(protocol: &Protocol, restated: &Restated, flag: &Flag, sink: &mut Sink) {
    let (Some(said), Some(known)) = (&restated.destination, &flag.destination) else { return };
    if said.value == known.value {
        return;
    }
    let message = format!(
        "`{}` sends people with `{}` to `{}`, and the flag sends them to `{}`",
        protocol.title.value, flag.name.value, said.value, known.value
    );
    sink.report(said.span, "another destination", message)
        .also(known.span, "the destination of the flag")
        .help(format!("delete this `destination`; pages and cards show `{}` from the flag", known.value));
}

/// Two flags about one topic in one region.
fn two_flags(earlier: &Flag, later: &Flag, sink: &mut Sink) {
    let (Some(a), Some(b)) = (earlier.urgency, later.urgency) else { return };
    let Some(topic) = later.covers.iter().find(|t| earlier.covers.iter().any(|u| u.value == t.value)) else { return };
    if a == b || !any_meets(&earlier.regions.all, &later.regions.all) {
        return;
    }
    let (slow, fast) = if a > b { (earlier, later) } else { (later, earlier) };
    let message = format!(
        "`{}` has `{}` for `{}`, and `{}` has `{}` in a region of both",
        slow.name.value, slow.urgency_written.value, topic.value, fast.name.value, fast.urgency_written.value
    );
    sink.report(slow.urgency_written.span, "slower here", message)
        .also(fast.urgency_written.span, "faster here")
        .also(topic.span, "the topic of both")
        .help(format!("write `{}` in both, or take the shared regions out of one of them", fast.urgency_written.value));
}
