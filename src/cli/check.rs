//! `fascicle check`: the findings alone.

use super::{Ended, Format, Packs, documents, say, show};
use crate::build;
use crate::error::ToolError;
use crate::report::Counts;

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    packs: Packs,
}

pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    let packs = &arguments.packs;
    let today = packs.today();
    let judged = build::judge(&packs.folders, today)?;
    let findings = judged.findings(today);
    let ended = show(&judged, &findings, packs);
    if packs.format == Format::Human {
        say(&format!("checked {}: {}\n", documents(&judged), Counts::of(&findings).line()));
    }
    Ok(ended)
}
