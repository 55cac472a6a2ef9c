//! Change documents of a house pack, and what a pack builds on.

use super::Reader;
use crate::model::content::Digest;
use crate::model::docs::{ChangeDoc, Extends, Head, Loosening};
use crate::model::{DocName, PARTS};
use crate::source::{Node, Spanned};

pub(super) fn change(r: &mut Reader<'_>, n: &Node, head: Head) -> ChangeDoc {
    let loosening = n.entry("loosening").map(|(key, x)| Loosening {
        argument: r.maybe(x, "argument"),
        cites: r.ground(x).cites,
        approver: r.maybe(x, "approver"),
        until: r.date(x, "until"),
        at: key.span,
    });
    ChangeDoc {
        of: of(r, n),
        base: digest(r, n, "base"),
        reason: r.text(n, "reason"),
        author: r.text(n, "author"),
        merge: n.entry("merge").map_or(n.span, |(key, _)| key.span),
        loosening,
        head,
    }
}

fn of(r: &mut Reader<'_>, n: &Node) -> Option<Spanned<DocName>> {
    let written = r.maybe(n, "of")?;
    if let Some(name) = DocName::read(&written.value) {
        return Some(Spanned::new(name, written.span));
    }
    let parts = PARTS.map(|(part, _)| format!("pack/{part}")).join(" or ");
    r.report("schema-shape", written.span, "no name of a document", format!("`{}` names no document", written.value))
        .help(format!("write folder and id, as `protocols/soleus`; for the pack file {parts}"));
    None
}

fn digest(r: &Reader<'_>, n: &Node, key: &str) -> Option<Spanned<Digest>> {
    let written = r.maybe(n, key)?;
    Digest::read(&written.value).map(|digest| Spanned::new(digest, written.span))
}

pub(super) fn extends(r: &mut Reader<'_>, n: &Node) -> Option<Extends> {
    let (key, x) = n.entry("extends")?;
    let (pack, edition, at) = (r.text(x, "pack"), r.text(x, "edition"), r.text(x, "at"));
    let wanted = match semver::VersionReq::parse(&exact(&edition.value)) {
        Ok(wanted) => Some(wanted),
        Err(error) => {
            r.report("schema-shape", edition.span, error.to_string(), format!("`{}` asks for no edition", edition.value))
                .help("write one edition, as `1.0.0`, or a range, as `^1.2` or `>=1.2.0, <3`");
            None
        }
    };
    Some(Extends { pack, edition, wanted, at, digest: digest(r, x, "digest"), span: key.span })
}

/// Three plain numbers mean that edition alone.
fn exact(written: &str) -> String {
    if semver::Version::parse(written).is_ok() { format!("={written}") } else { written.to_string() }
}
