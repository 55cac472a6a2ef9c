//! Worksheets: bytes of one file to a tree, with what was wrong.
//!
//! The same reader, the same hygiene and the same schemas as packs; numbers may have a power of ten,
//! so that a program can write the sheet as JSON. What a calculation makes of its inputs is not
//! known here.

use super::{explained, hygiene, schema, yaml};
use crate::error::{ToolError, disk};
use crate::finding::{self, Finding, Level};
use crate::source::{FileId, Node, SourceMap, Span};
use std::io::Read;
use std::path::Path;

/// Largest worksheet that is read: thousands of calculations.
pub const MAX_BYTES: u64 = 8 * 1024 * 1024;

/// A worksheet after reading.
pub struct Worksheet {
    /// Its text and positions.
    pub map: SourceMap,
    /// The only file of `map`.
    pub file: FileId,
    /// Its tree, unless it could not be read.
    pub tree: Option<Node>,
    /// What was wrong, in the order of places.
    pub findings: Vec<Finding>,
}

/// Name and bytes of a worksheet; `-` is standard input.
///
/// # Errors
/// When it cannot be read, or is larger than a worksheet can be.
pub fn bytes(path: &Path) -> Result<(String, Vec<u8>), ToolError> {
    let stdin = path.as_os_str() == "-";
    let name = if stdin { "standard input".to_string() } else { path.to_string_lossy().replace('\\', "/") };
    let mut bytes = Vec::new();
    let most = MAX_BYTES + 1;
    if stdin {
        std::io::stdin().lock().take(most).read_to_end(&mut bytes).map_err(disk("read", &name))?;
    } else {
        let file = std::fs::File::open(path).map_err(disk("read", path))?;
        file.take(most).read_to_end(&mut bytes).map_err(disk("read", path))?;
    }
    if bytes.len() as u64 == most {
        return Err(ToolError::Usage(format!("{name} has more than {MAX_BYTES} bytes; split it into several worksheets")));
    }
    Ok((name, bytes))
}

/// Parses a worksheet and judges its shape.
///
/// # Errors
/// When the shipped schema is broken.
pub fn read(name: String, bytes: Vec<u8>) -> Result<Worksheet, ToolError> {
    let mut map = SourceMap::default();
    let text = match String::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => {
            let valid = error.utf8_error().valid_up_to();
            let file = map.add(name, String::from_utf8_lossy(error.as_bytes()).into_owned());
            let finding = super::unreadable(file, &map, &super::Problem::NotUtf8(valid));
            return Ok(Worksheet { map, file, tree: None, findings: vec![finding] });
        }
    };
    let file = map.add(name, text);
    let (tree, findings) = judge(file, &map)?;
    Ok(Worksheet { map, file, tree, findings })
}

fn judge(file: FileId, map: &SourceMap) -> Result<(Option<Node>, Vec<Finding>), ToolError> {
    let text = map.text(file);
    let mut findings = Vec::new();
    hygiene::check(file, text, &mut findings);
    if text.trim_start_matches(['\u{feff}', ' ', '\t', '\r', '\n']).starts_with('{') {
        // JSON may be indented with tabs; inside brackets they change nothing.
        findings.retain(|f| text.get(f.primary.span.range()) != Some("\t"));
    }
    let hidden: Vec<Span> = findings.iter().map(|f| f.primary.span).collect();
    let mut parsed = yaml::parse_as(file, text, yaml::WORKSHEET);
    findings.append(&mut parsed.findings);
    if let Some(root) = &parsed.root {
        let reported: Vec<Span> = findings.iter().map(|f| f.primary.span).collect();
        findings.append(&mut schema::validate_worksheet(root, &reported).map_err(ToolError::Bug)?);
    } else if findings.is_empty() {
        let mut finding = Finding::new("schema-shape", Level::Error, Span::new(file, 0, 0), "", "the worksheet is empty");
        finding.help("write `worksheet: 1` and a list of `calculations:`");
        findings.push(finding);
    }
    findings.retain(|f| !explained(f, &hidden, map));
    finding::sort(&mut findings);
    Ok((parsed.root, findings))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Vec<(&'static str, String)> {
        let sheet = read("sheet.yaml".into(), text.as_bytes().to_vec()).unwrap();
        sheet.findings.iter().map(|f| (f.check, f.message.clone())).collect()
    }

    #[test]
    fn a_sheet_in_either_form_is_read_without_a_finding() {
        assert_eq!(found("worksheet: 1\ncalculations:\n  - {id: a, kind: convert, inputs: {values: [1], from: kPa, to: psi}}\n"), []);
        assert_eq!(
            found("{\n\t\"worksheet\": 1,\n\t\"calculations\": [\n\t\t{\"id\": \"a\", \"kind\": \"convert\", \"inputs\": {}}\n\t]\n}\n"),
            []
        );
    }

    #[test]
    fn the_frame_of_a_sheet_is_judged() {
        let cases = [
            ("", "the worksheet is empty"),
            ("worksheet: 2\ncalculations: [{id: a, kind: convert, inputs: {}}]\n", "`2` is not allowed for `worksheet`"),
            ("calculations: [{id: a, kind: convert, inputs: {}}]\n", "the document has no `worksheet`"),
            ("worksheet: 1\ncalculations: []\n", "`calculations` needs at least one entry"),
            ("worksheet: 1\ncalculations: [{id: a, kind: convrt, inputs: {}}]\n", "`convrt` is not allowed for `kind`"),
            ("worksheet: 1\ncalculations: [{id: a, kind: convert, inputs: 3}]\n", "`inputs` should be a mapping, not a number"),
            ("worksheet: 1\ncalculations: [{id: a, kind: convert, input: {}}]\n", "`input` is not a known key"),
            ("- a\n", "the document should be a mapping, not a list"),
        ];
        for (text, message) in cases {
            let found = found(text);
            assert!(found.len() == 1 && found[0].1 == message, "{text:?}: {found:?}");
        }
    }
}
