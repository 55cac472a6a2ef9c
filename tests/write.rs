//! Writing a site is all or nothing, keeps what did not change, and leaves other people's folders alone.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

use fascicle::error::ToolError;
use fascicle::plan::Shape;
use fascicle::render::Built;
use fascicle::write::{Written, standing, unrepeatable, write};
use std::fs;
use std::path::Path;

fn file(path: &str, text: &str) -> Built {
    Built { path: path.into(), shape: Shape::Page, doc: None, bytes: text.into() }
}

fn read(folder: &Path, path: &str) -> String {
    fs::read_to_string(folder.join(path)).unwrap()
}

#[test]
fn a_second_write_touches_only_what_changed() {
    let dir = tempfile::tempdir().unwrap();
    let site = dir.path().join("site");
    fs::create_dir(&site).unwrap();
    fs::write(site.join(".gitignore"), "*\n").unwrap();
    write(&[file("a.html", "1"), file("b/c.html", "2"), file("gone.html", "3")], &site, "x").unwrap();
    let time = fs::metadata(site.join("b/c.html")).unwrap().modified().unwrap();
    let done = write(&[file("a.html", "new"), file("b/c.html", "2")], &site, "y").unwrap();
    assert_eq!(done, Written { changed: 1, unchanged: 1, removed: 1 });
    assert_eq!((read(&site, "a.html"), read(&site, ".gitignore")), ("new".into(), "*\n".into()));
    assert_eq!(fs::metadata(site.join("b/c.html")).unwrap().modified().unwrap(), time);
    assert!(!site.join("gone.html").exists());
    let beside: Vec<_> = fs::read_dir(dir.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(beside, ["site"]);
}

#[test]
fn a_folder_of_somebody_else_is_left_alone() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("letter.txt"), "mine").unwrap();
    let error = write(&[file("index.html", "x")], dir.path(), "x").unwrap_err();
    assert!(matches!(error, ToolError::ForeignFolder { .. }), "{error}");
    assert_eq!(read(dir.path(), "letter.txt"), "mine");
    assert!(!dir.path().join("index.html").exists());
}

#[test]
fn a_file_added_to_a_site_is_kept_and_never_overwritten() {
    let dir = tempfile::tempdir().unwrap();
    let site = dir.path().join("site");
    write(&[file("index.html", "1")], &site, "x").unwrap();
    fs::write(site.join("mine.txt"), "mine").unwrap();
    write(&[file("index.html", "2")], &site, "y").unwrap();
    assert_eq!((read(&site, "index.html"), read(&site, "mine.txt")), ("2".into(), "mine".into()));
    let error = write(&[file("index.html", "3"), file("mine.txt", "theirs")], &site, "z").unwrap_err();
    assert!(matches!(error, ToolError::ForeignFolder { .. }), "{error}");
    assert_eq!((read(&site, "index.html"), read(&site, "mine.txt")), ("2".into(), "mine".into()));
}

#[test]
fn what_a_crash_left_is_put_right() {
    let dir = tempfile::tempdir().unwrap();
    let site = dir.path().join("site");
    write(&[file("index.html", "1")], &site, "x").unwrap();
    // A crash after the old site was set aside and before the new one took its place.
    fs::rename(&site, dir.path().join(".site.fascicle-old")).unwrap();
    fs::create_dir(dir.path().join(".site.fascicle-new")).unwrap();
    fs::write(dir.path().join(".site.fascicle-new/half"), "").unwrap();
    let done = write(&[file("index.html", "1")], &site, "x").unwrap();
    assert_eq!(done, Written { changed: 0, unchanged: 1, removed: 0 });
    assert_eq!(read(&site, "index.html"), "1");
    assert!(!dir.path().join(".site.fascicle-new").exists());
}

#[test]
fn the_same_inputs_with_other_bytes_are_noticed() {
    let dir = tempfile::tempdir().unwrap();
    let site = dir.path().join("site");
    write(&[file("index.html", "1"), file("b.html", "1")], &site, "x").unwrap();
    let old = standing(&site).unwrap().unwrap();
    assert_eq!(unrepeatable(&old, "x", &[file("index.html", "2"), file("b.html", "1")]), ["index.html"]);
    assert!(unrepeatable(&old, "y", &[file("index.html", "2")]).is_empty());
}
