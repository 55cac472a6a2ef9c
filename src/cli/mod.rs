//! The command line: arguments to options, results to text and exit status.

use std::path::PathBuf;
use std::process::ExitCode;

/// Runs the command line.
pub fn main() -> ExitCode {
    let packs: Vec<PathBuf> = std::env::args().skip(2).map(PathBuf::from).collect();
    let today = jiff::ZonedDateTime::now().date();
    match crate::build::judge(&packs, today) {
        Ok(judged) => {
            let findings = judged.findings(today);
            for finding in &findings {
                eprint!("{}", crate::report::human::render(finding, &judged.loaded.map, 100, false));
            }
            eprintln!("{}", crate::report::Counts::of(&findings).line());
            ExitCode::from(u8::from(crate::build::stops(&findings, false)))
        }
        Err(error) => {
            eprintln!("fascicle: {error}");
            ExitCode::from(2)
        }
    }
}
