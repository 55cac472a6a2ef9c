//! `fascicle calc`: the computations of the compiler on the reader's own numbers.

use super::{Ended, Shown, print, say};
use crate::calc::{self, Done, show};
use crate::error::ToolError;
use crate::finding::Finding;
use crate::load::worksheet::{self, Worksheet};
use crate::report;
use std::path::PathBuf;

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// Worksheet in YAML or JSON; `-` reads standard input
    #[arg(value_name = "SHEET")]
    sheet: PathBuf,
    /// How results are shown
    #[arg(long, value_enum, default_value_t = Shown::Table, value_name = "FORMAT")]
    format: Shown,
}

pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    let (name, bytes) = worksheet::bytes(&arguments.sheet)?;
    let sheet = worksheet::read(name, bytes)?;
    let json = arguments.format == Shown::Json;
    let done = match calc::run(&sheet) {
        Ok(done) => done,
        Err(unreadable) => {
            if json {
                print(&show::json_unreadable(&sheet, &unreadable.0));
            } else {
                tell(&sheet, unreadable.0.iter());
                say("the worksheet could not be read: nothing was calculated\n");
            }
            return Ok(Ended::Unreadable);
        }
    };
    let failed = done.iter().filter(|d| d.result.is_err()).count();
    if json {
        print(&show::json(&sheet, &done));
    } else {
        print(&show::table(&done));
        tell(&sheet, done.iter().flat_map(faults));
        say(&format!("{} calculated, {failed} failed\n", done.len() - failed));
    }
    Ok(if failed == 0 { Ended::Clean } else { Ended::Findings })
}

fn faults(done: &Done) -> &[Finding] {
    done.result.as_ref().err().map_or(&[], Vec::as_slice)
}

fn tell<'a>(sheet: &Worksheet, findings: impl Iterator<Item = &'a Finding>) {
    let (width, colour) = super::screen();
    for finding in findings {
        say(&format!("{}\n", report::human::render(finding, &sheet.map, width, colour)));
    }
}
