//! Checks of the area "anatomy": muscles, their points and zones, and the directions that follow.

use super::Check;
use crate::model::docs::Muscle;
use crate::model::motion::Motion;

mod action_missing_joint;
mod attachments_incomplete;
mod landmark_wording_incomplete;
mod point_numbers_clash;
mod resist_direction_wrong;
mod segment_invalid;
mod stretch_adds_own_action;
mod zone_share_unknown;
mod zone_unsourced;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &action_missing_joint::CHECK,
    &attachments_incomplete::CHECK,
    &landmark_wording_incomplete::CHECK,
    &point_numbers_clash::CHECK,
    &resist_direction_wrong::CHECK,
    &segment_invalid::CHECK,
    &stretch_adds_own_action::CHECK,
    &zone_share_unknown::CHECK,
    &zone_unsourced::CHECK,
];

/// Movements of the muscle; `None` if one of them could not be read, which was reported.
fn motions(muscle: &Muscle) -> Option<Vec<Motion>> {
    muscle.actions.iter().map(|a| a.motion.as_ref().map(|m| m.value)).collect()
}

/// A movement as it is typed.
fn typed(motion: Motion) -> String {
    let way = if motion.positive { motion.coordinate.positive } else { motion.coordinate.negative };
    format!("{} {way}", motion.coordinate.joint)
}
