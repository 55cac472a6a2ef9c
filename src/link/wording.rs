//! Every text of every document with its place, for checks that read wording.

use super::names::Names;
use crate::load::Loaded;
use crate::model::{DocRef, Kind, Wording};
use crate::source::{Node, NodeKind, SourceMap, Span, Spanned};

const MARKDOWN_KEYS: [&str; 2] = ["notes", "leaflet"];

pub(super) fn collect(loaded: &Loaded, names: &Names) -> Vec<Wording> {
    let mut out = Vec::new();
    for (i, file) in loaded.files.iter().enumerate() {
        let Some(doc) = names.by_file[i] else { continue };
        if doc.kind == Kind::Page {
            let text = loaded.map.text(file.file);
            let span = Span::new(file.file, 0, text.len());
            out.push(Wording { doc, key: "page".into(), text: Spanned::new(text.into(), span), raw: None, markdown: true });
        } else if let Some(root) = &file.tree {
            walk(root, "", doc, &loaded.map, &mut out);
        }
    }
    out
}

fn walk(node: &Node, key: &str, doc: DocRef, map: &SourceMap, out: &mut Vec<Wording>) {
    match &node.kind {
        NodeKind::Text(text) => {
            let raw = map.slice(node.span);
            let raw = (raw != &**text).then(|| raw.into());
            // In the pack file `notes` is a time.
            let markdown = doc.kind != Kind::Pack && MARKDOWN_KEYS.contains(&key);
            out.push(Wording { doc, key: key.into(), text: Spanned::new(text.clone(), node.span), raw, markdown });
        }
        // A key of a signature is no wording.
        NodeKind::Seq(_) if key == "keys" && doc.kind == Kind::Pack => (),
        NodeKind::Seq(items) => items.iter().for_each(|n| walk(n, key, doc, map, out)),
        // What an import brought along is shown nowhere.
        NodeKind::Map(_) if key == "original" && doc.kind == Kind::Source => (),
        NodeKind::Map(entries) => entries.iter().for_each(|(k, n)| walk(n, &k.value, doc, map, out)),
        _ => {}
    }
}
