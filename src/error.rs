//! What no edit of a pack can mend: the disk, a template, a mistake of our own.

use std::path::PathBuf;

/// The command could not run. Exit status 2.
#[derive(Debug)]
pub enum ToolError {
    /// Reading or writing failed.
    Disk {
        /// What was being done, as "read", "write", "rename".
        doing: &'static str,
        /// Where.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The folder belongs to somebody else.
    ForeignFolder {
        /// The folder.
        path: PathBuf,
        /// A file in it that fascicle did not write.
        example: String,
    },
    /// A template is broken.
    Template(String),
    /// The arguments make no sense together.
    Usage(String),
    /// A mistake in fascicle itself.
    Bug(String),
}

impl std::fmt::Display for ToolError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            ToolError::Disk { doing, path, source } => write!(f, "could not {doing} {}: {source}", path.display()),
            ToolError::ForeignFolder { path, example } => write!(
                f,
                "{} holds files that fascicle did not write, for instance {example}; it was left alone. Name an empty folder, or remove these files yourself",
                path.display()
            ),
            ToolError::Template(text) => write!(f, "a template could not be used: {text}"),
            ToolError::Usage(text) => f.write_str(text),
            ToolError::Bug(text) => write!(f, "this is a mistake in fascicle, not in your pack: {text}"),
        }
    }
}

impl std::error::Error for ToolError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            ToolError::Disk { source, .. } => Some(source),
            _ => None,
        }
    }
}

/// Wraps a disk error with what was being done where.
pub fn disk(doing: &'static str, path: impl Into<PathBuf>) -> impl FnOnce(std::io::Error) -> ToolError {
    let path = path.into();
    move |source| ToolError::Disk { doing, path, source }
}
