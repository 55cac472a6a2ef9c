//! Shared by the test programs: fixture packs and running the tool on them.
#![allow(dead_code, reason = "each test program uses a part")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

pub mod worksheet;

use std::path::{Path, PathBuf};

/// The day for which fixtures are judged.
pub const TODAY: jiff::civil::Date = jiff::civil::date(2026, 12, 1);

/// The project folder.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Copies a folder.
pub fn copy(from: &Path, to: &Path) -> Result<(), String> {
    for entry in walkdir::WalkDir::new(from).sort_by_file_name() {
        let entry = entry.map_err(|e| e.to_string())?;
        let target = to.join(entry.path().strip_prefix(from).map_err(|e| e.to_string())?);
        if entry.file_type().is_dir() {
            std::fs::create_dir_all(&target).map_err(|e| e.to_string())?;
        } else {
            std::fs::copy(entry.path(), &target).map_err(|e| e.to_string())?;
        }
    }
    Ok(())
}

/// Makes a draft of a copied pack: no ledger, no kept editions, and it says so.
pub fn unsign(pack: &Path) {
    std::fs::remove_file(pack.join("approvals.yaml")).unwrap();
    std::fs::remove_dir_all(pack.join("editions")).unwrap();
    let file = pack.join("pack.yaml");
    let text = std::fs::read_to_string(&file).unwrap();
    std::fs::write(&file, text.replacen("author: ", "status: draft\nauthor: ", 1)).unwrap();
}

/// The base pack with the edits and files of a fixture folder.
pub fn fixture_pack(fixture: &Path) -> Result<tempfile::TempDir, String> {
    let dir = tempfile::tempdir().map_err(|e| e.to_string())?;
    copy(&root().join("tests/checks/base"), dir.path())?;
    if !fixture.is_dir() {
        return Err(format!("{} is missing", fixture.display()));
    }
    copy(fixture, dir.path())?;
    let edits = dir.path().join("edits.txt");
    if let Ok(text) = std::fs::read_to_string(&edits) {
        std::fs::remove_file(&edits).map_err(|e| e.to_string())?;
        apply(dir.path(), &text)?;
    }
    Ok(dir)
}

/// The pack of a fixture folder, and the folder in which it lies. With a `house.txt` it is the house pack with these
/// edits, over the base pack with those of `edits.txt`. With a `beside.txt` a copy of the base pack with these edits lies beside it.
pub fn fixture(fixture: &Path) -> Result<(tempfile::TempDir, PathBuf), String> {
    let beside = fixture.join("beside.txt");
    if beside.is_file() {
        let dir = tempfile::tempdir().map_err(|e| e.to_string())?;
        for (name, edits) in [("base", "edits.txt"), ("beside", "beside.txt")] {
            copy(&root().join("tests/checks/base"), &dir.path().join(name))?;
            apply(&dir.path().join(name), &read(&fixture.join(edits)))?;
        }
        let pack = dir.path().join("base");
        return Ok((dir, pack));
    }
    let house = fixture.join("house.txt");
    if !house.is_file() {
        let dir = fixture_pack(fixture)?;
        let pack = dir.path().to_path_buf();
        return Ok((dir, pack));
    }
    let dir = tempfile::tempdir().map_err(|e| e.to_string())?;
    house_packs(dir.path(), &read(&fixture.join("edits.txt")), &read(&house))?;
    let pack = dir.path().join("house");
    Ok((dir, pack))
}

/// Makes `base` and `house` in a folder, each with its edits. In the house pack `DIGEST:flags/leg-clot` stands for the
/// digest of that document, `DIGEST:all` for that of all, as the base pack was before its edits.
pub fn house_packs(dir: &Path, base_edits: &str, house_edits: &str) -> Result<(), String> {
    let (base, house) = (dir.join("base"), dir.join("house"));
    copy(&root().join("tests/checks/base"), &base)?;
    copy(&root().join("tests/house"), &house)?;
    apply(&house, house_edits)?;
    for entry in walkdir::WalkDir::new(&house).into_iter().filter_map(Result::ok).filter(|e| e.file_type().is_file()) {
        let mut text = read(entry.path());
        while let Some(start) = text.find("DIGEST:") {
            let end = text[start..].find('"').ok_or("a digest ends with a quote")? + start;
            let digest = digest_of(&base, &text[start + 7..end])?;
            text.replace_range(start..end, &digest);
        }
        std::fs::write(entry.path(), text).map_err(|e| e.to_string())?;
    }
    apply(&base, base_edits)
}

/// Digest of what a document of a pack says.
pub fn digest_of(pack: &Path, name: &str) -> Result<String, String> {
    use fascicle::model::content::Content;
    use fascicle::model::{Kind, PARTS};
    if name == "all" {
        let judged = fascicle::build::judge(&[pack.to_path_buf()], TODAY).map_err(|e| e.to_string())?;
        return Ok(judged.facts.currency.digest().to_string());
    }
    let (folder, id) = name.split_once('/').ok_or("a name is folder/id")?;
    let loaded = fascicle::load::load(&[pack.to_path_buf()]).map_err(|e| e.to_string())?;
    let part = PARTS.iter().find(|(part, _)| folder == "pack" && *part == id);
    let wanted = |kind: Kind, stem: &str| if part.is_some() { kind == Kind::Pack } else { kind.folder() == folder && stem == id };
    let file = loaded.files.iter().find(|f| f.kind.is_some_and(|k| wanted(k, &f.stem))).ok_or(format!("{name} is not there"))?;
    let content = Content::of(file.tree.as_ref().ok_or("it cannot be read")?);
    Ok(part.map_or(content.clone(), |(_, keys)| content.only(keys)).digest().to_string())
}

fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_default()
}

/// Edits: a line with a path, then `- old` and `+ new` lines. Old lines are found exactly once,
/// indentation kept by the text around them; several lines in a row are one piece. A `+` alone after
/// a path appends to the file. `! delete` removes it. `\t`, `\u{..}` and `\e` (end the file here)
/// stand for what they say. `! sign ROLE DAY REVIEW-BY INTERESTS DOC…` after the path of a ledger approves, `! symlink TARGET` makes the path a link, `! bytes HEX` and
/// `! repeat N LINE` append to it.
pub fn apply(pack: &Path, edits: &str) -> Result<(), String> {
    let mut path = PathBuf::new();
    let (mut old, mut new): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    for line in edits.lines().chain(["\u{0}"]) {
        let is_old = line.strip_prefix("- ");
        let is_new = line.strip_prefix("+ ").or((line == "+").then_some(""));
        if (is_old.is_some() && !new.is_empty()) || (is_old.is_none() && is_new.is_none()) {
            change(&path, &mut old, &mut new)?;
        }
        match (is_old, is_new) {
            (Some(text), _) => old.push(text.to_string()),
            (_, Some(text)) => new.push(text.to_string()),
            _ if line == "! delete" => std::fs::remove_file(&path).map_err(|e| format!("{}: {e}", path.display()))?,
            _ if line.starts_with("! ") => special(&path, &line[2..]).map_err(|e| format!("{}: {line}: {e}", path.display()))?,
            _ if line.is_empty() || line == "\u{0}" => {}
            _ => path = pack.join(line),
        }
    }
    Ok(())
}

fn special(path: &Path, order: &str) -> std::io::Result<()> {
    let refused = || std::io::Error::other("no such order");
    let (word, rest) = order.split_once(' ').ok_or_else(refused)?;
    let more = match word {
        "sign" => return sign(path, rest).map_err(std::io::Error::other),
        "symlink" => return std::os::unix::fs::symlink(rest, path),
        "bytes" => rest.split(' ').map(|b| u8::from_str_radix(b, 16)).collect::<Result<Vec<u8>, _>>().map_err(std::io::Error::other)?,
        "repeat" => {
            let (n, line) = rest.split_once(' ').ok_or_else(refused)?;
            format!("{line}\n").repeat(n.parse().map_err(std::io::Error::other)?).into_bytes()
        }
        _ => return Err(refused()),
    };
    let mut bytes = std::fs::read(path).unwrap_or_default();
    bytes.extend(more);
    std::fs::write(path, bytes)
}

/// Approves documents of the pack in which the ledger at `path` lies: role, day, day of review, interests (`-` for none
/// declared), documents.
fn sign(path: &Path, order: &str) -> Result<(), String> {
    let words: Vec<&str> = order.split(' ').collect();
    let [role, date, review_by, interests, documents @ ..] = words.as_slice() else { return Err("too few words".into()) };
    let root = path.parent().ok_or("no folder")?;
    let day = |text: &str| text.parse::<jiff::civil::Date>().map_err(|e| e.to_string());
    let judged = fascicle::build::judge(&[root.to_path_buf()], day(date)?).map_err(|e| e.to_string())?;
    let documents: Vec<_> = documents.iter().filter_map(|d| fascicle::model::DocName::read(d)).collect();
    let interests = Some(*interests).filter(|i| *i != "-");
    let request = fascicle::sign::Request {
        root,
        documents: &documents,
        role,
        date: day(date)?,
        review_by: day(review_by)?,
        interests,
        note: None,
        key: None,
    };
    let prepared = fascicle::sign::prepare(&judged, &request).map_err(|e| e.to_string())?;
    fascicle::sign::write(&prepared).map_err(|e| e.to_string())
}

fn change(path: &Path, old: &mut Vec<String>, new: &mut Vec<String>) -> Result<(), String> {
    if old.is_empty() && new.is_empty() {
        return Ok(());
    }
    let text = std::fs::read_to_string(path).unwrap_or_default();
    let (from, to) = (old.join("\n"), unescape(&new.join("\n")));
    let mut changed = if from.is_empty() {
        format!("{text}{to}\n")
    } else {
        if text.matches(&from).count() != 1 {
            return Err(format!("`{from}` stands {} times in {}", text.matches(&from).count(), path.display()));
        }
        text.replacen(&from, &to, 1)
    };
    if let Some(end) = changed.find("\u{0}END") {
        changed.truncate(end);
    }
    std::fs::create_dir_all(path.parent().unwrap_or(path)).map_err(|e| e.to_string())?;
    std::fs::write(path, changed).map_err(|e| format!("{}: {e}", path.display()))?;
    old.clear();
    new.clear();
    Ok(())
}

fn unescape(text: &str) -> String {
    let mut out = text.replace("\\t", "\t").replace("\\e", "\u{0}END");
    while let Some(start) = out.find("\\u{") {
        let Some(end) = out[start..].find('}').map(|e| start + e) else { break };
        let c = u32::from_str_radix(&out[start + 3..end], 16).ok().and_then(char::from_u32).unwrap_or(' ');
        out.replace_range(start..=end, &c.to_string());
    }
    out
}

/// Findings of a pack (name, level) and their rendered report, with the pack shown under `shown`.
pub fn judge(pack: &Path, shown: &str, today: jiff::civil::Date) -> Result<(Vec<(String, String)>, String), String> {
    let judged = fascicle::build::judge(&[pack.to_path_buf()], today).map_err(|e| e.to_string())?;
    let findings = judged.findings(today);
    let mut report = String::new();
    for finding in &findings {
        report += &fascicle::report::human::render(finding, &judged.loaded.map, 100, false);
    }
    // A house pack is shown with the folder in which it and its base lie.
    let outer = if pack.ends_with("house") { pack.parent().unwrap_or(pack) } else { pack };
    let prefix = outer.to_string_lossy().replace('\\', "/");
    let report = report.replace(&format!("{prefix}/"), "").replace(&*prefix, shown);
    let report = report.lines().map(str::trim_end).collect::<Vec<_>>().join("\n") + "\n";
    Ok((findings.iter().map(|f| (f.check.to_string(), f.level.word().to_string())).collect(), report))
}
