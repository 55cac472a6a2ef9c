//! `fascicle approve`: shows what a role would sign, then appends it to the ledger.

use super::{Ended, Format, Packs, counted, print, say, screen, show};
use crate::build;
use crate::compute::compare::Side;
use crate::compute::currency::signature::Key;
use crate::compute::currency::since::{Moved, Since};
use crate::error::{ToolError, disk};
use crate::finding::Level;
use crate::model::DocName;
use crate::plan::changes::Listing;
use crate::sign::{self, Item, Prepared, Request, SETTLED};
use jiff::civil::Date;
use std::io::{BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// Files of documents, or a pack folder for everything that the role has not approved as it is
    #[arg(required = true, value_name = "DOC")]
    documents: Vec<PathBuf>,
    /// Role that approves, one of `roles` in pack.yaml
    #[arg(long, value_name = "ROLE")]
    role: String,
    /// The day by which it is to be looked at again (year-month-day)
    #[arg(long, value_name = "DATE")]
    review_by: Date,
    /// Declaration of interests; `none` if there are none
    #[arg(long, value_name = "TEXT")]
    interests: Option<String>,
    /// A note that goes into the ledger
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    /// File with the role's private key (PKCS #8 as PEM, made by `openssl genpkey -algorithm ed25519`)
    #[arg(long, value_name = "FILE")]
    key: Option<PathBuf>,
    /// Write without asking
    #[arg(long)]
    yes: bool,
    /// Take this day (year-month-day) for today
    #[arg(long, value_name = "DATE")]
    today: Option<Date>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    let (root, names) = place(&arguments.documents)?;
    let packs = Packs { folders: vec![root.clone()], strict: false, today: arguments.today, format: Format::Human };
    let today = packs.today();
    let judged = build::judge(&packs.folders, today)?;
    let findings: Vec<_> = judged.findings(today).into_iter().filter(|f| f.level == Level::Error && !SETTLED.contains(&f.check)).collect();
    if !findings.is_empty() {
        let ended = show(&judged, &findings, &packs);
        say("nothing can be approved while the pack has errors\n");
        return Ok(ended);
    }
    let key = arguments.key.as_deref().map(read_key).transpose()?;
    let request = Request {
        root: &root,
        documents: &names,
        role: &arguments.role,
        date: today,
        review_by: arguments.review_by,
        interests: arguments.interests.as_deref(),
        note: arguments.note.as_deref(),
        key: key.as_ref(),
    };
    let prepared = sign::prepare(&judged, &request)?;
    if prepared.items.is_empty() {
        say(&format!("`{}` has approved all of this as it is; nothing to write\n", arguments.role));
        return Ok(Ended::Clean);
    }
    print(&list(&prepared, arguments));
    if let Some(catalog) = &judged.catalog {
        let now = Side::of(catalog, &judged.facts);
        for (shown, side) in sign::earlier(&judged, &prepared) {
            print(&format!("\n{}", Listing::new((&shown, &side), ("now", &now)).text(screen().0)));
        }
    }
    if !agreed(arguments)? {
        say("nothing was written\n");
        return Ok(Ended::Findings);
    }
    sign::write(&prepared)?;
    say(&format!("appended {} to {}\n", counted(prepared.items.len(), "approval"), root.join(sign::LEDGER).display()));
    Ok(Ended::Clean)
}

/// The pack of these paths, and the documents; none for the whole pack.
fn place(paths: &[PathBuf]) -> Result<(PathBuf, Vec<DocName>), ToolError> {
    let mut root: Option<PathBuf> = None;
    let mut names = Vec::new();
    for path in paths {
        let whole = path.join("pack.yaml").is_file();
        let (own, name) = if whole { (path.clone(), None) } else { document(path)? };
        if root.as_ref().is_some_and(|r| *r != own) {
            return Err(ToolError::Usage("approve documents of one pack at a time".into()));
        }
        root = Some(own);
        names.extend(name);
        if whole && paths.len() > 1 {
            return Err(ToolError::Usage("name the pack folder, or documents in it, not both".into()));
        }
    }
    root.map(|r| (r, names)).ok_or_else(|| ToolError::Usage("name a document".into()))
}

fn document(path: &Path) -> Result<(PathBuf, Option<DocName>), ToolError> {
    let no = || {
        ToolError::Usage(format!(
            "{} is no document of a pack; name a file like packs/my-pack/protocols/soleus.yaml, or a pack folder",
            path.display()
        ))
    };
    let stem = path.file_stem().ok_or_else(no)?.to_string_lossy();
    let folder = path.parent().ok_or_else(no)?;
    let root = folder.parent().ok_or_else(no)?;
    let root = if root.as_os_str().is_empty() { Path::new(".") } else { root };
    let shelf = folder.file_name().ok_or_else(no)?.to_string_lossy();
    let name = DocName::read(&format!("{shelf}/{stem}")).ok_or_else(no)?;
    // A house pack has documents of its base, for which there is no file.
    if !root.join("pack.yaml").is_file() {
        return Err(no());
    }
    Ok((root.to_path_buf(), Some(name)))
}

fn read_key(path: &Path) -> Result<Key, ToolError> {
    let text = std::fs::read_to_string(path).map_err(disk("read", path))?;
    Key::read(&text).ok_or_else(|| {
        ToolError::Usage(format!(
            "{} is no private Ed25519 key; `openssl genpkey -algorithm ed25519 -out key.pem` makes one",
            path.display()
        ))
    })
}

fn list(prepared: &Prepared, arguments: &Arguments) -> String {
    let mut out = format!(
        "To be approved by {}, to be looked at again by {}: {}\n\n",
        arguments.role,
        arguments.review_by,
        counted(prepared.items.len(), "document")
    );
    for item in &prepared.items {
        out += &format!("  {}  {}\n    digest {}\n{}", item.name, item.title, item.digest.short(), since(item));
    }
    out += "\nEach approval covers the document and everything on which it rests: what it refers to, the conditions and red flags\n\
            that are derived for it, and the house rules. It binds who signs; it is no check of clinical content by this program.\n";
    out
}

fn since(item: &Item) -> String {
    let line = |m: &Moved| format!("      {}  {}\n", m.how.word(), m.name);
    match &item.since {
        Since::First => "    first sign-off; there is nothing to compare with\n".into(),
        Since::Same => "    others have approved it as it is\n".into(),
        Since::NotKept(date) => format!("    signed on {date} in another state, which was not kept: read all of it\n"),
        Since::Moved(date, moved) => {
            format!("    signed on {date} in another state; since then:\n{}", moved.iter().map(line).collect::<String>())
        }
    }
}

fn agreed(arguments: &Arguments) -> Result<bool, ToolError> {
    if arguments.yes {
        return Ok(true);
    }
    let stdin = std::io::stdin();
    if !stdin.is_terminal() {
        say("nobody can be asked here; add `--yes` to write this\n");
        return Ok(false);
    }
    say("Write this into the ledger? Type yes: ");
    std::io::stderr().flush().map_err(disk("write", "the terminal"))?;
    let mut line = String::new();
    stdin.lock().read_line(&mut line).map_err(disk("read", "the terminal"))?;
    Ok(line.trim() == "yes")
}
