//! An entry as a source document in which a person fills in what no form carries.

use super::{Incoming, TEXTS};
use crate::error::ToolError;
use crate::load::schema;
use crate::model::docs::{Form, OTHERS};
use serde_json::Value;
use std::collections::BTreeSet;

/// Id of an entry that is free: family name and year, with a letter after the first.
pub fn id_for(entry: &Incoming, taken: &BTreeSet<String>) -> String {
    let who = [&entry.author, &entry.editor].into_iter().find_map(|p| p.named.first());
    let word = |keys: &[&str]| who.and_then(|w| w.iter().find(|(k, _)| keys.contains(k))).map(|(_, text)| text.clone());
    let name = word(&["family", "literal"]).or_else(|| entry.text.get("title").cloned()).unwrap_or_else(|| entry.key.clone());
    let year: String = entry.text.get("issued").map(|i| i.chars().take(4).collect()).unwrap_or_default();
    let mut base: String = slug(&name).chars().take(40).collect();
    base = base.trim_end_matches('-').to_string();
    let parts: Vec<&str> = [&*base, &*year].into_iter().filter(|p| !p.is_empty()).collect();
    let plain = if parts.is_empty() { "source".to_string() } else { parts.join("-") };
    let numbered = (2..).map(|n| format!("{plain}-{n}"));
    let lettered = ('b'..='z').map(|l| format!("{plain}{l}"));
    std::iter::once(plain.clone()).chain(lettered).chain(numbered).find(|id| !taken.contains(id)).unwrap_or(plain)
}

/// Lower-case letters and digits with hyphens between; letters lose their marks.
fn slug(text: &str) -> String {
    use unicode_normalization::UnicodeNormalization;
    let mut out = String::new();
    for c in text.nfkd().flat_map(char::to_lowercase) {
        match c {
            'a'..='z' | '0'..='9' => out.push(c),
            'ø' => out.push('o'),
            'ł' => out.push('l'),
            'ß' => out += "ss",
            'æ' => out += "ae",
            c if c.is_alphanumeric() || matches!(c, '\'' | '’' | '\u{300}'..='\u{36f}') => {}
            _ if !out.is_empty() && !out.ends_with('-') => out.push('-'),
            _ => {}
        }
    }
    out.trim_end_matches('-').to_string()
}

/// The document. Keys that the schema asks for and no form carries stand as `TODO`.
///
/// # Errors
/// When the shipped schema is broken.
pub fn document(id: &str, entry: &Incoming, form: Form) -> Result<String, ToolError> {
    let mut out = format!("# Imported from {}. Every TODO is for a person who has read the source.\n", form_name(form));
    out += &format!("id: {id}\n");
    out += &format!("title: {}\n", entry.text.get("title").map_or("TODO".into(), |t| quoted(t)));
    out += &format!("type: {}\n", entry.kind.map_or("document", crate::model::docs::PublicationType::word));
    for (key, people) in [("author", &entry.author), ("editor", &entry.editor)] {
        if !people.named.is_empty() {
            out += &format!("{key}:\n");
            for name in &people.named {
                let parts: Vec<String> = name.iter().map(|(k, text)| format!("{k}: {}", quoted(text))).collect();
                out += &format!("  - {{{}}}\n", parts.join(", "));
            }
            if people.others {
                out += &format!("  - {{literal: {OTHERS}}}\n");
            }
        }
    }
    if entry.author.named.is_empty() && entry.editor.named.is_empty() {
        out += "author: [{family: TODO}]\n";
    }
    out += &format!("issued: {}\n", entry.text.get("issued").map_or("TODO".into(), |t| if t.len() == 4 { t.clone() } else { quoted(t) }));
    for key in TEXTS.iter().filter(|k| !matches!(**k, "title" | "issued")) {
        if let Some(text) = entry.text.get(key) {
            out += &format!("{key}: {}\n", quoted(text));
        }
    }
    out += &open_keys(&out)?;
    if !entry.original.is_empty() {
        out += &format!("original:\n  form: {}\n  fields:\n", form.word());
        for (key, text) in &entry.original {
            out += &format!("    {}: {}\n", quoted(key), quoted(text));
        }
    }
    Ok(out)
}

fn form_name(form: Form) -> &'static str {
    match form {
        Form::Bibtex => "BibTeX",
        Form::Ris => "RIS",
        Form::Csl => "CSL-JSON",
    }
}

/// What the schema asks for and `written` lacks. Nobody has looked up a retraction, so that is what it says.
fn open_keys(written: &str) -> Result<String, ToolError> {
    let files = schema::files();
    let text = files.iter().find(|(name, _)| name == "source.json").map_or("", |(_, text)| *text);
    let schema: Value = serde_json::from_str(text).map_err(|e| ToolError::Bug(e.to_string()))?;
    let required = |of: &Value| -> Vec<String> {
        of.get("required").and_then(Value::as_array).into_iter().flatten().filter_map(|k| k.as_str().map(String::from)).collect()
    };
    let mut out = String::new();
    for key in required(&schema) {
        if written.lines().any(|l| l.starts_with(&format!("{key}:"))) {
            continue;
        }
        if key == "retraction" {
            out += "retraction: {status: not looked up}\n";
            continue;
        }
        let inner = schema.get("properties").and_then(|p| p.get(&key)).map(required).unwrap_or_default();
        let parts: Vec<String> = inner.iter().map(|k| format!("{k}: TODO")).collect();
        out += &if parts.is_empty() { format!("{key}: TODO\n") } else { format!("{key}: {{{}}}\n", parts.join(", ")) };
    }
    Ok(out)
}

/// Text between double quotes. JSON has the same escapes as YAML; what neither may hold raw is escaped too.
fn quoted(text: &str) -> String {
    let json = serde_json::to_string(text).unwrap_or_default();
    let mut out = String::new();
    for c in json.chars() {
        if c.is_control() || matches!(c, '\u{2028}' | '\u{2029}' | '\u{feff}') {
            out += &format!("\\u{:04x}", u32::from(c));
        } else {
            out.push(c);
        }
    }
    out
}
