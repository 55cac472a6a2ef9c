//! Replacing single files of a pack: one writer at a time, and the old bytes until the new ones are whole.

use crate::error::{ToolError, disk};
use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};

/// Held while a file is read again and replaced.
pub struct Guard {
    lock: PathBuf,
    _file: File,
}

impl Drop for Guard {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.lock);
    }
}

/// Makes sure that nobody else replaces files in this folder.
///
/// # Errors
/// When somebody else is at it, or the disk refuses.
pub fn guard(folder: &Path) -> Result<Guard, ToolError> {
    let lock = folder.join(".fascicle-lock");
    let file = File::create(&lock).map_err(disk("write", &lock))?;
    match file.try_lock() {
        // Whoever held it before may have removed the name under which it was opened.
        Ok(()) if lock.exists() => Ok(Guard { lock, _file: file }),
        Ok(()) | Err(fs::TryLockError::WouldBlock) => {
            Err(ToolError::Usage(format!("somebody else is writing in {}; look again when that is done", folder.display())))
        }
        Err(fs::TryLockError::Error(error)) => Err(disk("lock", &lock)(error)),
    }
}

impl Guard {
    /// Puts new bytes in place of a file in one step; a crash leaves the old ones.
    ///
    /// # Errors
    /// When the disk refuses; the old bytes then stand.
    pub fn replace(&self, path: &Path, bytes: &[u8]) -> Result<(), ToolError> {
        let folder = path.parent().unwrap_or(Path::new("."));
        fs::create_dir_all(folder).map_err(disk("make", folder))?;
        let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        let staged = folder.join(format!(".{name}.new"));
        let mut file = File::create(&staged).map_err(disk("write", &staged))?;
        file.write_all(bytes).and_then(|()| file.sync_all()).map_err(disk("write", &staged))?;
        fs::rename(&staged, path).map_err(disk("rename", &staged))
    }
}
