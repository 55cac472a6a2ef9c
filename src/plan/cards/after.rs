//! What comes after the treatment: what goes home; then evidence, sources, house notes.

use super::{block, line, piece, run, stop_text};
use crate::model::Idx;
use crate::model::docs::Protocol;
use crate::plan::fit::Block;
use crate::plan::site::{Site, texts};
use crate::plan::view::card::{Item, Piece};
use crate::plan::view::protocol::{self, steps};
use crate::plan::words;

/// Bar of what goes home.
pub(super) const HOME: &str = "What does the person take home?";

/// After-care and home programme.
pub fn at_a_glance(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let care = texts(&p.aftercare).join(" ");
    let mut out = Vec::new();
    if !care.is_empty() {
        out.push(block(HOME, "home", Item { lines: vec![line("", care)], ..Item::default() }));
    }
    out.extend(steps::home(site, idx).into_iter().enumerate().map(|(i, h)| home(i, h)));
    out
}

/// Evidence, sources, house notes.
pub fn behind(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let mut out = Vec::new();
    let mut add = |heading, lines: Vec<Vec<Piece>>| out.push(block(heading, "back", Item { lines, ..Item::default() }));
    add("Behind it", vec![line("Evidence", protocol::evidence_line(site, p))]);
    add("Behind it", vec![line("Sources", protocol::short_sources(site, p).join(" · "))]);
    let house = "Doses without a source are house or common practice; the page of the protocol says which. Withdraw this card when the edition changes.";
    add("Behind it", vec![line("", house)]);
    out.retain(|b| b.item.lines.iter().flatten().any(|p| !p.text.is_empty()));
    out
}

fn home(i: usize, h: steps::HomeView) -> Block {
    let mut often = vec![piece("", h.action)];
    often.extend(h.often.iter().map(|o| piece(&words::capital(&o.label), &o.text)));
    often.extend(h.thermal.iter().map(|t| piece("In the model", &t.card)));
    let stop = run(vec![("Stop", Some(stop_text(h.stop.iter()).join(" · "))), ("First check", h.first_check)]);
    let lead = Some(format!("At home {}: {}", i + 1, h.name));
    block(HOME, "home", Item { lead, dose: h.dose, lines: vec![often, stop], ..Item::default() })
}
