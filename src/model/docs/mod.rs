//! Typed documents, one struct for each kind and its parts.
//!
//! Public fields, no behaviour beyond small lookups, no messages. A field is `None` where nothing
//! was written or where what was written was already reported.

mod approvals;
mod audit;
mod bibliography;
mod change;
mod chart;
mod measure;
mod mechanics;
mod muscle;
mod pack;
mod parts;
mod protocol;
mod question;
mod safety;
mod source;
mod technique;
mod thermal;

pub use approvals::{Acknowledged, Approval, ChangeReason, Entry, KeptText, Ledger, SignOffRule};
pub use audit::{Audit, ItemRating, ReadRow, Reading, Verdict};
pub use bibliography::{Bibliography, Form, Issued, Name, Names, OTHERS, Original, Part, PublicationType};
pub use change::{ChangeDoc, Loosening, Origin};
pub use chart::{
    Course, LeftOut, LookAlike, MuscleDrawing, PointMark, RADIUS_BOUNDS, StepSweep, SweepFrom, SweepPath, SweepRule, USUAL_RADIUS,
    ZoneDrawing,
};
pub use measure::{Meaningful, Measure, MeasureError, Reliability};
pub use mechanics::{JointArm, JointCoupling, MusclePart};
pub use muscle::{Action, Attachment, Muscle, NearHazard, Neighbour, Palpation, Point, Sign, Zone};
pub use pack::{Destination, Erratum, Extends, Pack, Page, Raise, Waiver, Word};
pub use parts::{Amount, Cite, Claim, Dose, DoseEntry, DoseValue, Ground, Head, JointAngle, Limit, Places, StopRule, Target};
pub use protocol::{Branch, ForWhom, Goal, HomeItem, NOT_FOR, Protocol, Restated, SAYS_STOP, Session, Spacing, Step, Taken};
pub use question::{Asked, ClaimedEffect, Outcome, Population, Question, Rating, RatingStep, RestsOn, ResultRef, Search};
pub use safety::{Condition, Flag, Rule, Together};
pub use source::{
    Arm, BiasDomain, Change, Conclusion, Data, EvidenceLevel, Finding, GroupCount, GroupMean, PValue, Printed, RiskOfBias, Source, Spread,
    StudyResult, Told,
};
pub use technique::{Apparatus, Comes, CoolantSafety, Exposes, OrderRule, Parameter, Position, Technique, Term, Towards};
pub use thermal::{HouseNumber, HouseThermal};
