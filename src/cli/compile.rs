//! `fascicle compile`: check, then write everything.

use super::progress::Progress;
use super::{Ended, Format, Packs, bug, counted, documents, say, show};
use crate::build::{self, stops};
use crate::error::ToolError;
use crate::report::Counts;
use std::path::PathBuf;

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    packs: Packs,
    /// Folder for the site; made by fascicle, or empty
    #[arg(long, value_name = "DIR", default_value = "site")]
    into: PathBuf,
    /// Folder with templates of your own that take the place of shipped ones of the same name
    #[arg(long, value_name = "DIR")]
    templates: Option<PathBuf>,
    /// Also write the site into a folder in DIR that is named after the edition (DIR/1.0.0), for people who cite
    /// it; what stands there is never changed
    #[arg(long)]
    edition_folder: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    let packs = &arguments.packs;
    let today = packs.today();
    let progress = Progress::new(4);
    progress.stage("reading and checking");
    let mut judged = build::judge(&packs.folders, today)?;
    let mut findings = judged.findings(today);
    let (mut built, mut edition) = (None, None);
    if !stops(&findings, packs.strict) {
        edition = arguments.edition_folder.then(|| judged.edition_folder(&arguments.into)).transpose()?;
        progress.stage("laying out");
        built = Some(build::build(&mut judged, &arguments.into, arguments.templates.as_deref(), today)?);
        findings = judged.findings(today);
    }
    let go = built.filter(|_| !stops(&findings, packs.strict));
    progress.stage("writing");
    let written = go.as_ref().map(|site| site.write(&arguments.into)).transpose()?;
    if let (Some(site), Some(edition)) = (&go, &edition) {
        site.write_edition(edition)?;
    }
    drop(progress);
    let ended = show(&judged, &findings, packs);
    let counts = Counts::of(&findings).line();
    let mut line = match (written, &ended) {
        (Some(done), Ended::Clean) => format!(
            "compiled {} into {}: {} changed, {} unchanged, {} removed; {counts}\n",
            documents(&judged),
            arguments.into.display(),
            counted(done.changed, "file"),
            done.unchanged,
            done.removed
        ),
        (None, Ended::Findings) => {
            format!("nothing was written to {}; checked {}: {counts}\n", arguments.into.display(), documents(&judged))
        }
        _ => return Err(bug("a site was written in spite of findings, or not written without")),
    };
    if let Some(edition) = edition.filter(|_| written.is_some()) {
        let folder = edition.folder.display();
        let said = match (edition.stands, edition.unsigned) {
            (true, _) => format!("the edition stands as before in {folder}; people may cite that address\n"),
            (false, 0) => format!("the edition was written in {folder}; people may cite that address\n"),
            (false, n) => format!(
                "the edition was written in {folder} and says there for good that {} not signed; if it is to be cited, sign it, remove that folder and compile again\n",
                if n == 1 { "1 document is".to_string() } else { format!("{n} documents are") }
            ),
        };
        line.push_str(&said);
    }
    if packs.format == Format::Human || written.is_some() {
        say(&line);
    }
    Ok(ended)
}
