//! A position.

use super::parts::{Frame, GroundView, Link, LinkGroup, Pair};
use crate::model::docs::{JointAngle, Position};
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, pairs, places, texts};
use serde::Serialize;

/// View of `position.html`.
#[derive(Debug, Serialize)]
pub struct PositionPage {
    /// Frame.
    pub frame: Frame,
    /// How to set it up.
    pub how: String,
    /// Joint angles.
    pub joints: Vec<Pair>,
    /// Supports.
    pub supports: Vec<String>,
    /// What is bare.
    pub exposed: Vec<String>,
    /// Drape.
    pub drape: String,
    /// What bears weight.
    pub bears_weight: Vec<String>,
    /// Who must not lie so.
    pub barred_by: Vec<Barred>,
    /// In, out, airway.
    pub handling: Vec<Pair>,
    /// Longest time.
    pub time_limit: Option<String>,
    /// True if a joint is at end range or hangs free.
    pub end_range: bool,
    /// Ground.
    pub ground: GroundView,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

/// A condition that bars a position.
#[derive(Debug, Serialize)]
pub struct Barred {
    /// Condition.
    pub link: Link,
    /// Why.
    pub why: String,
}

/// Joint angles for people: the sign becomes the name of the direction.
pub fn joints(angles: &[JointAngle]) -> Vec<Pair> {
    let view = |j: &JointAngle| {
        let base = j.angle.value.base();
        let way = if base.hi < 0.0 { j.coordinate.negative } else { j.coordinate.positive };
        let way = way.replace(" same", " to the same side").replace(" away", " to the other side");
        let mut angle = j.angle.value.clone();
        if base.hi < 0.0 {
            angle.written = crate::model::interval::Interval::new(-angle.written.hi, -angle.written.lo);
        }
        Pair { label: format!("{} {way}", j.coordinate.joint), text: angle.shown() }
    };
    angles.iter().map(view).collect()
}

impl PositionPage {
    /// Shows a position.
    pub fn new(site: &Site<'_>, idx: Idx<Position>) -> PositionPage {
        let p = &site.catalog.positions[idx];
        let own = doc(Kind::Position, idx);
        let barred = |(condition, why): &(crate::model::Ref<_>, crate::source::Text)| {
            site.follow(Kind::Condition, condition).map(|link| Barred { link, why: why.value.to_string() })
        };
        PositionPage {
            frame: site.doc_frame(own),
            how: p.how.value.to_string(),
            joints: joints(&p.joints),
            supports: texts(&p.supports),
            exposed: places(&p.exposed.all),
            drape: p.drape.value.to_string(),
            bears_weight: places(&p.bears_weight.all),
            barred_by: p.barred_by.iter().filter_map(barred).collect(),
            handling: pairs(&p.handling),
            time_limit: p.time_limit.as_ref().map(|q| q.value.shown()),
            end_range: p.end_range,
            ground: site.ground(&p.ground),
            used_by: site.used_by(own),
        }
    }
}
