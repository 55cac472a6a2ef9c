//! What a site was made of: a digest of everything that went in, and one of every file that came out.

use crate::error::{ToolError, disk};
use crate::render::Built;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::Path;

/// Name of the manifest inside a site.
pub(super) const MANIFEST: &str = "fascicle-manifest.json";

/// The manifest of a site.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// Version of this form.
    pub version: u32,
    /// SHA-256 of the inputs.
    pub inputs: String,
    /// SHA-256 of each file, by path.
    pub files: BTreeMap<String, String>,
}

impl Manifest {
    /// The manifest of rendered files.
    pub fn of(built: &[Built], inputs: &str) -> Self {
        let files = built.iter().map(|b| (b.path.clone(), hex(&Sha256::digest(&b.bytes)))).collect();
        Self { version: 1, inputs: inputs.to_string(), files }
    }

    /// True of a folder of cards as PDF, which is no site.
    pub fn holds_cards_alone(&self) -> bool {
        self.files.keys().all(|f| Path::new(f).extension().is_some_and(|x| x == "pdf"))
    }

    pub(super) fn text(&self) -> String {
        let mut text = serde_json::to_string_pretty(self).unwrap_or_default();
        text.push('\n');
        text
    }
}

pub(super) fn read(path: &Path) -> Result<Option<Manifest>, ToolError> {
    match std::fs::read_to_string(path) {
        Ok(text) => Ok(serde_json::from_str(&text).ok()),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(disk("read", path)(error)),
    }
}

/// Digest of everything that decides what comes out: the tool itself and each input by name.
pub fn inputs_digest<'a>(inputs: impl Iterator<Item = (&'a str, &'a [u8])>) -> String {
    digest(&[env!("FASCICLE_FINGERPRINT").as_bytes()], inputs)
}

/// Digest of inputs by name, whatever tool reads them.
pub fn content_digest<'a>(inputs: impl Iterator<Item = (&'a str, &'a [u8])>) -> String {
    digest(&[], inputs)
}

fn digest<'a>(first: &[&[u8]], inputs: impl Iterator<Item = (&'a str, &'a [u8])>) -> String {
    let mut hasher = Sha256::new();
    let mut feed = |bytes: &[u8]| {
        hasher.update((bytes.len() as u64).to_le_bytes());
        hasher.update(bytes);
    };
    first.iter().for_each(|bytes| feed(bytes));
    for (name, bytes) in inputs {
        feed(name.as_bytes());
        feed(bytes);
    }
    hex(&hasher.finalize())
}

/// Files that the same inputs made with other bytes last time.
pub fn unrepeatable<'a>(old: &Manifest, inputs: &str, built: &'a [Built]) -> Vec<&'a str> {
    if old.inputs != inputs {
        return Vec::new();
    }
    let now = Manifest::of(built, inputs);
    built.iter().map(|b| b.path.as_str()).filter(|p| old.files.get(*p) != now.files.get(*p)).collect()
}

/// Bytes as lower-case hexadecimal digits.
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4 example: SHA-256 of "abc".
    #[test]
    fn sha_256_of_abc() {
        assert_eq!(hex(&Sha256::digest(b"abc")), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }
}
