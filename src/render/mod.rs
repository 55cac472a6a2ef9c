//! From a plan to bytes. Pure: nothing is read and nothing is written here.

use crate::model::DocRef;

/// What an output file is.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Shape {
    /// A page of the site.
    Page,
    /// A printable card of one protocol.
    Card,
    /// A sheet of all cards.
    Sheet,
    /// Data for machines.
    Data,
    /// Style, script, picture.
    Asset,
}

/// A rendered file.
#[derive(Clone, Debug)]
pub struct Built {
    /// Path inside the site, with forward slashes.
    pub path: String,
    /// What it is.
    pub shape: Shape,
    /// The document it shows, if it shows one.
    pub doc: Option<DocRef>,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

impl Built {
    /// The text of a text file; empty if it is not UTF-8.
    pub fn text(&self) -> &str {
        std::str::from_utf8(&self.bytes).unwrap_or("")
    }
}
/// Stub.
pub struct Templates;
impl Templates {
    /// Stub.
    pub fn with_overrides(_: Vec<(String, String)>) -> Result<Self, crate::error::ToolError> {
        Ok(Templates)
    }
}
/// Stub.
pub fn render(_: &crate::plan::Plan, _: &Templates) -> Result<Vec<Built>, crate::error::ToolError> {
    Ok(Vec::new())
}
