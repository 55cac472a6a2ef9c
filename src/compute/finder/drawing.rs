//! A pain drawing: marked spots with a strength. Nothing of it says whose it is.

use crate::model::region::{Place, RegionId, Side, regions};
use std::collections::BTreeMap;

/// Left or right half of the body.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Half {
    /// Left.
    Left,
    /// Right.
    Right,
}

impl Half {
    /// Both, left first.
    pub const BOTH: [Half; 2] = [Half::Left, Half::Right];

    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Half::Left => "left",
            Half::Right => "right",
        }
    }

    /// The other one.
    pub fn other(self) -> Half {
        match self {
            Half::Left => Half::Right,
            Half::Right => Half::Left,
        }
    }
}

/// A region of a person: of a paired one the left or the right.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Spot {
    /// The region.
    pub region: RegionId,
    /// The half; `None` on the midline.
    pub half: Option<Half>,
}

impl Spot {
    /// The word of the side.
    pub fn side(self) -> &'static str {
        self.half.map_or("midline", Half::word)
    }

    /// The spot as a place, to ask what it meets.
    pub fn place(self) -> Place {
        let side = match self.half {
            None => Side::Midline,
            Some(Half::Left) => Side::Left,
            Some(Half::Right) => Side::Right,
        };
        Place { region: self.region, side }
    }

    /// Plain name with its side.
    pub fn shown(self) -> String {
        self.place().shown()
    }

    /// The spots of a place when the person is treated on `treated`.
    pub fn of(place: Place, treated: Half) -> Vec<Spot> {
        let halves: &[Half] = match place.side {
            Side::Midline => return vec![Spot { region: place.region, half: None }],
            Side::Same => &[treated],
            Side::Other => &[treated.other()],
            Side::Left => &[Half::Left],
            Side::Right => &[Half::Right],
            Side::Both => &Half::BOTH,
        };
        halves.iter().map(|half| Spot { region: place.region, half: Some(*half) }).collect()
    }

    /// Every spot of the body in the order of the list of regions.
    pub fn all() -> Vec<Spot> {
        let list = regions();
        let side = |id| if list.get(id).paired { Side::Both } else { Side::Midline };
        list.ids().flat_map(|region| Spot::of(Place { region, side: side(region) }, Half::Left)).collect()
    }
}

/// Strength of a mark: 1 weak, 2 moderate, 3 strong.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Strength(u8);

impl Strength {
    /// The strongest.
    pub const STRONG: Strength = Strength(3);

    /// A strength from 1 to 3.
    pub fn new(strength: u8) -> Option<Strength> {
        (1..=3).contains(&strength).then_some(Strength(strength))
    }

    /// The number.
    pub fn number(self) -> u32 {
        u32::from(self.0)
    }

    /// The word.
    pub fn word(self) -> &'static str {
        match self.0 {
            1 => "weak",
            2 => "moderate",
            _ => "strong",
        }
    }
}

/// Marked spots.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Drawing {
    marks: BTreeMap<Spot, Strength>,
}

impl Drawing {
    /// Marks a spot; a later mark takes the place of an earlier one.
    pub fn mark(&mut self, spot: Spot, strength: Strength) {
        self.marks.insert(spot, strength);
    }

    /// Marks in the order of the list of regions, left before right.
    pub fn marks(&self) -> impl Iterator<Item = (Spot, Strength)> {
        self.marks.iter().map(|(spot, strength)| (*spot, *strength))
    }

    /// Strength of a spot, if it is marked.
    pub fn at(&self, spot: Spot) -> Option<Strength> {
        self.marks.get(&spot).copied()
    }

    /// True if nothing is marked.
    pub fn is_empty(&self) -> bool {
        self.marks.is_empty()
    }

    /// The strongest mark as a number; 1 where nothing is marked.
    pub(super) fn strongest(&self) -> u32 {
        self.marks.values().map(|s| s.number()).max().unwrap_or(1)
    }
}
