//! `fascicle find`: from marked regions to red flags and muscles, by the tables of the finder page.

mod marks;
mod show;

use super::{Ended, Packs, Shown, print, say};
use crate::build;
use crate::error::ToolError;
use jiff::civil::Date;
use std::path::PathBuf;

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// Marked region, with side and strength: `heel`, `"temple left=2"`, `"leg right=1"`. Without a side word a
    /// paired region is marked on both sides; without a number the strength is 3 (1 weak, 2 moderate, 3 strong).
    /// A later mark of the same region takes the place of an earlier one
    #[arg(required = true, value_name = "REGION[=1..3]")]
    marks: Vec<String>,
    /// Pack folders (each has a pack.yaml)
    #[arg(long, required = true, num_args = 1.., value_name = "PACKS")]
    packs: Vec<PathBuf>,
    /// Judge dates as on this day (year-month-day) instead of today
    #[arg(long, value_name = "DATE")]
    today: Option<Date>,
    /// How results are shown
    #[arg(long, value_enum, default_value_t = Shown::Table, value_name = "FORMAT")]
    format: Shown,
}

pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    let drawing = marks::read(&arguments.marks).map_err(ToolError::Usage)?;
    let packs = Packs { folders: arguments.packs.clone(), strict: false, today: arguments.today, format: super::Format::Human };
    let today = packs.today();
    let judged = build::judge(&packs.folders, today)?;
    let findings = judged.findings(today);
    if build::stops(&findings, false) {
        say("nothing was looked up, because the packs have errors: a red flag or a zone may be missing\n");
        return Ok(super::show(&judged, &findings, &packs));
    }
    let catalog = judged.catalog.as_ref().ok_or_else(|| super::bug("packs without errors and without a catalogue"))?;
    let found = crate::plan::view::finder::Findings::new(catalog, &judged.facts, &drawing)?;
    match arguments.format {
        Shown::Table => print(&show::table(&found)),
        Shown::Json => print(&show::json(&found)?),
    }
    Ok(Ended::Clean)
}
