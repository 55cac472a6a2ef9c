//! House packs: the documents of the base pack with the changes of the house pack laid over them.
//!
//! What is merged are trees, before schemas and decoding, so every later stage sees one pack and every message about
//! a changed value points into the change document. Which way a value moved is not judged here; see `checks/house`.

pub mod chain;
pub mod merge;

use super::Parsed;
use crate::finding::{Finding, Level};
use crate::model::content::Content;
use crate::model::docs::Origin;
use crate::model::{DocName, Kind, PARTS, nearest};
use crate::source::{Node, NodeKind, Span};
use merge::{Slip, merge};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Keys of the pack file of a base pack that say nothing for a pack that builds on it.
const NOT_TAKEN_ON: [&str; 11] =
    ["id", "title", "edition", "extends", "waivers", "open-questions", "status", "published", "changes", "errata", "acknowledged"];

/// A document of an effective pack.
pub struct Standing {
    /// The file to which it belongs.
    pub file: usize,
    /// Its tree after all changes. A page has none.
    pub tree: Option<Arc<Node>>,
    /// Where it comes from.
    pub origin: Origin,
    /// All files of which it is made.
    pub made_of: Vec<usize>,
}

/// Documents of an effective pack by kind and file stem.
pub type Effective = BTreeMap<(Kind, String), Standing>;

/// What a pack says by itself.
pub fn alone(files: &[usize], parsed: &[Parsed]) -> Effective {
    let mut out = Effective::new();
    for (i, file) in files.iter().filter_map(|i| Some((*i, parsed.get(*i)?))) {
        let Some(kind) = file.kind else { continue };
        let standing = Standing { file: i, tree: file.tree.clone(), origin: Origin::Own, made_of: vec![i] };
        out.insert((kind, file.stem.clone()), standing);
    }
    out
}

/// A pack over its base.
pub fn over(base: &Effective, files: &[usize], parsed: &[Parsed], findings: &mut Vec<Finding>) -> Effective {
    let mut out = Effective::new();
    for (key, standing) in base.iter().filter(|((kind, _), _)| *kind != Kind::Change) {
        let Standing { file, tree, made_of, .. } = standing;
        out.insert(key.clone(), Standing { file: *file, tree: tree.clone(), origin: Origin::Inherited, made_of: made_of.clone() });
    }
    let mut changes = Vec::new();
    for (key, own) in alone(files, parsed) {
        match key.0 {
            Kind::Pack => {
                let standing = match out.remove(&key) {
                    Some(base) => pack_over(base, own, findings),
                    None => own,
                };
                out.insert(key, standing);
            }
            kind => {
                if kind == Kind::Change {
                    changes.push(own.file);
                }
                let origin = if out.contains_key(&key) { Origin::Replaced } else { Origin::Own };
                out.insert(key, Standing { origin, ..own });
            }
        }
    }
    for file in changes {
        if let Some(parsed) = parsed.get(file) {
            apply(file, parsed, base, &mut out, findings);
        }
    }
    out
}

/// The pack file over that of the base pack. It is the file of the house pack from then on.
fn pack_over(base: Standing, own: Standing, findings: &mut Vec<Finding>) -> Standing {
    let (Some(under), Some(over)) = (base.tree, own.tree) else { return Standing { tree: None, ..own } };
    let mut under = Node::clone(&under);
    if let NodeKind::Map(entries) = &mut under.kind {
        entries.retain(|(key, _)| !NOT_TAKEN_ON.contains(&&*key.value));
    }
    let mut slips = Vec::new();
    let mut merged = merge(Some(&under), &over, &mut slips);
    findings.extend(slips.iter().map(|s| of_slip(s, "pack.yaml")));
    merged.span = over.span;
    if let (NodeKind::Map(entries), NodeKind::Map(own)) = (&mut merged.kind, &over.kind) {
        // Labels about the whole stand at the first key: that of the house pack.
        let place = |key: &str| own.iter().position(|(k, _)| &*k.value == key).unwrap_or(own.len());
        entries.sort_by_key(|(k, _)| place(&k.value));
    }
    let made_of = base.made_of.into_iter().chain(own.made_of).collect();
    Standing { file: own.file, tree: Some(Arc::new(merged)), origin: Origin::Changed(Vec::new()), made_of }
}

/// Lays one change document over the document that it names.
fn apply(file: usize, parsed: &Parsed, base: &Effective, out: &mut Effective, findings: &mut Vec<Finding>) {
    let Some((of, patch)) = parsed.tree.as_ref().and_then(|t| Some((t.get("of")?, t.get("merge")?))) else { return };
    // A change that does not fit its schema has been reported; so has a name that is none.
    let (Some(name), NodeKind::Map(entries)) = (of.text().and_then(DocName::read), &patch.kind) else { return };
    let (key, part) = match name.kind {
        Kind::Pack => ((Kind::Pack, "pack".to_string()), PARTS.iter().find(|(part, _)| *part == &*name.id)),
        kind => ((kind, name.id.to_string()), None),
    };
    let known = base.contains_key(&key) && (name.kind != Kind::Pack || part.is_some());
    if !known || matches!(name.kind, Kind::Page | Kind::Change) {
        findings.push(no_target(of, &name, base));
        return;
    }
    let Some(target) = out.get_mut(&key) else { return };
    if target.origin == Origin::Replaced {
        let message = format!("`{name}` is changed here, and this pack has a whole document of that name too");
        let mut finding = Finding::new("override-target-missing", Level::Error, of.span, "changed here", message);
        finding.help(format!("keep one: delete {name}.yaml, or write the values into it and delete this change"));
        findings.push(finding);
        return;
    }
    let Some(tree) = &target.tree else { return };
    if let Some((_, keys)) = part
        && let Some((stranger, _)) = entries.iter().find(|(k, _)| !keys.contains(&&*k.value))
    {
        let message = format!("`{}` is no part of `{name}`", stranger.value);
        let mut finding = Finding::new("override-target-missing", Level::Error, stranger.span, "not in this part", message);
        finding
            .help(format!("`{name}` has the keys {}; what else stands in a pack file is written into pack.yaml itself", keys.join(", ")));
        findings.push(finding);
        return;
    }
    let mut slips = Vec::new();
    let merged = merge(Some(tree), patch, &mut slips);
    if slips.is_empty() && Content::of(&merged) == Content::of(tree) {
        let message = format!("this changes nothing in `{name}`");
        let at = parsed.tree.as_ref().and_then(|t| t.entry("merge")).map_or(patch.span, |(k, _)| k.span);
        let mut finding = Finding::new("override-changes-nothing", Level::Warning, at, "all of it is said there already", message);
        finding.note("A change without effect looks like a safeguard that is not there.").help("correct the values, or delete the file");
        findings.push(finding);
    }
    findings.extend(slips.iter().map(|s| of_slip(s, &name.to_string())));
    target.tree = Some(Arc::new(merged));
    target.made_of.push(file);
    match &mut target.origin {
        Origin::Changed(ids) => ids.push(parsed.stem.as_str().into()),
        origin => *origin = Origin::Changed(vec![parsed.stem.as_str().into()]),
    }
}

fn no_target(of: &Node, name: &DocName, base: &Effective) -> Finding {
    let (message, help) = match name.kind {
        Kind::Page => (format!("`{name}` is a page of text"), "write a page of the same name into pages/; it takes its place".to_string()),
        Kind::Change => (format!("`{name}` is itself a change"), "change the document that it changes".to_string()),
        Kind::Pack => {
            let parts = PARTS.map(|(part, _)| format!("`pack/{part}`")).join(" and ");
            (format!("the pack file has no part `{name}`"), format!("the parts that can be changed are {parts}"))
        }
        kind => {
            let ids = base.keys().filter(|(k, _)| *k == kind).map(|(_, id)| id.as_str());
            let near = nearest(&name.id, ids).map(|n| format!("; did you mean `{}/{n}`?", kind.folder())).unwrap_or_default();
            let help = format!("look whether it was renamed or removed in the base pack{near}, then correct or delete this change");
            (format!("the base pack has no document `{name}`"), help)
        }
    };
    let mut finding = Finding::new("override-target-missing", Level::Error, of.span, "nothing to change", message);
    finding.note("A change without its target protects nobody.").help(help);
    finding
}

fn of_slip(slip: &Slip, of: &str) -> Finding {
    let new = |at: Span, label: &str, message: String| Finding::new("override-target-missing", Level::Error, at, label, message);
    match slip {
        Slip::Gone { at, called, near } => {
            let label = near.as_ref().map_or_else(|| "nothing to remove".to_string(), |n| format!("did you mean `{n}`?"));
            let mut finding = new(*at, &label, format!("`{called}` is not there in `{of}`, so it cannot be removed"));
            finding.note("What was to be removed may stand there under another name.");
            finding.help("look up what the base pack calls it now, or delete this line");
            finding
        }
        Slip::Nameless { at } => {
            let mut finding = new(*at, "its items have no names", format!("items of this list of `{of}` cannot be addressed"));
            finding.note("Items are addressed by number, id, name or sign, never by their place, and no two may be called the same.");
            finding.help("write the whole list as it should be");
            finding
        }
        Slip::Unfinished { at } => {
            let mut finding = new(*at, "no value", "a key without a value could mean to remove it, or not to be finished".to_string());
            finding.help("write the new value, or `null` to remove what the base pack says there");
            finding
        }
    }
}

/// The findings for a base pack that cannot be read.
pub fn broken(chain: &chain::Chain, pack_file: &Parsed) -> Option<Finding> {
    let at = pack_file.tree.as_ref().map_or(Span::new(pack_file.file, 0, 0), |root| chain::place(root));
    Some(match chain.broken.as_ref()? {
        chain::Broken::Missing(folder) => {
            let message = format!("there is no pack in {}", folder.to_string_lossy().replace('\\', "/"));
            let mut finding = Finding::new("base-pack-missing", Level::Error, at, "the base pack should be here", message);
            finding.note("Without it nothing of this pack can be judged.");
            finding.help("put the base pack there, or write the way to it, seen from this pack, into `at`");
            finding
        }
        chain::Broken::Circle(folder) => {
            let message = format!("the packs build on one another in a circle that comes back to {}", folder.to_string_lossy());
            let mut finding = Finding::new("link-cycle", Level::Error, at, "closes the circle", message);
            finding.help("one pack has to be the first: take `extends` out of it");
            finding
        }
    })
}
