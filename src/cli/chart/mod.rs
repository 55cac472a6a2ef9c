//! `fascicle chart`: a muscle on a grid, for authors who draw it.

mod sheet;

use super::{Ended, print, say};
use crate::build;
use crate::error::ToolError;
use crate::model::chart::ViewId;
use crate::model::docs::Muscle;
use crate::model::nearest;
use std::path::PathBuf;

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// Id of the muscle; or a view of the body chart (front, back, side, palm, hand-back, sole, foot-top, foot-inner)
    /// for the bare grid
    #[arg(value_name = "MUSCLE")]
    name: String,
    /// Pack folders (each has a pack.yaml)
    #[arg(value_name = "PACKS")]
    packs: Vec<PathBuf>,
    /// Write the SVG to this file instead of standard output
    #[arg(long, value_name = "FILE")]
    into: Option<PathBuf>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    let text = match ViewId::from_word(&arguments.name) {
        Some(view) => sheet::bare(view),
        None => of_muscle(arguments)?,
    };
    match &arguments.into {
        Some(file) => std::fs::write(file, text).map_err(|e| ToolError::Usage(format!("{}: {e}", file.display())))?,
        None => print(&text),
    }
    Ok(Ended::Clean)
}

/// Findings do not stop: this is for looking at what is wrong.
fn of_muscle(arguments: &Arguments) -> Result<String, ToolError> {
    let name = &arguments.name;
    if arguments.packs.is_empty() {
        return Err(ToolError::Usage(format!("`{name}` is no view of the body chart; name the pack that has this muscle")));
    }
    let today = jiff::ZonedDateTime::now().date();
    let judged = build::judge(&arguments.packs, today)?;
    let catalog =
        judged.catalog.as_ref().ok_or_else(|| ToolError::Usage("the pack file could not be read; run `fascicle check`".into()))?;
    let muscles = catalog.muscles.rows();
    let Some(muscle) = muscles.iter().find(|m| *m.head.id.value == **name) else {
        let near = nearest(name, muscles.iter().map(|m: &Muscle| &*m.head.id.value)).map(|n| format!("; did you mean `{n}`?"));
        return Err(ToolError::Usage(format!("the packs have no muscle `{name}` that can be read{}", near.unwrap_or_default())));
    };
    let reported = judged.findings(today).iter().filter(|f| f.primary.span.file == muscle.head.file).count();
    if reported > 0 {
        say(&format!(
            "{} about this muscle: `fascicle check` shows them; what cannot be read is not drawn\n",
            super::counted(reported, "finding")
        ));
    }
    Ok(sheet::muscle(muscle))
}
