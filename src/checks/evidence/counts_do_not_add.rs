//! Numbers of people, events and percentages that cannot all be right.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::counting::{Odd, odd};
use crate::finding::Level;
use crate::model::docs::Source;

/// The check.
pub static CHECK: Check = Check {
    name: "counts-do-not-add",
    summary: "arms, losses, events or percentages of a source do not add up",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("counts_do_not_add.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for source in case.catalog.sources.rows() {
        odd(source).iter().for_each(|o| report(source, o, sink));
    }
}

fn report(source: &Source, odd: &Odd<'_>, sink: &mut Sink) {
    let id = &source.head.id.value;
    match odd {
        Odd::Arms { sum, n } => {
            let sizes: Vec<String> = source.arms.iter().filter_map(|a| Some(a.n.as_ref()?.value.to_string())).collect();
            let message = format!("the arms of `{id}` hold {} = {sum} people, and the source counts {}", sizes.join(" + "), n.value);
            let finding = sink.report(n.span, format!("{} people", n.value), message);
            for size in source.arms.iter().filter_map(|a| a.n.as_ref()) {
                finding.also(size.span, size.value.to_string());
            }
            finding.help("look the sizes up in the trial itself, not in a review of it; add arms that are left out, their `id` and `name` are enough");
        }
        Odd::Split { arm, analysed, lost } => {
            let n = arm.n.as_ref().map_or(0, |n| n.value);
            let sum = analysed.value.saturating_add(lost.value);
            let message =
                format!("arm `{}` of `{id}`: {} analysed + {} lost = {sum}, of {n} people", arm.id.value, analysed.value, lost.value);
            let finding = sink.report(analysed.span, "analysed", message);
            finding.also(lost.span, "lost");
            if let Some(n) = &arm.n {
                finding.also(n.span, "in the arm");
            }
            finding.help("look up the flow of people; those who were analysed and those who were lost are everybody in the arm");
        }
        Odd::Analysed { arm, analysed } => {
            let message = format!("arm `{}` of `{id}` has {} people analysed, and fewer in it", arm.id.value, analysed.value);
            let finding = sink.report(analysed.span, "analysed", message);
            if let Some(n) = &arm.n {
                finding.also(n.span, "in the arm");
            }
            finding.help("look up both numbers");
        }
        Odd::Events { group } => {
            let message = format!("`{id}` counts {} events in {} people", group.events.value, group.n.value);
            sink.report(group.events.span, "events", message)
                .also(group.n.span, "people")
                .help("look up both numbers; they may stand in the wrong order");
        }
        Odd::Percent { percent, group } => {
            let (events, n) = (group.events.value, group.n.value);
            let share = 100.0 * events / n;
            let message = format!("`{id}` prints {} %, and {events} of {n} are {share:.1} %", percent.value);
            sink.report(percent.span, format!("{share:.1} % would follow"), message)
                .also(group.events.span, "events")
                .also(group.n.span, "people")
                .help("look up the three numbers; the percentage may be of other people");
        }
        Odd::Group { n, arm } => {
            let size = arm.n.as_ref().map_or(0, |n| n.value);
            let message = format!("a result of `{id}` has {} people in arm `{}`, which holds {size}", n.value, arm.id.value);
            let finding = sink.report(n.span, "in the result", message);
            if let Some(n) = &arm.n {
                finding.also(n.span, "in the arm");
            }
            finding.help("look up both numbers");
        }
        Odd::Result { people, at, n } => {
            let message = format!("a result of `{id}` has {people} people, and the source counts {}", n.value);
            sink.report(*at, "in the result", message).also(n.span, "in the source").help("look up both numbers");
        }
    }
}
