//! Tree against JSON Schema: every error of every file, each at the exact characters.
//!
//! The schema is chosen by the kind of document, never by trying several, so that an error never
//! says "none of these matched".

use crate::finding::{Finding, Level};
use crate::model::{Kind, nearest};
use crate::source::{Node, NodeKind, Span};
use jsonschema::ValidationError;
use jsonschema::error::{TypeKind, ValidationErrorKind};
use jsonschema::paths::LocationSegment;
use serde_json::Value;
use std::sync::LazyLock;

/// The word of its kind of document, and the text, for each schema.
const TEXTS: [(&str, &str); 17] = [
    ("approvals", include_str!("../../schemas/approvals.json")),
    ("pack", include_str!("../../schemas/pack.json")),
    ("change", include_str!("../../schemas/change.json")),
    ("condition", include_str!("../../schemas/condition.json")),
    ("flag", include_str!("../../schemas/flag.json")),
    ("measure", include_str!("../../schemas/measure.json")),
    ("muscle", include_str!("../../schemas/muscle.json")),
    ("outcome", include_str!("../../schemas/outcome.json")),
    ("audit", include_str!("../../schemas/audit.json")),
    ("population", include_str!("../../schemas/population.json")),
    ("position", include_str!("../../schemas/position.json")),
    ("protocol", include_str!("../../schemas/protocol.json")),
    ("question", include_str!("../../schemas/question.json")),
    ("session", include_str!("../../schemas/session.json")),
    ("source", include_str!("../../schemas/source.json")),
    ("technique", include_str!("../../schemas/technique.json")),
    ("worksheet", include_str!("../../schemas/worksheet.json")),
];
const COMMON: &str = include_str!("../../schemas/common.json");

struct Schemas {
    common: Value,
    by_kind: Vec<(&'static str, Value, jsonschema::Validator)>,
}

/// The shipped schema files by name, for export and for the command that prints them.
pub fn files() -> Vec<(String, &'static str)> {
    let mut files: Vec<_> = TEXTS.iter().map(|(kind, text)| (format!("{kind}.json"), *text)).collect();
    files.push(("common.json".into(), COMMON));
    files.sort();
    files
}

static SCHEMAS: LazyLock<Result<Schemas, String>> = LazyLock::new(|| {
    let common: Value = serde_json::from_str(COMMON).map_err(|e| e.to_string())?;
    let registry = jsonschema::Registry::new()
        .add("fascicle:common", common.clone())
        .and_then(jsonschema::RegistryBuilder::prepare)
        .map_err(|e| e.to_string())?;
    let mut by_kind = Vec::new();
    for (kind, text) in TEXTS {
        let schema: Value = serde_json::from_str(text).map_err(|e| e.to_string())?;
        let validator = jsonschema::options().with_registry(&registry).build(&schema).map_err(|e| format!("{kind}: {e}"))?;
        by_kind.push((kind, schema, validator));
    }
    Ok(Schemas { common, by_kind })
});

/// Every error of a tree against the schema of its kind; values inside `reported` are not judged again.
///
/// # Errors
/// When a shipped schema is broken.
pub fn validate(kind: Kind, root: &Node, reported: &[Span]) -> Result<Vec<Finding>, String> {
    validate_as(kind.word(), root, reported, |_| true)
}

/// The same for a sign-off ledger.
///
/// # Errors
/// When the shipped schema is broken.
pub fn validate_ledger(root: &Node, reported: &[Span]) -> Result<Vec<Finding>, String> {
    validate_as("approvals", root, reported, |_| true)
}

/// The same for a worksheet. What stands under `inputs` is judged by the reader of the calculation,
/// which knows units and bounds; the schema describes it for editors alone.
///
/// # Errors
/// When the shipped schema is broken.
pub fn validate_worksheet(root: &Node, reported: &[Span]) -> Result<Vec<Finding>, String> {
    validate_as("worksheet", root, reported, |error| {
        let below = error.instance_path().segments().skip_while(|s| !matches!(s, LocationSegment::Property(p) if p == "inputs")).count();
        below == 0 || (below == 1 && matches!(error.kind(), ValidationErrorKind::Type { .. }))
    })
}

fn validate_as(kind: &str, root: &Node, reported: &[Span], wanted: fn(&ValidationError<'_>) -> bool) -> Result<Vec<Finding>, String> {
    let schemas = SCHEMAS.as_ref().map_err(Clone::clone)?;
    let Some((_, schema, validator)) = schemas.by_kind.iter().find(|(k, ..)| *k == kind) else { return Ok(Vec::new()) };
    let json = root.to_json();
    let mut findings = Vec::new();
    for error in validator.iter_errors(&json).filter(wanted) {
        let walk = Walk::along(root, schema, &schemas.common, error.instance_path().segments());
        if reported.iter().any(|at| walk.node.span.contains(*at) && is_scalar(walk.node)) || misspelt(&walk, error.kind()) {
            continue;
        }
        explain(&walk, error.kind(), root, &mut findings);
    }
    Ok(findings)
}

/// True if a missing key stands there under a name that is nearly right: one mistake, one finding.
fn misspelt(walk: &Walk<'_>, kind: &ValidationErrorKind) -> bool {
    let (ValidationErrorKind::Required { property }, NodeKind::Map(entries)) = (kind, &walk.node.kind) else { return false };
    let known = walk.known_keys();
    let unknown = entries.iter().map(|(k, _)| &*k.value).filter(|k| !known.contains(k));
    unknown.into_iter().any(|k| nearest(k, known.iter().copied()) == property.as_str())
}

fn is_scalar(node: &Node) -> bool {
    !matches!(node.kind, NodeKind::Map(_) | NodeKind::Seq(_))
}

/// A place in the tree with the schema that holds there.
struct Walk<'a> {
    node: &'a Node,
    schema: &'a Value,
    common: &'a Value,
    /// Key that leads to the node, or the first key of the document.
    key: Span,
    name: String,
}

impl<'a> Walk<'a> {
    fn along<'s>(root: &'a Node, schema: &'a Value, common: &'a Value, path: impl Iterator<Item = LocationSegment<'s>>) -> Self {
        let mut walk = Walk { node: root, schema, common, key: first_key(root), name: String::new() };
        for segment in path {
            walk.schema = resolve(walk.schema, common);
            match segment {
                LocationSegment::Property(name) => {
                    let Some((key, node)) = walk.node.entry(&name) else { break };
                    walk.key = key.span;
                    walk.node = node;
                    walk.name = name.to_string();
                    let own = walk.schema.get("properties").and_then(|p| p.get(&*name));
                    walk.schema = own.or_else(|| walk.schema.get("additionalProperties")).unwrap_or(&Value::Null);
                }
                LocationSegment::Index(i) => {
                    let NodeKind::Seq(items) = &walk.node.kind else { break };
                    let Some(node) = items.get(i) else { break };
                    walk.node = node;
                    walk.key = first_key(node);
                    walk.schema = walk.schema.get("items").unwrap_or(&Value::Null);
                }
            }
        }
        walk.schema = resolve(walk.schema, common);
        walk
    }

    fn known_keys(&self) -> Vec<&'a str> {
        self.schema.get("properties").and_then(Value::as_object).map(|p| p.keys().map(String::as_str).collect()).unwrap_or_default()
    }

    /// What the schema says of a property or of the value itself.
    fn described(&self, property: Option<&str>) -> Option<&'a str> {
        let schema = match property {
            Some(p) => self.schema.get("properties")?.get(p)?,
            None => self.schema,
        };
        schema.get("description").or_else(|| resolve(schema, self.common).get("description")).and_then(Value::as_str)
    }
}

fn resolve<'a>(schema: &'a Value, common: &'a Value) -> &'a Value {
    let target = schema.get("$ref").and_then(Value::as_str).and_then(|r| r.rsplit_once("#/$defs/"));
    match target {
        Some((_, name)) => common.get("$defs").and_then(|d| d.get(name)).unwrap_or(schema),
        None => schema,
    }
}

fn first_key(node: &Node) -> Span {
    match &node.kind {
        NodeKind::Map(entries) => entries.first().map_or(node.span, |(k, _)| k.span),
        _ => node.span,
    }
}

fn explain(walk: &Walk<'_>, kind: &ValidationErrorKind, root: &Node, findings: &mut Vec<Finding>) {
    match kind {
        ValidationErrorKind::UnevaluatedProperties { unexpected } | ValidationErrorKind::AdditionalProperties { unexpected } => {
            unknown_keys(walk, unexpected, findings);
        }
        ValidationErrorKind::Required { property } => {
            let property = property.as_str().unwrap_or_default();
            let whose = owner(walk, root);
            let mut finding = shape(walk.key, format!("`{property}` is missing here"), format!("{whose} has no `{property}`"));
            if let Some(text) = walk.described(Some(property)) {
                finding.note(format!("{property}: {text}"));
            }
            finding.help(format!("add `{property}:`"));
            findings.push(finding);
        }
        other => findings.push(value_error(walk, other, root)),
    }
}

fn owner(walk: &Walk<'_>, root: &Node) -> String {
    if std::ptr::eq(walk.node, root) {
        return "the document".into();
    }
    if walk.name.is_empty() { "this entry".into() } else { format!("`{}`", walk.name) }
}

fn unknown_keys(walk: &Walk<'_>, unexpected: &[String], findings: &mut Vec<Finding>) {
    let known = walk.known_keys();
    for name in unexpected.iter().filter(|n| !known.contains(&n.as_str())) {
        let at = walk.node.entry(name).map_or(walk.key, |(k, _)| k.span);
        let near = nearest(name, known.iter().copied());
        let label = near.map_or_else(|| "not a key of this place".to_string(), |n| format!("did you mean `{n}`?"));
        let mut finding = Finding::new("unknown-key", Level::Error, at, label, format!("`{name}` is not a known key"));
        finding.note("A key that nobody reads is a value that vanishes in silence.");
        finding.help(near.map_or_else(|| format!("known keys here: {}", known.join(", ")), |n| format!("write `{n}:`")));
        findings.push(finding);
    }
}

/// The keys of which one is to be there.
fn alternatives(schema: &Value) -> Vec<String> {
    let each = schema.get("anyOf").and_then(Value::as_array).into_iter().flatten();
    each.filter_map(|a| Some(format!("`{}`", a.get("required")?.get(0)?.as_str()?))).collect()
}

fn shape(at: Span, label: impl Into<String>, message: impl Into<String>) -> Finding {
    Finding::new("schema-shape", Level::Error, at, label, message)
}

fn value_error(walk: &Walk<'_>, kind: &ValidationErrorKind, root: &Node) -> Finding {
    let whose = owner(walk, root);
    let at = if walk.node.span.start == walk.node.span.end { walk.key } else { walk.node.span };
    let found = walk.node.kind_name();
    let written = walk.node.text().unwrap_or_default();
    let (label, message, help) = match kind {
        ValidationErrorKind::Type { kind } => {
            let wanted = wanted_type(kind);
            (format!("this is {found}"), format!("{whose} should be {wanted}, not {found}"), format!("write {wanted}"))
        }
        ValidationErrorKind::Enum { options } => {
            let words: Vec<String> =
                options.as_array().into_iter().flatten().map(|v| v.as_str().map_or_else(|| v.to_string(), String::from)).collect();
            let near = nearest(written, words.iter().map(String::as_str)).map(|n| format!("did you mean `{n}`?"));
            let list = words.join(", ");
            (
                near.unwrap_or_else(|| "not one of the allowed words".into()),
                format!("`{written}` is not allowed for {whose}"),
                format!("allowed: {list}"),
            )
        }
        ValidationErrorKind::Pattern { pattern } => {
            let rule = walk.described(None).map_or_else(|| format!("the form is {pattern}"), str::to_string);
            ("not in the required form".into(), format!("`{written}` is not a valid {}", walk.name), rule)
        }
        ValidationErrorKind::MinItems { .. } => ("empty".into(), format!("{whose} needs at least one entry"), "add an entry".into()),
        ValidationErrorKind::MinLength { .. } => ("empty".into(), format!("{whose} is empty"), "write the text, or delete the key".into()),
        ValidationErrorKind::MaxLength { limit } => {
            ("too long".into(), format!("{whose} is longer than {limit} characters"), "shorten it".into())
        }
        ValidationErrorKind::AnyOf { .. } => {
            let keys = alternatives(walk.schema).join(" or ");
            (format!("{keys} is missing here"), format!("{whose} has no {keys}"), format!("add {keys}"))
        }
        other => (
            "not allowed here".into(),
            format!("{whose} does not fit: rule `{}` of the schema", other.keyword()),
            "see the schema of this kind".into(),
        ),
    };
    let mut finding = shape(at, label, message);
    if let Some(text) = walk.described(None) {
        finding.note(format!("{}: {text}", if walk.name.is_empty() { "here" } else { &walk.name }));
    }
    finding.help(help);
    finding
}

fn wanted_type(kind: &TypeKind) -> String {
    let word = |t: &str| match t {
        "string" => "text",
        "object" => "a mapping",
        "array" => "a list",
        "integer" => "a whole number",
        "number" => "a number",
        "boolean" => "true or false",
        _ => "something else",
    };
    match kind {
        TypeKind::Single(t) => word(&t.to_string()).to_string(),
        TypeKind::Multiple(set) => set.iter().map(|t| word(&t.to_string()).to_string()).collect::<Vec<_>>().join(" or "),
    }
}
