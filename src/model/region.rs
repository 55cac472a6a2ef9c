//! The closed list of body regions and the way authors name them.
//!
//! The list ships with the tool as `regions.yaml`. A group (`leg`) stands for its members. A side
//! word is relative to the treated side (`same`, `other`) or absolute (`left`, `right`, `both`).

use crate::source::{FileId, Node, NodeKind, Span};
use std::sync::LazyLock;

/// A region of the list.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RegionId(pub u16);

/// Properties that rules hang on.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Tag {
    /// Consent, drape and chaperone offer are needed.
    Sensitive,
    /// Little lies between skin and bone.
    ThinSkin,
    /// A nerve lies under the skin.
    SuperficialNerve,
    /// A large vessel lies near.
    MajorVessel,
    /// Inside the body.
    Internal,
    /// Feeling is often poor here.
    PoorSensationCommon,
    /// No pack of this kind works here.
    NotTreated,
}

impl Tag {
    /// All tags with their words.
    pub const ALL: [(Tag, &'static str); 7] = [
        (Tag::Sensitive, "sensitive"),
        (Tag::ThinSkin, "thin-skin"),
        (Tag::SuperficialNerve, "superficial-nerve"),
        (Tag::MajorVessel, "major-vessel"),
        (Tag::Internal, "internal"),
        (Tag::PoorSensationCommon, "poor-sensation-common"),
        (Tag::NotTreated, "not-treated"),
    ];

    /// The tag with this word.
    pub fn from_word(word: &str) -> Option<Tag> {
        Tag::ALL.iter().find(|(_, w)| *w == word).map(|(t, _)| *t)
    }
    /// The word.
    pub fn word(self) -> &'static str {
        Tag::ALL.iter().find(|(t, _)| *t == self).map_or("", |(_, w)| w)
    }
}

/// Which side of the body, as written.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// The treated side.
    Same,
    /// The side that is not treated.
    Other,
    /// Left, whatever is treated.
    Left,
    /// Right, whatever is treated.
    Right,
    /// Both sides.
    Both,
    /// On the midline.
    Midline,
}

impl Side {
    const WORDS: [(Side, &'static str); 6] = [
        (Side::Same, "same"),
        (Side::Other, "other"),
        (Side::Left, "left"),
        (Side::Right, "right"),
        (Side::Both, "both"),
        (Side::Midline, "midline"),
    ];

    fn from_word(word: &str) -> Option<Side> {
        Side::WORDS.iter().find(|(_, w)| *w == word).map(|(s, _)| *s)
    }

    /// True if the two can be the same skin. The treated side may be left or right.
    pub fn meets(self, other: Side) -> bool {
        use Side::{Both, Left, Midline, Other, Right, Same};
        !matches!((self, other), (Same, Other) | (Other, Same) | (Left, Right) | (Right, Left)) || matches!(self, Both | Midline)
    }
}

/// A region on a side.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// The region.
    pub region: RegionId,
    /// The side.
    pub side: Side,
}

impl Place {
    /// True if the two can be the same skin.
    pub fn meets(self, other: Place) -> bool {
        self.region == other.region && self.side.meets(other.side)
    }

    /// Plain name with the side where it is not the treated one.
    pub fn shown(self) -> String {
        let name = &regions().get(self.region).name;
        match self.side {
            Side::Same | Side::Midline => name.clone(),
            Side::Other => format!("{name}, other side"),
            Side::Left => format!("{name}, left"),
            Side::Right => format!("{name}, right"),
            Side::Both => format!("{name}, both sides"),
        }
    }
}

/// True if any place of one list can be the same skin as one of the other.
pub fn any_meets(a: &[Place], b: &[Place]) -> bool {
    a.iter().any(|x| b.iter().any(|y| x.meets(*y)))
}

/// What the list says of a region.
#[derive(Debug)]
pub struct Region {
    /// Id.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// Latin name.
    pub latin: String,
    /// Other words for it.
    pub also: Vec<String>,
    /// True if there is a left and a right one.
    pub paired: bool,
    /// Group it belongs to.
    pub group: String,
    /// Neighbours.
    pub next: Vec<RegionId>,
    /// Tags.
    pub tags: Vec<Tag>,
    /// Red-flag topics that must be covered where this region is treated or referred to.
    pub flags: Vec<String>,
    /// Hazards with the report behind each.
    pub hazards: Vec<Hazard>,
}

/// A hazard that ships with the region list.
#[derive(Debug)]
pub struct Hazard {
    /// What and what follows.
    pub text: String,
    /// Where harm was reported, or `common practice, no source`.
    pub source: String,
}

/// A group of regions.
#[derive(Debug)]
pub struct Group {
    /// Id.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// Latin name.
    pub latin: String,
    /// The larger group that it is a part of.
    pub within: Option<String>,
}

/// The closed list.
#[derive(Debug)]
pub struct RegionList {
    all: Vec<Region>,
    groups: Vec<Group>,
}

impl RegionList {
    /// What the list says of a region.
    pub fn get(&self, id: RegionId) -> &Region {
        &self.all[id.0 as usize]
    }

    /// Ids in list order.
    pub fn ids(&self) -> impl Iterator<Item = RegionId> + use<> {
        (0..u16::try_from(self.all.len()).unwrap_or(u16::MAX)).map(RegionId)
    }

    /// Groups in list order.
    pub fn groups(&self) -> &[Group] {
        &self.groups
    }

    /// Id of the part of the body that a region belongs to: its group, or the group around that.
    pub fn body_part(&self, id: RegionId) -> &str {
        let group = self.get(id).group.as_str();
        self.groups.iter().find(|g| g.id == group).and_then(|g| g.within.as_deref()).unwrap_or(group)
    }

    /// Finds a region by id.
    pub fn find(&self, id: &str) -> Option<RegionId> {
        self.all.iter().position(|r| r.id == id).and_then(|i| u16::try_from(i).ok()).map(RegionId)
    }

    /// Members of a group or the region itself; empty for an unknown word.
    fn expand(&self, word: &str) -> Vec<RegionId> {
        match self.find(word) {
            Some(id) => vec![id],
            None => self.ids().filter(|id| self.is_in(&self.get(*id).group, word)).collect(),
        }
    }

    /// True if the group is `word` or a part of it.
    fn is_in(&self, group: &str, word: &str) -> bool {
        group == word || self.groups.iter().any(|g| g.id == group && g.within.as_deref() == Some(word))
    }

    /// Every word that may be written for a region or group.
    pub fn words(&self) -> impl Iterator<Item = &str> {
        self.all.iter().map(|r| r.id.as_str()).chain(self.groups.iter().map(|g| g.id.as_str()))
    }
}

/// Why a region text cannot be read.
#[derive(Debug, PartialEq, Eq)]
pub enum RegionError {
    /// No such region or group; the bytes of the word.
    Unknown(std::ops::Range<usize>),
    /// The side word is unknown or impossible here; its bytes.
    Side(std::ops::Range<usize>),
}

/// Reads `region` or `region side`; a group yields all its members.
///
/// # Errors
/// With the bytes of the word at fault.
pub fn parse_places(text: &str) -> Result<Vec<Place>, RegionError> {
    let (word, side_word) = text.split_once(' ').map_or((text, None), |(a, b)| (a, Some(b.trim())));
    let ids = regions().expand(word);
    if ids.is_empty() {
        return Err(RegionError::Unknown(0..word.len()));
    }
    let side_at = text.len() - side_word.map_or(0, str::len)..text.len();
    let side = match side_word {
        None => None,
        Some(w) => Some(Side::from_word(w).ok_or(RegionError::Side(side_at.clone()))?),
    };
    let mut places = Vec::with_capacity(ids.len());
    for region in ids {
        let paired = regions().get(region).paired;
        let side = match (paired, side) {
            (true, None) => Side::Same,
            (true, Some(Side::Midline)) => return Err(RegionError::Side(side_at)),
            (true, Some(side)) => side,
            (false, Some(Side::Left | Side::Right)) if regions().find(word).is_some() => return Err(RegionError::Side(side_at)),
            (false, _) => Side::Midline,
        };
        places.push(Place { region, side });
    }
    Ok(places)
}

/// The list that ships with the tool.
pub fn regions() -> &'static RegionList {
    static LIST: LazyLock<RegionList> = LazyLock::new(|| build(include_str!("regions.yaml")));
    &LIST
}

fn build(text: &str) -> RegionList {
    let root = crate::load::yaml::parse(FileId(0), text).root.unwrap_or(Node { span: Span::new(FileId(0), 0, 0), kind: NodeKind::Null });
    let word = |n: &Node, key: &str| n.get(key).and_then(Node::text).unwrap_or_default().to_string();
    let words = |n: &Node, key: &str| items(n.get(key)).iter().filter_map(Node::text).map(str::to_string).collect::<Vec<_>>();
    let rows = items(root.get("regions"));
    let ids: Vec<String> = rows.iter().map(|n| word(n, "id")).collect();
    let mut all: Vec<Region> = rows
        .iter()
        .map(|n| Region {
            id: word(n, "id"),
            name: word(n, "name"),
            latin: word(n, "latin"),
            also: words(n, "also"),
            paired: word(n, "side") == "paired",
            group: word(n, "group"),
            next: Vec::new(),
            tags: words(n, "tags").iter().filter_map(|w| Tag::from_word(w)).collect(),
            flags: words(n, "flags"),
            hazards: Vec::new(),
        })
        .collect();
    let find = |w: &str| ids.iter().position(|i| i == w);
    for (i, row) in rows.iter().enumerate() {
        for j in words(row, "next").iter().filter_map(|w| find(w)) {
            for (a, b) in [(i, j), (j, i)] {
                let b = RegionId(u16::try_from(b).unwrap_or(u16::MAX));
                if !all[a].next.contains(&b) {
                    all[a].next.push(b);
                }
            }
        }
    }
    for hazard in items(root.get("hazards")) {
        if let Some(i) = find(&word(hazard, "region")) {
            all[i].hazards.push(Hazard { text: word(hazard, "text"), source: word(hazard, "source") });
        }
    }
    let groups = items(root.get("groups"))
        .iter()
        .map(|n| Group {
            id: word(n, "id"),
            name: word(n, "name"),
            latin: word(n, "latin"),
            within: n.get("in").and_then(Node::text).map(str::to_string),
        })
        .collect();
    RegionList { all, groups }
}

fn items(node: Option<&Node>) -> &[Node] {
    match node.map(|n| &n.kind) {
        Some(NodeKind::Seq(items)) => items,
        _ => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_is_whole() {
        let list = regions();
        assert!((100..=130).contains(&list.ids().count()));
        for id in list.ids() {
            let region = list.get(id);
            assert!(list.groups().iter().any(|g| g.id == region.group), "{}", region.id);
            assert!(!region.next.is_empty(), "{}", region.id);
            assert!(region.next.iter().all(|n| list.get(*n).next.contains(&id)), "{}", region.id);
        }
    }

    #[test]
    fn sides_and_groups_are_read() {
        assert_eq!(parse_places("neck-side").unwrap()[0].side, Side::Same);
        assert_eq!(parse_places("neck-side other").unwrap()[0].side, Side::Other);
        assert!(parse_places("leg").unwrap().len() > 5);
        let named = |word: &str| parse_places(word).unwrap().iter().map(|p| regions().get(p.region).id.clone()).collect::<Vec<_>>();
        assert_eq!(named("toes"), ["big-toe", "small-toes"]);
        assert!(named("hand").contains(&"ring-little-fingers".to_string()));
        assert_eq!(parse_places("nek-side"), Err(RegionError::Unknown(0..8)));
        assert_eq!(parse_places("neck-side up"), Err(RegionError::Side(10..12)));
        assert_eq!(parse_places("sacrum left"), Err(RegionError::Side(7..11)));
    }

    #[test]
    fn only_certain_sides_never_meet() {
        assert!(!Side::Same.meets(Side::Other) && !Side::Left.meets(Side::Right));
        assert!(Side::Same.meets(Side::Left) && Side::Both.meets(Side::Other) && Side::Other.meets(Side::Right));
    }
}
