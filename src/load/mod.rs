//! The only readers of the disk: pack folders to trees and typed documents.
//!
//! Every file is read and parsed once. All findings of all files are kept, so that an author sees
//! every mistake in one run. Names of other documents are not resolved here.

mod approvals;
pub mod beside;
pub mod decode;
pub mod discover;
mod hygiene;
pub mod overlay;
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
use overlay::chain::{self, Chain};
use overlay::{Effective, Standing};
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What was loaded.
#[derive(Default)]
pub struct Loaded {
    /// Texts and positions of all files, those of base packs too.
    pub map: Arc<SourceMap>,
    /// One entry for each file, in the order of file ids.
    pub files: Vec<LoadedFile>,
    /// What was wrong.
    pub findings: Vec<Finding>,
    /// Editions that were kept when they were signed.
    pub kept: Vec<KeptText>,
    /// Number of packs.
    pub packs: usize,
    /// For each pack that builds on another: its number, and the base as a pack of its own.
    pub bases: Vec<(usize, Loaded)>,
    /// Packs that lie beside those that build on no other.
    pub beside: Vec<beside::Beside>,
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
    /// False for a file that is no document of these packs by itself: it belongs to the pack file of a base, or
    /// another file took its place.
    pub stands: bool,
    /// Its tree, with what changes laid over it, unless it could not be read. Pages have none.
    pub tree: Option<Arc<Node>>,
    /// The document, if it could be decoded.
    pub document: Option<Document>,
    /// The sign-off ledger, if this is one and could be read.
    pub ledger: Option<Ledger>,
}

/// A file that was read, before packs are put over one another.
pub struct Parsed {
    file: FileId,
    folder: usize,
    kind: Option<Kind>,
    stem: String,
    usable: bool,
    /// True for a sign-off ledger.
    approvals: bool,
    tree: Option<Arc<Node>>,
    /// True if all readers of YAML would read the same.
    sound: bool,
    /// Places of what was found in it.
    reported: Vec<Span>,
    /// Places of hidden characters.
    hidden: Vec<Span>,
}

/// Loads packs, and the packs on which they build.
///
/// # Errors
/// When a folder is no pack or cannot be read, when two packs share a base, or a shipped schema is broken.
pub fn load(roots: &[PathBuf]) -> Result<Loaded, ToolError> {
    let mut chains: Vec<Chain> = roots.iter().map(|root| chain::follow(root)).collect();
    // Packs are numbered in the order of their pack files.
    chains.sort_by_key(|c| c.folders.first().map(|root| shown_path(root, "pack.yaml")));
    let folders = distinct(&chains)?;
    let Read { map, parsed, mut findings, mut kept } = read_all(&folders)?;
    let mut effective = Vec::new();
    let (mut bases, mut own_kept) = (Vec::new(), Vec::new());
    for (pack, chain) in chains.iter().enumerate() {
        let number = |folder: &PathBuf| folders.iter().position(|f| f == folder);
        let mut files = chain
            .folders
            .iter()
            .rev()
            .map(|folder| -> Vec<usize> { (0..parsed.len()).filter(|i| parsed.get(*i).map(|p| p.folder) == number(folder)).collect() });
        let innermost = files.next().unwrap_or_default();
        let mut whole = overlay::alone(&innermost, &parsed);
        if let Some(broken) = chain_broken(chain, &mut whole, &parsed) {
            findings.push(broken);
        }
        let mut base = None;
        for files in files {
            let over = overlay::over(&whole, &files, &parsed, &mut findings);
            base = Some(std::mem::replace(&mut whole, over));
            if chain.broken.is_some() {
                whole.remove(&(Kind::Pack, "pack".to_string()));
            }
        }
        if let Some(base) = base {
            let folder = chain.folders.get(1).and_then(number).unwrap_or_default();
            let mut loaded = view(&[Whole { pack: 0, folder, documents: base }], &parsed, &map)?;
            findings.append(&mut loaded.findings);
            loaded.kept = approvals::of_pack(&mut kept, folder, 0);
            bases.push((pack, loaded));
        }
        let folder = chain.folders.first().and_then(number).unwrap_or_default();
        own_kept.append(&mut approvals::of_pack(&mut kept, folder, pack));
        effective.push(Whole { pack, folder, documents: whole });
    }
    let mut loaded = view(&effective, &parsed, &map)?;
    findings.append(&mut loaded.findings);
    if !bases.is_empty() {
        once(&mut findings);
    }
    let alone = chains.iter().enumerate().filter(|(_, c)| c.folders.len() == 1 && c.broken.is_none());
    let beside = alone.filter_map(|(pack, c)| Some(beside::look(pack, c.folders.first()?))).flatten().collect();
    Ok(Loaded { findings, bases, beside, kept: own_kept, ..loaded })
}

/// What is wrong with a document of a base pack is wrong with that of the house pack too, and is said once.
fn once(findings: &mut Vec<Finding>) {
    let mut seen = BTreeSet::new();
    findings.retain(|f| seen.insert((f.check, f.primary.span, f.message.clone())));
}

/// All folders, each once.
fn distinct(chains: &[Chain]) -> Result<Vec<PathBuf>, ToolError> {
    let mut folders: Vec<PathBuf> = Vec::new();
    for folder in chains.iter().flat_map(|c| &c.folders) {
        if folders.contains(folder) {
            let message = format!(
                "{} is given twice, or two of the packs build on it; a house pack brings its base along: give one pack at a time",
                folder.display()
            );
            return Err(ToolError::Usage(message));
        }
        folders.push(folder.clone());
    }
    Ok(folders)
}

/// The finding for a base that cannot be read. A pack file that builds on nothing is not whole and is not judged.
fn chain_broken(chain: &Chain, whole: &mut Effective, parsed: &[Parsed]) -> Option<Finding> {
    chain.broken.as_ref()?;
    let standing = whole.remove(&(Kind::Pack, "pack".to_string()))?;
    overlay::broken(chain, parsed.get(standing.file)?)
}

struct Read {
    map: Arc<SourceMap>,
    parsed: Vec<Parsed>,
    findings: Vec<Finding>,
    /// Kept editions with the folders in which they lie.
    kept: Vec<(usize, KeptText)>,
}

fn read_all(folders: &[PathBuf]) -> Result<Read, ToolError> {
    let (mut found, mut kept) = (Vec::new(), Vec::new());
    for (folder, root) in folders.iter().enumerate() {
        for file in discover::discover(root)? {
            let shown = shown_path(root, &file.inner);
            if file.role == Role::Kept {
                kept.push((folder, approvals::kept(&file, &shown, &stem(&file))?));
            } else {
                found.push((folder, shown, file));
            }
        }
    }
    found.sort_by(|a, b| a.1.cmp(&b.1));
    let texts: Vec<Result<Text, ToolError>> = found.par_iter().map(|(_, _, file)| read(file)).collect();
    let mut map = SourceMap::default();
    let mut work = Vec::with_capacity(found.len());
    let mut findings = Vec::new();
    for ((folder, shown, file), text) in found.into_iter().zip(texts) {
        let text = text?;
        let id = map.add(shown, text.content);
        if let Some(problem) = text.problem {
            findings.push(unreadable(id, &map, &problem));
        }
        work.push((id, folder, file, text.usable));
    }
    let parsed: Vec<(Parsed, Vec<Finding>)> =
        work.par_iter().map(|(id, folder, file, usable)| parse(*id, *folder, file, *usable, &map)).collect();
    let (parsed, found): (Vec<Parsed>, Vec<Vec<Finding>>) = parsed.into_iter().unzip();
    findings.extend(found.into_iter().flatten());
    Ok(Read { map: Arc::new(map), parsed, findings, kept })
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

fn parse(file: FileId, folder: usize, found: &Found, usable: bool, map: &SourceMap) -> (Parsed, Vec<Finding>) {
    let stem = stem(found);
    let kind = match found.role {
        Role::Document(kind) => Some(kind),
        _ => None,
    };
    let approvals = found.role == Role::Approvals;
    let mut out = Parsed { approvals, file, folder, kind, stem, usable, tree: None, sound: true, reported: Vec::new(), hidden: Vec::new() };
    let mut findings = Vec::new();
    let Some(kind) = kind.filter(|_| usable) else { return (out, findings) };
    let text = map.text(file);
    hygiene::check(file, text, &mut findings);
    out.hidden = findings.iter().map(|f| f.primary.span).collect();
    if kind == Kind::Page {
        return (out, findings);
    }
    let mut parsed = yaml::parse_as(file, text, if kind == Kind::Change { yaml::CHANGE } else { yaml::PACK });
    findings.append(&mut parsed.findings);
    findings.retain(|f| !explained(f, &out.hidden, map));
    out.reported = findings.iter().map(|f| f.primary.span).collect();
    out.sound = !findings.iter().any(|f| matches!(f.check, "ambiguous-scalar" | "yaml-feature-refused"));
    out.tree = parsed.root.map(Arc::new);
    if out.tree.is_none() && findings.is_empty() {
        let mut finding = Finding::new("schema-shape", Level::Error, Span::new(file, 0, 0), "", "the file is empty");
        finding.help(format!("`fascicle draft {} {}` prints a document to start from", kind.word(), out.stem));
        findings.push(finding);
    }
    (out, findings)
}

/// A pack with all its documents.
struct Whole {
    pack: usize,
    /// The folder in which its own pack file lies.
    folder: usize,
    documents: Effective,
}

/// Documents of packs, decoded. Findings are those of schemas and decoding alone.
fn view(packs: &[Whole], parsed: &[Parsed], map: &Arc<SourceMap>) -> Result<Loaded, ToolError> {
    let mut files: Vec<LoadedFile> = parsed
        .iter()
        .map(|p| LoadedFile {
            file: p.file,
            kind: p.kind,
            stem: p.stem.clone(),
            pack: 0,
            stands: false,
            tree: p.tree.clone(),
            document: None,
            ledger: None,
        })
        .collect();
    let all: Vec<(usize, &Standing)> = packs.iter().flat_map(|w| w.documents.values().map(|s| (w.pack, s))).collect();
    let decoded: Vec<Decoded> = all.par_iter().map(|(pack, standing)| decode_one(*pack, standing, parsed, map)).collect();
    let mut findings = Vec::new();
    for ((pack, standing), result) in all.into_iter().zip(decoded) {
        let (document, mut found) = result?;
        findings.append(&mut found);
        if let Some(file) = files.get_mut(standing.file) {
            (file.pack, file.stands, file.document) = (pack, true, document);
            file.tree.clone_from(&standing.tree);
        }
    }
    // A pack is signed by its own ledger; that of its base counts for the base.
    for (pack, file) in packs.iter().flat_map(|w| parsed.iter().filter(|p| p.folder == w.folder).map(|p| (w.pack, p))) {
        if let Some(out) = files.get_mut(file.file.0 as usize).filter(|_| file.approvals && file.usable) {
            let (ledger, mut found) = approvals::ledger(file.file, pack, map.text(file.file))?;
            out.ledger = ledger;
            findings.append(&mut found);
        }
    }
    Ok(Loaded { map: map.clone(), files, findings, packs: packs.len(), ..Loaded::default() })
}

type Decoded = Result<(Option<Document>, Vec<Finding>), ToolError>;

fn decode_one(pack: usize, standing: &Standing, parsed: &[Parsed], map: &SourceMap) -> Decoded {
    let mut findings = Vec::new();
    let Some((file, kind)) = parsed.get(standing.file).and_then(|f| Some((f, f.kind.filter(|_| f.usable)?))) else {
        return Ok((None, findings));
    };
    let (origin, pack) = (standing.origin.clone(), Idx::new(pack));
    if kind == Kind::Page {
        let page = decode::page(file.file, &file.stem, map.text(file.file), pack, origin, &mut findings);
        return Ok((page.map(|p| Document::Page(Box::new(p))), findings));
    }
    let Some(root) = &standing.tree else { return Ok((None, findings)) };
    let parts: Vec<&Parsed> = standing.made_of.iter().filter_map(|i| parsed.get(*i)).collect();
    let reported: Vec<Span> = parts.iter().flat_map(|p| p.reported.iter().copied()).collect();
    let hidden: Vec<Span> = parts.iter().flat_map(|p| p.hidden.iter().copied()).collect();
    let mut document = None;
    findings.append(&mut schema::validate(kind, root, &reported).map_err(ToolError::Bug)?);
    if findings.is_empty() && parts.iter().all(|p| p.sound) {
        let mut reader = decode::Reader::over(file.file, map, origin);
        document = decode::document(kind, pack, &mut reader, root);
        findings.append(&mut reader.findings);
    }
    findings.retain(|f| !explained(f, &hidden, map));
    Ok((document, findings))
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
fn explained(finding: &Finding, hidden: &[Span], map: &SourceMap) -> bool {
    if finding.check == "text-hygiene" {
        return false;
    }
    let at = finding.primary.span;
    // A broken value is reported where it begins, which may be a line above the tab that broke it.
    let beside = |h: Span| {
        let between = map.text(at.file).get(h.start.min(at.start) as usize..h.end.max(at.end) as usize);
        h.file == at.file && between.is_some_and(|t| t.matches('\n').count() < 2)
    };
    hidden.iter().any(|h| at.contains(*h) || (finding.check == "yaml-syntax" && beside(*h)))
}
