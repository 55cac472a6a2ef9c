//! `fascicle audit`: the reviewer's dossier as pages, as one table, or as data.

use super::{Ended, Packs, print, say};
use crate::build::{self, Judged};
use crate::error::ToolError;
use crate::plan::export::dossier::{self, Place};
use crate::source::Span;
use jiff::civil::Date;
use std::path::{Path, PathBuf};

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// Pack folders (each has a pack.yaml)
    #[arg(required = true, value_name = "PACKS")]
    packs: Vec<PathBuf>,
    /// Pages into a folder, or all rows on standard output: one table (RFC 4180) or one JSON object
    #[arg(long, value_enum, default_value_t = Form::Html, value_name = "FORMAT")]
    format: Form,
    /// Folder for the pages; made by fascicle, or empty
    #[arg(long, value_name = "DIR", default_value = "audit")]
    into: PathBuf,
    /// Draw this many rows to be read by hand; 59 without an error bound the rate of errors below 5 %, 29 below 10 %
    #[arg(long, value_name = "N", requires = "seed", value_parser = clap::value_parser!(u32).range(1..))]
    sample: Option<u32>,
    /// Any text; the same seed draws the same rows
    #[arg(long, value_name = "SEED", requires = "sample")]
    seed: Option<String>,
    /// Judge dates as on this day (year-month-day) instead of today
    #[arg(long, value_name = "DATE")]
    today: Option<Date>,
}

#[derive(Copy, Clone, PartialEq, Eq, clap::ValueEnum)]
enum Form {
    Html,
    Csv,
    Json,
}

pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    let packs = Packs { folders: arguments.packs.clone(), strict: false, today: arguments.today, format: super::Format::Human };
    let today = packs.today();
    let judged = build::judge(&packs.folders, today)?;
    let findings = judged.findings(today);
    if build::stops(&findings, false) {
        say("no dossier was made, because the packs have errors: a row may be missing or wrong\n");
        return Ok(super::show(&judged, &findings, &packs));
    }
    let catalog = judged.catalog.as_ref().ok_or_else(|| super::bug("packs without errors and without a catalogue"))?;
    let draw = arguments.seed.as_deref().zip(arguments.sample.and_then(|n| usize::try_from(n).ok()));
    let place = |span: Span| place(&judged, span);
    match arguments.format {
        Form::Csv => print(&dossier::csv(catalog, &judged.facts, draw, &place)?),
        Form::Json => print(&dossier::json(catalog, &judged.facts, draw, &place)),
        Form::Html => {
            let written = build::audit(&judged, draw, &arguments.into)?;
            say(&format!(
                "wrote the dossier to {}: {} pages changed, {} unchanged\n",
                arguments.into.display(),
                written.changed,
                written.unchanged
            ));
        }
    }
    Ok(Ended::Clean)
}

/// Line, column and pointer of a place, with the path inside the pack.
fn place(judged: &Judged, span: Span) -> Place {
    let position = judged.loaded.map.position(span.file, span.start);
    let located = judged.locate(span);
    let pack = judged.loaded.files.get(span.file.0 as usize).map_or(0, |f| f.pack);
    let has = |name: &str, ending: &str| Path::new(name).extension().is_some_and(|e| e == ending);
    let ending = if has(judged.loaded.map.path(span.file), "md") { "md" } else { "yaml" };
    let file = if has(&located.document, "yaml") { located.document } else { format!("{}.{ending}", located.document) };
    Place { pack, file, line: position.line, column: position.column, pointer: located.pointer }
}
