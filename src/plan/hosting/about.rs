//! What a page is, for programs that read pages: JSON-LD in the terms of schema.org.
//!
//! `MedicalWebPage` (schema.org: a web page that provides medical information) is said of pages of clinical documents,
//! `WebPage` of all others. `MedicalGuideline` is said of nothing: schema.org keeps it for the recommendation of a
//! standard society or a consensus statement, and no protocol of a house is one. A review is dated only where somebody
//! has approved the document and the pack is no demonstration.

use crate::compute::currency::sign_off::State;
use crate::model::{DocRef, Kind};
use crate::plan::site::Site;
use serde_json::{Map, Value, json};

/// JSON that may stand in a `script` element.
pub fn page(site: &Site<'_>, title: &str, lang: &str, doc: Option<DocRef>) -> String {
    let base = super::published(site.catalog);
    let mut whole = Map::new();
    whole.insert("@type".into(), "WebSite".into());
    whole.insert("name".into(), site.title().into());
    let mut own = Map::new();
    own.insert("@context".into(), "https://schema.org".into());
    own.insert("@type".into(), if doc.is_some_and(|d| is_clinical(d.kind)) { "MedicalWebPage" } else { "WebPage" }.into());
    own.insert("name".into(), title.into());
    own.insert("inLanguage".into(), lang.into());
    if let Some(base) = base {
        own.insert("url".into(), format!("{base}{}", site.path).into());
        whole.insert("url".into(), base.into());
    }
    own.insert("isPartOf".into(), Value::Object(whole));
    if let Some(doc) = doc {
        of_document(site, doc, &mut own);
    }
    escape(&Value::Object(own))
}

fn of_document(site: &Site<'_>, doc: DocRef, own: &mut Map<String, Value>) {
    let Some(pack) = site.catalog.head(doc).map(|h| &site.catalog.packs[h.pack]) else { return };
    own.insert("version".into(), pack.edition.value.to_string().into());
    if let Some(state) = site.mark(doc) {
        own.insert("creativeWorkStatus".into(), state.word.into());
    }
    let signed = site.facts.currency.sign_off(&site.catalog.name(doc)).filter(|_| site.state_of(doc).is_some_and(State::is_in_force));
    let reviewed = signed.and_then(|s| s.current.iter().map(|a| a.date).max()).filter(|_| pack.demonstration.is_none());
    if let Some(day) = reviewed {
        own.insert("lastReviewed".into(), day.to_string().into());
    }
    if is_clinical(doc.kind) {
        own.insert("audience".into(), json!({"@type": "MedicalAudience", "audienceType": "Clinician"}));
    }
    if doc.kind == Kind::Muscle {
        own.insert("about".into(), json!({"@type": "Muscle", "name": site.catalog.title(doc)}));
    }
}

fn is_clinical(kind: Kind) -> bool {
    !matches!(kind, Kind::Pack | Kind::Audit | Kind::Change | Kind::Page | Kind::Source)
}

/// A data block ends at the first `</script`, and `<!--` would change how it is read; neither can stand without `<`.
fn escape(value: &Value) -> String {
    value.to_string().replace('<', "\\u003c").replace('\u{2028}', "\\u2028").replace('\u{2029}', "\\u2029")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_title_can_end_the_data_block() {
        let title = "</script><!-- & \" x";
        let text = escape(&json!({ "name": title }));
        assert!(!text.contains('<'), "{text}");
        assert_eq!(serde_json::from_str::<Value>(&text).unwrap()["name"], title);
    }
}
