//! A fingerprint of everything that decides what comes out, so that a site made by another version
//! of the tool is never taken for one that should be byte-equal.

use std::fs;
use std::hash::{DefaultHasher, Hasher};
use std::path::{Path, PathBuf};

fn main() {
    let mut files = vec![PathBuf::from("Cargo.lock")];
    for folder in ["src", "templates", "schemas"] {
        println!("cargo::rerun-if-changed={folder}");
        collect(Path::new(folder), &mut files);
    }
    files.sort();
    let mut hasher = DefaultHasher::new();
    for file in files {
        hasher.write(file.to_string_lossy().as_bytes());
        hasher.write(&fs::read(&file).unwrap_or_default());
    }
    println!("cargo::rustc-env=FASCICLE_FINGERPRINT={:016x}", hasher.finish());
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            collect(&path, files);
        } else {
            files.push(path);
        }
    }
}
