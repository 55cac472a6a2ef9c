//! Markdown pages: the first heading is the title, the file stem is the id.

use crate::finding::{Finding, Level};
use crate::model::Idx;
use crate::model::content::Content;
use crate::model::docs::{Head, Origin, Pack, Page};
use crate::source::{FileId, Span, Spanned};

/// Reads a page.
pub fn page(file: FileId, stem: &str, text: &str, pack: Idx<Pack>, origin: Origin, findings: &mut Vec<Finding>) -> Option<Page> {
    let first = text.lines().next().unwrap_or("");
    let at = Span::new(file, 0, first.len());
    let Some(title) = first.strip_prefix("# ").map(str::trim).filter(|t| !t.is_empty()) else {
        let mut finding = Finding::new("schema-shape", Level::Error, at, "the title should stand here", "the page has no title");
        finding.help("start the file with `# ` and the title");
        findings.push(finding);
        return None;
    };
    let head = Head {
        id: Spanned::new(stem.into(), at),
        file,
        pack,
        status: None,
        since: None,
        because: None,
        successor: None,
        author: None,
        review_by: None,
        at,
        content: Content::of_text(text),
        origin,
    };
    let body = Spanned::new(text.into(), Span::new(file, 0, text.len()));
    Some(Page { head, title: Spanned::new(title.into(), Span::new(file, 2, first.len())), body })
}
