//! The time axis of a protocol: a drawing in numbers, and the same as a table.

use crate::compute::steps::StepFacts;
use crate::compute::timeline::Timeline;
use crate::model::docs::{Amount, Protocol, Step};
use crate::model::interval::Interval;
use crate::model::unit::Dim;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc};
use crate::plan::words;
use serde::Serialize;

/// Width of the drawing in its own units; a letter is 12.5 high or more, so that a page 390 wide shows it with more than 12 px.
const WIDTH: f64 = 360.0;
/// Left edge of the time axis.
const LEFT: f64 = 26.0;
/// Right edge of the time axis.
const RIGHT: f64 = 345.0;
/// Height of a row.
const ROW: f64 = 19.0;

/// The time axis.
#[derive(Debug, Serialize)]
pub struct TimelineView {
    /// Width of the drawing.
    pub width: f64,
    /// Height of the drawing.
    pub height: f64,
    /// Marks on the axis.
    pub ticks: Vec<Tick>,
    /// Rows, top to bottom.
    pub rows: Vec<TimeRow>,
    /// Names of positions and the height at which they stand.
    pub bands: Vec<Band>,
    /// End of the appointment on the axis.
    pub appointment_x: Option<f64>,
    /// Length of the appointment.
    pub appointment: Option<String>,
    /// Whole time, least to most.
    pub total: String,
    /// How often the person turns.
    pub turns: usize,
    /// True if the worst case does not fit.
    pub too_long: bool,
    /// How long the clinician presses with the thumb, in a sentence.
    pub thumb: Option<String>,
}

/// A mark on the axis.
#[derive(Debug, Serialize)]
pub struct Tick {
    /// Place.
    pub x: f64,
    /// Minutes.
    pub text: String,
}

/// A position that several rows share.
#[derive(Debug, Serialize)]
pub struct Band {
    /// Name.
    pub text: String,
    /// Top.
    pub y: f64,
    /// Height.
    pub height: f64,
    /// Base line of the name.
    pub text_y: f64,
    /// True for every other band.
    pub odd: bool,
}

/// A step on the axis.
#[derive(Debug, Serialize)]
pub struct TimeRow {
    /// Number.
    pub number: u32,
    /// What is done.
    pub action: String,
    /// Position.
    pub position: String,
    /// True if the person turns before it.
    pub turn: bool,
    /// Earliest start and end, latest start and end.
    pub earliest: String,
    /// Latest start and end.
    pub latest: String,
    /// Time of the step.
    pub takes: String,
    /// Bar of the best case: left edge and width.
    pub best: (f64, f64),
    /// Bar of the worst case: left edge and width.
    pub worst: (f64, f64),
    /// Top of the row.
    pub y: f64,
    /// Base line of its number.
    pub text_y: f64,
}

/// What stands in a row.
pub struct RowOf {
    /// Number.
    pub number: u32,
    /// What is done.
    pub action: String,
    /// Position.
    pub position: Option<String>,
    /// Time that it takes, if that is known.
    pub lasts: Option<Interval>,
}

/// The time axis of a protocol.
pub fn timeline(site: &Site<'_>, idx: Idx<Protocol>) -> TimelineView {
    let protocol = &site.catalog.protocols[idx];
    let facts = site.facts.of(idx);
    let row = |(step, f): (&Step, &StepFacts)| RowOf {
        number: step.number.value,
        action: step.action.value.to_string(),
        position: f.position.map(|p| site.name(doc(Kind::Position, p))),
        lasts: f.duration,
    };
    draw(&facts.timeline, protocol.steps.iter().zip(&facts.steps).map(row).collect(), thumb(site, idx))
}

/// Draws a time axis, one row for each slot.
pub fn draw(t: &Timeline, of: Vec<RowOf>, thumb: Option<String>) -> TimelineView {
    let reach = t.total.hi.max(t.appointment.unwrap_or(0.0)).max(60.0);
    let reach = if reach.is_finite() { reach } else { t.appointment.unwrap_or(3600.0) * 1.5 };
    let x = |seconds: f64| round(LEFT + (RIGHT - LEFT) * (seconds.min(reach) / reach));
    let (mut rows, mut bands): (Vec<TimeRow>, Vec<Band>) = (Vec::new(), Vec::new());
    let mut y = 20.0;
    for (row, slot) in of.into_iter().zip(&t.slots) {
        let position = row.position.unwrap_or_else(|| "any position".into());
        if bands.last().is_none_or(|b| b.text != position) {
            bands.push(Band { text: position.clone(), y, height: ROW, text_y: y + 14.0, odd: bands.len() % 2 == 1 });
            y += ROW;
        }
        let span = |a: f64, b: f64| (x(a), round((x(b) - x(a)).max(1.5)));
        rows.push(TimeRow {
            number: row.number,
            action: row.action,
            position,
            turn: slot.turn,
            earliest: format!("{}–{}", words::clock(slot.start.lo), words::clock(slot.end.lo)),
            latest: format!("{}–{}", words::clock(slot.start.hi), words::clock(slot.end.hi)),
            takes: row.lasts.map_or("not known".into(), |d| words::amount(Dim::Time, d, d.hi)),
            best: span(slot.start.lo, slot.end.lo),
            worst: span(slot.start.hi, slot.end.hi),
            y,
            text_y: y + 14.0,
        });
        y += ROW;
        if let Some(band) = bands.last_mut() {
            band.height = y - band.y;
        }
    }
    TimelineView {
        width: WIDTH,
        height: y + 4.0,
        ticks: ticks(reach, &x),
        rows,
        bands,
        appointment_x: t.appointment.map(&x),
        appointment: t.appointment.map(|a| words::minutes(Interval::exact(a))),
        total: words::minutes(t.total),
        turns: t.turns,
        too_long: t.appointment.is_some_and(|a| crate::model::interval::exceeds(t.total.hi, a)),
        thumb,
    }
}

/// A technique that can also be done with another contact counts as done with the thumb.
fn thumb(site: &Site<'_>, idx: Idx<Protocol>) -> Option<String> {
    let protocol = &site.catalog.protocols[idx];
    let (facts, pack) = (&site.facts.of(idx).thumb, &site.catalog.packs[protocol.head.pack]);
    let time = |t: Interval| words::amount(Dim::Time, t, t.hi);
    let house = |most: &Option<Amount>| most.as_ref().map_or_else(String::new, |m| format!(" (house: at most {})", m.value.shown()));
    let ((_, longest), total) = facts.longest.zip(facts.total)?;
    Some(format!(
        "Thumb pressure of the clinician, if every such step is done with the thumb: longest hold {}{}, in all {}{}.",
        time(longest),
        house(&pack.thumb_hold),
        time(total),
        house(&pack.thumb_session)
    ))
}

fn ticks(reach: f64, x: &impl Fn(f64) -> f64) -> Vec<Tick> {
    let every = if reach > 3600.0 {
        900.0
    } else if reach > 1200.0 {
        600.0
    } else {
        300.0
    };
    let mut out = Vec::new();
    let mut at = 0.0;
    while at <= reach && out.len() < 20 {
        out.push(Tick { x: x(at), text: crate::model::quantity::number(at / 60.0) });
        at += every;
    }
    out
}

fn round(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}
