//! How high each face came out, as the template measured it.

use crate::error::ToolError;
use serde::Deserialize;
use typst::foundations::{Label, Selector};
use typst::introspection::Introspector;
use typst::utils::PicoStr;
use typst_layout::PagedDocument;

/// Rounding of lengths in the typesetter, in mm.
const SLACK: f64 = 0.01;

/// A face that holds more than it has room for.
#[derive(Debug, Clone, PartialEq)]
pub struct TooHigh {
    /// Card, from nought.
    pub card: usize,
    /// Face, from nought.
    pub face: usize,
    /// Section and item of the first item that does not fit, from nought; `None` if it is head or foot.
    pub item: Option<(usize, usize)>,
    /// By how many mm.
    pub over: f64,
}

/// What a face needs, in mm of an A5 face.
#[derive(Debug, Deserialize)]
pub(super) struct Needs {
    pub place: (usize, usize),
    room: f64,
    head: f64,
    foot: f64,
    parts: Vec<Part>,
}

#[derive(Debug, Deserialize)]
struct Part {
    heading: f64,
    items: Vec<f64>,
}

/// Reads what the template left under its label.
pub(super) fn read(document: &PagedDocument) -> Result<Vec<Needs>, ToolError> {
    let bug = |what: &str| ToolError::Bug(format!("the card template did not say how high its faces are: {what}"));
    let label = Label::new(PicoStr::intern("needs")).ok_or_else(|| bug("no label"))?;
    let found = document.introspector().query(&Selector::Label(label));
    let one = |content: &typst::foundations::Content| {
        let value = content.get_by_name("value").map_err(|_| bug("no value"))?;
        let value = serde_json::to_value(&value).map_err(|e| bug(&e.to_string()))?;
        serde_json::from_value(value).map_err(|e| bug(&e.to_string()))
    };
    found.iter().map(one).collect()
}

impl Needs {
    /// What is left free.
    pub(super) fn spare(&self) -> f64 {
        let parts = self.parts.iter().map(|p| p.heading + p.items.iter().sum::<f64>()).sum::<f64>();
        self.room - self.head - self.foot - parts
    }

    /// The first item that does not fit.
    pub(super) fn too_high(&self) -> Option<TooHigh> {
        let (card, face) = self.place;
        let over = -self.spare();
        if over <= SLACK {
            return None;
        }
        let mut used = self.head + self.foot;
        for (s, part) in self.parts.iter().enumerate() {
            used += part.heading;
            for (i, high) in part.items.iter().enumerate() {
                used += high;
                if used > self.room + SLACK {
                    return Some(TooHigh { card, face, item: Some((s, i)), over });
                }
            }
        }
        Some(TooHigh { card, face, item: None, over })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn needs(items: &[f64]) -> Needs {
        Needs { place: (0, 2), room: 100.0, head: 10.0, foot: 10.0, parts: vec![Part { heading: 5.0, items: items.to_vec() }] }
    }

    #[test]
    fn the_first_item_that_does_not_fit_is_named() {
        assert_eq!(needs(&[30.0, 45.0]).too_high(), None);
        let over = needs(&[30.0, 47.0, 9.0]).too_high().unwrap();
        assert_eq!((over.card, over.face, over.item), (0, 2, Some((0, 1))));
        assert!((over.over - 11.0).abs() < 1e-9);
    }

    #[test]
    fn a_head_that_fills_the_face_is_found_without_an_item() {
        let needs = Needs { head: 95.0, parts: Vec::new(), ..needs(&[]) };
        assert_eq!(needs.too_high().unwrap().item, None);
    }
}
