//! Templates and assets: those that ship with the tool, and a house's own in their place.

use super::markdown::{Prose, ProseLink};
use crate::error::ToolError;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::LazyLock;
use tera::{Context, Kwargs, State, Tera, Value};

macro_rules! shipped {
    ($($name:literal),+ $(,)?) => { &[$(($name, include_str!(concat!("../../templates/", $name)))),+] };
}

/// Every template and asset that ships, by its name under `templates/`.
static SHIPPED: &[(&str, &str)] = shipped![
    "parts.html",
    "forest.html",
    "base.html",
    "home.html",
    "list.html",
    "az.html",
    "audit.html",
    "region.html",
    "regions.html",
    "finder.html",
    "figure.svg",
    "muscle.html",
    "protocol.html",
    "room.html",
    "screening.html",
    "technique.html",
    "condition.html",
    "flag.html",
    "measure.html",
    "source.html",
    "position.html",
    "page.html",
    "evidence.html",
    "wording.html",
    "question.html",
    "outcome.html",
    "population.html",
    "session.html",
    "card.html",
    "course_parts.html",
    "course.html",
    "coverage.html",
    "mark_sheet.html",
    "leaflet.html",
    "errata.html",
    "glossary.html",
    "side_by_side.html",
    "editions.html",
    "card_check.html",
    "design.html",
    "assets/card-check.js",
    "assets/change.js",
    "assets/course.css",
    "assets/finder-figure.js",
    "assets/finder.js",
    "assets/minisearch.LICENSE.txt",
    "assets/icon.svg",
    "assets/minisearch.js",
    "assets/offline.js",
    "assets/room.css",
    "assets/room.js",
    "assets/screening.css",
    "assets/screening.js",
    "assets/search.js",
    "assets/session.css",
    "assets/style.css",
    "assets/sw.js",
    "missing.html",
    "sitemap.xml",
    "feed.xml",
    "opensearch.xml",
];

/// Pictures that ship, by name under `assets/`. They are the drawing `icon.svg` at the sizes that devices ask for.
static PICTURES: &[(&str, &[u8])] = &[
    ("icon-192.png", include_bytes!("../../templates/assets/icon-192.png")),
    ("icon-512.png", include_bytes!("../../templates/assets/icon-512.png")),
];

/// Parsed templates, and assets as text.
pub struct Templates {
    /// Invariant: an error here is a mistake in the shipped templates; overrides are refused earlier.
    tera: Result<Tera, String>,
    assets: BTreeMap<String, String>,
}

impl Templates {
    /// The templates that ship with the tool, parsed once.
    pub fn shipped() -> &'static Templates {
        static TEMPLATES: LazyLock<Templates> = LazyLock::new(|| {
            let texts: BTreeMap<String, String> = SHIPPED.iter().map(|(n, t)| ((*n).to_string(), (*t).to_string())).collect();
            Templates::parse(texts)
        });
        &TEMPLATES
    }

    /// The shipped templates with some replaced. `texts` holds names under `templates/` and their
    /// new texts; `dir` is where they came from, for messages.
    ///
    /// # Errors
    /// If a name is none of the shipped ones, or a template cannot be parsed.
    pub fn with_overrides(dir: &Path, texts: Vec<(String, String)>) -> Result<Templates, ToolError> {
        let mut all: BTreeMap<String, String> = SHIPPED.iter().map(|(n, t)| ((*n).to_string(), (*t).to_string())).collect();
        for (name, text) in texts {
            let name = name.replace('\\', "/");
            if all.insert(name.clone(), text).is_none() {
                let known = SHIPPED.iter().map(|(n, _)| *n).collect::<Vec<_>>().join(" ");
                return Err(ToolError::Template(format!("{}: `{name}` replaces no template; names are: {known}", dir.display())));
            }
        }
        let templates = Templates::parse(all);
        match &templates.tera {
            Err(why) => Err(ToolError::Template(format!("{}: {why}", dir.display()))),
            Ok(_) => Ok(templates),
        }
    }

    fn parse(texts: BTreeMap<String, String>) -> Templates {
        let (assets, pages): (BTreeMap<_, _>, BTreeMap<_, _>) = texts.into_iter().partition(|(name, _)| name.starts_with("assets/"));
        let mut tera = Tera::new();
        tera.register_filter("markdown", markdown);
        let added = tera.add_raw_templates(pages.iter().map(|(n, t)| (n.as_str(), t.as_str())));
        Templates { tera: added.map(|()| tera).map_err(|e| chain(&e)), assets }
    }

    /// Text of an asset by its name under `assets/`.
    pub fn asset(&self, name: &str) -> Option<&str> {
        self.assets.get(&format!("assets/{name}")).map(String::as_str)
    }

    /// Bytes of an asset or picture by its name under `assets/`.
    pub fn bytes(&self, name: &str) -> Option<&[u8]> {
        let picture = || PICTURES.iter().find(|(n, _)| *n == name).map(|(_, bytes)| *bytes);
        self.asset(name).map(str::as_bytes).or_else(picture)
    }

    /// Lays out a view.
    ///
    /// # Errors
    /// If the templates cannot be parsed or ask for what the view does not have.
    pub fn lay_out(&self, template: &str, context: &Context) -> Result<String, ToolError> {
        let tera = self.tera.as_ref().map_err(|why| ToolError::Bug(format!("a shipped template cannot be parsed: {why}")))?;
        tera.render(template, context).map_err(|e| ToolError::Template(format!("{template}: {}", chain(&e))))
    }
}

/// Filter: prose of a view to HTML.
fn markdown(value: &Value, _: Kwargs, _: &State) -> Value {
    Value::safe_string(&super::markdown::to_html(&prose(value).unwrap_or_default()))
}

fn prose(value: &Value) -> Option<Prose> {
    let json = serde_json::to_value(value).ok()?;
    let links = json.get("links")?.as_array()?.iter();
    let word = |v: &serde_json::Value, key: &str| v.get(key).and_then(|x| x.as_str()).unwrap_or_default().to_string();
    let link = |v: &serde_json::Value| ProseLink {
        from: word(v, "from"),
        to: word(v, "to"),
        source: v.get("source").and_then(serde_json::Value::as_bool).unwrap_or(false),
    };
    let down = json.get("down").and_then(serde_json::Value::as_u64).and_then(|n| u8::try_from(n).ok()).unwrap_or(0);
    Some(Prose { text: word(&json, "text"), links: links.map(link).collect(), down })
}

fn chain(error: &tera::Error) -> String {
    let mut out = error.to_string();
    let mut next = std::error::Error::source(error);
    while let Some(cause) = next {
        out += &format!(": {cause}");
        next = cause.source();
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_templates_parse() {
        assert_eq!(Templates::shipped().tera.as_ref().err(), None);
    }

    #[test]
    fn an_override_must_replace_something_and_parse() {
        let with = |name: &str, text: &str| Templates::with_overrides(Path::new("house"), vec![(name.into(), text.into())]);
        assert!(with("assets/style.css", "p{}").is_ok_and(|t| t.asset("style.css") == Some("p{}")));
        assert!(matches!(with("hoem.html", ""), Err(ToolError::Template(_))));
        assert!(matches!(with("home.html", "{% if %}"), Err(ToolError::Template(_))));
    }
}
