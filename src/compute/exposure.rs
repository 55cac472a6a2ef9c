//! Whether the words of an exposure state say that a region is bare.

use crate::model::region::{RegionId, regions};

/// Words that tell where, not what.
const WHERE: [&str; 10] = ["of", "the", "and", "front", "back", "side", "upper", "lower", "middle", "inner"];

/// True if a clause names the region and does not say that it is covered. One telling word of the
/// name is enough: "buttock bare" bares the upper buttock.
pub fn bares(exposure: &str, region: RegionId) -> bool {
    exposure.to_lowercase().split([';', ',', '.']).any(|clause| {
        let covered = words(clause).any(|w| w.starts_with("cover") || w == "under");
        !covered && names_region(clause, region)
    })
}

/// True if a text holds a telling word of the region's name.
pub fn names_region(text: &str, region: RegionId) -> bool {
    let name = regions().get(region).name.to_lowercase();
    let telling: Vec<&str> = words(&name).filter(|w| !WHERE.contains(w)).map(|w| w.trim_end_matches('s')).collect();
    words(&text.to_lowercase()).any(|w| telling.contains(&w.trim_end_matches('s')))
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clause_must_name_the_region_and_not_cover_it() {
        let bares = |text: &str, id: &str| bares(text, regions().find(id).unwrap());
        assert!(bares("Side of the hip and upper buttock bare; everything else covered.", "buttock-upper"));
        assert!(bares("Edge behind the armpit and one side rib bare.", "side-ribs"));
        assert!(!bares("Back of the thighs bare; buttock covered.", "buttock-upper"));
        assert!(!bares("Lower leg bare.", "inner-thigh"));
    }
}
