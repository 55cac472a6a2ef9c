//! The order with the fewest changes of position, on plain numbers.
//!
//! Acts are done one at a time. A state is the set of acts that are done, with the position and the exposure
//! that the person is left in and the act that has to come next, if one has. What can still happen depends on
//! the state and on a few clocks alone: how long ago each act ended that something must wait for, and how long
//! the person has been in the position. So of two ways into one state, the one that is no worse in cost, clocks
//! and stay can be kept and the other forgotten, and the search is exact. Cost is compared in the order of
//! turns, changes of exposure, place in the list; the last makes the answer the same everywhere.
//!
//! With protocols of n steps that keep their own order there are (n + 1)^k sets for k protocols, each with at most
//! as many positions and exposures as were last in one of them. `MOST` bounds the ways that are kept.

use crate::model::interval::{Interval, exceeds};
use std::collections::BTreeMap;

/// Most ways that are kept before the search gives up.
pub const MOST: usize = 150_000;

/// Most acts: one bit each.
pub const MOST_ACTS: usize = 128;

/// Something that is done.
#[derive(Clone, Debug, Default)]
pub struct Act {
    /// Position, by number; `None` if any will do.
    pub position: Option<usize>,
    /// Exposure, by number; `None` if any will do.
    pub exposure: Option<usize>,
    /// Seconds before it that set things up.
    pub set_up: Interval,
    /// Seconds that it lasts.
    pub lasts: Interval,
}

/// How two acts stand to each other.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Bond {
    /// The first comes before the second.
    Before,
    /// If the first comes before the second, at least so many seconds lie between.
    Apart(f64),
    /// The second comes right after the first.
    RightAfter,
}

/// A bond between two acts, and which rule asks for it.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Edge {
    /// First act.
    pub first: usize,
    /// Second act.
    pub second: usize,
    /// How.
    pub bond: Bond,
    /// The rule, by number.
    pub rule: usize,
}

/// What is asked.
#[derive(Clone, Debug, Default)]
pub struct Problem {
    /// Acts, in the order that breaks ties.
    pub acts: Vec<Act>,
    /// Bonds.
    pub edges: Vec<Edge>,
    /// Seconds that a change of position takes.
    pub turn: Interval,
    /// Longest time in each position in seconds, and the rule.
    pub stays: BTreeMap<usize, (f64, usize)>,
}

/// An order of acts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// Acts, in order.
    pub order: Vec<usize>,
    /// Changes of position.
    pub turns: usize,
    /// Changes of exposure.
    pub bares: usize,
    /// Ways that were kept on the way.
    pub kept: usize,
}

/// Why there is no order.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Stuck {
    /// No order keeps every rule.
    NoOrder,
    /// There are too many to search.
    TooMany,
}

/// Everything on which the rest of an order depends, but for clocks.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Key {
    done: u128,
    position: Option<usize>,
    exposure: Option<usize>,
    next: Option<usize>,
}

/// A way into a state.
#[derive(Clone, Debug, Default)]
struct Way {
    turns: usize,
    bares: usize,
    path: Vec<u8>,
    /// Seconds since the end of each act that has been done and that another waits for.
    since: Vec<(usize, f64)>,
    /// Longest that the person may have been in the position.
    stay: f64,
}

impl Way {
    fn cost(&self) -> (usize, usize, &[u8]) {
        (self.turns, self.bares, &self.path)
    }

    /// True if nothing that can follow `other` is out of reach here, or dearer.
    fn covers(&self, other: &Way) -> bool {
        self.cost() <= other.cost() && self.stay <= other.stay && self.since.iter().zip(&other.since).all(|(a, b)| a.0 == b.0 && a.1 >= b.1)
    }
}

/// A problem with its bonds sorted by act.
struct Search<'a> {
    problem: &'a Problem,
    /// Acts that must be done before each.
    needs: Vec<u128>,
    /// For each act, what it has to keep away from, and for how long.
    apart: Vec<Vec<(usize, f64)>>,
    /// For each act, the longest that any other waits for it, and who waits.
    waited: Vec<Option<(f64, u128)>>,
    /// What comes right after each.
    next: Vec<Option<usize>>,
    /// Rule that does not count.
    without: Option<usize>,
}

fn bit(act: usize) -> u128 {
    1u128 << (act % MOST_ACTS)
}

impl<'a> Search<'a> {
    fn new(problem: &'a Problem, without: Option<usize>) -> Self {
        let n = problem.acts.len();
        let mut search =
            Search { problem, needs: vec![0; n], apart: vec![Vec::new(); n], waited: vec![None; n], next: vec![None; n], without };
        for edge in problem.edges.iter().filter(|e| Some(e.rule) != without && e.first < n && e.second < n) {
            match edge.bond {
                Bond::Before => search.needs[edge.second] |= bit(edge.first),
                Bond::RightAfter => search.follow(edge.first, edge.second),
                Bond::Apart(least) => {
                    search.apart[edge.second].push((edge.first, least));
                    let (longest, who) = search.waited[edge.first].unwrap_or((0.0, 0));
                    search.waited[edge.first] = Some((longest.max(least), who | bit(edge.second)));
                }
            }
        }
        search
    }

    /// Two acts that both come right after a third come one after the other.
    fn follow(&mut self, first: usize, second: usize) {
        self.needs[second] |= bit(first);
        let mut last = first;
        while let Some(next) = self.next[last].filter(|n| *n != second) {
            last = next;
        }
        if last != second {
            self.next[last] = Some(second);
        }
    }

    /// The way on over an act, and the state it leads to; `None` if a rule forbids it.
    fn on(&self, key: &Key, way: &Way, a: usize) -> Option<(Key, Way)> {
        let act = &self.problem.acts[a];
        let changes = |new: Option<usize>, old: Option<usize>| new.is_some() && old.is_some() && new != old;
        let turns = changes(act.position, key.position);
        let bares = changes(act.exposure, key.exposure);
        let lead = act.set_up.lo + if turns { self.problem.turn.lo } else { 0.0 };
        let elapsed = |first: usize| way.since.iter().find(|(s, _)| *s == first).map(|(_, t)| t + lead);
        if self.apart[a].iter().any(|(first, least)| elapsed(*first).is_some_and(|gap| exceeds(*least, gap))) {
            return None;
        }
        let position = act.position.or(key.position);
        let stay = self.stay(position, act, if turns { 0.0 } else { way.stay })?;
        let done = key.done | bit(a);
        let still = |s: usize| self.waited[s].filter(|(_, who)| who & !done != 0).map(|(longest, _)| longest);
        let older = way.since.iter().filter_map(|(s, t)| Some((*s, (t + lead + act.lasts.lo).min(still(*s)?))));
        let mut since: Vec<(usize, f64)> = older.chain(still(a).map(|_| (a, 0.0))).collect();
        since.sort_by_key(|(s, _)| *s);
        let mut path = way.path.clone();
        path.push(u8::try_from(a).ok()?);
        let key = Key { done, position, exposure: act.exposure.or(key.exposure), next: self.next[a].filter(|n| done & bit(*n) == 0) };
        Some((key, Way { turns: way.turns + usize::from(turns), bares: way.bares + usize::from(bares), path, since, stay }))
    }

    /// How long the person has then been in the position; `None` if that is too long. Without a limit it is
    /// of no interest.
    fn stay(&self, position: Option<usize>, act: &Act, before: f64) -> Option<f64> {
        let Some((most, _)) = position.and_then(|p| self.problem.stays.get(&p)).filter(|(_, rule)| Some(*rule) != self.without) else {
            return Some(0.0);
        };
        let own = act.set_up.hi + act.lasts.hi;
        let stay = before + if own.is_finite() { own } else { act.set_up.lo + act.lasts.lo };
        (!exceeds(stay, *most)).then_some(stay)
    }

    fn ready(&self, key: &Key) -> Vec<usize> {
        let fits = |a: &usize| key.done & bit(*a) == 0 && self.needs[*a] & !key.done == 0 && key.next.is_none_or(|n| n == *a);
        (0..self.problem.acts.len()).filter(fits).collect()
    }
}

/// Finds the order with the fewest turns, one rule left aside if `without` names one.
///
/// # Errors
/// If no order keeps every rule, or if there are too many to search.
pub fn solve(problem: &Problem, without: Option<usize>) -> Result<Found, Stuck> {
    let n = problem.acts.len();
    if n > MOST_ACTS {
        return Err(Stuck::TooMany);
    }
    let search = Search::new(problem, without);
    let mut front: BTreeMap<Key, Vec<Way>> = BTreeMap::from([(Key::default(), vec![Way::default()])]);
    let mut kept = 0;
    for _ in 0..n {
        let mut next: BTreeMap<Key, Vec<Way>> = BTreeMap::new();
        for (key, ways) in &front {
            let ready = search.ready(key);
            for (key, way) in ways.iter().flat_map(|way| ready.iter().filter_map(|a| search.on(key, way, *a))) {
                let others = next.entry(key).or_default();
                if !others.iter().any(|o| o.covers(&way)) {
                    others.retain(|o| !way.covers(o));
                    others.push(way);
                }
            }
        }
        front = next;
        kept += front.values().map(Vec::len).sum::<usize>();
        if kept > MOST {
            return Err(Stuck::TooMany);
        }
    }
    let best = front.into_values().flatten().min_by(|a, b| a.cost().cmp(&b.cost())).ok_or(Stuck::NoOrder)?;
    Ok(Found { order: best.path.iter().map(|a| usize::from(*a)).collect(), turns: best.turns, bares: best.bares, kept })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn act(position: usize, exposure: usize, seconds: f64) -> Act {
        let lasts = Interval::exact(seconds);
        Act { position: Some(position), exposure: Some(exposure), set_up: Interval::ZERO, lasts }
    }

    fn before(first: usize, second: usize) -> Edge {
        Edge { first, second, bond: Bond::Before, rule: 0 }
    }

    /// Turns and changes of exposure of an order that keeps every rule; `None` if it breaks one.
    fn judge(problem: &Problem, order: &[usize]) -> Option<(usize, usize)> {
        let (mut now, mut turns, mut bares, mut stay) = (0.0, 0, 0, 0.0);
        let (mut position, mut exposure) = (None, None);
        let mut spans: BTreeMap<usize, (f64, f64)> = BTreeMap::new();
        for a in order {
            let act = &problem.acts[*a];
            if position.is_some() && act.position != position {
                turns += 1;
                now += problem.turn.lo;
                stay = 0.0;
            }
            bares += usize::from(exposure.is_some() && act.exposure != exposure);
            (position, exposure) = (act.position, act.exposure);
            spans.insert(*a, (now, now + act.lasts.lo));
            now += act.lasts.lo;
            stay += act.lasts.hi;
            if problem.stays.get(&position?).is_some_and(|(most, _)| stay > *most) {
                return None;
            }
        }
        let place = |a: usize| order.iter().position(|x| *x == a);
        let kept = problem.edges.iter().all(|e| {
            let (first, second) = (place(e.first), place(e.second));
            match e.bond {
                Bond::Before => first < second,
                Bond::RightAfter => first.map(|f| f + 1) == second,
                Bond::Apart(least) => first > second || spans[&e.second].0 - spans[&e.first].1 >= least,
            }
        });
        kept.then_some((turns, bares))
    }

    /// Every interleaving of protocols that keep their own order.
    fn interleavings(parts: &[Vec<usize>]) -> Vec<Vec<usize>> {
        if parts.iter().all(Vec::is_empty) {
            return vec![Vec::new()];
        }
        let mut out = Vec::new();
        for (i, part) in parts.iter().enumerate() {
            let Some((first, rest)) = part.split_first() else { continue };
            let mut left = parts.to_vec();
            left[i] = rest.to_vec();
            out.extend(interleavings(&left).into_iter().map(|tail| [vec![*first], tail].concat()));
        }
        out
    }

    prop_compose! {
        fn three_protocols()(
            lengths in prop::collection::vec(1usize..=3, 3),
            acts in prop::collection::vec((0usize..3, 0usize..2, 1u8..5), 9),
            rules in prop::collection::vec((0usize..9, 0usize..9, 0u8..4), 0..5),
            stay in prop::option::of(6u8..12),
        ) -> (Problem, Vec<Vec<usize>>) {
            let mut parts = Vec::new();
            let mut n = 0;
            for length in lengths {
                parts.push((n..n + length).collect::<Vec<_>>());
                n += length;
            }
            let acts = acts.into_iter().take(n).map(|(p, e, t)| act(p, e, f64::from(t))).collect();
            let own = parts.iter().flat_map(|p| p.windows(2)).map(|w| before(w[0], w[1]));
            let part = |a: usize| parts.iter().position(|p| p.contains(&a));
            let across = rules.into_iter().filter(|(a, b, _)| *a < n && *b < n && part(*a) != part(*b));
            let across = across.map(|(first, second, kind)| {
                let bond = match kind { 0 => Bond::Before, 1 => Bond::Apart(3.0), 2 => Bond::Apart(7.0), _ => Bond::Apart(2.0) };
                Edge { first, second, bond, rule: 1 }
            });
            let edges = own.chain(across).collect();
            let stays = stay.map(|s| (0, (f64::from(s), 2))).into_iter().collect();
            (Problem { acts, edges, turn: Interval::exact(1.0), stays }, parts)
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]

        #[test]
        fn the_search_finds_what_trying_every_order_finds((problem, parts) in three_protocols()) {
            let all = interleavings(&parts);
            let best = all.iter().filter_map(|o| Some((judge(&problem, o)?, o.clone()))).min();
            let found = solve(&problem, None);
            match (best, found) {
                (Some((cost, order)), Ok(found)) => {
                    prop_assert_eq!((found.turns, found.bares), cost);
                    prop_assert_eq!(found.order, order, "of all that are as good, the first");
                }
                (None, Err(Stuck::NoOrder)) => {}
                (best, found) => prop_assert!(false, "{:?} and {:?}", best, found),
            }
        }
    }

    #[test]
    fn positions_are_gathered_as_far_as_the_order_of_each_allows() {
        let acts = vec![act(0, 0, 1.0), act(1, 0, 1.0), act(0, 0, 1.0), act(0, 0, 1.0), act(1, 0, 1.0), act(0, 0, 1.0)];
        let mut problem = Problem { acts, edges: vec![before(0, 1), before(1, 2), before(3, 4), before(4, 5)], ..Problem::default() };
        let found = solve(&problem, None).unwrap();
        assert_eq!((found.turns, &*found.order), (2, &[0, 3, 1, 4, 2, 5][..]));
        problem.edges.push(Edge { first: 2, second: 3, bond: Bond::Before, rule: 7 });
        assert_eq!(solve(&problem, None).unwrap().turns, 4);
        assert_eq!(solve(&problem, Some(7)).unwrap().turns, 2);
        problem.edges.push(Edge { first: 5, second: 0, bond: Bond::Before, rule: 8 });
        assert_eq!(solve(&problem, None), Err(Stuck::NoOrder));
    }

    #[test]
    fn what_comes_right_after_is_not_parted_and_a_stay_is_bounded() {
        let acts = vec![act(0, 0, 4.0), act(1, 0, 4.0), act(0, 0, 4.0)];
        let follows = Edge { first: 0, second: 1, bond: Bond::RightAfter, rule: 0 };
        let mut problem = Problem { acts, edges: vec![follows], ..Problem::default() };
        assert_eq!(solve(&problem, None).unwrap().order, [2, 0, 1]);
        problem.stays.insert(0, (7.0, 3));
        assert_eq!(solve(&problem, None).unwrap().order, [0, 1, 2]);
    }

    #[test]
    fn too_many_orders_are_not_searched() {
        let acts = (0..40).map(|i| act(i, i, 1.0)).collect();
        assert_eq!(solve(&Problem { acts, ..Problem::default() }, None), Err(Stuck::TooMany));
    }
}
