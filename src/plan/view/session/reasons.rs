//! Why the person turns, and the rules behind the order, in words.

use super::acts::{named, short};
use crate::compute::session::late::{Goes, Late};
use crate::compute::session::reason::{Forced, Held, Turn};
use crate::compute::session::{Cause, Tie, Visit, Way};
use crate::model::docs::{OrderRule, Position};
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc};
use crate::plan::words;

fn position(site: &Site<'_>, position: Idx<Position>) -> String {
    site.name(doc(Kind::Position, position))
}

/// A rule in words, to stand after a colon.
pub fn cause(site: &Site<'_>, visit: &Visit, cause: Cause) -> String {
    let rule = |t, row: usize| {
        let technique: &crate::model::docs::Technique = &site.catalog.techniques[t];
        let why = technique.order.get(row).map(|r: &OrderRule| r.why.value.trim_end_matches('.').to_string());
        (technique.name.value.to_string(), why.unwrap_or_default())
    };
    match cause {
        Cause::Own(part) => format!("{} keeps the order of its steps", short(site, visit, part)),
        Cause::ScreenFirst => "every stop-sign is asked before anything is treated".into(),
        Cause::ConsentFirst => "everything is agreed before anything is treated".into(),
        Cause::BaselineFirst => {
            "everything is measured before anything is treated, or the treatment of one changes the baseline of the other".into()
        }
        Cause::TalkLast => "the closing talk comes after all treatment".into(),
        Cause::Order(t, row) => {
            let (name, why) = rule(t, row);
            format!("an order rule of {name}: {why}")
        }
        Cause::Gap(t, row) => {
            let (name, why) = rule(t, row);
            format!("a gap that {name} asks for: {why}")
        }
        Cause::Numb => "skin that is still numb from cold is not pressed".into(),
        Cause::Rewarm => "skin is warm again before the next heat or cold".into(),
        Cause::Opposed => "heat and cold on the same skin are kept apart".into(),
        Cause::Rubbed => "a rub bars heat and cold on the same skin".into(),
        Cause::Tied(Tie::Look) => "the skin is looked at right after the pack".into(),
        Cause::Tied(Tie::Cool) => "the stretch follows while the skin is cool".into(),
        Cause::Tied(Tie::Bare) => "consent to uncover is asked right before".into(),
        Cause::Stay(p) => {
            let limit = site.catalog.positions[p].time_limit.as_ref().map(|q| q.value.shown()).unwrap_or_default();
            format!("nobody stays longer than {limit} in {}, or than one protocol alone takes there", position(site, p))
        }
    }
}

/// Why the person turns.
pub fn turn(site: &Site<'_>, visit: &Visit, turn: &Turn) -> String {
    let (from, to) = (position(site, turn.from), position(site, turn.to));
    let act = named(site, visit, turn.at);
    let pair = format!("From {from} to {to}.");
    match &turn.held {
        _ if turn.first => format!("{pair} {} can only be done there.", words::capital(&act)),
        Some(Held { cause: why @ Cause::Stay(_), .. }) => {
            format!("{pair} All that is done there takes longer than the position allows at one time: {}.", cause(site, visit, *why))
        }
        Some(held) if held.for_act > held.waits => {
            let (waits, next) = (named(site, visit, held.waits), named(site, visit, held.for_act));
            format!("{pair} {} stays with {next}: {}.", words::capital(&waits), cause(site, visit, held.cause))
        }
        Some(held) => {
            let (waits, first) = (named(site, visit, held.waits), named(site, visit, held.for_act));
            format!("{pair} {} waits for {first}: {}.", words::capital(&waits), cause(site, visit, held.cause))
        }
        None => format!("{pair} {} can only be done there, and every order that keeps the rules turns as often.", words::capital(&act)),
    }
}

/// A rule that costs turns.
pub fn forced(site: &Site<'_>, visit: &Visit, forced: &Forced) -> String {
    let more = visit.timeline.turns.saturating_sub(forced.without);
    let count = if more == 1 { "one change of position more".to_string() } else { format!("{more} changes of position more") };
    format!("{} This costs {count}.", sentence(&cause(site, visit, forced.cause)))
}

fn sentence(text: &str) -> String {
    format!("{}.", words::capital(text))
}

/// Where the order comes from.
pub fn way(visit: &Visit) -> String {
    let turns = |n: usize| if n == 1 { "one change of position".to_string() } else { format!("{n} changes of position") };
    let listed = turns(visit.listed);
    let now = turns(visit.timeline.turns);
    let fewest = visit.fewest.map(turns).unwrap_or_default();
    match visit.way {
        Way::Fewest if visit.parts.len() < 2 => format!("{now}, as the protocol has it."),
        Way::Fewest => format!(
            "{now}; no order that keeps the rules has fewer. One protocol after the other would have {listed}. Each protocol keeps the order of its own steps."
        ),
        Way::AsListed if visit.fewest.is_some() => {
            format!("{now}, one protocol after the other, as the author of the session wants it; {fewest} would be enough.")
        }
        Way::AsListed => format!("{now}, one protocol after the other, as the author of the session wants it."),
        Way::NoOrder => format!(
            "{now}. No order of the steps keeps every rule between these protocols, so they follow one after the other. Give them in two appointments."
        ),
        Way::TooMany => format!(
            "{now}, one protocol after the other. There are too many orders to search; whether fewer changes of position would do is not known."
        ),
    }
}

/// What may be left out: the rank in words.
pub fn goes(late: &Late) -> String {
    match late.goes {
        Goes::Comfort => "warmth for comfort".into(),
        Goes::HomeTeaching => "teaching of what is done at home".into(),
        Goes::Treatment(Some(c)) => format!("treatment; the best certainty that its protocol states is {}", c.word()),
        Goes::Treatment(None) => "treatment; its protocol states no certainty".into(),
    }
}
