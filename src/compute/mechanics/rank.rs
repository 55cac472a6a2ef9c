//! Which of several positions lengthens a part most, and which joint of a position is left loose.

use super::range;
use super::stretch::{Joint, Part, Posture, Verdict};

/// A joint counts as left loose if it can add more than this share of the best position.
pub const LOOSE_SHARE: f64 = 0.1;

/// A position that takes part in a ranking.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate<K> {
    /// What it is.
    pub key: K,
    /// Its joint angles.
    pub posture: Posture,
}

/// A position in a ranking.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranked<K> {
    /// What it is.
    pub key: K,
    /// Change of length from neutral, mm.
    pub mm: f64,
    /// The same in percent of the optimal fibre length.
    pub percent_of_fibre: Option<f64>,
    /// The same in percent of the best position; `None` if no position lengthens the part.
    pub percent_of_best: Option<f64>,
    /// What may be said of it.
    pub verdict: Verdict,
}

/// Ranks positions for a part, longest first; equal ones stay in the order given.
pub fn rank<K>(part: &Part, candidates: Vec<Candidate<K>>) -> Vec<Ranked<K>> {
    let mut all: Vec<Ranked<K>> = candidates
        .into_iter()
        .map(|c| {
            let mm = part.change(&c.posture).total;
            Ranked { key: c.key, mm, percent_of_fibre: part.percent_of_fibre(mm), percent_of_best: None, verdict: part.verdict(mm) }
        })
        .collect();
    all.sort_by(|a, b| b.mm.total_cmp(&a.mm));
    let best = all.first().map_or(0.0, |r| r.mm);
    if best > part.error() {
        for r in &mut all {
            r.percent_of_best = Some(r.mm / best * 100.0);
        }
    }
    all
}

/// A joint that could add length and does not.
#[derive(Clone, Debug, PartialEq)]
pub struct Loose {
    /// Coordinate.
    pub joint: Joint,
    /// The angle that would add most, radians, within the table and the normal range of adults.
    pub angle: f64,
    /// What it would add, mm.
    pub gain: f64,
    /// True if the joint is placed, but on the side that shortens the part.
    pub against: bool,
}

/// Joints of a posture that could add more than [`LOOSE_SHARE`] of `best` (mm, the best position) and
/// more than the error, and that are not placed or are placed against the stretch. Most gain first.
pub fn left_loose(part: &Part, posture: &Posture, best: f64) -> Vec<Loose> {
    let now = part.change(posture).total;
    let bar = (best * LOOSE_SHARE).max(part.error());
    let mut loose: Vec<Loose> = part
        .arms()
        .iter()
        .filter_map(|(joint, _)| {
            let neutral = part.change(&posture.with(joint, 0.0)).total;
            let against = posture.names(joint) && now < neutral - part.error();
            if posture.names(joint) && !against {
                return None;
            }
            let (angle, mm) = best_angle(part, posture, joint)?;
            (mm - now > bar).then_some(Loose { joint, angle, gain: mm - now, against })
        })
        .collect();
    loose.sort_by(|a, b| b.gain.total_cmp(&a.gain));
    loose
}

/// The angle of one coordinate that lengthens the part most while the others stay, radians, and the
/// length there, mm. Within the table of arms and within the largest normal range of adults; `None`
/// for a constant arm of a joint without a normal range, and for one half of the swing of the shoulder
/// while the other half is set: the two are parts of one rotation and do not add up freely.
pub fn best_angle(part: &Part, posture: &Posture, joint: Joint) -> Option<(f64, f64)> {
    if swing_partner(joint).is_some_and(|partner| posture.angles().iter().any(|(j, q)| j.id == partner && *q != 0.0)) {
        return None;
    }
    let (lo, hi) = ends(part, joint)?;
    let arm = part.arm(joint)?;
    let shift = part.coupled(joint, posture);
    let knots: Vec<f64> = arm.points().iter().map(|(q, _)| *q).filter(|q| *q > lo && *q < hi).collect();
    let mut angles: Vec<f64> = [lo].into_iter().chain(knots).chain([hi]).collect();
    // Between two knots the length is a parabola; its top is where the arm passes zero.
    let tops: Vec<f64> = angles
        .windows(2)
        .filter_map(|w| {
            let (a, b) = (w.first()?, w.last()?);
            let (ra, rb) = (arm.at(*a) + shift, arm.at(*b) + shift);
            (ra * rb < 0.0).then(|| a + (b - a) * ra / (ra - rb))
        })
        .collect();
    angles.extend(tops);
    let lengths = angles.into_iter().map(|q| (q, part.change(&posture.with(joint, q)).total));
    lengths.max_by(|a, b| a.1.total_cmp(&b.1))
}

/// Shoulder flexion and abduction are the two parts of the swing of the upper arm.
fn swing_partner(joint: Joint) -> Option<&'static str> {
    match joint.id {
        "shoulder.flexion" => Some("shoulder.abduction"),
        "shoulder.abduction" => Some("shoulder.flexion"),
        _ => None,
    }
}

/// Where the table and the normal range of adults meet.
fn ends(part: &Part, joint: Joint) -> Option<(f64, f64)> {
    let table = part.arm(joint)?.range();
    let (low, high) = range::adult_limits(joint);
    let (low, high) = (low.map(f64::to_radians), high.map(f64::to_radians));
    let lo = [table.map(|t| t.0), low].into_iter().flatten().fold(None, |a: Option<f64>, b| Some(a.map_or(b, |a| a.max(b))))?;
    let hi = [table.map(|t| t.1), high].into_iter().flatten().fold(None, |a: Option<f64>, b| Some(a.map_or(b, |a| a.min(b))))?;
    (lo <= hi).then_some((lo, hi))
}

#[cfg(test)]
mod tests {
    use super::super::stretch::Arm;
    use super::*;
    use crate::model::motion::coordinate;

    fn joint(id: &str) -> Joint {
        coordinate(id).unwrap()
    }

    /// A calf muscle over two joints: the ankle lengthens it, a bent knee slackens it.
    fn calf() -> Part {
        let ankle = Arm::table(&[(-50.0, -40.0), (20.0, -40.0)]).unwrap();
        let knee = Arm::table(&[(0.0, 20.0), (140.0, 20.0)]).unwrap();
        Part::new(vec![(joint("ankle.dorsiflexion"), ankle), (joint("knee.flexion"), knee)], Vec::new(), Some(50.0), None).unwrap()
    }

    fn at(angles: &[(&str, f64)]) -> Posture {
        Posture::degrees(angles.iter().map(|(id, q)| (joint(id), *q)))
    }

    #[test]
    fn positions_are_ranked_against_the_best() {
        let candidates =
            [("bent", at(&[("ankle.dorsiflexion", 20.0), ("knee.flexion", 20.0)])), ("straight", at(&[("ankle.dorsiflexion", 20.0)]))];
        let ranked = rank(&calf(), candidates.into_iter().map(|(key, posture)| Candidate { key, posture }).collect());
        let shown: Vec<_> = ranked.iter().map(|r| (r.key, r.percent_of_best.map(f64::round))).collect();
        assert_eq!(shown, [("straight", Some(100.0)), ("bent", Some(50.0))]);
        let none = rank(&calf(), vec![Candidate { key: "knee", posture: at(&[("knee.flexion", 90.0)]) }]);
        assert_eq!((none[0].percent_of_best, none[0].verdict), (None, Verdict::Shortens));
    }

    #[test]
    fn a_joint_is_loose_if_it_is_not_placed_or_placed_against() {
        let part = calf();
        let loose = |p: &Posture| left_loose(&part, p, 14.0).iter().map(|l| (l.joint.id, l.against)).collect::<Vec<_>>();
        assert_eq!(loose(&at(&[("ankle.dorsiflexion", 20.0), ("knee.flexion", 60.0)])), [("knee.flexion", true)]);
        assert_eq!(loose(&at(&[("knee.flexion", 0.0)])), [("ankle.dorsiflexion", false)]);
        assert!(loose(&at(&[("ankle.dorsiflexion", 20.0), ("knee.flexion", 0.0)])).is_empty());
        assert!(loose(&at(&[("ankle.dorsiflexion", 20.0)])).is_empty(), "a straight knee is already longest");
    }

    #[test]
    fn half_a_swing_of_the_shoulder_is_not_loose_while_the_other_half_is_set() {
        let arm = || Arm::table(&[(0.0, -30.0), (160.0, -30.0)]).unwrap();
        let part =
            Part::new(vec![(joint("shoulder.flexion"), arm()), (joint("shoulder.abduction"), arm())], Vec::new(), None, None).unwrap();
        assert!(left_loose(&part, &at(&[("shoulder.flexion", 150.0)]), 80.0).is_empty());
        assert_eq!(left_loose(&part, &Posture::default(), 80.0).len(), 2);
    }

    /// By hand: the arm falls from 10 mm to -10 mm over two radians, so it passes zero in the middle.
    #[test]
    fn the_best_angle_may_lie_between_the_angles_of_the_table() {
        let arm = Arm::table(&[(0.0, -10.0), (80.0, 10.0)]).unwrap();
        let part = Part::new(vec![(joint("hip.flexion"), arm)], Vec::new(), None, None).unwrap();
        let (angle, mm) = best_angle(&part, &Posture::default(), joint("hip.flexion")).unwrap();
        assert!((angle.to_degrees() - 40.0).abs() < 1e-9 && (mm - 5.0 * 40f64.to_radians()).abs() < 1e-9, "{angle} {mm}");
        let (angle, _) = best_angle(&calf(), &Posture::default(), joint("ankle.dorsiflexion")).unwrap();
        assert!((angle.to_degrees() - 20.0).abs() < 1e-9);
    }
}
