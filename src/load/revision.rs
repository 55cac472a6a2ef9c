//! A pack as it stood at a git revision, unpacked into a folder that goes away again. Nothing in the work tree, in the
//! index or in the repository is touched: git fills an index of its own and writes its files out of it.

use crate::error::{ToolError, disk};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

/// A pack to be read.
pub struct Place {
    /// Folder from which it is read.
    pub folder: PathBuf,
    /// As it was named.
    pub shown: String,
    /// Keeps an unpacked folder until the end.
    _unpacked: Option<TempDir>,
}

impl Place {
    /// A text with the name that was given in place of a folder that nobody knows.
    pub fn named(&self, text: &str) -> String {
        let folder = self.folder.to_string_lossy();
        text.replace(&*folder, &self.shown)
    }
}

/// Finds the pack that an argument names: a folder, or `FOLDER@REVISION`.
///
/// # Errors
/// When git or the revision is missing, or the folder did not exist then.
pub fn open(argument: &str) -> Result<Place, ToolError> {
    let shown = argument.trim_end_matches('/').to_string();
    match split(argument) {
        Some((folder, revision)) if !Path::new(argument).exists() => {
            let unpacked = tempfile::tempdir().map_err(disk("write to", std::env::temp_dir()))?;
            let into = unpacked.path().join("pack");
            unpack(Path::new(folder), revision, unpacked.path(), &into)?;
            Ok(Place { folder: into, shown, _unpacked: Some(unpacked) })
        }
        _ => Ok(Place { folder: PathBuf::from(argument), shown, _unpacked: None }),
    }
}

/// Path and text of the edition that an argument `FOLDER@EDITION` names, if the folder kept one of that name.
///
/// # Errors
/// When it is there and cannot be read.
pub fn kept(argument: &str) -> Result<Option<(PathBuf, String)>, ToolError> {
    let Some((folder, edition)) = split(argument).filter(|_| !Path::new(argument).exists()) else { return Ok(None) };
    let plain = edition.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    let path = Path::new(folder).join("editions").join(format!("{edition}.json"));
    if !plain || !path.is_file() {
        return Ok(None);
    }
    let text = std::fs::read_to_string(&path).map_err(disk("read", &path))?;
    Ok(Some((path, text)))
}

/// At the first `@` behind a folder that exists; both names and revisions can hold more of them.
fn split(argument: &str) -> Option<(&str, &str)> {
    let cuts =
        || argument.match_indices('@').map(|(i, _)| (&argument[..i], &argument[i + 1..])).filter(|(f, r)| !f.is_empty() && !r.is_empty());
    cuts().find(|(folder, _)| Path::new(folder).is_dir()).or_else(|| cuts().next())
}

fn unpack(folder: &Path, revision: &str, work: &Path, into: &Path) -> Result<(), ToolError> {
    let usage = |text: String| Err(ToolError::Usage(text));
    let shown = folder.display();
    // The folder may be gone today.
    let base = folder.ancestors().find(|f| f.is_dir()).unwrap_or(Path::new("."));
    let rest = folder.strip_prefix(base).unwrap_or(Path::new("")).to_string_lossy().replace('\\', "/");
    let (Some(top), Some(prefix)) = (ask(base, &["rev-parse", "--show-toplevel"])?, ask(base, &["rev-parse", "--show-prefix"])?) else {
        return usage(format!("{shown} is not under git, so it has no revision `{revision}`; compare two folders instead"));
    };
    let top = Path::new(&top);
    let commit =
        if revision.starts_with('-') { None } else { ask(top, &["rev-parse", "--verify", "--quiet", &format!("{revision}^{{commit}}")])? };
    let Some(commit) = commit else {
        return usage(format!(
            "git knows no revision `{revision}` of {shown}; name a tag, a branch or a commit. `git log --oneline -- {shown}` lists commits"
        ));
    };
    let path = format!("{prefix}{rest}");
    let Some(tree) = ask(top, &["rev-parse", "--verify", "--quiet", &format!("{commit}:{}", path.trim_end_matches('/'))])? else {
        return usage(format!("{shown} did not exist at revision `{revision}`; if it had another name then, name that"));
    };
    let index = work.join("index");
    let prefix = format!("--prefix={}/", into.display());
    for arguments in [&["read-tree", &tree][..], &["checkout-index", "--all", "--force", &prefix]] {
        let output = git(top, &index, arguments)?;
        if !output.status.success() {
            let why = String::from_utf8_lossy(&output.stderr);
            return usage(format!("git could not unpack {shown} at revision `{revision}`: {}", why.trim()));
        }
    }
    Ok(())
}

/// First line of what git answers; `None` if it says no.
fn ask(folder: &Path, arguments: &[&str]) -> Result<Option<String>, ToolError> {
    let output = git(folder, Path::new(""), arguments)?;
    let text = String::from_utf8_lossy(&output.stdout);
    Ok(output.status.success().then(|| text.lines().next().unwrap_or_default().to_string()))
}

fn git(folder: &Path, index: &Path, arguments: &[&str]) -> Result<Output, ToolError> {
    let mut command = Command::new("git");
    command.arg("-C").arg(folder).args(arguments);
    if !index.as_os_str().is_empty() {
        command.env("GIT_INDEX_FILE", index);
    }
    command.output().map_err(|e| match e.kind() {
        std::io::ErrorKind::NotFound => {
            ToolError::Usage("a revision is read with the program `git`, which was not found; install it, or compare two folders".into())
        }
        _ => ToolError::Disk { doing: "run git in", path: folder.to_path_buf(), source: e },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_argument_is_cut_behind_the_folder() {
        assert_eq!(split("src@v1"), Some(("src", "v1")));
        assert_eq!(split("src@HEAD@{1}"), Some(("src", "HEAD@{1}")));
        assert_eq!(split("gone@v1"), Some(("gone", "v1")));
        assert_eq!(split("src"), None);
        assert_eq!(split("src@"), None);
        assert_eq!(split("@v1"), None);
    }
}
