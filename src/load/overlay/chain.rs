//! Which folders a pack builds on: from its pack file to the pack file of its base, and on.

use super::super::{discover, yaml};
use crate::source::{FileId, Span};
use std::path::{Component, Path, PathBuf};

/// A pack and what it builds on, outermost first.
#[derive(Debug)]
pub struct Chain {
    /// Folders.
    pub folders: Vec<PathBuf>,
    /// Why it ends before its end.
    pub broken: Option<Broken>,
}

/// Why a base pack cannot be read. The pack file at fault is the last of the chain.
#[derive(Debug)]
pub enum Broken {
    /// There is no pack where the base should be.
    Missing(PathBuf),
    /// The base builds, in the end, on this pack.
    Circle(PathBuf),
}

/// Follows `extends` from a pack folder.
pub fn follow(root: &Path) -> Chain {
    let mut chain = Chain { folders: vec![root.to_path_buf()], broken: None };
    let mut seen = vec![real(root)];
    while let Some(at) = chain.folders.last().and_then(|folder| extends(folder)) {
        let Some(last) = chain.folders.last() else { break };
        let next = plain(&last.join(at));
        let real = real(&next);
        if seen.contains(&real) {
            chain.broken = Some(Broken::Circle(next));
            break;
        }
        if !next.join("pack.yaml").is_file() {
            chain.broken = Some(Broken::Missing(next));
            break;
        }
        seen.push(real);
        chain.folders.push(next);
    }
    chain
}

fn real(path: &Path) -> PathBuf {
    path.canonicalize().unwrap_or_else(|_| path.to_path_buf())
}

/// `extends.at` of a pack file that can be read.
fn extends(folder: &Path) -> Option<String> {
    let path = folder.join("pack.yaml");
    let size = std::fs::metadata(&path).ok()?.len();
    let text = std::fs::read_to_string(&path).ok().filter(|_| size <= discover::MAX_BYTES)?;
    let root = yaml::parse(FileId(0), &text).root?;
    root.get("extends")?.get("at")?.text().map(str::to_string)
}

/// Where `extends.at` stands in a tree, or the next best place.
pub fn place(root: &crate::source::Node) -> Span {
    root.entry("extends").map_or(root.span, |(key, value)| value.get("at").map_or(key.span, |at| at.span))
}

/// Without `.` and `folder/..`.
pub fn plain(path: &Path) -> PathBuf {
    let mut out = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if matches!(out.components().next_back(), Some(Component::Normal(_))) => drop(out.pop()),
            other => out.push(other),
        }
    }
    if out.as_os_str().is_empty() { PathBuf::from(".") } else { out }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_made_plain() {
        for (path, wanted) in
            [("a/b/../c", "a/c"), ("./../x", "../x"), ("../../x", "../../x"), ("a/..", "."), ("a/./b/", "a/b"), ("/a/../b", "/b")]
        {
            assert_eq!(plain(Path::new(path)), Path::new(wanted), "{path}");
        }
    }
}
