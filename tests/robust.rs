//! Whatever bytes stand in a pack: nothing panics, and every label lies inside its file on borders of
//! characters.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

use proptest::prelude::*;
use std::path::{Path, PathBuf};

mod common;

/// Documents of the base pack, by path inside it.
fn documents() -> Vec<PathBuf> {
    let base = common::root().join("tests/checks/base");
    let walk = walkdir::WalkDir::new(&base).sort_by_file_name().into_iter().filter_map(Result::ok);
    walk.filter(|e| e.file_type().is_file()).filter_map(|e| e.path().strip_prefix(&base).ok().map(Path::to_path_buf)).collect()
}

/// What happens to the bytes of a document.
#[derive(Clone, Debug)]
enum Harm {
    Cut(prop::sample::Index),
    Replace(prop::sample::Index, Vec<u8>),
    Insert(prop::sample::Index, String),
    Drop(prop::sample::Index, usize),
    Bytes(Vec<u8>),
}

fn harm() -> impl Strategy<Value = Harm> {
    let place = any::<prop::sample::Index>;
    prop_oneof![
        place().prop_map(Harm::Cut),
        (place(), prop::collection::vec(any::<u8>(), 1..4)).prop_map(|(i, b)| Harm::Replace(i, b)),
        (place(), "[ -~\u{e9}\u{2013}\u{202e}\n\t\"'\\[\\]{}&*:|>#-]{1,6}").prop_map(|(i, t)| Harm::Insert(i, t)),
        (place(), 1..40usize).prop_map(|(i, n)| Harm::Drop(i, n)),
        prop::collection::vec(any::<u8>(), 0..200).prop_map(Harm::Bytes),
    ]
}

fn apply(harm: &Harm, bytes: &mut Vec<u8>) {
    let len = bytes.len();
    match harm {
        Harm::Cut(at) => bytes.truncate(at.index(len)),
        Harm::Replace(at, with) => {
            let start = at.index(len);
            bytes.splice(start..(start + with.len()).min(len), with.iter().copied());
        }
        Harm::Insert(at, text) => {
            let start = at.index(len);
            bytes.splice(start..start, text.bytes());
        }
        Harm::Drop(at, n) => {
            let start = at.index(len);
            bytes.drain(start..(start + n).min(len));
        }
        Harm::Bytes(with) => bytes.clone_from(with),
    }
}

/// Judges the base pack with one document replaced, and looks at every label.
fn judge_with(document: &Path, bytes: &[u8]) -> Result<(), TestCaseError> {
    let fail = |e: String| TestCaseError::fail(e);
    let dir = tempfile::tempdir().map_err(|e| fail(e.to_string()))?;
    common::copy(&common::root().join("tests/checks/base"), dir.path()).map_err(fail)?;
    std::fs::write(dir.path().join(document), bytes).map_err(|e| fail(e.to_string()))?;
    let judged = fascicle::build::judge(&[dir.path().to_path_buf()], common::TODAY).map_err(|e| fail(e.to_string()))?;
    let map = &judged.loaded.map;
    for finding in judged.findings(common::TODAY) {
        for label in std::iter::once(&finding.primary).chain(&finding.related) {
            let text = map.text(label.span.file);
            prop_assert!(text.get(label.span.range()).is_some(), "{}: {:?} in {}", finding.check, label, map.path(label.span.file));
        }
        fascicle::report::human::render(&finding, map, 60, false);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 160, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_bytes_make_it_panic_or_point_outside(which in any::<prop::sample::Index>(), harms in prop::collection::vec(harm(), 1..3)) {
        let documents = documents();
        let document = &documents[which.index(documents.len())];
        let mut bytes = std::fs::read(common::root().join("tests/checks/base").join(document)).expect("readable");
        for harm in &harms {
            if !bytes.is_empty() {
                apply(harm, &mut bytes);
            }
        }
        judge_with(document, &bytes)?;
    }
}

#[test]
fn every_prefix_of_a_protocol_is_survived() {
    let document = PathBuf::from("protocols/soleus.yaml");
    let bytes = std::fs::read(common::root().join("tests/checks/base").join(&document)).expect("readable");
    for end in (0..bytes.len()).step_by(97) {
        judge_with(&document, &bytes[..end]).unwrap_or_else(|e| panic!("cut at {end}: {e}"));
    }
}
