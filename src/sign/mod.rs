//! Signing off: which documents a role would approve, what it would be approving, and the entries that say so.
//!
//! `prepare` reads and decides, `write` appends. Between the two a person looks. Whether a ledger holds is judged in
//! `compute/currency`; printing is in `cli`.

use crate::build::Judged;
use crate::compute::compare::Side;
use crate::compute::currency::kept::Kept;
use crate::compute::currency::sign_off::SIGNED;
use crate::compute::currency::signature::Key;
use crate::compute::currency::since::Since;
use crate::compute::currency::{derived, ledger};
use crate::error::{ToolError, disk};
use crate::model::content::Digest;
use crate::model::docs::Approval;
use crate::model::vocabulary::Status;
use crate::model::{Catalog, DocName, Kind};
use crate::write;
use jiff::civil::Date;
use std::path::{Path, PathBuf};

/// Findings that a sign-off settles, and that therefore do not stand in its way.
pub const SETTLED: [&str; 5] = ["approver-role-missing", "review-overdue", "self-approval", "signed-digest-differs", "unsigned"];

/// File of the ledger in a pack.
pub const LEDGER: &str = "approvals.yaml";

/// Who approves, and how.
pub struct Request<'a> {
    /// Folder of the pack.
    pub root: &'a Path,
    /// Documents; all that the role has not approved as they are, if empty.
    pub documents: &'a [DocName],
    /// Role.
    pub role: &'a str,
    /// Day of the approval.
    pub date: Date,
    /// Day of the next look.
    pub review_by: Date,
    /// Declaration of interests.
    pub interests: Option<&'a str>,
    /// Note.
    pub note: Option<&'a str>,
    /// Private key.
    pub key: Option<&'a Key>,
}

/// One document that would be approved.
pub struct Item {
    /// The document.
    pub name: DocName,
    /// Its title.
    pub title: String,
    /// What would be signed.
    pub digest: Digest,
    /// What has changed since the last sign-off.
    pub since: Since,
}

/// Approvals that are ready to be written.
pub struct Prepared {
    /// What would be approved.
    pub items: Vec<Item>,
    approvals: Vec<Approval>,
    seen: Option<String>,
    kept: Kept,
    pack: String,
    root: PathBuf,
}

/// Decides what would be approved and makes the entries.
///
/// # Errors
/// In words for whoever signs: an unknown role or document, a day in the past, a key that is missing or wrong, a broken
/// ledger, a suspended document.
pub fn prepare(judged: &Judged, request: &Request<'_>) -> Result<Prepared, ToolError> {
    let catalog = judged.catalog.as_ref().ok_or_else(|| ToolError::Bug("nothing to approve".into()))?;
    let [pack] = catalog.packs.rows() else { return Err(usage("approve documents of one pack at a time")) };
    allowed(catalog, request)?;
    let currency = &judged.facts.currency;
    if currency.faults.iter().any(|f| !f.is_empty()) {
        return Err(usage(format!(
            "the ledger is broken; `fascicle verify {}` says where. Nothing is appended to it",
            request.root.display()
        )));
    }
    let names = chosen(judged, catalog, request)?;
    let mut approvals: Vec<Approval> = catalog.ledgers.iter().flat_map(|l| l.entries.iter().map(|e| e.approval.clone())).collect();
    let seen = read(&request.root.join(LEDGER))?;
    let pack_id = pack.head.id.value.to_string();
    let mut items = Vec::new();
    for name in names {
        let Some(statement) = currency.named(&name) else { continue };
        let mut approval = Approval {
            document: name.clone(),
            edition: pack.edition.value.to_string(),
            digest: statement.digest,
            role: request.role.to_string(),
            date: request.date,
            review_by: request.review_by,
            interests: request.interests.map(str::to_string),
            note: request.note.map(str::to_string),
            before: ledger::last(&pack_id, &approvals),
            signature: None,
        };
        approval.signature = request.key.map(|key| key.sign(&approval.payload()));
        approvals.push(approval);
        let title = statement.doc.map_or_else(String::new, |d| catalog.title(d).to_string());
        items.push(Item { since: currency.since(&name), name, title, digest: statement.digest });
    }
    let kept = keep(judged, catalog, request.date, &items)?;
    Ok(Prepared { items, approvals, seen, kept, pack: pack_id, root: request.root.to_path_buf() })
}

/// Appends the entries: the kept edition first, so that a crash in between leaves a ledger that is whole.
///
/// # Errors
/// When the ledger has changed since it was looked at, or the disk refuses. The old ledger then stands.
pub fn write(prepared: &Prepared) -> Result<(), ToolError> {
    let guard = write::guard(&prepared.root)?;
    let path = prepared.root.join(LEDGER);
    if read(&path)? != prepared.seen {
        return Err(usage(format!("{} has changed since it was looked at; nothing was written. Look at the list again", path.display())));
    }
    let edition = prepared.root.join("editions").join(format!("{}.json", prepared.kept.edition));
    guard.replace(&edition, prepared.kept.render().as_bytes())?;
    guard.replace(&path, ledger::render(&prepared.pack, &prepared.approvals).as_bytes())
}

/// The states in which what would be approved was signed before, with a name for each.
pub fn earlier(judged: &Judged, prepared: &Prepared) -> Vec<(String, Side)> {
    let currency = &judged.facts.currency;
    let mut out: Vec<(String, Side)> = Vec::new();
    for item in &prepared.items {
        let before = currency.sign_off(&item.name).and_then(|s| s.earlier.as_ref());
        let Some((kept, moment)) = before.and_then(|a| currency.kept_for(a)) else { continue };
        let shown = format!("edition {} as signed on {}", kept.edition, moment.date);
        if !out.iter().any(|(name, _)| *name == shown) {
            out.push((shown, Side::kept(kept, moment)));
        }
    }
    out
}

fn usage(text: impl Into<String>) -> ToolError {
    ToolError::Usage(text.into())
}

fn read(path: &Path) -> Result<Option<String>, ToolError> {
    match std::fs::read_to_string(path) {
        Ok(text) => Ok(Some(text)),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(disk("read", path)(error)),
    }
}

fn allowed(catalog: &Catalog, request: &Request<'_>) -> Result<(), ToolError> {
    let Some(pack) = catalog.packs.rows().first() else { return Ok(()) };
    let roles: Vec<&str> = pack.roles.iter().map(|r| &*r.value).collect();
    if !roles.contains(&request.role) {
        return Err(usage(format!("`{}` is no role of this pack; roles in pack.yaml: {}", request.role, roles.join(", "))));
    }
    if request.review_by <= request.date {
        return Err(usage(format!("the next review ({}) has to come after the day of the approval ({})", request.review_by, request.date)));
    }
    let latest = catalog.ledgers.iter().flat_map(|l| &l.entries).map(|e| e.approval.date).max();
    if let Some(latest) = latest.filter(|d| *d > request.date) {
        let text =
            "the ledger has an approval of {latest}, and today is said to be {date}; set the clock of this machine, or give `--today`";
        return Err(usage(text.replace("{latest}", &latest.to_string()).replace("{date}", &request.date.to_string())));
    }
    let keys: Vec<&str> = pack.sign_off.keys.iter().filter(|(role, _)| *role.value == *request.role).map(|(_, key)| &*key.value).collect();
    match (request.key, keys.is_empty()) {
        (None, false) => Err(usage(format!("`{}` signs with a key (pack.yaml, sign-off, keys); name its file with `--key`", request.role))),
        (Some(_), true) => Err(usage(format!(
            "pack.yaml has no public key for `{}`, so nobody could judge the signature; add it under `sign-off: {{keys: ...}}`",
            request.role
        ))),
        (Some(key), false) if !keys.iter().any(|k| key.belongs_to(k)) => {
            Err(usage(format!("this is not the private half of a key of `{}` in pack.yaml", request.role)))
        }
        _ => Ok(()),
    }
}

/// Names of what would be approved, checked.
fn chosen(judged: &Judged, catalog: &Catalog, request: &Request<'_>) -> Result<Vec<DocName>, ToolError> {
    let currency = &judged.facts.currency;
    let has = |name: &DocName| currency.sign_off(name).is_some_and(|s| s.current.iter().any(|a| a.role == request.role));
    let stopped = |name: &DocName| {
        let head = catalog.find(name.kind, &name.id).and_then(|d| catalog.head(d));
        head.and_then(|h| h.status.as_ref()).filter(|s| matches!(s.value, Status::Suspended | Status::Retired)).map(|s| s.value.word())
    };
    if request.documents.is_empty() {
        let all = currency.all().filter(|s| s.doc.is_some_and(|d| SIGNED.contains(&d.kind))).map(|s| s.name.clone());
        return Ok(all.filter(|n| !has(n) && stopped(n).is_none()).collect());
    }
    for name in request.documents {
        if currency.named(name).is_none() {
            return Err(usage(format!("there is no {name} in this pack")));
        }
        if currency.sign_off(name).is_none() {
            let kinds: Vec<&str> = SIGNED.iter().map(|k: &Kind| k.folder()).collect();
            return Err(usage(format!("{name} is not signed on its own; what is: {}", kinds.join(", "))));
        }
        if let Some(word) = stopped(name) {
            return Err(usage(format!("{name} is {word}; an approval would not lift that. Take `status: {word}` out first")));
        }
    }
    Ok(request.documents.iter().filter(|n| !has(n)).cloned().collect())
}

fn keep(judged: &Judged, catalog: &Catalog, date: Date, items: &[Item]) -> Result<Kept, ToolError> {
    let Some(pack) = catalog.packs.rows().first() else { return Err(ToolError::Bug("a catalogue without a pack".into())) };
    let row = catalog.kept.iter().position(|k| *k.edition == *pack.edition.value);
    let mut kept = match row.and_then(|i| judged.facts.currency.kept.get(i)) {
        None => Kept::new(&pack.head.id.value, &pack.edition.value),
        Some(Ok(kept)) => kept.clone(),
        Some(Err(why)) => return Err(usage(format!("editions/{}.json cannot be read: {why}; nothing is appended", pack.edition.value))),
    };
    let titles = |name: &DocName| catalog.find(name.kind, &name.id).map_or_else(|| name.to_string(), |d| catalog.title(d).to_string());
    let names: Vec<DocName> = items.iter().map(|i| i.name.clone()).collect();
    kept.add(date, &judged.facts.currency, derived::all(catalog, &judged.facts), &titles, &names);
    Ok(kept)
}
