//! The whole programme, as a person runs it.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;
use common::{apply, copy, root};
use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output};

fn fascicle(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fascicle")).current_dir(folder).env("FASCICLE_CACHE", "").args(arguments).output().unwrap()
}

fn status(output: &Output) -> i32 {
    output.status.code().unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Every file with its bytes and time.
fn snapshot(folder: &Path) -> BTreeMap<String, (Vec<u8>, std::time::SystemTime)> {
    walkdir::WalkDir::new(folder)
        .into_iter()
        .map(Result::unwrap)
        .filter(|e| e.file_type().is_file())
        .map(|e| {
            let inner = e.path().strip_prefix(folder).unwrap().to_string_lossy().into_owned();
            (inner, (std::fs::read(e.path()).unwrap(), e.metadata().unwrap().modified().unwrap()))
        })
        .collect()
}

fn pack_copy() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(&root().join("tests/checks/base"), &dir.path().join("pack")).unwrap();
    dir
}

const DAY: [&str; 2] = ["--today", "2026-12-01"];

fn compile(folder: &Path) -> Output {
    fascicle(folder, &[&["compile", "pack", "--into", "site"], &DAY[..]].concat())
}

#[test]
fn a_second_compile_changes_nothing() {
    let dir = pack_copy();
    let first = compile(dir.path());
    assert_eq!(status(&first), 0, "{}", stderr(&first));
    let before = snapshot(&dir.path().join("site"));
    let second = compile(dir.path());
    assert!(stderr(&second).contains("0 files changed"), "{}", stderr(&second));
    assert_eq!(before, snapshot(&dir.path().join("site")));
}

#[test]
fn one_sweep_too_many_stops_the_build_and_leaves_the_old_site() {
    let dir = pack_copy();
    assert_eq!(status(&compile(dir.path())), 0);
    let before = snapshot(&dir.path().join("site"));
    let more = "\
protocols/soleus.yaml
-   - {number: 9, do: Ask for the pain number again., technique: measurement, measure: calf-pain, when: re-test, dose: {time: 1-2 min}, basis: house practice}
+   - {number: 9, do: Ask for the pain number again., technique: measurement, measure: calf-pain, when: re-test, dose: {time: 1-2 min}, basis: house practice}
+   - {number: 10, do: Wait., technique: screening, dose: {time: 2-5 min}, basis: house practice}
+   - number: 11
+     do: Sweep the outer calf once more.
+     technique: cold-sweep
+     target: {regions: [calf-outer]}
+     dose: {agent: ice edge, passes: 2-4 passes, speed: 10 cm/s, length: 30 cm, lines: 3 lines}
+     basis: house practice
techniques/cold-sweep.yaml
-   passes: {allowed: 2-3 passes, required: true, basis: common practice}
+   passes: {allowed: 2-4 passes, required: true, basis: common practice}
";
    apply(&dir.path().join("pack"), more).unwrap();
    let output = compile(dir.path());
    assert_eq!(status(&output), 1);
    let text = stderr(&output).replace('\u{a0}', " ");
    for part in [
        "calf, outer half adds up to 4 passes at best and 7 passes at worst",
        "6 passes a session",
        "Sweep the calf from the heel cord up.",
        "Sweep the outer calf once more.",
        "nothing was written",
    ] {
        assert!(text.contains(part), "`{part}` is missing:\n{text}");
    }
    assert_eq!(before, snapshot(&dir.path().join("site")));
}

#[test]
fn two_builds_elsewhere_are_byte_equal() {
    let build = |zone: &str, threads: &str| {
        let dir = tempfile::tempdir().unwrap();
        copy(&root().join("packs/millrace-course"), &dir.path().join("packs/millrace-course")).unwrap();
        let output = Command::new(env!("CARGO_BIN_EXE_fascicle"))
            .current_dir(dir.path())
            .env("TZ", zone)
            .env("RAYON_NUM_THREADS", threads)
            .env("FASCICLE_CACHE", "")
            .args(["compile", "packs/millrace-course", "--into", "out", "--today", "2026-12-01"])
            .output()
            .unwrap();
        assert_eq!(status(&output), 0, "{}", stderr(&output));
        snapshot(&dir.path().join("out")).into_iter().map(|(name, (bytes, _))| (name, bytes)).collect::<BTreeMap<_, _>>()
    };
    let (here, there) = (build("Pacific/Auckland", "1"), build("America/Lima", "8"));
    assert!(here.len() > 150, "{}", here.len());
    assert!(here == there, "differing: {:?}", here.iter().filter(|(k, v)| there.get(*k) != Some(*v)).map(|(k, _)| k).collect::<Vec<_>>());
}

#[test]
fn kept_exposures_change_nothing_and_spoilt_ones_count_as_nothing() {
    let dir = pack_copy();
    let cache = dir.path().join("kept");
    let build = |into: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_fascicle"))
            .current_dir(dir.path())
            .env("FASCICLE_CACHE", &cache)
            .args(["compile", "pack", "--into", into, "--today", "2026-12-01"])
            .output()
            .unwrap();
        assert_eq!(status(&output), 0, "{}", stderr(&output));
        snapshot(&dir.path().join(into)).into_iter().map(|(name, (bytes, _))| (name, bytes)).collect::<BTreeMap<_, _>>()
    };
    let file = cache.join("exposures.json");
    let first = build("a");
    let kept = std::fs::read_to_string(&file).unwrap();
    assert!(kept.contains("skin_max"));
    assert!(first == build("b"), "with what was kept");
    std::fs::write(&file, kept.replace("\"skin_max\":3", "\"skin_max\":8")).unwrap();
    assert!(first == build("c"), "with numbers that somebody changed");
    std::fs::write(&file, &kept[..kept.len() / 3]).unwrap();
    assert!(first == build("d"), "with a file that is cut off");
}

#[test]
fn a_folder_of_somebody_else_is_refused() {
    let dir = pack_copy();
    std::fs::create_dir(dir.path().join("site")).unwrap();
    std::fs::write(dir.path().join("site/letter.txt"), "mine").unwrap();
    let output = compile(dir.path());
    assert_eq!(status(&output), 2);
    assert!(stderr(&output).contains("letter.txt"), "{}", stderr(&output));
}

#[test]
fn findings_for_programs_have_place_and_pointer() {
    let dir = pack_copy();
    apply(&dir.path().join("pack"), "protocols/soleus.yaml\n- technique: moist-heat\n+ technique: moist-hat\n").unwrap();
    let output = fascicle(dir.path(), &[&["check", "pack", "--format", "json"], &DAY[..]].concat());
    assert_eq!(status(&output), 1);
    let report: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(report["version"], 1);
    let finding = report["findings"].as_array().unwrap().iter().find(|f| f["check"] == "link-missing").unwrap();
    assert_eq!((finding["document"].as_str(), finding["pointer"].as_str()), (Some("protocols/soleus"), Some("/steps/4/technique")));
    let label = &finding["labels"][0];
    assert_eq!((label["file"].as_str(), label["primary"].as_bool()), (Some("pack/protocols/soleus.yaml"), Some(true)));
    assert_eq!(label["end_column"].as_u64().unwrap() - label["column"].as_u64().unwrap(), "moist-hat".len() as u64);
    assert_eq!(report["counts"]["error"], report["findings"].as_array().unwrap().iter().filter(|f| f["level"] == "error").count());
}

#[test]
fn what_cannot_run_says_so_with_status_two() {
    let dir = tempfile::tempdir().unwrap();
    for (arguments, words) in [
        (vec!["check", "."], "pack.yaml"),
        (vec!["explain", "dose-outside-tecnique"], "did you mean `dose-outside-technique`"),
        (vec!["draft", "muscel", "x"], "did you mean `muscle`"),
        (vec!["check"], "PACKS"),
    ] {
        let output = fascicle(dir.path(), &arguments);
        assert_eq!(status(&output), 2, "{arguments:?}");
        assert!(stderr(&output).contains(words), "{arguments:?}: {}", stderr(&output));
    }
}

#[test]
fn help_and_pages_go_to_standard_output() {
    let dir = tempfile::tempdir().unwrap();
    for (arguments, words) in [
        (vec!["--help"], "Start here"),
        (vec!["explain"], "dose-outside-technique"),
        (vec!["explain", "dose-outside-technique"], "## Why it matters"),
        (vec!["draft", "protocol", "my-protocol"], "id: my-protocol"),
        (vec!["draft", "regions"], "calf-outer"),
    ] {
        let output = fascicle(dir.path(), &arguments);
        assert_eq!(status(&output), 0, "{arguments:?}");
        assert!(String::from_utf8_lossy(&output.stdout).contains(words), "{arguments:?}");
    }
}

#[test]
fn a_muscle_is_drawn_on_a_grid_even_with_findings() {
    let dir = pack_copy();
    apply(&dir.path().join("pack"), "muscles/soleus.yaml\n- 4.6 136, 5.4 131, 9 129.3\n+ 5.4 131, 4.6 136, 9 129.3\n").unwrap();
    let output = fascicle(dir.path(), &["chart", "soleus", "pack"]);
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    assert!(stderr(&output).contains("1 finding about this muscle"), "{}", stderr(&output));
    let text = String::from_utf8(output.stdout).unwrap();
    let sheet = roxmltree::Document::parse(&text).unwrap();
    let count = |class: &str| sheet.descendants().filter(|n| n.attribute("class") == Some(class)).count();
    assert_eq!((count("ring"), count("belly")), (2, 0), "what cannot be read is not drawn");
    assert!(count("one") > 20 && count("five") > 5 && count("core") > 0);
    assert!(text.contains("defers to local rules"));

    let sound = pack_copy();
    assert_eq!(status(&fascicle(sound.path(), &["chart", "soleus", "pack", "--into", "s.svg"])), 0);
    let text = std::fs::read_to_string(sound.path().join("s.svg")).unwrap();
    assert_eq!(roxmltree::Document::parse(&text).unwrap().descendants().filter(|n| n.attribute("class") == Some("belly")).count(), 1);

    assert_eq!(status(&fascicle(dir.path(), &["chart", "palm"])), 0, "a view is a bare grid");
    let unknown = fascicle(dir.path(), &["chart", "solus", "pack"]);
    assert!(status(&unknown) == 2 && stderr(&unknown).contains("did you mean `soleus`"), "{}", stderr(&unknown));
    assert_eq!(status(&fascicle(dir.path(), &["chart", "soleus"])), 2, "a muscle needs its pack");
}

/// Cards as PDF are a feature of the build; without it the command says what to type.
#[cfg(not(feature = "pdf"))]
#[test]
fn a_build_without_cards_as_pdf_says_how_to_get_one() {
    let dir = pack_copy();
    let output = fascicle(dir.path(), &["cards", "pack", "--into", "cards"]);
    assert_eq!(status(&output), 2);
    assert!(stderr(&output).contains("cargo install --path . --features pdf"), "{}", stderr(&output));
    assert!(!dir.path().join("cards").exists());
}

/// What people cite stays as it was: a new edition comes beside it, and another text under the same number is refused.
#[test]
fn an_edition_keeps_an_address_of_its_own() {
    let dir = pack_copy();
    let compile = |packs: &[&str]| {
        let all = [&["compile"], packs, &["--into", "public", "--edition-folder", "--today", "2026-12-01"]].concat();
        fascicle(dir.path(), &all)
    };
    let first = compile(&["pack"]);
    assert_eq!(status(&first), 0, "{}", stderr(&first));
    let edition = dir.path().join("public/1.0.0");
    assert!(stderr(&first).contains("the edition was written in public/1.0.0"), "{}", stderr(&first));
    assert_eq!(std::fs::read(edition.join("index.html")).unwrap(), std::fs::read(dir.path().join("public/index.html")).unwrap());
    let before = snapshot(&edition);

    // Another day is no other edition.
    let later = fascicle(dir.path(), &["compile", "pack", "--into", "public", "--edition-folder", "--today", "2026-12-24"]);
    assert_eq!(status(&later), 0, "{}", stderr(&later));
    assert!(stderr(&later).contains("the edition stands as before in public/1.0.0"), "{}", stderr(&later));
    assert_eq!(before, snapshot(&edition));

    let newest = snapshot(&dir.path().join("public"));
    apply(&dir.path().join("pack"), "muscles/soleus.yaml\n- name: Soleus\n+ name: Soleus muscle\n").unwrap();
    let refused = compile(&["pack"]);
    assert_eq!(status(&refused), 2);
    assert!(stderr(&refused).contains("holds edition 1.0.0 with other documents"), "{}", stderr(&refused));
    assert!(stderr(&refused).contains("Raise `edition` in pack.yaml"));
    assert_eq!(newest, snapshot(&dir.path().join("public")));

    apply(&dir.path().join("pack"), "pack.yaml\n- edition: 1.0.0\n+ edition: 1.1.0\n").unwrap();
    let second = compile(&["pack"]);
    assert_eq!(status(&second), 0, "{}", stderr(&second));
    assert_eq!(before, snapshot(&edition));
    assert!(std::fs::read_to_string(dir.path().join("public/index.html")).unwrap().contains("1.1.0"));
    assert!(dir.path().join("public/1.1.0/index.html").exists());

    // What is there and was not written for the edition is refused before anything is written.
    for (name, said) in [("letter.txt", "holds files that fascicle did not write"), ("site", "was not written there by --edition-folder")] {
        let into = dir.path().join(name.trim_end_matches(".txt"));
        let folder = into.join("1.1.0");
        std::fs::create_dir_all(&folder).unwrap();
        if name == "site" {
            assert_eq!(status(&fascicle(dir.path(), &["compile", "pack", "--into", "site/1.1.0", "--today", "2026-12-01"])), 0);
        } else {
            std::fs::write(folder.join(name), "mine").unwrap();
        }
        let before = snapshot(&into);
        let refused =
            fascicle(dir.path(), &["compile", "pack", "--into", into.to_str().unwrap(), "--edition-folder", "--today", "2026-12-01"]);
        assert_eq!(status(&refused), 2);
        assert!(stderr(&refused).contains(said), "{}", stderr(&refused));
        assert_eq!(before, snapshot(&into));
    }
}
