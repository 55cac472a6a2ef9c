//! Rendered files to a folder, all or nothing.
//!
//! The new site is staged whole beside the old one: changed files are written, unchanged files are
//! linked so that they keep their bytes and times. Then the two folders change places in one step.
//! A reader or a crash at any moment meets the old site or the new one. A folder that fascicle did
//! not make is never touched.

mod manifest;
mod place;
mod replace;

pub use manifest::{Manifest, content_digest, hex, inputs_digest, unrepeatable};
pub use replace::{Guard, guard};

use crate::error::{ToolError, disk};
use crate::render::Built;
use manifest::MANIFEST;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// What a write did.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub struct Written {
    /// Files that are new or whose bytes changed.
    pub changed: usize,
    /// Files that kept bytes and times.
    pub unchanged: usize,
    /// Files that went.
    pub removed: usize,
}

/// Files that belong to the folder's owner and are carried over untouched.
const KEPT: [&str; 1] = [".gitignore"];

/// Reads the manifest of the site that stands at `target`, if fascicle made one there.
///
/// # Errors
/// When it is there and cannot be read.
pub fn standing(target: &Path) -> Result<Option<Manifest>, ToolError> {
    manifest::read(&target.join(MANIFEST))
}

/// True if there is anything in a folder.
///
/// # Errors
/// When it is a file, or cannot be read.
pub fn holds_something(folder: &Path) -> Result<bool, ToolError> {
    Ok(!list(folder)?.is_empty())
}

/// Writes a site.
///
/// # Errors
/// When the folder belongs to somebody else, or the disk refuses; the old site then stands.
pub fn write(built: &[Built], target: &Path, inputs: &str) -> Result<Written, ToolError> {
    let target = place::absolute(target)?;
    let names = place::Names::beside(&target)?;
    let _lock = names.lock()?;
    names.recover(&target)?;
    let old = standing(&target)?;
    let disk_files = list(&target)?;
    let known: BTreeSet<&str> = old.iter().flat_map(|m| m.files.keys().map(String::as_str)).chain([MANIFEST]).collect();
    let foreign: Vec<&String> = disk_files.iter().filter(|f| !known.contains(f.as_str()) && !KEPT.contains(&f.as_str())).collect();
    let clash = foreign.iter().find(|f| old.is_none() || built.iter().any(|b| b.path == ***f));
    if let Some(example) = clash {
        return Err(ToolError::ForeignFolder { path: target, example: (*example).clone() });
    }
    let manifest = Manifest::of(built, inputs);
    let changed: BTreeSet<&str> = built.iter().filter(|b| !same(&target.join(&b.path), &b.bytes)).map(|b| b.path.as_str()).collect();
    let stale = disk_files.iter().filter(|f| known.contains(f.as_str()) && *f != MANIFEST && !manifest.files.contains_key(*f)).count();
    let done = Written { changed: changed.len(), unchanged: built.len() - changed.len(), removed: stale };
    let manifest_text = manifest.text();
    if changed.is_empty() && stale == 0 && same(&target.join(MANIFEST), manifest_text.as_bytes()) {
        return Ok(done);
    }
    let kept = foreign.into_iter().map(String::as_str).chain(KEPT.into_iter().filter(|k| target.join(k).exists()));
    stage(built, &changed, kept, &target, &names.staged)?;
    put(&names.staged.join(MANIFEST), manifest_text.as_bytes())?;
    names.swap(&target)?;
    Ok(done)
}

/// All files under a folder with forward slashes; none if it does not exist.
fn list(folder: &Path) -> Result<Vec<String>, ToolError> {
    if !folder.exists() {
        return Ok(Vec::new());
    }
    if !folder.is_dir() {
        return Err(ToolError::Usage(format!("{} is a file; name a folder", folder.display())));
    }
    let mut files = Vec::new();
    for entry in walkdir::WalkDir::new(folder).sort_by_file_name() {
        let entry = entry.map_err(|e| ToolError::Disk { doing: "read", path: folder.to_path_buf(), source: e.into() })?;
        if !entry.file_type().is_dir() {
            let inner = entry.path().strip_prefix(folder).unwrap_or(entry.path());
            files.push(inner.to_string_lossy().replace('\\', "/"));
        }
    }
    Ok(files)
}

fn same(path: &Path, bytes: &[u8]) -> bool {
    fs::metadata(path).is_ok_and(|m| m.is_file() && m.len() == bytes.len() as u64) && fs::read(path).is_ok_and(|old| old == bytes)
}

fn put(path: &Path, bytes: &[u8]) -> Result<(), ToolError> {
    fs::write(path, bytes).map_err(disk("write", path))
}

fn stage<'a>(
    built: &[Built],
    changed: &BTreeSet<&str>,
    kept: impl Iterator<Item = &'a str>,
    target: &Path,
    staged: &Path,
) -> Result<(), ToolError> {
    let mut folders = BTreeSet::new();
    let mut ready = |inner: &str| -> Result<PathBuf, ToolError> {
        let path = staged.join(inner);
        if let Some(parent) = path.parent()
            && folders.insert(parent.to_path_buf())
        {
            fs::create_dir_all(parent).map_err(disk("make", parent))?;
        }
        Ok(path)
    };
    ready(MANIFEST)?;
    for file in built {
        let path = ready(&file.path)?;
        if changed.contains(file.path.as_str()) {
            put(&path, &file.bytes)?;
        } else {
            place::carry(&target.join(&file.path), &path)?;
        }
    }
    for inner in kept {
        place::carry(&target.join(inner), &ready(inner)?)?;
    }
    Ok(())
}
