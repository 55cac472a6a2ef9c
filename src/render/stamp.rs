//! Content hashes on links to assets, so that a host or a browser that keeps files never mixes two editions.
//!
//! The hash rides in the query of a link and the file keeps its name: that works from a disk and from any host. Pages
//! are stamped after they were laid out, so no template, and none of a house's own, can forget it.

use super::Built;
use crate::plan::route;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fmt::Write;

/// Folder of all that is stamped.
const ASSETS: &str = "assets/";

/// The first ten hexadecimal digits of SHA-256: 40 bits tell two editions of a file apart.
pub(super) fn of(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().take(5).fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Stamps of assets by path.
pub(super) fn all(built: &[Built]) -> BTreeMap<&str, String> {
    built.iter().filter(|b| b.path.starts_with(ASSETS)).map(|b| (b.path.as_str(), of(&b.bytes))).collect()
}

/// A page whose attributes that name an asset carry its stamp.
pub(super) fn page(path: &str, html: &str, stamps: &BTreeMap<&str, String>) -> String {
    let root = route::root(path);
    let start = format!("=\"{root}{ASSETS}");
    let mut out = String::with_capacity(html.len() + 256);
    let mut rest = html;
    while let Some(at) = rest.find(&start) {
        let (before, value) = rest.split_at(at + 2);
        out.push_str(before);
        let end = value.find('"').unwrap_or(value.len());
        let (link, after) = value.split_at(end);
        out.push_str(link);
        if let Some(stamp) = link.strip_prefix(root.as_str()).and_then(|name| stamps.get(name)) {
            let _ = write!(out, "?v={stamp}");
        }
        rest = after;
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn attributes_that_name_an_asset_are_stamped_and_nothing_else() {
        let stamps = BTreeMap::from([("assets/a.js", "0123456789".to_string())]);
        let page = |html: &str| page("b/c.html", html, &stamps);
        assert_eq!(page("<script src=\"../assets/a.js\" defer>"), "<script src=\"../assets/a.js?v=0123456789\" defer>");
        assert_eq!(page("<form data-x=\"../assets/a.js\">é"), "<form data-x=\"../assets/a.js?v=0123456789\">é");
        for same in ["<a href=\"../assets/b.js\">", "<a href=\"assets/a.js\">", "assets/a.js", "<a href=\"../assets/a.js", "x=\"../assets/"]
        {
            let open = same.ends_with("a.js");
            assert!(page(same) == same || open, "{same}");
        }
    }

    /// FIPS 180-4 example: SHA-256 of "abc" begins with ba7816bf 8f01.
    #[test]
    fn a_stamp_is_the_start_of_sha_256() {
        assert_eq!(of(b"abc"), "ba7816bf8f");
    }
}
