//! What authors draw on the body chart: muscles, points, zones and sweeps.

use super::{Amount, Ground, Muscle, Places};
use crate::model::chart::{Line, Outline, Point2, ViewId};
use crate::model::ids::Ref;
use crate::source::{Span, Spanned, Text};

/// A muscle in one view.
#[derive(Clone, Debug)]
pub struct MuscleDrawing {
    /// The view.
    pub view: Spanned<ViewId>,
    /// Outline of the belly.
    pub outline: Option<Outline>,
    /// Proximal attachments, one line for each slip.
    pub proximal: Vec<Line>,
    /// Distal attachments, one line for each slip.
    pub distal: Vec<Line>,
    /// Fibres, from the proximal to the distal attachment.
    pub fibres: Vec<Line>,
    /// Ground.
    pub ground: Ground,
    /// True if a fault in its coordinates was reported: then all lines are left out.
    pub unread: bool,
    /// Where it stands.
    pub span: Span,
}

/// A palpation point in one view.
#[derive(Clone, Debug)]
pub struct PointMark {
    /// The view.
    pub view: Spanned<ViewId>,
    /// Where to look first.
    pub at: Spanned<Point2>,
    /// Radius in which it may lie, if not the usual one.
    pub within: Option<Amount>,
}

/// Radius in which a point may lie if its author gives none, cm: one experienced examiner found points of upper
/// trapezius again within limits of agreement of -27.0 to 26.4 mm (Barbero 2012,
/// doi:10.1179/2042618612Y.0000000010).
pub const USUAL_RADIUS: f64 = 2.7;

/// Least and largest radius that an author may give, m: narrower than a fingertip's aim is false precision, wider is
/// no place. House practice of the tool.
pub const RADIUS_BOUNDS: (f64, f64) = (0.002, 0.1);

impl PointMark {
    /// Radius in which the point may lie, cm.
    pub fn radius(&self) -> f64 {
        self.within.as_ref().map_or(USUAL_RADIUS, |w| w.value.base().hi * 100.0)
    }
}

/// A pain zone in one view, where the shapes of the regions are too coarse.
#[derive(Clone, Debug)]
pub struct ZoneDrawing {
    /// The view.
    pub view: Spanned<ViewId>,
    /// Where pain is felt most.
    pub core: Vec<Outline>,
    /// Where it may spread.
    pub spread: Vec<Outline>,
    /// Where it stands.
    pub span: Span,
}

/// A muscle whose zones look like these.
#[derive(Clone, Debug)]
pub struct LookAlike {
    /// The other muscle.
    pub muscle: Ref<Muscle>,
    /// How to tell them apart.
    pub tell_apart: Text,
}

/// At which attachment a sweep starts.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum SweepFrom {
    /// Proximal attachment.
    Proximal,
    /// Distal attachment.
    Distal,
    /// Either; the step says which.
    Either,
}

impl SweepFrom {
    /// All with their words.
    pub const ALL: [(SweepFrom, &'static str); 3] =
        [(SweepFrom::Proximal, "proximal"), (SweepFrom::Distal, "distal"), (SweepFrom::Either, "either")];

    /// The one with this word.
    pub fn from_word(word: &str) -> Option<SweepFrom> {
        SweepFrom::ALL.iter().find(|(_, w)| *w == word).map(|(s, _)| *s)
    }

    /// The word.
    pub fn word(self) -> &'static str {
        SweepFrom::ALL.iter().find(|(s, _)| *s == self).map_or("", |(_, w)| w)
    }
}

/// How a sweep runs towards the fibres.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Course {
    /// Along them.
    Along,
    /// Across them.
    Across,
}

impl Course {
    /// The course with this word: `fibres` for along, `across`.
    pub fn from_word(word: &str) -> Option<Course> {
        match word {
            "fibres" => Some(Course::Along),
            "across" => Some(Course::Across),
            _ => None,
        }
    }
}

/// How a technique moves over the skin.
#[derive(Clone, Debug)]
pub struct SweepRule {
    /// Where it starts.
    pub from: Spanned<SweepFrom>,
    /// How it runs.
    pub along: Spanned<Course>,
    /// Ground.
    pub ground: Ground,
    /// Where it stands.
    pub span: Span,
}

/// The sweep of a step.
#[derive(Clone, Debug)]
pub struct StepSweep {
    /// Where each line starts.
    pub from: Option<Spanned<SweepFrom>>,
    /// Lines.
    pub paths: Vec<SweepPath>,
    /// Parts of the core that are left out on purpose.
    pub leaves_out: Vec<LeftOut>,
    /// Where it stands.
    pub span: Span,
}

/// One line of a sweep.
#[derive(Clone, Debug)]
pub struct SweepPath {
    /// The view.
    pub view: Spanned<ViewId>,
    /// The line, in the direction of the movement.
    pub path: Line,
}

/// A region that is left out on purpose.
#[derive(Clone, Debug)]
pub struct LeftOut {
    /// The region.
    pub region: Places,
    /// Why.
    pub why: Text,
}
