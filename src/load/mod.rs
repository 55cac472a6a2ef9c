//! The only readers of the disk: pack folders to trees and typed documents.
//!
//! Every file is read and parsed once. All findings of all files are kept, so that an author sees
//! every mistake in one run. Names of other documents are not resolved here.

mod approvals;
pub mod decode;
pub mod discover;
mod hygiene;
pub mod revision;
pub mod schema;
pub mod worksheet;
pub mod yaml;

use crate::error::{ToolError, disk};
use crate::finding::{Finding, Level};
use crate::model::docs::{KeptText, Ledger};
use crate::model::{Idx, Kind};
use crate::source::{FileId, Node, SourceMap, Span};
use decode::Document;
use discover::{Found, MAX_BYTES, Role};
use rayon::prelude::*;
use std::path::{Path, PathBuf};

/// What was loaded.
#[derive(Default)]
pub struct Loaded {
    /// Texts and positions.
    pub map: SourceMap,
    /// One entry for each file, in the order of file ids.
    pub files: Vec<LoadedFile>,
    /// What was wrong.
    pub findings: Vec<Finding>,
    /// Editions that were kept when they were signed.
    pub kept: Vec<KeptText>,
    /// Number of packs.
    pub packs: usize,
}

/// A file after loading.
pub struct LoadedFile {
    /// Its number.
    pub file: FileId,
    /// Kind of document; `None` for a file that is no document.
    pub kind: Option<Kind>,
    /// File stem.
    pub stem: String,
    /// Which pack it is in.
    pub pack: usize,
    /// Its tree, unless it could not be read. Pages have none.
    pub tree: Option<Node>,
    /// The document, if it could be decoded.
    pub document: Option<Document>,
    /// The sign-off ledger, if this is one and could be read.
    pub ledger: Option<Ledger>,
}

/// Loads packs.
///
/// # Errors
/// When a folder is no pack or cannot be read, or a shipped schema is broken.
pub fn load(roots: &[PathBuf]) -> Result<Loaded, ToolError> {
    let (mut found, mut kept) = (Vec::new(), Vec::new());
    for (pack, root) in roots.iter().enumerate() {
        for file in discover::discover(root)? {
            let shown = shown_path(root, &file.inner);
            if file.role == Role::Kept {
                kept.push(approvals::kept(&file, pack, &shown, &stem(&file))?);
            } else {
                found.push((pack, shown, file));
            }
        }
    }
    found.sort_by(|a, b| a.1.cmp(&b.1));
    let texts: Vec<Result<Text, ToolError>> = found.par_iter().map(|(_, _, file)| read(file)).collect();
    let mut map = SourceMap::default();
    let mut work = Vec::with_capacity(found.len());
    let mut findings = Vec::new();
    for ((pack, shown, file), text) in found.into_iter().zip(texts) {
        let text = text?;
        let id = map.add(shown, text.content);
        if let Some(problem) = text.problem {
            findings.push(unreadable(id, &map, &problem));
        }
        let usable = text.usable;
        work.push((id, pack, file, usable));
    }
    let parsed: Vec<Result<(LoadedFile, Vec<Finding>), ToolError>> =
        work.par_iter().map(|(id, pack, file, usable)| one(*id, *pack, file, *usable, &map)).collect();
    let mut files = Vec::with_capacity(parsed.len());
    for result in parsed {
        let (file, mut found) = result?;
        findings.append(&mut found);
        files.push(file);
    }
    Ok(Loaded { map, files, findings, kept, packs: roots.len() })
}

fn shown_path(root: &Path, inner: &str) -> String {
    let root = root.to_string_lossy().replace('\\', "/");
    let root = root.trim_end_matches('/');
    if root == "." || root.is_empty() { inner.to_string() } else { format!("{root}/{inner}") }
}

struct Text {
    content: String,
    problem: Option<Problem>,
    usable: bool,
}

enum Problem {
    NotUtf8(usize),
    TooLarge(u64),
    Stray,
    Escape,
}

fn read(file: &Found) -> Result<Text, ToolError> {
    let empty = |problem| Text { content: String::new(), problem: Some(problem), usable: false };
    match file.role {
        Role::Stray => return Ok(empty(Problem::Stray)),
        Role::Escape => return Ok(empty(Problem::Escape)),
        Role::Document(_) | Role::Approvals | Role::Kept => {}
    }
    let size = std::fs::metadata(&file.path).map_err(disk("read", &file.path))?.len();
    if size > MAX_BYTES {
        return Ok(empty(Problem::TooLarge(size)));
    }
    let bytes = std::fs::read(&file.path).map_err(disk("read", &file.path))?;
    Ok(match String::from_utf8(bytes) {
        Ok(content) => Text { content, problem: None, usable: true },
        Err(error) => {
            let valid = error.utf8_error().valid_up_to();
            let content = String::from_utf8_lossy(error.as_bytes()).into_owned();
            Text { content, problem: Some(Problem::NotUtf8(valid)), usable: false }
        }
    })
}

fn unreadable(file: FileId, map: &SourceMap, problem: &Problem) -> Finding {
    let start = Span::new(file, 0, 0);
    let name = map.path(file);
    let (check, level, at, label, message, help) = match problem {
        Problem::NotUtf8(valid) => {
            let at = Span::new(file, *valid, *valid + '\u{fffd}'.len_utf8());
            ("file-unreadable", Level::Error, at, "this byte is not UTF-8", "the file is not UTF-8 text".to_string(), "save it as UTF-8")
        }
        Problem::TooLarge(size) => {
            let message = format!("the file has {size} bytes; the most is {MAX_BYTES}");
            ("file-unreadable", Level::Error, start, "", message, "split it into several documents")
        }
        Problem::Stray => {
            let message = format!("`{name}` is no part of a pack and is ignored");
            (
                "stray-file",
                Level::Warning,
                start,
                "",
                message,
                "documents are `<kind>s/<id>.yaml`, pages are `pages/<id>.md`; check folder name and ending",
            )
        }
        Problem::Escape => {
            let message = format!("`{name}` is a link that leads out of the pack");
            ("symlink-outside-pack", Level::Error, start, "", message, "copy the file into the pack")
        }
    };
    let mut finding = Finding::new(check, level, at, label, message);
    finding.help(help);
    finding
}

fn stem(found: &Found) -> String {
    Path::new(&found.inner).file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default()
}

fn one(file: FileId, pack: usize, found: &Found, usable: bool, map: &SourceMap) -> Result<(LoadedFile, Vec<Finding>), ToolError> {
    let stem = stem(found);
    let kind = match found.role {
        Role::Document(kind) => Some(kind),
        _ => None,
    };
    let mut out = LoadedFile { file, kind, stem, pack, tree: None, document: None, ledger: None };
    let mut findings = Vec::new();
    if found.role == Role::Approvals && usable {
        (out.ledger, findings) = approvals::ledger(file, pack, map.text(file))?;
        return Ok((out, findings));
    }
    let Some(kind) = kind.filter(|_| usable) else { return Ok((out, findings)) };
    let text = map.text(file);
    hygiene::check(file, text, &mut findings);
    let hidden: Vec<Span> = findings.iter().map(|f| f.primary.span).collect();
    if kind == Kind::Page {
        out.document = decode::page(file, &out.stem, text, Idx::new(pack), &mut findings).map(|p| Document::Page(Box::new(p)));
        return Ok((out, findings));
    }
    let mut parsed = yaml::parse(file, text);
    findings.append(&mut parsed.findings);
    findings.retain(|f| !explained(f, &hidden, text));
    if let Some(root) = parsed.root {
        let reported: Vec<Span> = findings.iter().map(|f| f.primary.span).collect();
        let mut shape = schema::validate(kind, &root, &reported).map_err(ToolError::Bug)?;
        let fits = shape.is_empty() && !findings.iter().any(|f| matches!(f.check, "ambiguous-scalar" | "yaml-feature-refused"));
        findings.append(&mut shape);
        if fits {
            let mut reader = decode::Reader::new(file, text);
            out.document = decode::document(kind, Idx::new(pack), &mut reader, &root);
            findings.append(&mut reader.findings);
        }
        findings.retain(|f| !explained(f, &hidden, text));
        out.tree = Some(root);
    } else if findings.is_empty() {
        let mut finding = Finding::new("schema-shape", Level::Error, Span::new(file, 0, 0), "", "the file is empty");
        finding.help(format!("`fascicle draft {} {}` prints a document to start from", kind.word(), out.stem));
        findings.push(finding);
    }
    Ok((out, findings))
}

/// Reads the templates of a project: `*.html` and `assets/*`, by name under the folder.
///
/// # Errors
/// When the folder or a file cannot be read.
pub fn templates(folder: &Path) -> Result<Vec<(String, String)>, ToolError> {
    let mut out = Vec::new();
    for entry in walkdir::WalkDir::new(folder).sort_by_file_name() {
        let entry = entry.map_err(|e| ToolError::Disk { doing: "read", path: folder.to_path_buf(), source: e.into() })?;
        if entry.file_type().is_file() {
            let text = std::fs::read_to_string(entry.path()).map_err(disk("read", entry.path()))?;
            let name = entry.path().strip_prefix(folder).unwrap_or(entry.path()).to_string_lossy().replace('\\', "/");
            out.push((name, text));
        }
    }
    Ok(out)
}

/// True if a hidden character, already reported, is the cause of a finding: it stands inside the
/// place at fault, or the syntax broke beside it.
fn explained(finding: &Finding, hidden: &[Span], text: &str) -> bool {
    if finding.check == "text-hygiene" {
        return false;
    }
    let at = finding.primary.span;
    // A broken value is reported where it begins, which may be a line above the tab that broke it.
    let beside = |h: Span| {
        let between = text.get(h.start.min(at.start) as usize..h.end.max(at.end) as usize);
        between.is_some_and(|t| t.matches('\n').count() < 2)
    };
    hidden.iter().any(|h| at.contains(*h) || (finding.check == "yaml-syntax" && beside(*h)))
}
