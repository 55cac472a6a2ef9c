//! `fascicle export`: the sources of packs for reference managers.

use super::cite::FormName;
use super::{Ended, Packs, counted, print, say};
use crate::build;
use crate::error::{ToolError, disk};
use crate::exchange::{bibtex, csl, ris};
use crate::model::docs::{Bibliography, Form};
use std::io::Write;
use std::path::PathBuf;

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// Form of the export
    #[arg(value_enum, value_name = "FORM")]
    form: FormName,
    #[command(flatten)]
    packs: Packs,
    /// New file for the export; without it, standard output
    #[arg(long, value_name = "FILE")]
    into: Option<PathBuf>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    let today = arguments.packs.today();
    let judged = build::judge(&arguments.packs.folders, today)?;
    let findings = judged.findings(today);
    if build::stops(&findings, arguments.packs.strict) {
        say("nothing was exported, because the packs have errors\n");
        return Ok(super::show(&judged, &findings, &arguments.packs));
    }
    let catalog = judged.catalog.as_ref().ok_or_else(|| super::bug("packs without errors and without a catalogue"))?;
    let sources = catalog.sources.rows();
    let each = sources.iter().map(|s| (&*s.head.id.value, &s.bibliography));
    let (text, lost) = match arguments.form.form() {
        Form::Bibtex => (bibtex::write(each), bibtex::LOST),
        Form::Ris => (ris::write(each), ris::LOST),
        Form::Csl => (csl::write(each), csl::LOST),
    };
    match &arguments.into {
        None => print(&text),
        Some(path) => {
            let file = std::fs::OpenOptions::new().write(true).create_new(true).open(path);
            file.and_then(|mut f| f.write_all(text.as_bytes())).map_err(disk("write as a new file", path))?;
        }
    }
    let foreign = |b: &Bibliography| b.original.as_ref().is_some_and(|o| o.form != arguments.form.form());
    let kept_back = sources.iter().filter(|s| foreign(&s.bibliography)).count();
    say(&format!("{} exported\n", counted(sources.len(), "source")));
    say(
        "not exported, because no form for references holds it: design, people, arms, results, harms, appraisal, retraction, what was read\n",
    );
    say(&format!("not in this form: {lost}\n"));
    if kept_back > 0 {
        say(&format!("{} with fields of another form under `original`, which stayed behind\n", counted(kept_back, "source")));
    }
    Ok(Ended::Clean)
}
