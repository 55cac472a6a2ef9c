//! `fascicle cite import`: source documents from BibTeX, RIS and CSL-JSON.

use super::{Ended, counted, print, say};
use crate::error::{ToolError, disk};
use crate::exchange::{self, Incoming, MAX_BYTES};
use crate::load;
use crate::model::Kind;
use crate::model::docs::Form;
use crate::model::identifier::{Identifier, Scheme};
use crate::source::Node;
use std::collections::{BTreeMap, BTreeSet};
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(subcommand)]
    act: Act,
}

#[derive(clap::Subcommand)]
enum Act {
    /// Make source documents of the entries of a file; what a person has to fill in stands as TODO
    Import(Import),
}

#[derive(clap::Args)]
struct Import {
    /// BibTeX (.bib), RIS (.ris) or CSL-JSON (.json); `-` reads standard input
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Form of the file, where its name and its start do not say it
    #[arg(long, value_enum, value_name = "FORM")]
    form: Option<FormName>,
    /// Pack folder into whose sources/ the documents are written, each as a new file; without it they are printed
    #[arg(long, value_name = "PATH")]
    pack: Option<PathBuf>,
}

/// A form by its name on the command line.
#[derive(Copy, Clone, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum FormName {
    /// BibTeX
    Bibtex,
    /// RIS
    Ris,
    /// CSL-JSON
    Csl,
}

impl FormName {
    pub(super) fn form(self) -> Form {
        match self {
            FormName::Bibtex => Form::Bibtex,
            FormName::Ris => Form::Ris,
            FormName::Csl => Form::Csl,
        }
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    let Act::Import(import) = &arguments.act;
    let (name, text) = text_of(&import.file)?;
    let Some(form) = import.form.map(FormName::form).or_else(|| exchange::form_of(&import.file, &text)) else {
        return Err(ToolError::Usage(format!("{name}: neither its name nor its start says what it is; add --form bibtex, ris or csl")));
    };
    let entries = match exchange::read(form, &text) {
        Ok(entries) => entries,
        Err(broken) => {
            let what = format!(
                "{name}:{}: {}\n  nothing was imported, because what follows a broken place may belong to it\n  help: {}",
                broken.line, broken.what, broken.help
            );
            return Err(ToolError::Usage(what));
        }
    };
    let mut known = Known::of(import.pack.as_deref())?;
    let (mut written, mut left) = (0, 0);
    for entry in &entries {
        let at = format!("{name}:{}: {}", entry.line, if entry.key.is_empty() { "an entry" } else { &entry.key });
        if let Some((what, other)) = known.twin(entry) {
            say(&format!("{at}: left out, its {what} is that of {other}\n"));
            left += 1;
            continue;
        }
        let id = exchange::id_for(entry, &known.ids);
        let document = exchange::document(&id, entry, form)?;
        match &import.pack {
            Some(pack) => {
                if !put(&pack.join("sources"), &id, &document)? {
                    say(&format!("{at}: left out, sources/{id}.yaml is there already and was not touched\n"));
                    left += 1;
                    continue;
                }
            }
            None => print(&format!("# sources/{id}.yaml\n{document}\n")),
        }
        written += 1;
        entry.said.iter().for_each(|s| say(&format!("{at} ({id}): {s}\n")));
        let kept: Vec<&str> = entry.original.iter().map(|(k, _)| k.as_str()).collect();
        if !kept.is_empty() {
            say(&format!("{at} ({id}): kept under `original`: {}\n", kept.join(", ")));
        }
        known.add(entry, id);
    }
    let todo = if written == 0 { "" } else { "; fill in every TODO from the source itself, then run `fascicle check`" };
    say(&format!("{} imported, {left} left out{todo}\n", counted(written, "source")));
    Ok(if left == 0 { Ended::Clean } else { Ended::Findings })
}

fn text_of(path: &Path) -> Result<(String, String), ToolError> {
    let stdin = path.as_os_str() == "-";
    let name = if stdin { "standard input".to_string() } else { path.display().to_string() };
    let mut bytes = Vec::new();
    if stdin {
        std::io::stdin().lock().take(MAX_BYTES + 1).read_to_end(&mut bytes).map_err(disk("read", &name))?;
    } else {
        let file = std::fs::File::open(path).map_err(disk("read", path))?;
        file.take(MAX_BYTES + 1).read_to_end(&mut bytes).map_err(disk("read", path))?;
    }
    if bytes.len() as u64 > MAX_BYTES {
        return Err(ToolError::Usage(format!("{name} has more than {MAX_BYTES} bytes; split it")));
    }
    let text = String::from_utf8(bytes).map_err(|e| {
        let before = e.as_bytes().iter().take(e.utf8_error().valid_up_to()).filter(|b| **b == b'\n').count();
        ToolError::Usage(format!("{name}:{}: bytes that are not UTF-8; save the file as UTF-8, so that no name is garbled", before + 1))
    })?;
    Ok((name, text))
}

/// What is there already.
#[derive(Default)]
struct Known {
    ids: BTreeSet<String>,
    numbers: BTreeMap<(Scheme, String), String>,
}

impl Known {
    /// Reads the keys themselves, since a document in which a TODO stands does not decode and is a source all the same.
    fn of(pack: Option<&Path>) -> Result<Known, ToolError> {
        let mut known = Known::default();
        let Some(pack) = pack else { return Ok(known) };
        if !pack.join("pack.yaml").is_file() {
            return Err(ToolError::Usage(format!("{} is no pack: it holds no pack.yaml", pack.display())));
        }
        let loaded = load::load(&[pack.to_path_buf()])?;
        for file in loaded.files.into_iter().filter(|f| f.kind == Some(Kind::Source)) {
            for scheme in [Scheme::Doi, Scheme::Pmid] {
                let written = file.tree.as_ref().and_then(|t| t.get(scheme.key())).and_then(Node::text);
                if let Some(number) = written.and_then(|w| Identifier::read(scheme, w).ok()) {
                    known.numbers.insert((scheme, number.sameness()), format!("the source {}", file.stem));
                }
            }
            if file.tree.is_none() {
                let path = loaded.map.path(file.file);
                say(&format!("{path} cannot be read, so a duplicate of it would not be noticed; see `fascicle check`\n"));
            }
            known.ids.insert(file.stem);
        }
        Ok(known)
    }

    fn twin(&self, entry: &Incoming) -> Option<(&'static str, &str)> {
        let found = |key: &(Scheme, String)| Some((key.0.key(), self.numbers.get(key)?.as_str()));
        entry.sameness().iter().find_map(found)
    }

    fn add(&mut self, entry: &Incoming, id: String) {
        for key in entry.sameness() {
            self.numbers.insert(key, format!("line {} of this file", entry.line));
        }
        self.ids.insert(id);
    }
}

/// Writes a new file; false if there is one of that name.
fn put(folder: &Path, id: &str, text: &str) -> Result<bool, ToolError> {
    std::fs::create_dir_all(folder).map_err(disk("create", folder))?;
    let path = folder.join(format!("{id}.yaml"));
    match std::fs::OpenOptions::new().write(true).create_new(true).open(&path) {
        Ok(mut file) => file.write_all(text.as_bytes()).map(|()| true).map_err(disk("write", &path)),
        Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => Ok(false),
        Err(e) => Err(disk("write", &path)(e)),
    }
}
