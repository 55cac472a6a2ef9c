//! `fascicle draft`: a commented document of a kind, made from its schema so that it always fits.
//!
//! Required keys stand with placeholder values, which `placeholder-left` reports until they are
//! replaced; optional keys follow as comments.

use super::{Ended, bug, print, say};
use crate::error::ToolError;
use crate::load::schema;
use crate::model::region::regions;
use crate::model::{Kind, nearest};
use serde_json::Value;

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[arg(value_name = "KIND", help = kinds_help())]
    kind: String,
    /// Id of the document: the file stem
    #[arg(value_name = "ID", default_value = "new-document")]
    id: String,
}

fn kinds() -> String {
    Kind::ALL.map(Kind::word).join(", ")
}

fn kinds_help() -> String {
    format!("Kind of document ({}), or `regions` for the list of regions", kinds())
}

pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    if arguments.kind == "regions" {
        print(&region_list());
        return Ok(Ended::Clean);
    }
    let Some(kind) = Kind::from_word(&arguments.kind) else {
        let near =
            nearest(&arguments.kind, Kind::ALL.iter().map(|k| k.word())).map(|n| format!("; did you mean `{n}`?")).unwrap_or_default();
        return Err(ToolError::Usage(format!("there is no kind `{}`{near} Kinds: {}", arguments.kind, kinds())));
    };
    print(&draft(kind, &arguments.id)?);
    let place = match kind {
        Kind::Pack => "pack.yaml".to_string(),
        Kind::Page => format!("pages/{}.md", arguments.id),
        _ => format!("{}/{}.yaml", kind.folder(), arguments.id),
    };
    say(&format!("save it as {place} in your pack and replace every TODO\n"));
    Ok(Ended::Clean)
}

/// The text of a skeleton.
///
/// # Errors
/// When a shipped schema is broken.
pub fn draft(kind: Kind, id: &str) -> Result<String, ToolError> {
    if kind == Kind::Page {
        return Ok("# TODO: the title\n\nTODO: text in Markdown. Link to documents as [words](muscle:soleus); cite as [Lu 2022](source:lu-2022).\n".into());
    }
    let files = schema::files();
    let read = |name: &str| -> Result<Value, ToolError> {
        let text = files.iter().find(|(n, _)| n == name).map(|(_, t)| *t).ok_or_else(|| bug("a schema is missing"))?;
        serde_json::from_str(text).map_err(|e| bug(&e.to_string()))
    };
    let (schema, common) = (read(&format!("{}.json", kind.word()))?, read("common.json")?);
    let mut writer = Writer { common: &common, out: String::new(), id };
    writer.out = format!("# {}\n", string(&schema, "description"));
    writer.mapping(&schema, 0);
    Ok(writer.out)
}

struct Writer<'a> {
    common: &'a Value,
    out: String,
    id: &'a str,
}

impl<'a> Writer<'a> {
    fn resolve(&self, schema: &'a Value) -> &'a Value {
        let name = schema.get("$ref").and_then(Value::as_str).and_then(|r| r.rsplit_once('/')).map(|(_, n)| n);
        name.and_then(|n| self.common.get("$defs").and_then(|d| d.get(n))).unwrap_or(schema)
    }

    fn mapping(&mut self, schema: &'a Value, depth: usize) {
        let indent = "  ".repeat(depth);
        let Some(properties) = schema.get("properties").and_then(Value::as_object) else { return };
        // Of keys that may stand for one another the first is shown.
        let either = schema.get("anyOf").and_then(|a| a.get(0)).unwrap_or(&Value::Null);
        let listed = |s: &'a Value| s.get("required").and_then(Value::as_array).into_iter().flatten().filter_map(Value::as_str);
        let required: Vec<&str> = listed(schema).chain(listed(either)).collect();
        let every = required.is_empty() && !properties.contains_key("cite");
        for (key, property) in properties {
            let target = self.resolve(property);
            let about = match string(property, "description") {
                "" => string(target, "description"),
                own => own,
            };
            if required.contains(&key.as_str()) || every {
                self.out += &format!("{indent}# {about}\n{indent}{key}:");
                self.value(key, target, property.get("minItems").is_some(), depth);
            } else {
                self.out += &format!("{indent}# {key}: {about}\n");
            }
        }
        if properties.contains_key("basis") && !required.contains(&"basis") {
            self.out += &format!("{indent}basis: house practice\n");
        }
    }

    fn value(&mut self, key: &str, schema: &'a Value, filled: bool, depth: usize) {
        if let Some(options) = schema.get("enum").and_then(Value::as_array) {
            self.out += &format!(" {}\n", options.first().and_then(Value::as_str).unwrap_or("90"));
            return;
        }
        let kinds: Vec<&str> = match schema.get("type") {
            Some(Value::String(one)) => vec![one],
            Some(Value::Array(many)) => many.iter().filter_map(Value::as_str).collect(),
            _ => vec!["string"],
        };
        match kinds.first().copied().unwrap_or("string") {
            "object" if schema.get("properties").is_some() => {
                self.out.push('\n');
                self.mapping(schema, depth + 1);
            }
            "object" => self.free_mapping(schema, depth),
            "array" => self.list(key, schema, filled || schema.get("minItems").is_some(), depth),
            "boolean" => self.out += " true\n",
            "integer" => self.out += if key == "issued" { " 2000\n" } else { " 1\n" },
            _ if string(schema, "title") == "Quantity" => self.out += &format!(" {}\n", amount(key)),
            _ => self.out += &format!(" {}\n", self.text(key, schema)),
        }
    }

    fn free_mapping(&mut self, schema: &'a Value, depth: usize) {
        let Some(inner) = schema.get("additionalProperties").filter(|_| schema.get("minProperties").is_some()) else {
            self.out += " {}\n";
            return;
        };
        self.out += &format!("\n{}todo:\n", "  ".repeat(depth + 1));
        let inner = self.resolve(inner);
        self.mapping(inner, depth + 2);
    }

    fn list(&mut self, key: &str, schema: &'a Value, filled: bool, depth: usize) {
        let Some(items) = schema.get("items") else { return };
        let items = self.resolve(items);
        if !filled {
            self.out += " []\n";
        } else if items.get("properties").is_some() {
            self.out += &format!("\n{}-\n", "  ".repeat(depth + 1));
            self.mapping(items, depth + 2);
        } else {
            let one = items.get("enum").and_then(Value::as_array).and_then(|o| o.first()).and_then(Value::as_str);
            let text = one.map_or_else(|| self.text(key, items), str::to_string);
            self.out += &format!(" [{text}]\n");
        }
    }

    fn text(&self, key: &str, schema: &Value) -> String {
        let word = match (key, string(schema, "title")) {
            ("id", _) => self.id,
            (_, "Id") => "todo",
            (_, "Date") => "2099-12-31",
            (_, "Region") => "heel",
            (_, "Motion") => "ankle plantarflexion",
            ("regions" | "exposed", _) => "heel",
            _ if string(schema, "pattern").contains("no restriction") => "watch",
            ("edition", _) => "0.1.0",
            ("language", _) => "en-GB",
            ("jurisdiction", _) => "GB",
            ("number", _) => "\"112\"",
            // `override-base-moved` prints the digest to write.
            ("base", _) => "\"0000000000000000000000000000000000000000000000000000000000000000\"",
            ("of", _) if string(schema, "description").contains("folder and id") => "protocols/todo",
            ("urgency", _) => "same day",
            ("treatment", _) => "stop",
            ("licence", _) => "CC-BY-4.0",
            _ => "TODO",
        };
        word.to_string()
    }
}

fn string<'v>(value: &'v Value, key: &str) -> &'v str {
    value.get(key).and_then(Value::as_str).unwrap_or_default()
}

/// A quantity of the right dimension for a key.
fn amount(key: &str) -> &'static str {
    match key {
        "interval" => "24 mo",
        "gap" => "3-7 d",
        "per-week" => "1 /wk",
        "pain-cap" => "5/10",
        "bounds" => "0-10/10",
        "change" => "2/10",
        _ => "45 min",
    }
}

fn region_list() -> String {
    let list = regions();
    let mut text = String::new();
    for group in list.groups() {
        text += &format!("{}  ({})\n", group.id, group.name);
        for id in list.ids().filter(|id| list.get(*id).group == group.id) {
            let region = list.get(id);
            let tags = region.tags.iter().map(|t| t.word()).collect::<Vec<_>>().join(", ");
            let side = if region.paired { "paired" } else { "midline" };
            text += &format!("  {:26} {:36} {side:8} {tags}\n", region.id, region.name);
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::FileId;

    #[test]
    fn every_skeleton_fits_its_schema_and_its_types() {
        for kind in Kind::ALL.into_iter().filter(|k| *k != Kind::Page) {
            let text = draft(kind, "my-document").unwrap();
            let parsed = crate::load::yaml::parse(FileId(0), &text);
            assert!(parsed.findings.is_empty(), "{}: {:?}\n{text}", kind.word(), parsed.findings);
            let root = parsed.root.unwrap();
            let findings = schema::validate(kind, &root, &[]).unwrap();
            assert!(findings.is_empty(), "{}: {findings:?}\n{text}", kind.word());
            let mut reader = crate::load::decode::Reader::new(FileId(0), &text);
            crate::load::decode::document(kind, crate::model::Idx::new(0), &mut reader, &root).unwrap();
            assert!(reader.findings.is_empty(), "{}: {:?}\n{text}", kind.word(), reader.findings);
            assert!(text.contains("TODO"), "{}", kind.word());
        }
    }
}
