//! The page that a host shows for an address that is not in the site.
//!
//! A host shows it at any depth, where a relative link would lead astray, so its links are absolute where the pack says
//! at which address it is published. Its style sheet stays relative: from a deeper folder the page is plain, and
//! nothing is ever asked of another host.

use super::parts::{Frame, Link};
use crate::plan::hosting;
use crate::plan::route;
use crate::plan::site::Site;
use serde::Serialize;

/// View of `missing.html`.
#[derive(Debug, Serialize)]
pub struct Missing {
    /// Frame.
    pub frame: Frame,
    /// Ways on.
    pub links: Vec<Link>,
}

impl Missing {
    /// The page.
    pub fn new(site: &Site<'_>) -> Missing {
        let base = hosting::published(site.catalog).unwrap_or_default();
        let link = |text: &str, path: &str| Link { text: text.into(), href: format!("{base}{path}") };
        let mut links = vec![link("Start", route::HOME), link("Every name from A to Z", route::A_TO_Z)];
        if !site.catalog.protocols.is_empty() {
            links.push(link("Check a card", route::CARD_CHECK));
        }
        let mut frame = site.frame("No page at this address");
        frame.nav.clear();
        frame.crumbs.clear();
        frame.home = format!("{base}{}", route::HOME);
        Missing { frame, links }
    }
}
