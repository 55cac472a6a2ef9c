//! From a plan to bytes. Pure: nothing is read and nothing is written here.

pub mod markdown;
mod stamp;
mod templates;
mod worker;

pub use templates::Templates;

use crate::error::ToolError;
use crate::model::DocRef;
use crate::plan::Shape;
use crate::plan::view::View;
use crate::plan::{Artifact, Body, Plan};
use rayon::prelude::*;
use std::collections::BTreeMap;
use tera::Context;

/// A rendered file.
#[derive(Clone, Debug)]
pub struct Built {
    /// Path inside the site, with forward slashes.
    pub path: String,
    /// What it is.
    pub shape: Shape,
    /// The document it shows, if it shows one.
    pub doc: Option<DocRef>,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

impl Built {
    /// The text of a text file; empty if it is not UTF-8.
    pub fn text(&self) -> &str {
        std::str::from_utf8(&self.bytes).unwrap_or("")
    }
}

/// Renders every file of a plan, sorted by path. Assets come first, since pages name them with the hash of their
/// content, and the list of files for offline use last.
///
/// # Errors
/// If a template is broken.
pub fn render(plan: &Plan, templates: &Templates) -> Result<Vec<Built>, ToolError> {
    let (last, rest): (Vec<_>, Vec<_>) = plan.artifacts.iter().partition(|(_, a)| matches!(a.body, Body::Worker));
    let (assets, others): (Vec<_>, Vec<_>) = rest.into_iter().partition(|(_, a)| a.shape == Shape::Asset);
    let all = |files: Vec<(&String, &Artifact)>, stamps: &BTreeMap<&str, String>| -> Result<Vec<Built>, ToolError> {
        files.par_iter().map(|(path, artifact)| one(path, artifact, templates, stamps)).collect()
    };
    let mut built = all(assets, &BTreeMap::new())?;
    let mut pages = all(others, &stamp::all(&built))?;
    built.append(&mut pages);
    built.sort_by(|a, b| a.path.cmp(&b.path));
    for (path, artifact) in last {
        let bytes = worker::script(templates.asset(worker::NAME).unwrap_or_default(), &built).into_bytes();
        built.push(Built { path: path.clone(), shape: artifact.shape, doc: None, bytes });
    }
    built.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(built)
}

fn one(path: &str, artifact: &Artifact, templates: &Templates, stamps: &BTreeMap<&str, String>) -> Result<Built, ToolError> {
    let bytes = match &artifact.body {
        Body::Text(text) => text.clone().into_bytes(),
        Body::Asset(name) => {
            let missing = || ToolError::Bug(format!("the asset {name} does not ship"));
            templates.bytes(name).ok_or_else(missing)?.to_vec()
        }
        Body::View(view) => {
            let html = templates.lay_out(view.template(), &context(view)?)?;
            stamp::page(path, &tidy(&html), stamps).into_bytes()
        }
        Body::Worker => return Err(ToolError::Bug(format!("{path} is made from all other files"))),
    };
    Ok(Built { path: path.to_string(), shape: artifact.shape, doc: artifact.doc, bytes })
}

fn context(view: &View) -> Result<Context, ToolError> {
    let made = match view {
        View::Home(v) => Context::from_serialize(v),
        View::List(v) => Context::from_serialize(v),
        View::Az(v) => Context::from_serialize(v),
        View::Audit(v) => Context::from_serialize(v),
        View::Finder(v) => Context::from_serialize(v),
        View::Figure(v) => Context::from_serialize(v),
        View::Region(v) => Context::from_serialize(v),
        View::Regions(v) => Context::from_serialize(v),
        View::Muscle(v) => Context::from_serialize(v),
        View::Protocol(v) => Context::from_serialize(v),
        View::Room(v) => Context::from_serialize(v),
        View::Screening(v) => Context::from_serialize(v),
        View::Technique(v) => Context::from_serialize(v),
        View::Condition(v) => Context::from_serialize(v),
        View::Flag(v) => Context::from_serialize(v),
        View::Measure(v) => Context::from_serialize(v),
        View::Source(v) => Context::from_serialize(v),
        View::Position(v) => Context::from_serialize(v),
        View::Page(v) => Context::from_serialize(v),
        View::Evidence(v) => Context::from_serialize(v),
        View::Wording(v) => Context::from_serialize(v),
        View::CardCheck(v) => Context::from_serialize(v),
        View::Question(v) => Context::from_serialize(v),
        View::Outcome(v) => Context::from_serialize(v),
        View::Population(v) => Context::from_serialize(v),
        View::Session(v) => Context::from_serialize(v),
        View::Course(v) => Context::from_serialize(v),
        View::Card(v) => Context::from_serialize(v),
        View::Design(v) => Context::from_serialize(v),
        View::Missing(v) => Context::from_serialize(v),
        View::Sitemap(v) => Context::from_serialize(v),
        View::Feed(v) => Context::from_serialize(v),
        View::Described(v) => Context::from_serialize(v),
    };
    made.map_err(|e| ToolError::Bug(format!("a view cannot be shown: {e}")))
}

/// Drops the empty lines and trailing blanks that template tags leave behind.
fn tidy(html: &str) -> String {
    let mut out = String::with_capacity(html.len());
    for line in html.lines().map(str::trim_end).filter(|l| !l.is_empty()) {
        out.push_str(line);
        out.push('\n');
    }
    out
}
