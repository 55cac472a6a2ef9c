//! Why the person turns: for each turn the position that is needed, and what kept it from being done when the
//! person was in that position before; for the whole order the rules without which fewer turns would do.

use super::rules::Ruled;
use super::solve::{Bond, Found, solve};
use super::{Act, Cause};
use crate::model::Idx;
use crate::model::docs::Position;

/// A change of position.
#[derive(Clone, Debug, PartialEq)]
pub struct Turn {
    /// Row of the act before which the person turns.
    pub at: usize,
    /// From.
    pub from: Idx<Position>,
    /// To.
    pub to: Idx<Position>,
    /// True if the person has not been in that position before.
    pub first: bool,
    /// What had to come between, if the person was there before.
    pub held: Option<Held>,
}

/// Why an act was not done when the person was in its position before.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Row of the act that waits.
    pub waits: usize,
    /// Row of the act that comes before it, or with which it belongs together.
    pub for_act: usize,
    /// The rule.
    pub cause: Cause,
}

/// A rule that costs turns.
#[derive(Clone, Debug, PartialEq)]
pub struct Forced {
    /// The rule.
    pub cause: Cause,
    /// Turns that would do without it.
    pub without: usize,
}

/// Most ways that a search may have kept for it to be repeated without single rules.
const REPEATED: usize = 40_000;

/// The turns of an order, with what is known of a bare list of acts.
pub fn plain(acts: &[Act]) -> Vec<Turn> {
    let mut out: Vec<Turn> = Vec::new();
    for (at, act) in acts.iter().enumerate().filter(|(_, a)| a.turns) {
        let from = acts.iter().take(at).rev().find_map(|a| a.position);
        let (Some(from), Some(to)) = (from, act.position) else { continue };
        let first = !acts.iter().take(at).any(|a| a.position == Some(to));
        out.push(Turn { at, from, to, first, held: None });
    }
    out
}

/// The turns of an order that was found, each with its reason.
pub fn turns(ruled: &Ruled, found: &Found, forced: &[Forced]) -> Vec<Turn> {
    let acts = &ruled.problem.acts;
    let mut now = None;
    let positions: Vec<Option<usize>> = found
        .order
        .iter()
        .map(|a| {
            now = acts.get(*a).and_then(|a| a.position).or(now);
            now
        })
        .collect();
    let mut out = Vec::new();
    for (at, pair) in positions.windows(2).enumerate().map(|(i, pair)| (i + 1, pair)) {
        let &[Some(from), Some(to)] = pair else { continue };
        if from == to {
            continue;
        }
        let before = positions.iter().take(at).rposition(|p| *p == Some(to));
        let end = positions.iter().skip(at).position(|p| *p != Some(to)).map_or(positions.len(), |n| at + n);
        let too_long = forced.iter().map(|f| f.cause).find(|c| *c == Cause::Stay(Idx::new(to)));
        let stay = too_long.map(|cause| Held { waits: at, for_act: at, cause });
        let held = before.and_then(|b| held(ruled, found, (b + 1, at), (at, end)).or(stay).or_else(|| tied(ruled, found, (at, end))));
        out.push(Turn { at, from: Idx::new(from), to: Idx::new(to), first: before.is_none(), held });
    }
    out
}

/// The first act of a run that waits for one of those between, and why.
fn held(ruled: &Ruled, found: &Found, between: (usize, usize), run: (usize, usize)) -> Option<Held> {
    let named = |row: usize| found.order.get(row).copied();
    let why = |first: usize, second: usize| {
        let fits = |e: &&super::solve::Edge| e.first == first && e.second == second;
        ruled.problem.edges.iter().filter(fits).min_by_key(|e| u8::from(matches!(e.bond, Bond::Apart(_))))
    };
    for waits in run.0..run.1 {
        for for_act in (between.0..between.1).rev() {
            if let (Some(x), Some(y)) = (named(for_act), named(waits))
                && let Some(cause) = why(x, y).and_then(|e| ruled.causes.get(e.rule))
            {
                return Some(Held { waits, for_act, cause: *cause });
            }
        }
    }
    None
}

/// The first act of a run that stays with another, and why.
fn tied(ruled: &Ruled, found: &Found, run: (usize, usize)) -> Option<Held> {
    (run.0..run.1).find_map(|waits| {
        let tied = ruled.problem.edges.iter().find(|e| e.bond == Bond::RightAfter && found.order.get(waits) == Some(&e.first))?;
        let for_act = found.order.iter().position(|a| *a == tied.second)?;
        Some(Held { waits, for_act, cause: *ruled.causes.get(tied.rule)? })
    })
}

/// Rules that cost turns: each is left aside in turn, and the order is searched again. That protocols keep their
/// own order is not a rule that can be left aside.
pub fn forced(ruled: &Ruled, found: &Found) -> Vec<Forced> {
    let mut positions: Vec<usize> = ruled.problem.acts.iter().filter_map(|a| a.position).collect();
    positions.sort_unstable();
    positions.dedup();
    if found.turns < positions.len() || found.kept > REPEATED {
        return Vec::new();
    }
    let rules = ruled.causes.iter().enumerate().filter(|(_, c)| !matches!(c, Cause::Own(_)));
    let without = rules.filter_map(|(i, cause)| {
        let fewer = solve(&ruled.problem, Some(i)).ok().filter(|f| f.turns < found.turns)?;
        Some(Forced { cause: *cause, without: fewer.turns })
    });
    without.collect()
}
