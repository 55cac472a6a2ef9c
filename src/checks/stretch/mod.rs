//! Checks of the area "stretch": what the joint angles of a stretch do to its muscle, by the moment
//! arms of the muscle. Without moment arms only signs can be compared; that is
//! `stretch-adds-own-action` of the area "anatomy".

use super::Check;
use super::dose::item::{Item, items};
use crate::checks::Case;
use crate::compute::amount::{millimetres, rounded};
use crate::compute::mechanics::facts::{PartStretch, Stretch};
use crate::compute::mechanics::rank;
use crate::finding::Finding;
use crate::model::docs::Muscle;

mod stretch_beyond_range;
mod stretch_no_effect;
mod stretch_shortens_target;
mod two_joint_left_loose;

/// Checks of this area.
pub static CHECKS: &[&Check] =
    &[&stretch_beyond_range::CHECK, &stretch_no_effect::CHECK, &stretch_shortens_target::CHECK, &two_joint_left_loose::CHECK];

/// A step or home item with a computed stretch.
struct Stretched<'a> {
    item: Item<'a>,
    stretch: &'a Stretch,
    muscle: &'a Muscle,
}

fn stretched<'a>(case: &Case<'a>) -> Vec<Stretched<'a>> {
    let with = |item: Item<'a>| {
        let stretch = item.facts.stretch.as_ref()?;
        Some(Stretched { stretch, muscle: &case.catalog.muscles[stretch.muscle], item })
    };
    items(case).into_iter().filter_map(with).collect()
}

impl Stretched<'_> {
    /// Name of a part in a sentence.
    fn part_name(&self, part: &PartStretch) -> String {
        let name = self.muscle.mechanics.get(part.row).map_or("all", |p| &*p.name.value);
        if name == "all" { self.muscle.name.value.to_string() } else { format!("{}, {name}", self.muscle.name.value) }
    }

    /// Labels each placed joint with what it gives to the part.
    fn label_joints(&self, part: &PartStretch, finding: &mut Finding) {
        for placed in &self.stretch.placed {
            let given = part.change.by_joint.iter().find(|(joint, _)| *joint == placed.joint).map(|(_, mm)| *mm);
            if let Some(mm) = given.filter(|mm| mm.abs() >= 0.05) {
                let way = if mm > 0.0 { "longer" } else { "shorter" };
                finding.also(placed.at, format!("{} {way} by itself", millimetres(mm.abs())));
            }
        }
    }
}

/// The single joint and angle that would lengthen the part most from where it stands.
fn advice(part: &PartStretch, posture: &crate::compute::mechanics::Posture) -> Option<String> {
    let best = part
        .part
        .arms()
        .iter()
        .filter_map(|(joint, _)| rank::best_angle(&part.part, posture, joint).map(|(angle, mm)| (*joint, angle, mm)))
        .max_by(|a, b| a.2.total_cmp(&b.2))?;
    let (joint, angle, mm) = best;
    (mm > part.part.error())
        .then(|| format!("`{}: {}` instead would make it {} longer than in neutral", joint.id, typed(angle), millimetres(mm)))
}

/// An angle in radians as it is typed.
fn typed(angle: f64) -> String {
    format!("{} deg", rounded(angle.to_degrees().round()))
}

/// Joint angles of a stretch as a posture.
fn posture(stretch: &Stretch) -> crate::compute::mechanics::Posture {
    crate::compute::mechanics::Posture::degrees(stretch.placed.iter().map(|p| (p.joint, p.degrees)))
}
