//! One test for each fixture folder: the base pack with one fault must fire exactly that check, the
//! near miss must be silent, and the rendered report is the one that was read and accepted.
//!
//! A fixture is `edits.txt` (what is changed in the base pack), or whole files laid over it, or both. With `house.txt`
//! it is the house pack of `tests/house`, with those edits, over the base pack.
//! `BLESS=1` rewrites the reports.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

use libtest_mimic::{Arguments, Failed, Trial};
use std::path::{Path, PathBuf};

mod common;
use common::{TODAY, fixture, house_packs, root};

fn main() -> std::process::ExitCode {
    let mut trials = vec![Trial::test("base_is_silent", || {
        let findings = judge(&root().join("tests/checks/base"), "base")?;
        if findings.0.is_empty() { Ok(()) } else { Err(findings.1.into()) }
    })];
    trials.push(Trial::test("house_is_silent", || {
        let dir = tempfile::tempdir().map_err(|e| e.to_string())?;
        house_packs(dir.path(), "", "")?;
        let findings = judge(&dir.path().join("house"), "house")?;
        if findings.0.is_empty() { Ok(()) } else { Err(findings.1.into()) }
    }));
    let mut folders: Vec<PathBuf> =
        std::fs::read_dir(root().join("tests/checks")).expect("tests/checks is there").map(|e| e.expect("readable").path()).collect();
    folders.sort();
    for folder in folders.into_iter().filter(|f| f.is_dir() && !f.ends_with("base")) {
        let name = folder.file_name().expect("has a name").to_string_lossy().into_owned();
        trials.push(Trial::test(format!("{name}::fires"), move || fires(&folder)));
        let folder = root().join("tests/checks").join(&name);
        trials.push(Trial::test(format!("{name}::silent"), move || silent(&folder)));
    }
    libtest_mimic::run(&Arguments::from_args(), trials).exit_code()
}

type Found = (Vec<(String, String)>, String);

/// Names with levels, and the rendered report.
fn judge(pack: &Path, shown: &str) -> Result<Found, Failed> {
    common::judge(pack, shown, TODAY).map_err(Failed::from)
}

fn name_of(folder: &Path) -> String {
    folder.file_name().expect("has a name").to_string_lossy().into_owned()
}

fn fires(folder: &Path) -> Result<(), Failed> {
    let name = name_of(folder);
    let (_dir, pack) = fixture(&folder.join("fires"))?;
    let (found, report) = judge(&pack, &name)?;
    let others: Vec<_> = found.iter().filter(|(n, _)| *n != name).collect();
    if !found.iter().any(|(n, _)| *n == name) || !others.is_empty() {
        return Err(format!("expected only `{name}`, found {found:?}\n{report}").into());
    }
    if let Some((_, level)) = found.iter().find(|(_, l)| fascicle::checks::named(&name).is_none_or(|c| c.level.word() != l)) {
        return Err(format!("`{name}` is found as {level}, which is not the level of the registered check\n{report}").into());
    }
    let accepted = folder.join("report.txt");
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&accepted, &report).map_err(|e| e.to_string())?;
    }
    let wanted = std::fs::read_to_string(&accepted).unwrap_or_default();
    if wanted == report { Ok(()) } else { Err(format!("the report differs from report.txt (BLESS=1 accepts it):\n{report}").into()) }
}

fn silent(folder: &Path) -> Result<(), Failed> {
    let (_dir, pack) = fixture(&folder.join("silent"))?;
    let (found, report) = judge(&pack, &name_of(folder))?;
    if found.is_empty() { Ok(()) } else { Err(format!("should be silent:\n{report}").into()) }
}
