//! What a stretch does to its muscle, and the moment arms of a muscle, for people.

use super::parts::{GroundView, Link};
use crate::compute::amount::{degrees, millimetres, rounded};
use crate::compute::mechanics::OTHER_MODEL_MM;
use crate::compute::mechanics::facts::{Listed, PartStretch, Placed, Stretch};
use crate::compute::mechanics::rank::Loose;
use crate::compute::mechanics::{Arm, Part, Verdict, facts};
use crate::model::Kind;
use crate::model::docs::Muscle;
use crate::model::motion::{Coordinate, Motion};
use crate::plan::site::{Site, doc};
use crate::plan::words;
use serde::Serialize;

/// The formula in words.
pub const FORMULA: &str = "For each joint, take the moment arm times the angle in radians, added up along the way from neutral: the arm \
     runs in straight lines between the angles of its table and stays the same beyond them. For each pair of joints, take the \
     coupling times both angles in radians. Add everything up and turn the sign: that is the change of length. A positive arm pulls \
     the joint in its positive direction, so that moving there shortens the muscle.";

/// Most positions that a ranking shows, besides the step itself.
const ROWS: usize = 10;

/// What the model cannot say.
pub const LIMITS: [&str; 4] = [
    "One average body, as a computer model has it: no measurement, and not this person.",
    "It gives the length of the muscle with its tendon, no force and no stress in any tissue.",
    "No open data gives a safe limit of strain for a living person, so none is stated. Percent of the fibre is no limit either: more \
     than 100\u{a0}% occurs in everyday positions of muscles over two joints. The person's own range and the stop rules decide.",
    "Joints that the position does not name count as neutral; an angle given as a range counts with its middle.",
];

/// A stretch.
#[derive(Debug, Serialize)]
pub struct StretchView {
    /// What may be said of it, in a sentence.
    pub verdict: String,
    /// The one number, for the card.
    pub short: String,
    /// Joints left loose and other warnings.
    pub remarks: Vec<String>,
    /// Names of the parts, as columns.
    pub parts: Vec<String>,
    /// Positions, longest first.
    pub ranked: Vec<RankedRow>,
    /// How many positions are not shown.
    pub more: usize,
    /// How it was computed, part by part.
    pub working: Vec<WorkingPart>,
    /// Angles that went in.
    pub angles: Vec<AngleRow>,
    /// Formula in words.
    pub formula: &'static str,
    /// Limits of the model.
    pub limits: &'static [&'static str],
    /// The muscle with all its tables.
    pub muscle: Link,
}

/// A position in the ranking.
#[derive(Debug, Serialize)]
pub struct RankedRow {
    /// Its page; `None` for the step itself.
    pub position: Option<Link>,
    /// One for each part: millimetres, and percent of the best.
    pub cells: Vec<RankedCell>,
}

/// A cell of the ranking.
#[derive(Debug, Serialize)]
pub struct RankedCell {
    /// Millimetres.
    pub mm: String,
    /// Percent of the best position.
    pub of_best: Option<String>,
}

/// An angle that went in.
#[derive(Debug, Serialize)]
pub struct AngleRow {
    /// Movement.
    pub joint: String,
    /// Angle.
    pub angle: String,
    /// Where it was set.
    pub from: &'static str,
}

/// How the change of one part was computed.
#[derive(Debug, Serialize)]
pub struct WorkingPart {
    /// Name.
    pub name: String,
    /// What each joint gives.
    pub joints: Vec<WorkingRow>,
    /// What each pair gives.
    pub pairs: Vec<WorkingRow>,
    /// Sum.
    pub total: String,
    /// In percent of the fibre.
    pub fibre: Option<String>,
    /// Uncertainty.
    pub error: String,
    /// Source.
    pub ground: GroundView,
}

/// A row of the working.
#[derive(Debug, Serialize)]
pub struct WorkingRow {
    /// Coordinate or pair.
    pub what: String,
    /// Angles that went in; empty on the page of the muscle.
    pub angle: String,
    /// Arms or coupling.
    pub constant: String,
    /// What it gives.
    pub gives: String,
}

/// Moment arms of one part, for the page of the muscle.
#[derive(Debug, Serialize)]
pub struct MechanicsPart {
    /// Name.
    pub name: String,
    /// Coordinates with their arms.
    pub arms: Vec<WorkingRow>,
    /// Pairs and couplings.
    pub couplings: Vec<WorkingRow>,
    /// Optimal fibre length.
    pub fibre: Option<String>,
    /// Uncertainty of a length change.
    pub error: String,
    /// True if no position is longer than neutral.
    pub longest_in_neutral: bool,
    /// Source.
    pub ground: GroundView,
}

/// Shows a stretch.
pub fn stretch(site: &Site<'_>, s: &Stretch) -> StretchView {
    let muscle = &site.catalog.muscles[s.muscle];
    let (ranked, more) = ranked(site, s);
    StretchView {
        verdict: verdict(muscle, s),
        short: short(s),
        remarks: remarks(muscle, s),
        parts: s.parts.iter().map(|p| part_name(muscle, p.row)).collect(),
        ranked,
        more,
        working: s.parts.iter().map(|p| working(site, muscle, p, &s.placed)).collect(),
        angles: s.placed.iter().filter(|p| counts(s, p)).map(angle).collect(),
        formula: FORMULA,
        limits: &LIMITS,
        muscle: site.link(doc(Kind::Muscle, s.muscle)),
    }
}

fn part_name(muscle: &Muscle, row: usize) -> String {
    muscle
        .mechanics
        .get(row)
        .map_or_else(String::new, |p| words::capital(if &*p.name.value == "all" { "whole muscle" } else { &p.name.value }))
}

fn percent(value: f64) -> String {
    format!("{}\u{a0}%", rounded(value.round())).replace('-', "−")
}

/// `longer by 17–19 mm in the model; another part shorter by 40 mm`.
fn short(s: &Stretch) -> String {
    let shorter = s.shortest().filter(|p| p.verdict == Verdict::Shortens && s.verdict() == Verdict::Lengthens);
    let but = shorter.map_or_else(String::new, |p| format!("; another part shorter by {}", millimetres(-p.change.total)));
    longer(s) + &but
}

fn longer(s: &Stretch) -> String {
    let longer: Vec<f64> = s.parts.iter().filter(|p| p.verdict == Verdict::Lengthens).map(|p| p.change.total).collect();
    let least = longer.iter().copied().fold(f64::INFINITY, f64::min);
    let most = longer.iter().copied().fold(0.0, f64::max);
    match s.verdict() {
        Verdict::Lengthens if rounded(least) == rounded(most) => format!("longer by {} in the model", millimetres(most)),
        Verdict::Lengthens => format!("longer by {}–{} in the model", rounded(least), millimetres(most)),
        Verdict::Shortens => format!("shorter by {} in the model", millimetres(s.shortest().map_or(0.0, |p| -p.change.total))),
        Verdict::NoDifference => "no difference in the model".into(),
        Verdict::LongestInNeutral => "already longest in neutral in the model".into(),
    }
}

fn verdict(muscle: &Muscle, s: &Stretch) -> String {
    let one = |p: &PartStretch| {
        let mm = millimetres(p.change.total.abs());
        let fibre = p.percent_of_fibre.map(|f| format!(" ({} of its fibre)", percent(f.abs()))).unwrap_or_default();
        let what = match p.verdict {
            Verdict::Lengthens => format!("longer by {mm}{fibre}"),
            Verdict::Shortens => format!("shorter by {mm}{fibre}"),
            Verdict::NoDifference => "no difference".to_string(),
            Verdict::LongestInNeutral => "already longest in neutral".to_string(),
        };
        let error = millimetres(p.part.error());
        if s.parts.len() == 1 { format!("{what}, ± {error}") } else { format!("{} {what}, ± {error}", small(&part_name(muscle, p.row))) }
    };
    let parts: Vec<String> = s.parts.iter().map(one).collect();
    format!("{}. Against neutral standing: {}.", words::capital(s.verdict().word()), parts.join("; "))
}

fn joints(list: &[&'static Coordinate]) -> String {
    list.iter().map(|j| small(&coordinate(j))).collect::<Vec<_>>().join(", ")
}

fn remarks(muscle: &Muscle, s: &Stretch) -> Vec<String> {
    let mut out: Vec<String> = s.parts.iter().filter_map(|p| loose(muscle, s, p)).collect();
    let mut beyond: Vec<&'static Coordinate> = Vec::new();
    for joint in s.parts.iter().flat_map(|p| &p.beyond_table) {
        if !beyond.iter().any(|j| j == joint) {
            beyond.push(joint);
        }
    }
    if !beyond.is_empty() {
        out.push(format!("Beyond the table of moment arms, so less sure: {}.", joints(&beyond)));
    }
    if !s.without_arm.is_empty() {
        out.push(format!("Set here but not in the model, so not counted: {}.", joints(&s.without_arm)));
    }
    out
}

fn loose(muscle: &Muscle, s: &Stretch, p: &PartStretch) -> Option<String> {
    let one = |l: &Loose| {
        let to = Motion { coordinate: l.joint, positive: l.angle > 0.0 }.shown();
        let how = if l.against { " (set against the stretch)" } else { "" };
        format!("{} {to}{how}", degrees(l.angle.to_degrees().abs()))
    };
    let all: Vec<String> = p.loose.iter().map(one).collect();
    let name = if s.parts.len() == 1 { String::new() } else { format!(" in {}", small(&part_name(muscle, p.row))) };
    (!all.is_empty()).then(|| {
        let all = all.join("; ");
        format!("Not part of this step, in the model only{name}: {all} would lengthen it further. Do not add it.")
    })
}

/// A coordinate by its positive direction: `Hip external rotation`.
fn coordinate(joint: &'static Coordinate) -> String {
    words::capital(&Motion { coordinate: joint, positive: true }.shown())
}

fn small(text: &str) -> String {
    let mut rest = text.chars();
    rest.next().map_or_else(String::new, |first| first.to_lowercase().chain(rest).collect())
}

/// Rows in the order of the part that becomes longest.
fn ranked(site: &Site<'_>, s: &Stretch) -> (Vec<RankedRow>, usize) {
    let Some(lead) = s.longest() else { return (Vec::new(), 0) };
    let mut keys: Vec<Listed> = lead.ranked.iter().map(|r| r.key).collect();
    for key in s.parts.iter().flat_map(|p| p.ranked.iter().map(|r| r.key)) {
        if !keys.contains(&key) {
            keys.push(key);
        }
    }
    let cell = |p: &PartStretch, key: Listed| {
        let found = p.ranked.iter().find(|r| r.key == key);
        RankedCell { mm: whole(found.map_or(0.0, |r| r.mm)), of_best: found.and_then(|r| r.percent_of_best).map(percent) }
    };
    let row = |key: Listed| RankedRow {
        position: match key {
            Listed::Position(idx) => Some(site.link(doc(Kind::Position, idx))),
            Listed::Here => None,
        },
        cells: s.parts.iter().map(|p| cell(p, key)).collect(),
    };
    let all = keys.len();
    let mut shown = 0;
    keys.retain(|key| {
        shown += 1;
        shown <= ROWS || *key == Listed::Here
    });
    let more = all - keys.len();
    (keys.into_iter().map(row).collect(), more)
}

/// True if an angle plays a part: some part has an arm for it, or it is missing one.
fn counts(s: &Stretch, p: &Placed) -> bool {
    s.without_arm.contains(&p.joint) || s.parts.iter().any(|x| x.part.arm(p.joint).is_some())
}

/// A length with its sign, rounded as people say it.
fn whole(mm: f64) -> String {
    let plus = if mm >= 0.05 { "+" } else { "" };
    format!("{plus}{}", millimetres(mm)).replace('-', "−")
}

fn angle(p: &Placed) -> AngleRow {
    let motion = Motion { coordinate: p.joint, positive: p.degrees >= 0.0 };
    let from = if p.carried { "position" } else { "here" };
    AngleRow { joint: words::capital(&motion.shown()), angle: degrees(p.degrees.abs()), from }
}

fn arm_words(arm: &Arm) -> String {
    let points = arm.points();
    match points {
        [(_, mm)] => format!("{} at every angle", exact(*mm, "mm")),
        _ => {
            points.iter().map(|(q, mm)| format!("{}°:\u{a0}{}", tidy(q.to_degrees()), tidy(*mm))).collect::<Vec<_>>().join("; ")
                + "\u{a0}mm"
        }
    }
}

/// The uncertainty of a part, and how far it reaches: it says how well a table fits its model, not how
/// well the model fits a body.
fn error(muscle: &Muscle, row: usize, part: &Part) -> String {
    let constant = part.arms().iter().any(|(_, arm)| arm.range().is_none());
    let from = match muscle.mechanics.get(row).and_then(|m| m.error.as_ref()) {
        Some(_) => "as the muscle states it",
        None if constant => "for a constant arm, house default",
        None => "fit of the table, house default",
    };
    let (middle, worst) = OTHER_MODEL_MM;
    format!("{} ({from}; another model of the same body may differ by {middle} to {worst}\u{a0}mm)", exact(part.error(), "mm"))
}

fn tidy(value: f64) -> String {
    crate::model::quantity::number((value * 1000.0).round() / 1000.0).replace('-', "−")
}

fn exact(value: f64, unit: &str) -> String {
    format!("{}\u{a0}{unit}", tidy(value))
}

/// A length with one decimal and its sign, as the working needs it.
fn signed(mm: f64) -> String {
    let mm = (mm * 10.0).round() / 10.0;
    let plus = if mm > 0.0 { "+" } else { "" };
    format!("{plus}{}\u{a0}mm", tidy(mm))
}

fn working(site: &Site<'_>, muscle: &Muscle, p: &PartStretch, placed: &[Placed]) -> WorkingPart {
    let set = |joint: &Coordinate| placed.iter().any(|x| x.joint == joint && x.degrees != 0.0);
    let at = |joint: &Coordinate| {
        let degrees = placed.iter().find(|x| x.joint == joint).map_or(0.0, |x| x.degrees);
        format!("{}° = {}\u{a0}rad", tidy(degrees), tidy(degrees.to_radians()))
    };
    let joint = |(joint, mm): &(&'static Coordinate, f64)| {
        let arm = p.part.arm(joint).filter(|_| set(joint))?;
        Some(WorkingRow { what: coordinate(joint), angle: at(joint), constant: arm_words(arm), gives: signed(*mm) })
    };
    let pair = |((a, b), mm): &((&'static Coordinate, &'static Coordinate), f64)| {
        let coupling = p.part.couplings().iter().find(|c| c.between == (*a, *b)).filter(|_| set(a) && set(b))?;
        let what = format!("{} with {}", coordinate(a), small(&coordinate(b)));
        let angle = format!("{}; {}", at(a), at(b));
        Some(WorkingRow { what, angle, constant: exact(coupling.mm_per_rad, "mm/rad"), gives: signed(*mm) })
    };
    WorkingPart {
        name: part_name(muscle, p.row),
        joints: p.change.by_joint.iter().filter_map(joint).collect(),
        pairs: p.change.by_pair.iter().filter_map(pair).collect(),
        total: signed(p.change.total),
        fibre: p.part.fibre().zip(p.percent_of_fibre).map(|(f, share)| format!("{} of {}", percent(share), exact(f, "mm"))),
        error: error(muscle, p.row, &p.part),
        ground: muscle.mechanics.get(p.row).map(|m| site.ground(&m.ground)).unwrap_or_default(),
    }
}

/// Moment arms of a muscle, part by part.
pub fn mechanics(site: &Site<'_>, muscle: &Muscle) -> Vec<MechanicsPart> {
    let one = |row: usize, part: &Part| {
        let arm = |(joint, arm): &(&'static Coordinate, Arm)| WorkingRow {
            what: coordinate(joint),
            angle: String::new(),
            constant: String::new(),
            gives: arm_words(arm),
        };
        let coupling = |c: &crate::compute::mechanics::Coupling| WorkingRow {
            what: format!("{} with {}", coordinate(c.between.0), small(&coordinate(c.between.1))),
            angle: String::new(),
            constant: String::new(),
            gives: exact(c.mm_per_rad, "mm/rad"),
        };
        MechanicsPart {
            name: part_name(muscle, row),
            arms: part.arms().iter().map(arm).collect(),
            couplings: part.couplings().iter().map(coupling).collect(),
            fibre: part.fibre().map(|f| exact(f, "mm")),
            error: error(muscle, row, part),
            longest_in_neutral: part.longest_in_neutral(),
            ground: muscle.mechanics.get(row).map(|m| site.ground(&m.ground)).unwrap_or_default(),
        }
    };
    muscle.mechanics.iter().enumerate().filter_map(|(row, written)| Some(one(row, &facts::part(written)?))).collect()
}
