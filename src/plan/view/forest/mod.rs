//! The figure of one outcome: each effect with its interval, the pool, and where no effect and the smallest
//! effect that matters lie. Places are worked out here; the template draws.

mod axis;

use super::effect::{Digits, counted_words, plain};
use crate::compute::appraisal::bounds;
use crate::compute::evidence::{Estimate, Interval};
use crate::model::evidence::{Better, EffectMeasure};
use axis::{Axis, Reach};
use serde::Serialize;

/// Width of the drawing; a letter is 12.5 high, so that a page 390 wide shows it with more than 12 px.
const WIDTH: f64 = 340.0;
/// Room for arrows at both ends of the axis.
const EDGE: f64 = 10.0;
const LINE: f64 = 17.0;
const GLYPH: f64 = 18.0;
const GAP: f64 = 7.0;
/// Letters that fit on one line.
const LETTERS: usize = 46;

/// One result to be drawn.
#[derive(Clone, Debug)]
pub struct Study {
    /// Name.
    pub name: String,
    /// Effect as shown.
    pub effect: Estimate,
    /// Weight in the pool, percent.
    pub weight: Option<f64>,
}

/// What is to be drawn.
#[derive(Clone, Debug)]
pub struct Content {
    /// Number of the figure on its page.
    pub number: usize,
    /// What it is about.
    pub about: String,
    /// Measure.
    pub measure: EffectMeasure,
    /// Unit.
    pub unit: String,
    /// Results with an effect.
    pub studies: Vec<Study>,
    /// The pool.
    pub pooled: Option<Estimate>,
    /// Where the effect of a further study may lie.
    pub prediction: Option<Interval>,
    /// Smallest effect that matters, as a distance.
    pub matters: Option<f64>,
    /// Which way is better.
    pub better: Option<Better>,
    /// Digits.
    pub digits: Digits,
}

/// A figure ready to be drawn.
#[derive(Debug, Serialize)]
pub struct Forest {
    /// Number on the page, for ids.
    pub number: usize,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// Height of the axis.
    pub bottom: f64,
    /// Left and right of the axis.
    pub axis: [f64; 2],
    /// Short title.
    pub title: String,
    /// What it shows, in words.
    pub description: String,
    /// Rows.
    pub rows: Vec<Row>,
    /// Height of a sign; the zone of small effects is as high at each row, so that no words lie on it.
    pub glyph: f64,
    /// Room below a sign; the line of no effect goes through it and stops before the words below.
    pub gap: f64,
    /// Place of no effect.
    pub null: Option<f64>,
    /// Left end and width of the zone of effects too small to matter.
    pub small: Option<[f64; 2]>,
    /// Marks of the axis with their labels.
    pub marks: Vec<Mark>,
    /// Name of the axis, at its height.
    pub label: (f64, String),
    /// Words at the left and right end, at their height.
    pub ends: Option<(f64, &'static str, &'static str)>,
}

/// A mark of the axis.
#[derive(Debug, Serialize)]
pub struct Mark {
    /// Place.
    pub x: f64,
    /// Label.
    pub text: String,
    /// `start`, `middle` or `end`, so that no label leaves the drawing.
    pub anchor: &'static str,
}

/// A row: words above, the sign below.
#[derive(Debug, Serialize)]
pub struct Row {
    /// Words and their height; the numbers stand at the right or on their own line.
    pub name: (f64, String),
    /// Numbers and their height.
    pub numbers: (f64, String),
    /// Height of the sign.
    pub y: f64,
    /// Ends of the interval.
    pub from: f64,
    /// Right end.
    pub to: f64,
    /// Path of the arrowheads at ends beyond the axis.
    pub arrows: String,
    /// Path of the sign: square, diamond or bar.
    pub sign: String,
    /// `study`, `pool` or `prediction`.
    pub kind: &'static str,
}

impl Forest {
    /// Lays a figure out; `None` if there is nothing to draw.
    pub fn new(content: &Content) -> Option<Forest> {
        if content.studies.is_empty() {
            return None;
        }
        let null = content.measure.null();
        let small = content.matters.zip(null).map(|(m, _)| bounds(content.measure, m));
        let mut shown: Vec<Estimate> = content.studies.iter().map(|s| s.effect).collect();
        shown.extend(content.pooled);
        let marks: Vec<f64> = null.into_iter().chain(small.into_iter().flatten()).collect();
        let axis = Axis::new(content.measure, &shown, &marks, [EDGE, WIDTH - EDGE]);
        let (rows, bottom) = rows(content, &axis);
        let place = |x: f64| round(axis.at(x));
        let ends = null.and(ends(content.measure, content.better));
        let label_at = bottom + 36.0;
        Some(Forest {
            number: content.number,
            width: WIDTH,
            height: label_at + if ends.is_some() { 24.0 } else { 8.0 },
            bottom,
            axis: [EDGE, WIDTH - EDGE],
            title: format!("Effects on {}", content.about),
            description: description(content),
            rows,
            glyph: GLYPH,
            gap: GAP,
            null: null.map(place),
            small: small.map(|[least, most]| [place(least), round(axis.at(most) - axis.at(least))]),
            marks: axis.marks().into_iter().map(|m| mark(m, place(m))).collect(),
            label: (label_at, label(content)),
            ends: ends.map(|(left, right)| (label_at + 18.0, left, right)),
        })
    }
}

fn label(content: &Content) -> String {
    let scale = if content.measure.is_ratio() { ", logarithmic" } else { "" };
    let unit = if content.unit.is_empty() { String::new() } else { format!(", {}", content.unit) };
    super::super::words::capital(&format!("{}{unit}{scale}", content.measure.word()))
}

/// Words at the ends of the axis. A correlation and a share have no side that is better.
fn ends(measure: EffectMeasure, better: Option<Better>) -> Option<(&'static str, &'static str)> {
    if matches!(measure, EffectMeasure::Correlation | EffectMeasure::Proportion) {
        return None;
    }
    Some(match better? {
        Better::Higher => ("← worse", "better →"),
        Better::Lower => ("← better", "worse →"),
    })
}

fn mark(value: f64, x: f64) -> Mark {
    let anchor = match x {
        x if x < EDGE + 8.0 => "start",
        x if x > WIDTH - EDGE - 8.0 => "end",
        _ => "middle",
    };
    let text = if value != 0.0 && value.abs() < 0.001 { format!("{value:e}") } else { plain(value) };
    Mark { x, text, anchor }
}

fn rows(content: &Content, axis: &Axis) -> (Vec<Row>, f64) {
    let mut out = Vec::new();
    let mut y = 4.0;
    let mut add = |name: String, numbers: String, kind: &'static str, reach: Reach, sign: &dyn Fn(f64) -> String| {
        let first = y + LINE - 4.0;
        let apart = name.chars().count() + numbers.chars().count() > LETTERS;
        let second = if apart { first + LINE } else { first };
        let middle = second + 4.0 + GLYPH / 2.0;
        out.push(Row {
            name: (first, name),
            numbers: (second, numbers),
            y: middle,
            from: round(reach.from),
            to: round(reach.to),
            arrows: arrows(reach, middle),
            sign: sign(middle),
            kind,
        });
        y = middle + GLYPH / 2.0 + GAP;
    };
    for s in &content.studies {
        let side = s.weight.map_or(7.0, |w| 14.0 * (w / 100.0).max(0.05).sqrt());
        let x = axis.at(s.effect.value);
        add(s.name.clone(), content.digits.both(&s.effect), "study", axis.reach(s.effect.interval), &|y| square(x, y, side));
    }
    if let Some(pooled) = content.pooled {
        let reach = axis.reach(pooled.interval);
        let x = axis.at(pooled.value);
        let name = format!("Pooled, {}", count(content));
        add(name, content.digits.both(&pooled), "pool", reach, &|y| diamond(reach, x, y));
    }
    if let Some(prediction) = content.prediction {
        let reach = axis.reach(prediction);
        add("A further study".into(), content.digits.range(prediction), "prediction", reach, &|y| bar(reach, y));
    }
    (out, y)
}

fn square(x: f64, y: f64, side: f64) -> String {
    let (left, top, side) = (round(x - side / 2.0), round(y - side / 2.0), round(side));
    format!("M{left} {top}h{side}v{side}h-{side}z")
}

fn diamond(reach: Reach, x: f64, y: f64) -> String {
    let (from, to, x, y) = (round(reach.from), round(reach.to), round(x), round(y));
    format!("M{from} {y}L{x} {}L{to} {y}L{x} {}z", y - 7.0, y + 7.0)
}

fn bar(reach: Reach, y: f64) -> String {
    format!("M{} {}h{}v5h-{}z", round(reach.from), round(y - 2.5), round(reach.to - reach.from), round(reach.to - reach.from))
}

/// Arrowheads that point off the axis.
fn arrows(reach: Reach, y: f64) -> String {
    let mut out = String::new();
    if reach.beyond_left {
        out += &format!("M{} {}l-8 5l8 5z", round(reach.from), round(y - 5.0));
    }
    if reach.beyond_right {
        out += &format!("M{} {}l8 5l-8 5z", round(reach.to), round(y - 5.0));
    }
    out
}

fn description(content: &Content) -> String {
    let mut out = match content.studies.len() {
        1 => format!("1 result, the {} with its 95 % interval.", content.measure.word()),
        n => format!("{n} results; for each the {} with its 95 % interval.", content.measure.word()),
    };
    if let Some(pooled) = &content.pooled {
        out += &format!(" Pooled: {}.", content.digits.both(pooled));
    }
    if let Some(prediction) = content.prediction {
        out += &format!(" A further study may lie from {}.", content.digits.range(prediction));
    }
    out + " The table below holds the same numbers."
}

fn count(content: &Content) -> String {
    counted_words(&content.studies.len().to_string(), "result", "results")
}

fn round(x: f64) -> f64 {
    (x * 10.0).round() / 10.0 + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn study(name: &str, value: f64, low: f64, high: f64, weight: f64) -> Study {
        Study { name: name.into(), effect: Estimate { value, interval: Interval { low, high } }, weight: Some(weight) }
    }

    fn content(studies: Vec<Study>) -> Content {
        Content {
            number: 1,
            about: "tenderness".into(),
            measure: EffectMeasure::MeanDifference,
            unit: "kgf/cm2".into(),
            pooled: Some(studies[0].effect),
            studies,
            prediction: Some(Interval { low: -90.0, high: 90.0 }),
            matters: Some(0.2),
            better: Some(Better::Higher),
            digits: Digits::of(EffectMeasure::MeanDifference, &[]),
        }
    }

    #[test]
    fn nothing_leaves_the_drawing_and_rows_do_not_meet() {
        let long = "A name of an author so long that nothing fits beside it 2020";
        let forest = Forest::new(&content(vec![study("Short 2020", 0.4, 0.1, 0.7, 60.0), study(long, 0.3, -80.0, 0.9, 40.0)])).unwrap();
        assert!(forest.rows.iter().all(|r| r.from >= 0.0 && r.to <= forest.width && r.from <= r.to));
        assert!(forest.rows.windows(2).all(|w| w[0].y + GLYPH / 2.0 < w[1].name.0 - LINE + 5.0), "{:?}", forest.rows);
        assert!(forest.rows.last().is_some_and(|r| r.y < forest.bottom) && forest.bottom < forest.height);
        assert_eq!(forest.rows.iter().map(|r| r.arrows.is_empty()).collect::<Vec<_>>(), [true, false, true, false]);
        assert!(forest.rows[1].numbers.0 > forest.rows[1].name.0, "numbers go below a long name");
    }

    #[test]
    fn the_better_side_follows_the_outcome() {
        let mut c = content(vec![study("A", 0.4, 0.1, 0.7, 100.0)]);
        assert_eq!(Forest::new(&c).unwrap().ends.map(|e| (e.1, e.2)), Some(("← worse", "better →")));
        c.better = Some(Better::Lower);
        assert_eq!(Forest::new(&c).unwrap().ends.map(|e| (e.1, e.2)), Some(("← better", "worse →")));
        c.measure = EffectMeasure::Proportion;
        let forest = Forest::new(&c).unwrap();
        assert!(forest.ends.is_none() && forest.null.is_none() && forest.small.is_none());
    }

    #[test]
    fn the_area_of_a_square_grows_with_weight_and_the_zone_lies_around_no_effect() {
        let forest = Forest::new(&content(vec![study("A", 0.4, 0.1, 0.7, 90.0), study("B", 0.4, 0.1, 0.7, 10.0)])).unwrap();
        let side = |i: usize| forest.rows[i].sign.split('h').nth(1).and_then(|s| s.split('v').next()?.parse::<f64>().ok()).unwrap();
        assert!((side(0).powi(2) / side(1).powi(2) - 9.0).abs() < 0.5);
        let ([left, width], null) = (forest.small.unwrap(), forest.null.unwrap());
        assert!((left + width / 2.0 - null).abs() < 0.2);
    }

    #[test]
    fn no_effect_at_all_draws_nothing() {
        let mut c = content(vec![study("A", 0.4, 0.1, 0.7, 100.0)]);
        c.studies.clear();
        assert!(Forest::new(&c).is_none());
    }
}
