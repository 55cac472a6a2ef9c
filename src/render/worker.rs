//! The worker for offline use: the shipped script with the list of every other file and its hash in front.
//!
//! A new list is a new version of the script, which is how a browser learns of a new edition.

use super::{Built, stamp};
use std::collections::BTreeMap;

/// Name of the script under `assets/`.
pub(super) const NAME: &str = "sw.js";

/// The script for these files.
pub(super) fn script(shipped: &str, built: &[Built]) -> String {
    let files: BTreeMap<&str, String> = built.iter().map(|b| (b.path.as_str(), stamp::of(&b.bytes))).collect();
    let list = serde_json::to_string(&files).unwrap_or_default();
    format!("self.fascicleFiles = {list};\nself.fascicleEdition = \"{}\";\n{shipped}", stamp::of(list.as_bytes()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Shape;

    #[test]
    fn a_changed_file_makes_another_script() {
        let built = |bytes: &[u8]| [Built { path: "a.html".into(), shape: Shape::Page, doc: None, bytes: bytes.to_vec() }];
        let one = script("x();\n", &built(b"abc"));
        assert_eq!(one.lines().next(), Some("self.fascicleFiles = {\"a.html\":\"ba7816bf8f\"};"));
        assert!(one.ends_with("x();\n"));
        assert_eq!(one, script("x();\n", &built(b"abc")));
        assert_ne!(one.lines().nth(1), script("x();\n", &built(b"abd")).lines().nth(1));
    }
}
