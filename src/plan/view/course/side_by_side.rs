//! Two muscles that are easily taken for each other, in the same rows.

use crate::compute::chart::zone::Alike;
use crate::model::docs::Muscle;
use crate::model::vocabulary::Stressor;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, places, text, texts};
use crate::plan::view::chart::{self, ChartView};
use crate::plan::view::muscle::{landmark, zone};
use crate::plan::view::parts::{Frame, Link};
use crate::plan::view::position::joints;
use crate::plan::words;
use serde::Serialize;

/// View of `side_by_side.html`.
#[derive(Debug, Serialize)]
pub struct SideBySide {
    /// Frame.
    pub frame: Frame,
    /// The muscles.
    pub muscles: [Link; 2],
    /// What their pain zones share.
    pub shared: Option<String>,
    /// Rows.
    pub rows: Vec<Row>,
    /// Charts.
    pub charts: [Option<ChartView>; 2],
}

/// A row.
#[derive(Debug, Serialize)]
pub struct Row {
    /// What is compared.
    pub heading: &'static str,
    /// `the same`, `differs`, `in part`, or that one says nothing; none where two things cannot be compared word for word.
    pub word: Option<&'static str>,
    /// What each says.
    pub cells: [Vec<Item>; 2],
}

/// A line of a cell.
#[derive(Debug, Clone, Serialize)]
pub struct Item {
    /// Text.
    pub text: String,
    /// Where it leads.
    pub href: Option<String>,
    /// True for an item of a list that the other muscle does not have.
    pub only: bool,
}

/// The page of a pair.
pub fn page(site: &Site<'_>, a: Idx<Muscle>, b: Idx<Muscle>) -> SideBySide {
    let muscles = [a, b].map(|m| site.link(doc(Kind::Muscle, m)));
    SideBySide {
        frame: super::frame(site, &format!("{} and {}", muscles[0].text, muscles[1].text)),
        muscles,
        shared: shared(site, a, b),
        rows: rows(site, a, b).into_iter().filter(|r| r.cells.iter().any(|c| !c.is_empty())).collect(),
        charts: [a, b].map(|m| chart::of_muscle(site, m)),
    }
}

fn shared(site: &Site<'_>, a: Idx<Muscle>, b: Idx<Muscle>) -> Option<String> {
    let alike: Alike = site.facts.chart.overlaps.iter().find(|o| o.one == a && o.two == b).map(|o| o.alike)?;
    Some(format!("{:.0} % of the smaller core of their pain zones is common to both, by area on the chart.", alike.of_smaller * 100.0))
}

fn rows(site: &Site<'_>, a: Idx<Muscle>, b: Idx<Muscle>) -> Vec<Row> {
    let both = [a, b].map(|m| &site.catalog.muscles[m]);
    let said = |heading, of: &dyn Fn(&Muscle) -> Option<String>| words_of(heading, both.map(of));
    let listed = |heading, of: &dyn Fn(&Muscle) -> Vec<String>| list(heading, &both.map(of));
    let zones = |of: &dyn Fn(&crate::model::docs::Zone) -> Vec<String>, m: &Muscle| {
        let mut all: Vec<String> = m.points.iter().filter_map(|p| p.zone.as_ref()).flat_map(of).collect();
        all.sort();
        all.dedup();
        all
    };
    let end = |m: &Muscle, end: &str| m.attachments.iter().find(|a| a.end == end).map(|a| a.text.value.to_string());
    let points = both.map(|m| m.points.iter().map(|p| plain(format!("Point {}: {}.", p.number.value, landmark(p)))).collect());
    let sentences = both
        .map(|m| m.points.iter().filter_map(|p| Some(plain(format!("Point {}: {}", p.number.value, zone(p.zone.as_ref()?))))).collect());
    vec![
        Row { heading: "How to tell them apart", word: None, cells: apart(site, a, b) },
        said("Attachment, proximal", &|m| end(m, "proximal")),
        said("Attachment, distal", &|m| end(m, "distal")),
        listed("Actions", &|m| m.actions.iter().filter_map(|a| Some(words::capital(&a.motion.as_ref()?.value.shown()))).collect()),
        said("Nerve", &|m| text(&m.nerve)),
        listed("Segments", &|m| texts(&m.segments)),
        listed("Joints crossed", &|m| texts(&m.joints)),
        said("Fibres", &|m| text(&m.fibres)),
        said("Layer", &|m| text(&m.layer)),
        said("Palpation: method", &|m| text(&m.palpation.method)),
        said("Palpation: position", &|m| Some(site.follow(Kind::Position, m.palpation.position.as_ref()?)?.text)),
        said("Palpation: make it stand out", &|m| text(&m.palpation.stand_out)),
        said("Palpation: normal feels like", &|m| text(&m.palpation.normal)),
        Row { heading: "Points: look here first", word: None, cells: points },
        listed("Pain zone, core", &|m| zones(&|z| places(&z.core.all), m)),
        listed("Pain zone, spread", &|m| zones(&|z| places(&z.spread.all), m)),
        Row { heading: "Pain zone of each point", word: None, cells: sentences },
        // One hazard stands in other words at each muscle: a word that it is only here would be wrong.
        Row {
            heading: "Hazards near it",
            word: None,
            cells: both.map(|m| m.hazards.iter().map(|h| plain(h.text.value.to_string())).collect()),
        },
        Row { heading: "Stretch position", word: None, cells: [a, b].map(|m| stretches(site, m).into_iter().map(plain).collect()) },
        Row { heading: "Protocols", word: None, cells: [a, b].map(|m| protocols(site, m)) },
    ]
}

fn plain(text: String) -> Item {
    Item { text, href: None, only: false }
}

/// Texts in the words of each document.
fn words_of(heading: &'static str, both: [Option<String>; 2]) -> Row {
    let word = match &both {
        [Some(a), Some(b)] if a == b => "the same",
        [Some(_), Some(_)] => "differs",
        _ => "one says nothing",
    };
    Row { heading, word: Some(word), cells: both.map(|t| t.into_iter().map(plain).collect()) }
}

/// Lists, of which each item is found on the other side or not.
fn list(heading: &'static str, both: &[Vec<String>; 2]) -> Row {
    let [a, b] = both;
    let common = a.iter().filter(|x| b.contains(x)).count();
    let word = match (a.is_empty(), b.is_empty()) {
        (true, _) | (_, true) => "one says nothing",
        _ if common == a.len() && common == b.len() => "the same",
        _ if common > 0 => "in part the same",
        _ => "differs",
    };
    let mark = |own: &[String], other: &[String]| own.iter().map(|t| Item { only: !other.contains(t), ..plain(t.clone()) }).collect();
    let cells = [mark(a, b), mark(b, a)];
    Row { heading, word: Some(word), cells }
}

/// How each is known. What a muscle says of a neighbour is about the neighbour, so it stands under that one; what tells
/// apart two that look alike names both and is said once.
fn apart(site: &Site<'_>, a: Idx<Muscle>, b: Idx<Muscle>) -> [Vec<Item>; 2] {
    let known = |own: Idx<Muscle>, other: Idx<Muscle>| {
        let says = site.catalog.muscles[other].neighbours.iter().filter(|n| n.muscle.as_ref().is_some_and(|r| r.to == Some(own)));
        let alike = site.catalog.muscles[own].look_alikes.iter().filter(|l| l.muscle.to == Some(other));
        says.map(|n| &n.tell_apart).chain(alike.map(|l| &l.tell_apart)).map(|t| t.value.to_string()).collect::<Vec<_>>()
    };
    let (one, mut two) = (known(a, b), known(b, a));
    two.retain(|text| !one.contains(text));
    [one, two].map(|texts| texts.into_iter().map(plain).collect())
}

/// Positions and joint angles of every step and exercise that lengthens the muscle to its end.
fn stretches(site: &Site<'_>, muscle: Idx<Muscle>) -> Vec<String> {
    let mut out = Vec::new();
    for (idx, p) in site.catalog.protocols.iter().filter(|(_, p)| p.muscle.to == Some(muscle)) {
        let facts = site.facts.of(idx);
        let steps = p.steps.iter().zip(&facts.steps).enumerate().map(|(n, (s, f))| (format!("Step {}", n + 1), f, &s.joints));
        let home = p.home.iter().zip(&facts.home).enumerate().map(|(n, (h, f))| (format!("Home item {}", n + 1), f, &h.joints));
        for (at, f, own) in steps.chain(home).filter(|(_, f, _)| f.load(Stressor::Stretch).is_some()) {
            let position = f.position.map_or("no position of its own".into(), |x| site.name(doc(Kind::Position, x)));
            let angles = joints(own).into_iter().map(|j| format!("{} {}", j.label, j.text));
            let line = std::iter::once(position).chain(angles).collect::<Vec<_>>().join(", ");
            out.push(format!("{at}: {line}"));
        }
    }
    out
}

fn protocols(site: &Site<'_>, muscle: Idx<Muscle>) -> Vec<Item> {
    let own = site.catalog.protocols.iter().filter(|(_, p)| p.muscle.to == Some(muscle));
    own.map(|(idx, _)| site.link(doc(Kind::Protocol, idx))).map(|l| Item { text: l.text, href: Some(l.href), only: false }).collect()
}
