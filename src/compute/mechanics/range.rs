//! Normal ranges of joint movement: one row for each published figure, with who was measured, the
//! source, and whether the figure was seen or is from memory.
//!
//! The figures are means or conventional values of groups, no bounds of what a person can or may do.

use super::stretch::Joint;
use crate::model::motion::coordinate;
use std::sync::LazyLock;

/// One figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Coordinate.
    pub joint: Joint,
    /// Direction: `Some(true)` where the coordinate grows, `Some(false)` where it falls, `None` where
    /// the figure is for either side.
    pub positive: Option<bool>,
    /// Movement, in the words of the source.
    pub motion: &'static str,
    /// Degrees from neutral in that direction.
    pub degrees: f64,
    /// Spread, in the words of the source; may be empty.
    pub spread: &'static str,
    /// Who was measured.
    pub population: &'static str,
    /// Source.
    pub source: &'static str,
    /// How far the figure was verified.
    pub seen: &'static str,
}

/// Groups whose figures speak for adults.
const ADULTS: [&str; 5] = ["adults", "women 20-44 years", "men 20-44 years", "older women", "young men"];

static FIGURES: LazyLock<Vec<Figure>> =
    LazyLock::new(|| include_str!("normal_ranges.txt").lines().filter(|l| !l.starts_with('#')).filter_map(figure).collect());

fn figure(line: &'static str) -> Option<Figure> {
    let fields: Vec<&'static str> = line.split('|').collect();
    let [joint, way, motion, degrees, spread, population, source, seen] = fields.as_slice() else { return None };
    let positive = match *way {
        "+" => Some(true),
        "-" => Some(false),
        "+-" => None,
        _ => return None,
    };
    let joint = coordinate(joint)?;
    Some(Figure { joint, positive, motion, degrees: degrees.parse().ok()?, spread, population, source, seen })
}

/// Every figure for a movement in one direction.
pub fn figures() -> &'static [Figure] {
    &FIGURES
}

/// Every figure for adults of a coordinate in one direction.
pub fn of_adults(joint: Joint, positive: bool) -> impl Iterator<Item = &'static Figure> {
    figures().iter().filter(move |f| f.joint == joint && f.positive.is_none_or(|p| p == positive) && ADULTS.contains(&f.population))
}

/// The largest figure for adults of a coordinate in one direction; `None` if there is no figure.
pub fn widest(joint: Joint, positive: bool) -> Option<&'static Figure> {
    of_adults(joint, positive).max_by(|a, b| a.degrees.total_cmp(&b.degrees))
}

/// Least and most degrees of a coordinate by the largest figures for adults; a side without a figure
/// is `None`.
pub fn adult_limits(joint: Joint) -> (Option<f64>, Option<f64>) {
    (widest(joint, false).map(|f| -f.degrees), widest(joint, true).map(|f| f.degrees))
}

/// The figure that an angle in degrees goes beyond, if it is beyond the largest for adults.
pub fn exceeded(joint: Joint, degrees: f64) -> Option<&'static Figure> {
    widest(joint, degrees > 0.0).filter(|f| degrees.abs() > f.degrees + 1e-9)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read_and_says_where_it_is_from() {
        let rows = include_str!("normal_ranges.txt").lines().filter(|l| !l.starts_with('#')).count();
        let no_direction = include_str!("normal_ranges.txt")
            .lines()
            .filter(|l| l.contains("||"))
            .filter(|l| l.contains(", skull-C2|") || l.contains(", C2-T1|"))
            .count();
        assert_eq!((rows, no_direction, figures().len()), (92, 6, 86));
        assert!(figures().iter().all(|f| !f.source.is_empty() && !f.seen.is_empty() && f.degrees > 0.0));
        for population in ADULTS {
            assert!(figures().iter().any(|f| f.population == population), "{population}");
        }
    }

    /// AAOS (Greene & Heckman 1994) as tabulated in the appendix of a goniometry text: shoulder 180 and
    /// 60, wrist 80. CDC Normal Joint Range of Motion Study, women 20 to 44: hip flexion 133.8. The
    /// status of each figure stands in the table.
    #[test]
    fn the_largest_adult_figure_counts() {
        let joint = |id| coordinate(id).unwrap();
        assert_eq!(adult_limits(joint("shoulder.flexion")), (Some(-60.0), Some(180.0)));
        assert_eq!(adult_limits(joint("hip.flexion")), (Some(-20.0), Some(133.8)));
        assert_eq!(adult_limits(joint("wrist.flexion")), (Some(-70.0), Some(80.0)));
        assert_eq!(adult_limits(joint("neck.side_bend")), (Some(-49.0), Some(49.0)));
        assert_eq!(adult_limits(joint("scapula.elevation")), (None, None));
        assert!(exceeded(joint("hip.flexion"), 140.0).is_some() && exceeded(joint("hip.flexion"), 120.0).is_none());
        assert!(exceeded(joint("hip.flexion"), -30.0).is_some() && exceeded(joint("scapula.elevation"), 90.0).is_none());
    }
}
