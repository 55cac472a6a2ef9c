//! Which files belong to a pack: a sorted walk, and what is skipped and why.

use crate::error::{ToolError, disk};
use crate::model::Kind;
use std::path::{Path, PathBuf};

/// Largest file that is read.
pub const MAX_BYTES: u64 = 1024 * 1024;

/// What a file in a pack folder is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Role {
    /// A document of a kind; the file stem is its id.
    Document(Kind),
    /// The sign-off ledger.
    Approvals,
    /// An edition that was kept when it was signed.
    Kept,
    /// Something that is no part of a pack.
    Stray,
    /// A link that leads out of the pack.
    Escape,
}

/// A file found in a pack.
#[derive(Clone, Debug)]
pub struct Found {
    /// Where it is.
    pub path: PathBuf,
    /// Path inside the pack, with forward slashes.
    pub inner: String,
    /// What it is.
    pub role: Role,
}

/// Lists the files of a pack folder in sorted order.
///
/// # Errors
/// When the folder cannot be read or has no `pack.yaml`.
pub fn discover(root: &Path) -> Result<Vec<Found>, ToolError> {
    if !root.join("pack.yaml").is_file() {
        return Err(ToolError::Usage(format!(
            "{} is not a pack: it has no pack.yaml (`fascicle draft pack ID` prints one to start from)",
            root.display()
        )));
    }
    let real_root = root.canonicalize().map_err(disk("read", root))?;
    let mut found = Vec::new();
    let walk = walkdir::WalkDir::new(root)
        .sort_by_file_name()
        .into_iter()
        .filter_entry(|e| e.depth() == 0 || !e.file_name().to_string_lossy().starts_with('.'));
    for entry in walk {
        let entry = entry.map_err(|e| {
            let path = e.path().unwrap_or(root).to_path_buf();
            ToolError::Disk { doing: "read", path, source: e.into() }
        })?;
        if entry.file_type().is_dir() {
            continue;
        }
        let path = entry.path().to_path_buf();
        let inner = path.strip_prefix(root).unwrap_or(&path).to_string_lossy().replace('\\', "/");
        let escapes = entry.path_is_symlink() && !path.canonicalize().is_ok_and(|real| real.starts_with(&real_root));
        let role = if escapes { Role::Escape } else { role(&inner) };
        found.push(Found { path, inner, role });
    }
    found.sort_by(|a, b| a.inner.cmp(&b.inner));
    Ok(found)
}

fn role(inner: &str) -> Role {
    match inner.split('/').collect::<Vec<_>>().as_slice() {
        ["pack.yaml"] => Role::Document(Kind::Pack),
        ["approvals.yaml"] => Role::Approvals,
        ["editions", name] if Path::new(name).extension().is_some_and(|e| e == "json") => Role::Kept,
        [folder, name] => {
            let kind = Kind::ALL.iter().copied().find(|k| k.folder() == *folder);
            let ending = if kind == Some(Kind::Page) { ".md" } else { ".yaml" };
            match kind {
                Some(kind) if name.ends_with(ending) => Role::Document(kind),
                _ => Role::Stray,
            }
        }
        _ => Role::Stray,
    }
}
