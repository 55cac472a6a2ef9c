//! What comes after the treatment: what goes home; then evidence, sources, house notes.

use super::{block, line, piece, run, signs_of, treat};
use crate::model::Idx;
use crate::model::docs::Protocol;
use crate::plan::fit::Block;
use crate::plan::site::{Site, text, texts};
use crate::plan::view::card::Item;
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
    out.extend((1..).zip(steps::home(site, idx)).map(|(number, h)| home(number, h)));
    out
}

/// Evidence, sources, house notes.
pub fn behind(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let house = "Doses without a source are house or common practice. Withdraw this card when the edition changes.";
    let said = [
        vec![piece("", text(&site.catalog.packs[p.head.pack].demonstration).unwrap_or_default())],
        vec![piece("Evidence", protocol::evidence_line(site, p)), piece("", house)],
        vec![piece("Sources", protocol::short_sources(site, p).join("\u{a0}· "))],
    ];
    let said = said.into_iter().filter(|l| l.iter().any(|p| !p.text.is_empty()));
    said.map(|l| block("Behind it", "back", Item { lines: vec![l], ..Item::default() })).collect()
}

fn home(number: u32, h: steps::HomeView) -> Block {
    let mut often = vec![piece("", h.action)];
    often.extend(h.often.iter().map(|o| piece(&words::capital(&o.label), &o.text)));
    let (model, rules) = treat::thermal(h.thermal.as_ref());
    often.extend(rules.into_iter().chain(model));
    let signs = signs_of(h.stop.iter(), false).into_iter().enumerate();
    let stop = signs.map(|(i, p)| vec![treat::marked(treat::STOP, p, if i == 0 { "Stop" } else { "" })]);
    let check = run(vec![("First check", h.first_check)]);
    let fine = Some(treat::changed(&h.altered)).filter(|c| !c.is_empty()).into_iter().collect();
    let lead = Some(format!("At home {number}: {}", h.name));
    let lines = std::iter::once(often).chain(stop).chain([check]).filter(|l| !l.is_empty()).collect();
    block(HOME, "home", Item { lead, dose: h.dose, fine, lines, steps: vec![number], ..Item::default() })
}
