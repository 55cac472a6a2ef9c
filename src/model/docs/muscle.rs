//! Muscles, palpation points and zones.

use super::Amount;
use super::Ground;
use super::Head;
use super::LookAlike;
use super::MuscleDrawing;
use super::MusclePart;
use super::Places;
use super::PointMark;
use super::Position;
use super::Reliability;
use super::ZoneDrawing;
use crate::model::ids::Ref;
use crate::model::motion::Motion;
use crate::source::Span;
use crate::source::Spanned;
use crate::source::Text;

/// A muscle.
#[derive(Clone, Debug)]
pub struct Muscle {
    /// Common part.
    pub head: Head,
    /// Name.
    pub name: Text,
    /// Latin name.
    pub latin: Text,
    /// Other names.
    pub other_names: Vec<Text>,
    /// Misspellings.
    pub misspellings: Vec<Text>,
    /// Skin over it.
    pub regions: Places,
    /// Attachments: end, text, landmarks, ground.
    pub attachments: Vec<Attachment>,
    /// Actions.
    pub actions: Vec<Action>,
    /// Joints crossed.
    pub joints: Vec<Text>,
    /// Nerve.
    pub nerve: Option<Text>,
    /// Segments.
    pub segments: Vec<Text>,
    /// Ground of the nerve supply.
    pub nerve_ground: Ground,
    /// Fibre direction.
    pub fibres: Option<Text>,
    /// Ground of the fibre direction.
    pub fibres_ground: Ground,
    /// Layer.
    pub layer: Option<Text>,
    /// Neighbours.
    pub neighbours: Vec<Neighbour>,
    /// Hazards.
    pub hazards: Vec<NearHazard>,
    /// Palpation.
    pub palpation: Palpation,
    /// Points.
    pub points: Vec<Point>,
    /// How it is drawn, one entry for each view.
    pub chart: Vec<MuscleDrawing>,
    /// Muscles whose zones look like these.
    pub look_alikes: Vec<LookAlike>,
    /// Moment arms by part.
    pub mechanics: Vec<MusclePart>,
    /// Notes, Markdown.
    pub notes: Option<Text>,
}

/// One end of a muscle.
#[derive(Clone, Debug)]
pub struct Attachment {
    /// `proximal` or `distal`.
    pub end: &'static str,
    /// In words.
    pub text: Text,
    /// Landmarks.
    pub landmarks: Vec<Text>,
    /// Ground.
    pub ground: Ground,
}

/// An action.
#[derive(Clone, Debug)]
pub struct Action {
    /// Movement.
    pub motion: Option<Spanned<Motion>>,
    /// Note.
    pub note: Option<Text>,
    /// Ground.
    pub ground: Ground,
    /// Where it stands.
    pub span: Span,
}

/// A neighbour to tell apart.
#[derive(Clone, Debug)]
pub struct Neighbour {
    /// Name.
    pub name: Text,
    /// Document, if there is one.
    pub muscle: Option<Ref<Muscle>>,
    /// How to tell them apart.
    pub tell_apart: Text,
}

/// A hazard near a muscle.
#[derive(Clone, Debug)]
pub struct NearHazard {
    /// What.
    pub text: Text,
    /// Where.
    pub regions: Places,
    /// Ground.
    pub ground: Ground,
    /// Where it stands.
    pub span: Span,
}

/// How a muscle is palpated.
#[derive(Clone, Debug, Default)]
pub struct Palpation {
    /// Method.
    pub method: Option<Text>,
    /// Position.
    pub position: Option<Ref<Position>>,
    /// How to make it stand out.
    pub stand_out: Option<Text>,
    /// The action that is resisted.
    pub resists: Option<Spanned<Motion>>,
    /// What normal feels like.
    pub normal: Option<Text>,
    /// Ground.
    pub ground: Ground,
}

/// A palpation point.
#[derive(Clone, Debug)]
pub struct Point {
    /// Number.
    pub number: Spanned<u32>,
    /// From which landmark.
    pub from: Option<Text>,
    /// In which direction.
    pub direction: Option<Text>,
    /// How far.
    pub distance: Option<Amount>,
    /// How deep.
    pub depth: Option<Text>,
    /// Region.
    pub region: Places,
    /// Where it is drawn, one entry for each view.
    pub chart: Vec<PointMark>,
    /// Grip.
    pub grip: Option<Text>,
    /// Direction of pressure.
    pub pressure: Option<Text>,
    /// Signs.
    pub confirms: Vec<Sign>,
    /// Zone.
    pub zone: Option<Zone>,
    /// Hazard.
    pub hazard: Option<Text>,
    /// Leave at once if.
    pub stop: Option<Text>,
    /// Where the landmark wording stands, or the number.
    pub landmark_at: Span,
}

/// A sign that confirms a point.
#[derive(Clone, Debug)]
pub struct Sign {
    /// Sign.
    pub sign: Text,
    /// Note.
    pub note: Option<Text>,
    /// How far examiners agree on it.
    pub reliability: Vec<Reliability>,
    /// Ground.
    pub ground: Ground,
}

/// A pain-referral zone.
#[derive(Clone, Debug)]
pub struct Zone {
    /// Core.
    pub core: Places,
    /// Spread.
    pub spread: Places,
    /// Finer outlines than the regions.
    pub drawn: Vec<ZoneDrawing>,
    /// Share of people.
    pub share: Option<Text>,
    /// Ground.
    pub ground: Ground,
    /// Where it stands.
    pub span: Span,
}
