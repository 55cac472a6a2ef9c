//! What a page says above everything else where its document must not be used as it is.

use super::parts::Link;
use crate::compute::currency::sign_off::State;
use crate::model::docs::Head;
use crate::model::{DocName, DocRef};
use crate::plan::site::Site;
use serde::Serialize;

/// A banner.
#[derive(Debug, Clone, Serialize)]
pub struct Banner {
    /// Style class; also read by the check on the output.
    pub class: &'static str,
    /// What is to be known.
    pub text: String,
    /// Documents that the text speaks of.
    pub links: Vec<Link>,
}

/// The banner of a document; `None` if it is in force or is not signed on its own.
pub fn banner(site: &Site<'_>, doc: DocRef) -> Option<Banner> {
    let plain = |class: &'static str, text: &str| Some(Banner { class, text: text.to_string(), links: Vec::new() });
    match site.state_of(doc)? {
        State::Approved | State::Due => None,
        State::Draft => plain("banner-draft", "Draft: nobody has approved this. It is not for use with people."),
        State::InReview => {
            plain("banner-draft", "In review: not everybody who has to has approved this. It is not for use with people yet.")
        }
        State::Overdue => plain("banner-overdue", "The day of the review has passed. Do not go by this until it has been looked at again."),
        State::Suspended => Some(suspended(site, doc)),
        State::Retired => Some(retired(site, doc)),
    }
}

fn suspended(site: &Site<'_>, doc: DocRef) -> Banner {
    let own = site.catalog.name(doc);
    let names = site.facts.currency.sign_off(&own).map(|s| s.suspended.clone()).unwrap_or_default();
    let found = |n: &DocName| site.catalog.find(n.kind, &n.id);
    let causes: Vec<String> = names.iter().filter_map(|n| site.catalog.head(found(n)?)).map(why).filter(|w| !w.is_empty()).collect();
    let what = if names.contains(&own) { "Suspended" } else { "Rests on something that is suspended" };
    let links = names.iter().filter(|n| **n != own).filter_map(|n| Some(site.link(found(n)?))).collect();
    Banner { class: "banner-suspended", text: format!("{what}: do not use. {}", causes.join(" ")), links }
}

fn retired(site: &Site<'_>, doc: DocRef) -> Banner {
    let head = site.catalog.head(doc);
    let text = format!("Retired: do not use. {}", head.map(why).unwrap_or_default());
    Banner { class: "banner-retired", text, links: successor(site, doc).into_iter().collect() }
}

/// Link to what takes the place of a document.
pub fn successor(site: &Site<'_>, doc: DocRef) -> Option<Link> {
    let next = site.catalog.head(doc)?.successor.as_ref()?;
    site.catalog.find(doc.kind, &next.value).filter(|d| *d != doc).map(|d| site.link(d))
}

/// Since when and why.
pub fn why(head: &Head) -> String {
    let since = head.since.as_ref().map(|d| format!("Since {}: ", d.value)).unwrap_or_default();
    head.because.as_ref().map(|b| format!("{since}{}", b.value)).unwrap_or_default()
}
