//! What a step or home item does to the length of the muscle it stretches.
//!
//! The angles of the position and those of the step are one posture; where both name a coordinate the
//! step counts. An angle given as a range counts with its middle. What neither names is neutral.

use super::rank::{self, Candidate, Loose, Ranked};
use super::stretch::{Arm, Change, Coupling, Joint, Part, Posture, Verdict};
use crate::model::docs::{JointAngle, Muscle, MusclePart, Position};
use crate::model::{Catalog, Idx};
use crate::source::Span;

/// A joint that a step or its position sets.
#[derive(Clone, Debug)]
pub struct Placed {
    /// Coordinate.
    pub joint: Joint,
    /// Angle, degrees; the middle of a range.
    pub degrees: f64,
    /// The end of a range that is farther from neutral, degrees.
    pub farthest: f64,
    /// Where the coordinate is named.
    pub at: Span,
    /// True if the position sets it and the step says nothing.
    pub carried: bool,
}

/// A posture that takes part in a ranking.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Listed {
    /// A position of the pack.
    Position(Idx<Position>),
    /// The step itself.
    Here,
}

/// What a posture does to one part.
#[derive(Clone, Debug)]
pub struct PartStretch {
    /// Row of the part in the muscle.
    pub row: usize,
    /// The part.
    pub part: Part,
    /// Change of length from neutral, mm.
    pub change: Change,
    /// The same in percent of the optimal fibre length.
    pub percent_of_fibre: Option<f64>,
    /// What may be said of it.
    pub verdict: Verdict,
    /// Coordinates with an angle beyond their table.
    pub beyond_table: Vec<Joint>,
    /// Positions of the pack that move a joint of this part, and the step itself, longest first.
    pub ranked: Vec<Ranked<Listed>>,
    /// Joints that could add length and do not.
    pub loose: Vec<Loose>,
}

impl PartStretch {
    /// The step in percent of the best listed position; `None` if none lengthens the part.
    pub fn percent_of_best(&self) -> Option<f64> {
        self.ranked.iter().find(|r| r.key == Listed::Here).and_then(|r| r.percent_of_best)
    }
}

/// What a posture does to a muscle.
#[derive(Clone, Debug)]
pub struct Stretch {
    /// The muscle.
    pub muscle: Idx<Muscle>,
    /// Joints that are set, in the order of the step and then of the position.
    pub placed: Vec<Placed>,
    /// One for each part that has moment arms.
    pub parts: Vec<PartStretch>,
    /// Placed coordinates of joints that the muscle crosses but that no part has an arm for: they
    /// contribute nothing here, although they may in life.
    pub without_arm: Vec<Joint>,
}

impl Stretch {
    /// The part that becomes longest.
    pub fn longest(&self) -> Option<&PartStretch> {
        self.parts.iter().max_by(|a, b| a.change.total.total_cmp(&b.change.total))
    }

    /// The part that becomes shortest.
    pub fn shortest(&self) -> Option<&PartStretch> {
        self.parts.iter().min_by(|a, b| a.change.total.total_cmp(&b.change.total))
    }

    /// What may be said of the whole muscle: it lengthens if any part does; if none does, it shortens
    /// if any part does.
    pub fn verdict(&self) -> Verdict {
        let any = |v| self.parts.iter().any(|p| p.verdict == v);
        if any(Verdict::Lengthens) {
            Verdict::Lengthens
        } else if any(Verdict::Shortens) {
            Verdict::Shortens
        } else if any(Verdict::NoDifference) {
            Verdict::NoDifference
        } else {
            Verdict::LongestInNeutral
        }
    }
}

/// The model of one part as written; `None` if what was written makes none (already reported).
pub fn part(written: &MusclePart) -> Option<Part> {
    let arms = written.arms.iter().map(|a| Some((a.joint, Arm::table(&a.points).ok()?))).collect::<Option<Vec<_>>>()?;
    let couplings = written.couplings.iter().map(|c| Coupling { between: c.between, mm_per_rad: c.mm_per_rad }).collect();
    Part::new(arms, couplings, written.fibre.as_ref().map(|f| f.value), written.error.as_ref().map(|e| e.value)).ok()
}

/// Angles of a step and of its position as one list; the step counts where both name a coordinate.
pub fn placed(own: &[JointAngle], position: Option<&Position>) -> Vec<Placed> {
    let one = |j: &JointAngle, carried| {
        let base = j.angle.value.base();
        let farthest = if base.lo.abs() > base.hi.abs() { base.lo } else { base.hi };
        Placed { joint: j.coordinate, degrees: f64::midpoint(base.lo, base.hi), farthest, at: j.at, carried }
    };
    let mut all: Vec<Placed> = own.iter().map(|j| one(j, false)).collect();
    for joint in position.into_iter().flat_map(|p| &p.joints).filter(|j| !own.iter().any(|o| o.coordinate == j.coordinate)) {
        all.push(one(joint, true));
    }
    all.retain(|p| p.degrees.is_finite());
    all
}

fn posture(placed: &[Placed]) -> Posture {
    Posture::degrees(placed.iter().map(|p| (p.joint, p.degrees)))
}

/// What a step does to its muscle; `None` without moment arms or without any angle.
pub fn stretch(catalog: &Catalog, muscle: Idx<Muscle>, own: &[JointAngle], position: Option<Idx<Position>>) -> Option<Stretch> {
    let written = &catalog.muscles[muscle];
    let placed = placed(own, position.map(|p| &catalog.positions[p]));
    let known: Vec<(usize, Part)> = written.mechanics.iter().enumerate().filter_map(|(row, p)| Some((row, part(p)?))).collect();
    if known.is_empty() || placed.is_empty() {
        return None;
    }
    let crosses = |joint: Joint| written.joints.iter().any(|j| &*j.value == joint.joint);
    let has_arm = |joint: Joint| known.iter().any(|(_, p)| p.arm(joint).is_some());
    let without_arm = placed.iter().filter(|p| p.degrees != 0.0 && crosses(p.joint) && !has_arm(p.joint)).map(|p| p.joint).collect();
    let posture = posture(&placed);
    let pack = written.head.pack;
    let parts = known.into_iter().map(|(row, part)| one_part(catalog, pack, row, part, &posture)).collect();
    Some(Stretch { muscle, placed, parts, without_arm })
}

fn one_part(catalog: &Catalog, pack: Idx<crate::model::docs::Pack>, row: usize, part: Part, posture: &Posture) -> PartStretch {
    let change = part.change(posture);
    let mut candidates = vec![Candidate { key: Listed::Here, posture: posture.clone() }];
    for (idx, position) in catalog.positions.iter().filter(|(_, p)| p.head.pack == pack) {
        let angles = placed(&position.joints, None);
        if angles.iter().any(|a| a.degrees != 0.0 && part.arm(a.joint).is_some()) {
            candidates.push(Candidate { key: Listed::Position(idx), posture: self::posture(&angles) });
        }
    }
    let ranked = rank::rank(&part, candidates);
    let best = ranked.first().map_or(0.0, |r| r.mm);
    PartStretch {
        row,
        percent_of_fibre: part.percent_of_fibre(change.total),
        verdict: part.verdict(change.total),
        beyond_table: part.beyond_table(posture),
        loose: rank::left_loose(&part, posture, best),
        ranked,
        change,
        part,
    }
}
