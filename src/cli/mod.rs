//! The command line: arguments to options, results to text and exit status.
//!
//! Findings go to standard error, results to standard output. Exit status: 0 clean, 1 findings that
//! stop, 2 the command could not run.

mod approve;
mod audit;
mod calc;
mod cards;
mod chart;
mod check;
mod cite;
mod compare;
mod compile;
mod draft;
mod explain;
mod export;
mod find;
mod progress;
mod verify;

use crate::build::{Judged, stops};
use crate::error::ToolError;
use crate::finding::Finding;
use crate::keep;
use crate::report;
use clap::{Args, Parser, Subcommand, ValueEnum};
use jiff::civil::Date;
use std::io::{IsTerminal, Write};
use std::path::PathBuf;
use std::process::ExitCode;

const ABOUT: &str = "Compiles packs of soft-tissue treatment protocols into a checked reference site and printable cards";

const AFTER: &str = "\
Start here:
  fascicle compile packs/millrace-course     check the demo pack and write it to site/
  fascicle draft protocol my-muscle          print a commented document to start from
  fascicle explain                           list all checks
  fascicle audit packs/millrace-course --sample 59 --seed may
                                             the reviewer's dossier, with rows to read by hand
  fascicle compare packs/millrace-course@v1 packs/millrace-course
                                             what changed since a git revision, most dangerous first
  fascicle calc sheet.yaml                   run the computations on your own numbers
  fascicle find heel=2 --packs packs/millrace-course
                                             red flags and muscles for marked regions

Exit status: 0 clean, 1 findings that stop the build, 2 the command could not run.
FASCICLE_CACHE names the folder in which computed exposures are kept between runs; empty keeps none.
For trained practitioners; defers to local rules and licensed practice; no medical advice.";

#[derive(Parser)]
#[command(name = "fascicle", version, about = ABOUT, after_help = AFTER)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Check packs, then write site, cards and data; nothing is written if a check fails
    Compile(compile::Arguments),
    /// Check packs, then write their cards as PDF; nothing is written if a check fails
    Cards(cards::Arguments),
    /// Check packs and show the findings alone
    Check(check::Arguments),
    /// The reviewer's dossier: every claim, number, caution and red flag with what it rests on
    Audit(audit::Arguments),
    /// What changed between two editions of a pack, most dangerous first
    Compare(compare::Arguments),
    /// Sign off documents: shows what would be signed, then appends it to the ledger
    Approve(approve::Arguments),
    /// Judge the ledger and where each document stands; with a check code, whether a card still holds
    Verify(verify::Arguments),
    /// Say what a check means, why it matters and how to put it right; without a name, list all
    Explain(explain::Arguments),
    /// Print a commented document of a kind to start from
    Draft(draft::Arguments),
    /// Run the computations on your own numbers, given as a worksheet
    Calc(calc::Arguments),
    /// Draw a muscle of a pack on a grid of the body chart, as SVG, for authors
    Chart(chart::Arguments),
    /// From marked regions to the red flags to ask and the muscles worth examining; no diagnosis
    Find(find::Arguments),
    /// Bring sources in from BibTeX, RIS or CSL-JSON
    Cite(cite::Arguments),
    /// Write the sources of packs as CSL-JSON, BibTeX or RIS
    Export(export::Arguments),
}

/// Arguments of every command that judges packs.
#[derive(Args)]
struct Packs {
    /// Pack folders (each has a pack.yaml)
    #[arg(required = true, value_name = "PACKS")]
    folders: Vec<PathBuf>,
    /// Let warnings stop too
    #[arg(long)]
    strict: bool,
    /// Judge dates as on this day (year-month-day) instead of today
    #[arg(long, value_name = "DATE")]
    today: Option<Date>,
    /// How findings are shown
    #[arg(long, value_enum, default_value_t = Format::Human, value_name = "FORMAT")]
    format: Format,
}

#[derive(Copy, Clone, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For people, on standard error
    Human,
    /// One JSON object, on standard output
    Json,
}

/// How results are shown.
#[derive(Copy, Clone, PartialEq, Eq, ValueEnum)]
enum Shown {
    /// For people: units and rounding
    Table,
    /// One JSON object with full precision, on standard output
    Json,
}

impl Packs {
    fn today(&self) -> Date {
        self.today.unwrap_or_else(|| jiff::ZonedDateTime::now().date())
    }
}

/// How a command ended.
enum Ended {
    Clean,
    Findings,
    Unreadable,
}

/// Runs the command line.
pub fn main() -> ExitCode {
    let result = match Arguments::parse().command {
        Command::Compile(arguments) => kept(|| compile::run(&arguments)),
        Command::Cards(arguments) => kept(|| cards::run(&arguments)),
        Command::Check(arguments) => kept(|| check::run(&arguments)),
        Command::Audit(arguments) => kept(|| audit::run(&arguments)),
        Command::Compare(arguments) => kept(|| compare::run(&arguments)),
        Command::Approve(arguments) => kept(|| approve::run(&arguments)),
        Command::Verify(arguments) => kept(|| verify::run(&arguments)),
        Command::Explain(arguments) => explain::run(&arguments),
        Command::Draft(arguments) => draft::run(&arguments),
        Command::Calc(arguments) => kept(|| calc::run(&arguments)),
        Command::Chart(arguments) => kept(|| chart::run(&arguments)),
        Command::Find(arguments) => kept(|| find::run(&arguments)),
        Command::Cite(arguments) => kept(|| cite::run(&arguments)),
        Command::Export(arguments) => kept(|| export::run(&arguments)),
    };
    match result {
        Ok(Ended::Clean) => ExitCode::SUCCESS,
        Ok(Ended::Findings) => ExitCode::from(1),
        Ok(Ended::Unreadable) => ExitCode::from(2),
        Err(error) => {
            say(&format!("fascicle: {error}\n"));
            ExitCode::from(2)
        }
    }
}

/// Runs with the exposures that earlier runs computed, and keeps what is new.
fn kept(run: impl FnOnce() -> Result<Ended, ToolError>) -> Result<Ended, ToolError> {
    let folder = keep::folder();
    let before = folder.as_deref().map_or(0, keep::read);
    let ended = run();
    if let Some(folder) = folder {
        keep::write(&folder, before);
    }
    ended
}

/// Writes to standard output; a closed pipe is no failure.
fn print(text: &str) {
    let _ = std::io::stdout().lock().write_all(text.as_bytes());
}

/// Writes to standard error.
fn say(text: &str) {
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
}

/// Width of the screen, and whether it takes colour.
fn screen() -> (usize, bool) {
    let colour = std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none();
    (terminal_size::terminal_size().map_or(100, |(w, _)| usize::from(w.0).clamp(60, 140)), colour)
}

/// Shows findings in the wanted form and says whether they stop.
fn show(judged: &Judged, findings: &[Finding], packs: &Packs) -> Ended {
    if packs.format == Format::Json {
        print(&judged.json(findings));
    } else {
        let (width, colour) = screen();
        let mut text = String::new();
        for finding in findings {
            text += &report::human::render(finding, &judged.loaded.map, width, colour);
            text.push('\n');
        }
        say(&text);
    }
    if stops(findings, packs.strict) { Ended::Findings } else { Ended::Clean }
}

/// A count with its word.
fn counted(n: usize, word: &str) -> String {
    format!("{n} {word}{}", if n == 1 { "" } else { "s" })
}

/// One line about what was read.
fn documents(judged: &Judged) -> String {
    let files = judged.loaded.files.iter().filter(|f| f.stands).count();
    format!("{} in {}", counted(files, "document"), counted(judged.loaded.packs, "pack"))
}

fn bug(what: &str) -> ToolError {
    ToolError::Bug(what.to_string())
}
