//! Files for whoever hosts the site: installing, offline use, finding by name, what changed, an address that is none.
//!
//! Sitemap, feed and search description need absolute addresses. They are made from `published` of the pack alone: a
//! host is never guessed.

pub mod about;
mod feed;

pub use feed::{Feed, has_feed};

use super::references::References;
use super::site::Site;
use super::view::View;
use super::view::missing::Missing;
use super::{Artifact, Body, Plan, Shape, route};
use crate::compute::Facts;
use crate::model::Catalog;
use crate::model::docs::Pack;
use serde::Serialize;
use serde_json::json;

/// Path of the manifest for installing.
const MANIFEST: &str = "manifest.webmanifest";
/// Path of the worker for offline use.
const WORKER: &str = "sw.js";

/// View of `sitemap.xml`.
#[derive(Debug, Serialize)]
pub struct Sitemap {
    /// Pages.
    pub pages: Vec<Listed>,
}

/// A page with its absolute address.
#[derive(Debug, Serialize)]
pub struct Listed {
    /// Address.
    pub address: String,
    /// Day of the last approval.
    pub day: Option<String>,
}

/// View of `opensearch.xml`.
#[derive(Debug, Serialize)]
pub struct Described {
    /// At most 16 characters, as the form asks.
    pub short: String,
    /// Title of the site.
    pub title: String,
    /// Address with the place of the words.
    pub address: String,
}

/// What pages say of these files.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct Hosted {
    /// True if there is a feed.
    pub feed: bool,
    /// True if there is a description of the search.
    pub find: bool,
}

/// The pack that the site goes by: the last builds on the others.
fn own(catalog: &Catalog) -> Option<&Pack> {
    catalog.packs.rows().last()
}

/// Address at which the site is published, with a slash at its end.
pub fn published(catalog: &Catalog) -> Option<&str> {
    own(catalog)?.published.as_ref().map(|p| &*p.value)
}

/// Which of the files there are.
pub fn hosted(catalog: &Catalog, facts: &Facts) -> Hosted {
    let find = published(catalog).is_some();
    Hosted { feed: find && has_feed(catalog, facts), find }
}

/// All of them.
pub fn files(catalog: &Catalog, facts: &Facts, references: &References, plan: &Plan) -> Vec<(String, Artifact)> {
    let site = Site { catalog, facts, references, path: route::MISSING };
    let page = |view: View, shape: Shape| Artifact { shape, doc: None, body: Body::View(view) };
    let mut out = vec![
        (route::MISSING.to_string(), page(View::Missing(Box::new(Missing::new(&site))), Shape::Page)),
        (MANIFEST.into(), Artifact { shape: Shape::Asset, doc: None, body: Body::Text(manifest(&site)) }),
        (WORKER.into(), Artifact { shape: Shape::Asset, doc: None, body: Body::Worker }),
    ];
    let Some(base) = published(catalog) else { return out };
    out.push((route::SITEMAP.into(), page(View::Sitemap(Box::new(sitemap(&site, base, plan))), Shape::Asset)));
    let title = site.title();
    let address = format!("{base}{}?q={{searchTerms}}", route::A_TO_Z);
    let described = Described { short: short(&title, 16), title, address };
    out.push((route::OPENSEARCH.into(), page(View::Described(Box::new(described)), Shape::Asset)));
    if let Some(feed) = Feed::new(&site, base) {
        out.push((route::FEED.into(), page(View::Feed(Box::new(feed)), Shape::Asset)));
    }
    out
}

/// Words of a title as far as they fit.
fn short(title: &str, most: usize) -> String {
    let mut out = String::new();
    for word in title.split_whitespace() {
        let length = out.chars().count() + word.chars().count() + usize::from(!out.is_empty());
        if length > most {
            break;
        }
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(word);
    }
    if out.is_empty() { title.chars().take(most).collect() } else { out }
}

/// Web application manifest. The bar of the browser stays, since a reader needs the way back.
fn manifest(site: &Site<'_>) -> String {
    let icon = |name: &str, sizes: &str, kind: &str| json!({"src": format!("assets/{name}"), "sizes": sizes, "type": kind});
    let pack = own(site.catalog);
    let said: Vec<String> =
        pack.into_iter().flat_map(|p| [p.demonstration.as_ref(), Some(&p.notice)]).flatten().map(|t| t.value.to_string()).collect();
    let title = site.title();
    let value = json!({
        "name": title,
        "short_name": short(&title, 24),
        "description": said.join(" "),
        "lang": pack.map(|p| &*p.language.value),
        "start_url": route::HOME,
        "scope": "./",
        "display": "minimal-ui",
        "background_color": "#fcfbf7",
        "theme_color": "#0b5a5f",
        "icons": [
            icon("icon.svg", "any", "image/svg+xml"),
            icon("icon-192.png", "192x192", "image/png"),
            icon("icon-512.png", "512x512", "image/png"),
        ],
    });
    serde_json::to_string_pretty(&value).unwrap_or_default() + "\n"
}

/// Pages and cards with their address. What leads on to a successor is left out.
fn sitemap(site: &Site<'_>, base: &str, plan: &Plan) -> Sitemap {
    let mut pages = Vec::new();
    for (path, artifact) in &plan.artifacts {
        let leads_on = artifact.doc.is_some_and(|d| super::view::standing::successor(site, d).is_some());
        if !matches!(artifact.shape, Shape::Page | Shape::Room | Shape::Handout | Shape::Card | Shape::Sheet) || leads_on {
            continue;
        }
        let signed = artifact.doc.and_then(|d| site.facts.currency.sign_off(&site.catalog.name(d)));
        let day = signed.and_then(|s| s.current.iter().map(|a| a.date).max()).map(|d| d.to_string());
        pages.push(Listed { address: format!("{base}{path}"), day });
    }
    Sitemap { pages }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_title_ends_with_a_word() {
        assert_eq!(short("The Millrace course reference", 16), "The Millrace");
        assert_eq!(short("Soleus", 16), "Soleus");
        assert_eq!(short("Physiotherapeutenhandbuch", 16), "Physiotherapeute");
    }
}
