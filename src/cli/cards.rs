//! `fascicle cards`: the whole of the checks, then cards as PDF.

use super::{Ended, Packs};
use crate::error::ToolError;
use crate::plan::paper;
use std::path::PathBuf;

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    packs: Packs,
    /// Paper: a5, a4 or letter with one face a page; 2up, two A5 faces on A4 landscape with a line to cut along, to be
    /// printed on both sides and turned over the short edge; wall, A3 with type of twice the size
    #[arg(long, value_name = "PAPER", default_value = "a5", value_parser = clap::builder::PossibleValuesParser::new(paper::PAPERS.map(|p| p.name)))]
    paper: String,
    /// Folder for the files; made by fascicle, or empty
    #[arg(long, value_name = "DIR", default_value = "cards")]
    into: PathBuf,
}

#[cfg(not(feature = "pdf"))]
pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    let _ = (&arguments.packs, &arguments.paper, &arguments.into);
    Err(ToolError::Usage(
        "this fascicle was built without cards as PDF, which take a typesetter with them and double the time of a build. \
         Nothing was written. Build one that has it: cargo install --path . --features pdf. \
         Or print the card pages of a compiled site from a browser"
            .into(),
    ))
}

#[cfg(feature = "pdf")]
pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    use super::progress::Progress;
    use super::{Format, bug, counted, documents, say, show};
    use crate::build::{self, stops};
    use crate::press::{self, Press};
    use crate::report::Counts;

    let packs = &arguments.packs;
    let paper = paper::named(&arguments.paper).ok_or_else(|| bug("a paper that is offered and not known"))?;
    press::may_take(&arguments.into)?;
    let today = packs.today();
    let progress = Progress::new(4);
    progress.stage("reading and checking");
    let mut judged = build::judge(&packs.folders, today)?;
    let mut findings = judged.findings(today);
    let mut made: Option<Press> = None;
    if !stops(&findings, packs.strict) {
        progress.stage("setting cards");
        made = Some(press::press(&mut judged, paper, today)?);
        findings = judged.findings(today);
    }
    let go = made.filter(|_| !stops(&findings, packs.strict));
    progress.stage("writing");
    let written = go.as_ref().map(|press| press.write(&arguments.into)).transpose()?.flatten();
    drop(progress);
    let ended = show(&judged, &findings, packs);
    let counts = Counts::of(&findings).line();
    let line = match (&go, written) {
        (Some(press), Some(done)) => {
            let size = format!("{} on {}", counted(press.cards, "card"), paper.name);
            let files = format!("{} changed, {} unchanged, {} removed", counted(done.changed, "file"), done.unchanged, done.removed);
            format!("wrote {size} into {}: {files}; {counts}\n{}", arguments.into.display(), caution(press))
        }
        _ => format!("no card was written to {}; checked {}: {counts}\n", arguments.into.display(), documents(&judged)),
    };
    if packs.format == Format::Human || written.is_some() {
        say(&line);
    }
    // A card that cannot be set whole is not printed, whatever a waiver says.
    Ok(if written.is_some() { ended } else { Ended::Findings })
}

/// Which cards nobody has approved, and what cards are for.
#[cfg(feature = "pdf")]
fn caution(press: &crate::press::Press) -> String {
    let unsigned = match press.unsigned.len() {
        0 => String::new(),
        _ => format!("Not signed, not for use: {}.\n", press.unsigned.join("; ")),
    };
    format!("{unsigned}{}\n", crate::plan::words::USE_NOTE)
}
