//! An index in parts answers every question exactly as the whole one does. The whole one, read by the search library
//! itself, is what it is held against; both are those of the demo pack.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking, and names its own files")]

mod common;

use fascicle::build::judge;
use fascicle::plan::references::References;
use fascicle::plan::search;
use fascicle::plan::site::Site;
use std::fs;
use std::path::Path;
use std::process::Command;

#[test]
fn an_index_in_parts_answers_as_the_whole_one() {
    let judged = judge(&[common::root().join("packs/millrace-course")], common::TODAY).unwrap();
    let catalog = judged.catalog.as_ref().unwrap();
    let references = &References::of(catalog).unwrap();
    let site = Site { catalog, facts: &judged.facts, references, path: "index.html" };
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("search-parts");
    let _ = fs::remove_dir_all(&folder);
    let whole = search::scripts(&site);
    assert_eq!(whole.len(), 1, "the demo pack is small");
    let parts = search::in_parts(&search::index(&site));
    assert!(parts.len() > 3, "{} scripts", parts.len());
    for (name, scripts) in [("whole", whole), ("parts", parts)] {
        for (path, text) in scripts {
            let file = folder.join(name).join(path);
            fs::create_dir_all(file.parent().unwrap()).unwrap();
            fs::write(file, text).unwrap();
        }
    }
    let run = Command::new("node").arg(common::root().join("tests/search_parts.mjs")).arg(&folder).output().unwrap();
    let said = String::from_utf8_lossy(&run.stdout).into_owned() + &String::from_utf8_lossy(&run.stderr);
    assert!(run.status.success() && said.contains(" questions answered the same"), "{said}");
}
