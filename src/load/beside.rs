//! Packs that lie in the folder beside a pack: what they say, for telling a renamed copy. What cannot be read there is
//! no concern of the pack that was asked for.

use super::discover::{self, Role};
use super::yaml;
use crate::model::Kind;
use crate::model::content::Content;
use crate::source::FileId;
use std::path::{Path, PathBuf};

/// A pack beside another.
pub struct Beside {
    /// Number of the pack beside which it lies.
    pub pack: usize,
    /// Its folder, as shown to people.
    pub folder: String,
    /// Its id.
    pub id: String,
    /// What its documents say.
    pub contents: Vec<Content>,
}

/// Packs beside `root` that build on no other.
pub fn look(pack: usize, root: &Path) -> Vec<Beside> {
    let Some(parent) = root.canonicalize().ok().and_then(|real| real.parent().map(Path::to_path_buf)) else { return Vec::new() };
    let real = root.canonicalize().unwrap_or_default();
    let mut folders: Vec<PathBuf> = std::fs::read_dir(&parent).into_iter().flatten().filter_map(|e| Some(e.ok()?.path())).collect();
    folders.sort();
    let hidden = |p: &Path| p.file_name().is_none_or(|n| n.to_string_lossy().starts_with('.'));
    folders.into_iter().filter(|p| *p != real && !hidden(p)).filter_map(|p| read(pack, &p)).collect()
}

fn read(pack: usize, folder: &Path) -> Option<Beside> {
    let found = discover::discover(folder).ok()?;
    let (mut contents, mut id, mut alone) = (Vec::new(), None, true);
    for file in found {
        let Role::Document(kind) = file.role else { continue };
        let small = std::fs::metadata(&file.path).is_ok_and(|m| m.len() <= discover::MAX_BYTES);
        let Some(text) = std::fs::read_to_string(&file.path).ok().filter(|_| small) else { continue };
        if kind == Kind::Page {
            contents.push(Content::of_text(&text));
            continue;
        }
        let Some(root) = yaml::parse(FileId(0), &text).root else { continue };
        if kind == Kind::Pack {
            id = root.get("id").and_then(|n| n.text()).map(String::from);
            alone = root.get("extends").is_none();
        }
        contents.push(Content::of(&root));
    }
    let shown = folder.file_name().map(|n| n.to_string_lossy().into_owned())?;
    Some(Beside { pack, folder: shown, id: id.filter(|_| alone)?, contents })
}
