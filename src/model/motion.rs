//! Joint coordinates and movements, from a closed list.
//!
//! Directions follow the convention of the mechanics data: neutral is anatomical standing; side bend
//! and rotation of spine and neck count toward the muscle's own side.

/// A joint coordinate with the names of its two directions.
#[derive(Debug, PartialEq)]
pub struct Coordinate {
    /// Id, as in `hip.flexion`.
    pub id: &'static str,
    /// Joint, as in `hip`.
    pub joint: &'static str,
    /// Movement in the positive direction, without the joint.
    pub positive: &'static str,
    /// Movement in the negative direction.
    pub negative: &'static str,
}

const fn c(id: &'static str, joint: &'static str, positive: &'static str, negative: &'static str) -> Coordinate {
    Coordinate { id, joint, positive, negative }
}

/// All coordinates.
pub static COORDINATES: &[Coordinate] = &[
    c("hip.flexion", "hip", "flexion", "extension"),
    c("hip.abduction", "hip", "abduction", "adduction"),
    c("hip.external_rotation", "hip", "external rotation", "internal rotation"),
    c("knee.flexion", "knee", "flexion", "extension"),
    c("ankle.dorsiflexion", "ankle", "dorsiflexion", "plantarflexion"),
    c("foot.inversion", "foot", "inversion", "eversion"),
    c("toes.extension", "toes", "extension", "flexion"),
    c("lumbar.flexion", "lumbar", "flexion", "extension"),
    c("lumbar.side_bend", "lumbar", "side bend same", "side bend away"),
    c("lumbar.rotation", "lumbar", "rotation same", "rotation away"),
    c("neck.flexion", "neck", "flexion", "extension"),
    c("neck.upper_flexion", "upper neck", "flexion", "extension"),
    c("neck.lower_flexion", "lower neck", "flexion", "extension"),
    c("neck.side_bend", "neck", "side bend same", "side bend away"),
    c("neck.rotation", "neck", "rotation same", "rotation away"),
    c("scapula.elevation", "scapula", "elevation", "depression"),
    c("scapula.protraction", "scapula", "protraction", "retraction"),
    c("scapula.upward_rotation", "scapula", "upward rotation", "downward rotation"),
    c("shoulder.flexion", "shoulder", "flexion", "extension"),
    c("shoulder.abduction", "shoulder", "abduction", "adduction"),
    c("shoulder.external_rotation", "shoulder", "external rotation", "internal rotation"),
    c("elbow.flexion", "elbow", "flexion", "extension"),
    c("forearm.pronation", "forearm", "pronation", "supination"),
    c("wrist.flexion", "wrist", "flexion", "extension"),
    c("wrist.ulnar_deviation", "wrist", "ulnar deviation", "radial deviation"),
    c("fingers.flexion", "fingers", "flexion", "extension"),
    c("jaw.opening", "jaw", "opening", "closing"),
];

/// A movement of one joint in one direction.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Motion {
    /// Which coordinate moves.
    pub coordinate: &'static Coordinate,
    /// True if it grows.
    pub positive: bool,
}

impl Motion {
    /// Plain words.
    pub fn shown(self) -> String {
        let way = if self.positive { self.coordinate.positive } else { self.coordinate.negative };
        let way = way.replace(" same", " to the same side").replace(" away", " to the other side");
        format!("{} {way}", self.coordinate.joint)
    }
}

/// Reads `joint movement`.
pub fn parse(text: &str) -> Option<Motion> {
    words().find(|(word, _)| *word == text).map(|(_, motion)| motion)
}

/// Every movement that may be written.
pub fn words() -> impl Iterator<Item = (String, Motion)> {
    COORDINATES.iter().flat_map(|coordinate| {
        [(coordinate.positive, true), (coordinate.negative, false)]
            .map(|(way, positive)| (format!("{} {way}", coordinate.joint), Motion { coordinate, positive }))
    })
}

/// The coordinate with this id.
pub fn coordinate(id: &str) -> Option<&'static Coordinate> {
    COORDINATES.iter().find(|c| c.id == id)
}
