//! `fascicle compare`: what changed between two editions, most dangerous first.

use super::{Ended, print, say, screen};
use crate::build::{self, Judged};
use crate::compute::compare::Side;
use crate::compute::currency::kept::Kept;
use crate::error::ToolError;
use crate::finding::Level;
use crate::load::revision::{self, Place};
use crate::plan::changes::Listing;
use crate::report;
use std::path::PathBuf;

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// The pack before: a folder, FOLDER@EDITION for an edition that was kept when it was signed, or FOLDER@REVISION for
    /// the folder as it stood at a git revision
    #[arg(value_name = "OLD")]
    old: String,
    /// The pack after: a folder, or FOLDER@REVISION
    #[arg(value_name = "NEW")]
    new: String,
    /// How changes are shown: for people, as one JSON object, as pages into a folder, or as Markdown
    #[arg(long, value_enum, default_value_t = Form::Table, value_name = "FORMAT")]
    format: Form,
    /// Folder for the page of `--format html`; made by fascicle, or empty
    #[arg(long, value_name = "DIR", default_value = "changes")]
    into: PathBuf,
    /// Exit with 1 if the edition of NEW is not raised as far as the changes demand
    #[arg(long)]
    strict: bool,
}

#[derive(Copy, Clone, PartialEq, Eq, clap::ValueEnum)]
enum Form {
    Table,
    Json,
    Html,
    Markdown,
}

pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    let new = revision::open(&arguments.new)?;
    let (shown, before) = if let Some(side) = kept(&arguments.old)? {
        (arguments.old.clone(), Some(side))
    } else {
        let old = revision::open(&arguments.old)?;
        let side = read(&old)?.map(|(_, side)| side);
        (old.shown.clone(), side)
    };
    let (Some(before), Some(after)) = (before, read(&new)?) else { return Ok(Ended::Findings) };
    let listing = Listing::new((&shown, &before), (&new.shown, &after.1));
    match arguments.format {
        Form::Table => print(&listing.text(screen().0)),
        Form::Json => print(&listing.json()?),
        Form::Markdown => print(&listing.markdown()),
        Form::Html => {
            build::changes(&after.0, &listing, &arguments.into)?;
            say(&format!("wrote the changes to {}\n", arguments.into.join("index.html").display()));
        }
    }
    if arguments.strict && !listing.enough {
        say(&format!("{}\n", listing.verdict()));
        return Ok(Ended::Findings);
    }
    Ok(Ended::Clean)
}

/// An edition that was kept, as it was when it was last signed.
fn kept(argument: &str) -> Result<Option<Side>, ToolError> {
    let Some((path, text)) = revision::kept(argument)? else { return Ok(None) };
    let kept = Kept::read(&text).map_err(|why| ToolError::Usage(format!("{} cannot be read: {why}", path.display())))?;
    let moment = kept.states.last().ok_or_else(|| ToolError::Usage(format!("{} keeps nothing", path.display())))?;
    Ok(Some(Side::kept(&kept, moment)))
}

/// One side; `None` if it has documents that cannot be read, which is said. What checks say is no matter here: an old
/// edition need not pass the checks of today.
fn read(place: &Place) -> Result<Option<(Judged, Side)>, ToolError> {
    let today = jiff::ZonedDateTime::now().date();
    let judged = build::gather(std::slice::from_ref(&place.folder), today)?;
    if let Some(catalog) = judged.catalog.as_ref().filter(|c| c.complete) {
        let side = Side::of(catalog, &judged.facts);
        return Ok(Some((judged, side)));
    }
    let (width, colour) = screen();
    for finding in judged.findings(today).iter().filter(|f| f.level == Level::Error) {
        say(&(place.named(&report::human::render(finding, &judged.loaded.map, width, colour)) + "\n"));
    }
    say(&format!("nothing was compared, because {} has documents that cannot be read or linked: a change may be missed\n", place.shown));
    Ok(None)
}
