//! What stands on the back: re-test, after-care, home programme, evidence, sources, house notes.

use super::{block, line, piece, run, stop_text};
use crate::model::docs::Protocol;
use crate::model::{Idx, Kind};
use crate::plan::fit::Block;
use crate::plan::site::{Site, text, texts};
use crate::plan::view::card::{Item, Piece};
use crate::plan::view::protocol::{self, steps};
use crate::plan::words;

/// Re-test, after-care, home programme, evidence, sources, house notes.
pub fn all(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let mut out = Vec::new();
    let mut add = |heading, lines: Vec<Vec<Piece>>| out.push(block(heading, "back", Item { lines, ..Item::default() }));
    let retests = p.steps.iter().filter(|s| s.when.as_ref().is_some_and(|w| &*w.value == "re-test"));
    for s in retests {
        let measure = s.measure.as_ref().and_then(|m| site.follow(Kind::Measure, m)).map(|l| l.text).unwrap_or_default();
        add("Re-test", vec![line(&format!("Step {}", s.number.value), format!("{} {measure}.", s.action.value))]);
    }
    add("Re-test", vec![line("Write", texts(&p.record).join(" "))]);
    add("After-care", texts(&p.aftercare).into_iter().map(|t| line("", t)).collect());
    let change = text(&p.change_plan).map(|c| line("Change the plan", c));
    let decide = text(&p.spacing.decide).map(|d| line("Decide", d));
    add("After-care", change.into_iter().chain(decide).collect());
    out.extend(steps::home(site, idx).into_iter().enumerate().map(|(i, h)| home(i, h)));
    let mut add = |heading, lines: Vec<Vec<Piece>>| out.push(block(heading, "back", Item { lines, ..Item::default() }));
    add("Evidence", protocol::evidence_line(site, p).into_iter().map(|claim| line("", claim)).collect());
    add("Sources", vec![line("", protocol::short_sources(site, p).join(" · "))]);
    let house = "Doses without a source are house or common practice; the page of the protocol says which. Withdraw this card when the edition changes.";
    let tailoring = text(&p.tailoring).map(|t| line("Tailoring", t));
    add("House notes", [Some(line("", house)), tailoring].into_iter().flatten().collect());
    out.retain(|b| b.item.lines.iter().flatten().any(|p| !p.text.is_empty()));
    out
}

fn home(i: usize, h: steps::HomeView) -> Block {
    let mut often = vec![piece("", h.action)];
    often.extend(h.often.iter().map(|o| piece(&words::capital(&o.label), &o.text)));
    often.extend(h.thermal.iter().map(|t| piece("In the model", &t.card)));
    let stop = run(vec![("Stop", Some(stop_text(&h.stop))), ("First check", h.first_check)]);
    let lead = Some(format!("At home {}: {}", i + 1, h.name));
    block("After-care", "back", Item { lead, dose: h.dose, lines: vec![often, stop], ..Item::default() })
}
