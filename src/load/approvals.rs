//! The sign-off ledger and kept editions: bytes to typed entries, with what was wrong.
//!
//! Whether the chain holds, who signed and what has moved since is judged in `compute/currency`.

use super::discover::Found;
use super::{decode, schema, yaml};
use crate::error::{ToolError, disk};
use crate::finding::Finding;
use crate::model::content::Digest;
use crate::model::docs::{Approval, Entry, KeptText, Ledger};
use crate::model::{DocName, Idx};
use crate::source::{FileId, Node, NodeKind, Spanned};

/// Largest kept edition that is read.
const MAX_KEPT: u64 = 64 * 1024 * 1024;

/// Reads a ledger; `None` if its shape is wrong, which is then among the findings.
///
/// # Errors
/// When the shipped schema is broken.
pub(super) fn ledger(file: FileId, pack: usize, text: &str) -> Result<(Option<Ledger>, Vec<Finding>), ToolError> {
    let parsed = yaml::parse(file, text);
    let mut findings = parsed.findings;
    let Some(root) = parsed.root else { return Ok((None, findings)) };
    let reported: Vec<_> = findings.iter().map(|f| f.primary.span).collect();
    findings.append(&mut schema::validate_ledger(&root, &reported).map_err(ToolError::Bug)?);
    if !findings.is_empty() {
        return Ok((None, findings));
    }
    let mut reader = decode::Reader::new(file, text);
    let entries = reader.items(&root, "entries").iter().filter_map(|n| entry(&mut reader, n)).collect();
    let head = digest(&root, "head").map(|d| Spanned::new(d, root.get("head").map_or(root.span, |n| n.span)));
    let ledger = head.map(|head| Ledger { pack: Idx::new(pack), file, of: reader.text(&root, "ledger"), entries, head });
    findings.append(&mut reader.findings);
    Ok((ledger.filter(|_| findings.is_empty()), findings))
}

fn digest(node: &Node, key: &str) -> Option<Digest> {
    Digest::read(node.get(key)?.text()?)
}

fn entry(r: &mut decode::Reader<'_>, n: &Node) -> Option<Entry> {
    let keys = match &n.kind {
        NodeKind::Map(entries) => entries.iter().map(|(k, _)| k.clone()).collect(),
        _ => Vec::new(),
    };
    let (date, review_by) = (r.date(n, "date"), r.date(n, "review-by"));
    let text = |key: &str| n.get(key).and_then(Node::text).map(str::to_string);
    let approval = Approval {
        document: DocName::read(&text("document")?)?,
        edition: text("edition")?,
        digest: digest(n, "digest")?,
        role: text("role")?,
        date: date?.value,
        review_by: review_by?.value,
        interests: text("interests"),
        note: text("note"),
        before: digest(n, "before")?,
        signature: text("signature"),
    };
    Some(Entry { approval, span: n.span, keys })
}

/// The text of a kept edition.
///
/// # Errors
/// When it cannot be read, is no UTF-8 text, or is larger than an edition can be.
pub(super) fn kept(found: &Found, shown: &str, stem: &str) -> Result<KeptText, ToolError> {
    let size = std::fs::metadata(&found.path).map_err(disk("read", &found.path))?.len();
    if size > MAX_KEPT {
        return Err(ToolError::Usage(format!("{shown} has {size} bytes; a kept edition has at most {MAX_KEPT}")));
    }
    let text = std::fs::read_to_string(&found.path).map_err(disk("read", &found.path))?;
    Ok(KeptText { pack: Idx::new(0), edition: stem.into(), path: shown.to_string(), text })
}

/// Takes out the kept editions of one folder and gives them to a pack.
pub(super) fn of_pack(kept: &mut Vec<(usize, KeptText)>, folder: usize, pack: usize) -> Vec<KeptText> {
    let (own, others) = std::mem::take(kept).into_iter().partition(|(of, _)| *of == folder);
    *kept = others;
    let own: Vec<(usize, KeptText)> = own;
    own.into_iter().map(|(_, text)| KeptText { pack: Idx::new(pack), ..text }).collect()
}
