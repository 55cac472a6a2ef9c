//! Changing places of two folders, and recovering from a crash in between.

use crate::error::{ToolError, disk};
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

/// Folders and files beside the target that belong to a write.
pub(super) struct Names {
    /// The new site while it is being made.
    pub staged: PathBuf,
    /// The old site where the two cannot change places in one step.
    aside: PathBuf,
    lock: PathBuf,
}

/// Removes the lock file when the write is over.
pub(super) struct Lock {
    path: PathBuf,
    _file: File,
}

impl Drop for Lock {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.path);
    }
}

/// The target without links, so that folders beside it are on the same disk.
pub(super) fn absolute(target: &Path) -> Result<PathBuf, ToolError> {
    match target.canonicalize() {
        Ok(path) => Ok(path),
        Err(error) if error.kind() == io::ErrorKind::NotFound => std::path::absolute(target).map_err(disk("find", target)),
        Err(error) => Err(disk("find", target)(error)),
    }
}

impl Names {
    /// Names beside `target`.
    pub fn beside(target: &Path) -> Result<Self, ToolError> {
        let (Some(parent), Some(name)) = (target.parent(), target.file_name()) else {
            return Err(ToolError::Usage(format!("{} cannot hold a site; name a folder inside another", target.display())));
        };
        fs::create_dir_all(parent).map_err(disk("make", parent))?;
        let beside = |what: &str| parent.join(format!(".{}.fascicle-{what}", name.to_string_lossy()));
        Ok(Self { staged: beside("new"), aside: beside("old"), lock: beside("lock") })
    }

    /// Makes sure that nobody else writes the same site.
    pub fn lock(&self) -> Result<Lock, ToolError> {
        let file = File::create(&self.lock).map_err(disk("write", &self.lock))?;
        match file.try_lock() {
            Ok(()) => Ok(Lock { path: self.lock.clone(), _file: file }),
            Err(fs::TryLockError::WouldBlock) => {
                Err(ToolError::Usage("another fascicle is writing this site; try again when it is done".into()))
            }
            Err(fs::TryLockError::Error(error)) => Err(disk("lock", &self.lock)(error)),
        }
    }

    /// Puts right what a crash left: an old site set aside comes back, a half-made new one goes.
    pub fn recover(&self, target: &Path) -> Result<(), ToolError> {
        if self.aside.exists() {
            if target.exists() {
                remove(&self.aside)?;
            } else {
                fs::rename(&self.aside, target).map_err(disk("rename", &self.aside))?;
            }
        }
        if self.staged.exists() {
            remove(&self.staged)?;
        }
        Ok(())
    }

    /// Puts the staged site in place of the target.
    pub fn swap(&self, target: &Path) -> Result<(), ToolError> {
        flush(&self.staged)?;
        if !target.exists() {
            return fs::rename(&self.staged, target).map_err(disk("rename", &self.staged));
        }
        if exchange(&self.staged, target).map_err(disk("exchange", target))? {
            return remove(&self.staged);
        }
        fs::rename(target, &self.aside).map_err(disk("rename", target))?;
        if let Err(error) = fs::rename(&self.staged, target) {
            fs::rename(&self.aside, target).map_err(disk("rename", &self.aside))?;
            return Err(disk("rename", &self.staged)(error));
        }
        remove(&self.aside)
    }
}

fn remove(folder: &Path) -> Result<(), ToolError> {
    fs::remove_dir_all(folder).map_err(disk("remove", folder))
}

/// Exchanges two folders in one step; `false` where the system cannot.
#[cfg(target_os = "linux")]
fn exchange(a: &Path, b: &Path) -> io::Result<bool> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    use rustix::io::Errno;
    match renameat_with(CWD, a, CWD, b, RenameFlags::EXCHANGE) {
        Ok(()) => Ok(true),
        Err(Errno::INVAL | Errno::NOSYS | Errno::NOTSUP) => Ok(false),
        Err(error) => Err(error.into()),
    }
}

#[cfg(not(target_os = "linux"))]
fn exchange(_: &Path, _: &Path) -> io::Result<bool> {
    Ok(false)
}

/// Makes sure that the staged files are on the disk before they take the place of the old ones.
#[cfg(target_os = "linux")]
fn flush(folder: &Path) -> Result<(), ToolError> {
    let handle = File::open(folder).map_err(disk("open", folder))?;
    rustix::fs::syncfs(&handle).map_err(|e| disk("flush", folder)(e.into()))
}

#[cfg(not(target_os = "linux"))]
fn flush(_: &Path) -> Result<(), ToolError> {
    Ok(())
}

/// Brings a file over with bytes and times: by a second name where the disk allows, else as a copy.
pub(super) fn carry(from: &Path, to: &Path) -> Result<(), ToolError> {
    if fs::hard_link(from, to).is_ok() {
        return Ok(());
    }
    fs::copy(from, to).map_err(disk("copy", from))?;
    let modified = fs::metadata(from).and_then(|m| m.modified()).map_err(disk("read", from))?;
    let file = File::options().write(true).open(to).map_err(disk("open", to))?;
    file.set_modified(modified).map_err(disk("write", to))
}
