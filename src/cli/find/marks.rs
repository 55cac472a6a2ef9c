//! Marks as written on the command line.

use crate::compute::finder::{Drawing, Half, Spot, Strength};
use crate::model::nearest;
use crate::model::region::{RegionError, Side, parse_places, regions};
use std::ops::Range;

/// Reads all marks.
///
/// # Errors
/// A message with the characters at fault, for the first mark that cannot be read.
pub(super) fn read(marks: &[String]) -> Result<Drawing, String> {
    let mut drawing = Drawing::default();
    for mark in marks {
        let (spots, strength) = one(mark)?;
        spots.into_iter().for_each(|spot| drawing.mark(spot, strength));
    }
    Ok(drawing)
}

fn one(mark: &str) -> Result<(Vec<Spot>, Strength), String> {
    let (place, strength) = match mark.rsplit_once('=') {
        None => (mark, Strength::STRONG),
        Some((place, number)) => {
            let at = place.len() + 1..mark.len();
            let strength = number.parse().ok().and_then(Strength::new);
            (place, strength.ok_or_else(|| wrong(mark, &at, "a strength is 1, 2 or 3"))?)
        }
    };
    let places = parse_places(place).map_err(|error| match error {
        RegionError::Unknown(at) => {
            let word = mark.get(at.clone()).unwrap_or(mark);
            let near = nearest(word, regions().words()).map(|n| format!("; did you mean `{n}`?")).unwrap_or_default();
            wrong(mark, &at, &format!("there is no region `{word}`{near} `fascicle draft regions` lists all"))
        }
        RegionError::Side(at) => wrong(mark, &at, "the side is left, right or both, and a midline region takes none"),
    })?;
    let mut spots = Vec::new();
    for mut place in places {
        let side = place.side;
        place.side = match side {
            // No person is treated here: a paired region without a side word means both.
            Side::Same if !says_side(mark) => Side::Both,
            Side::Same | Side::Other => {
                let at = place_word(mark);
                return Err(wrong(mark, &at, "nobody is treated here, so a side is left, right or both"));
            }
            side => side,
        };
        spots.extend(Spot::of(place, Half::Left));
    }
    Ok((spots, strength))
}

fn says_side(mark: &str) -> bool {
    mark.split('=').next().is_some_and(|place| place.contains(' '))
}

/// Bytes of the side word.
fn place_word(mark: &str) -> Range<usize> {
    let end = mark.rfind('=').unwrap_or(mark.len());
    mark.find(' ').map_or(0, |i| i + 1).min(end)..end
}

fn wrong(mark: &str, at: &Range<usize>, what: &str) -> String {
    let width = |range: Range<usize>| mark.get(range).unwrap_or_default().chars().count();
    let marked = "^".repeat(width(at.clone()).max(1));
    format!("{what}\n  {mark}\n  {}{marked}", " ".repeat(width(0..at.start)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn shown(marks: &[&str]) -> Vec<(String, u32)> {
        let marks: Vec<String> = marks.iter().map(ToString::to_string).collect();
        read(&marks).unwrap().marks().map(|(s, n)| (s.shown(), n.number())).collect()
    }

    fn error(mark: &str) -> String {
        read(&[mark.to_string()]).unwrap_err()
    }

    #[test]
    fn sides_strengths_and_groups_are_read() {
        assert_eq!(shown(&["temple left=2"]), [("Temple, left".into(), 2)]);
        assert_eq!(shown(&["temple=1"]), [("Temple, left".into(), 1), ("Temple, right".into(), 1)]);
        assert_eq!(shown(&["sacrum"]), [("Sacrum".into(), 3)]);
        assert!(shown(&["leg right=1", "calf-inner right=3"]).contains(&("Calf, inner half, right".into(), 3)));
    }

    #[test]
    fn errors_point_at_the_characters() {
        assert!(error("templ left=2").ends_with("\n  templ left=2\n  ^^^^^") && error("templ left=2").contains("`temple`"));
        assert!(error("temple left=4").ends_with("\n  temple left=4\n              ^"));
        assert!(error("temple up").ends_with("\n  temple up\n         ^^"));
        assert!(error("temple same=1").ends_with("\n  temple same=1\n         ^^^^"));
        assert!(error("sacrum left").ends_with("\n  sacrum left\n         ^^^^"));
        assert!(error("").contains("no region") && error("temple=").contains("1, 2 or 3"));
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused_with_a_place(mark in "\\PC{0,24}|(temple|sacrum|leg)( (left|both|same))?(=[0-9é]{0,2})?") {
            if let Err(message) = read(std::slice::from_ref(&mark)) {
                prop_assert!(message.contains('^'), "{message}");
            }
        }
    }
}
