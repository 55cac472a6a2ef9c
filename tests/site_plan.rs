//! Plans and renders whole packs: every file, twice the same, nothing missing, nothing leaving the site.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::case_sensitive_file_extension_comparisons,
    reason = "a test fails by panicking, and names its own files"
)]

mod common;

use fascicle::build::{Judged, judge};
use fascicle::plan::Shape;
use fascicle::render::{Built, Templates, render};
use std::collections::BTreeSet;

const CSP: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'self'";
const PACKS: [&str; 2] = ["tests/checks/base", "packs/millrace-course"];

fn judged(pack: &str) -> Judged {
    judge(&[common::root().join(pack)], common::TODAY).unwrap()
}

fn built(judged: &Judged) -> Vec<Built> {
    let plan = fascicle::plan::plan(judged.catalog.as_ref().unwrap(), &judged.facts).unwrap();
    assert!(plan.clashes.is_empty(), "{:?}", plan.clashes);
    assert!(plan.overfull.is_empty(), "{:?}", plan.overfull);
    render(&plan, Templates::shipped()).unwrap()
}

fn unescape(html: &str) -> String {
    html.replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&#x27;", "'")
        .replace("&#39;", "'")
        .replace("&amp;", "&")
}

fn attributes<'a>(html: &'a str, name: &str) -> Vec<&'a str> {
    let start = format!(" {name}=\"");
    html.split(&start).skip(1).filter_map(|rest| rest.split('"').next()).collect()
}

#[test]
fn paths_are_sorted_and_a_second_run_gives_the_same_bytes() {
    for pack in PACKS {
        let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap().install(|| built(&judged(pack)));
        let eight = rayon::ThreadPoolBuilder::new().num_threads(8).build().unwrap().install(|| built(&judged(pack)));
        assert!(one.windows(2).all(|w| w[0].path < w[1].path), "{pack}");
        assert_eq!(one.len(), eight.len());
        for (a, b) in one.iter().zip(&eight) {
            assert!(a.path == b.path && a.bytes == b.bytes, "{pack}: {}", a.path);
        }
    }
}

#[test]
fn every_page_carries_policy_notice_and_edition_and_no_inline_code() {
    for pack in PACKS {
        let judged = judged(pack);
        let doc = &judged.catalog.as_ref().unwrap().packs.rows()[0];
        for page in built(&judged).iter().filter(|b| b.path.ends_with(".html")) {
            let (html, path) = (page.text(), &page.path);
            assert!(html.starts_with("<!doctype html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">"), "{path}");
            assert!(html.contains(&format!("content=\"{CSP}\"")), "{path}");
            let text = unescape(html);
            for part in [&*doc.notice.value, &*doc.title.value, &*doc.edition.value, fascicle::plan::words::USE_NOTE] {
                assert!(text.contains(part), "{path}: {part}");
            }
            assert!(doc.demonstration.as_ref().is_none_or(|d| text.contains(&*d.value)), "{path}");
            assert!(!html.contains(" style=") && !html.contains("<style") && !html.contains("<script>"), "{path}");
            assert!(!html.contains("integrity=") && !html.contains("crossorigin"), "{path}");
        }
    }
}

#[test]
fn every_link_leads_to_a_file_and_an_anchor_of_the_site() {
    for pack in PACKS {
        let files = built(&judged(pack));
        let paths: BTreeSet<&str> = files.iter().map(|f| f.path.as_str()).collect();
        let ids = |path: &str| files.iter().find(|f| f.path == path).map(|f| attributes(f.text(), "id")).unwrap_or_default();
        for page in files.iter().filter(|b| b.path.ends_with(".html")) {
            let html = page.text();
            let own: Vec<&str> = attributes(html, "id");
            assert_eq!(own.iter().collect::<BTreeSet<_>>().len(), own.len(), "{}: an id stands twice", page.path);
            let links = attributes(html, "href").into_iter().chain(attributes(html, "src")).chain(attributes(html, "action"));
            // A host shows the page for a missing address at any depth, so its links are absolute.
            for link in links.filter(|l| *l != "data:," && !(page.path == "404.html" && l.starts_with("https://"))) {
                assert!(!link.contains(':') && !link.starts_with('/') && !link.ends_with('/'), "{}: {link}", page.path);
                let (file, anchor) = link.split_once('#').unwrap_or((link, ""));
                let target = resolve(&page.path, file.split('?').next().unwrap());
                assert!(paths.contains(target.as_str()), "{}: {link}", page.path);
                assert!(anchor.is_empty() || ids(&target).contains(&anchor), "{}: {link}", page.path);
            }
        }
    }
}

fn resolve(from: &str, link: &str) -> String {
    if link.is_empty() {
        return from.to_string();
    }
    let mut parts: Vec<&str> = from.split('/').collect();
    parts.pop();
    for part in link.split('/') {
        if part == ".." {
            parts.pop();
        } else {
            parts.push(part);
        }
    }
    parts.join("/")
}

/// True if the amount stands in the text as a whole, not as a part of a longer one.
fn stands(text: &str, amount: &str) -> bool {
    text.match_indices(amount).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let after = text[at + amount.len()..].chars().next();
        before.is_some_and(|c| matches!(c, ' ' | '>' | '(')) && after.is_some_and(|c| matches!(c, ' ' | '\u{a0}' | '<' | ')'))
    })
}

#[test]
fn pages_and_cards_hold_every_question_and_every_dose() {
    for pack in PACKS {
        let judged = judged(pack);
        let catalog = judged.catalog.as_ref().unwrap();
        let files = built(&judged);
        for (idx, protocol) in catalog.protocols.iter() {
            let facts = judged.facts.of(idx);
            let id = &protocol.head.id.value;
            for path in [format!("protocols/{id}.html"), format!("cards/{id}.html"), "cards/all.html".to_string()] {
                let text = unescape(files.iter().find(|f| f.path == path).unwrap().text());
                for flag in &facts.flags.flags {
                    let flag = &catalog.flags[flag.flag];
                    assert!(text.contains(&*flag.question.value), "{path}: {}", flag.name.value);
                    assert!(text.contains(&format!("data-flag=\"{}\"", flag.head.id.value)), "{path}");
                }
                for caution in &facts.cautions {
                    let condition = &catalog.conditions[caution.condition];
                    let asked = condition.question.as_ref().filter(|_| path.starts_with("protocols/")).unwrap_or(&condition.name);
                    assert!(text.contains(&*asked.value), "{path}: {}", condition.name.value);
                    assert!(text.contains(&format!("data-condition=\"{}\"", condition.head.id.value)), "{path}");
                }
                for entry in protocol.steps.iter().flat_map(|s| &s.dose.entries) {
                    if let fascicle::model::docs::DoseValue::Amount(q) = &entry.value {
                        assert!(stands(&text, &q.shown()), "{path}: {}", q.shown());
                    }
                }
            }
        }
    }
}

#[test]
fn pages_and_cards_of_sessions_hold_every_question_and_every_act() {
    for pack in PACKS {
        let judged = judged(pack);
        let catalog = judged.catalog.as_ref().unwrap();
        let files = built(&judged);
        for (session, facts) in catalog.sessions.rows().iter().zip(&judged.facts.sessions) {
            let id = &session.head.id.value;
            for path in [format!("sessions/{id}.html"), format!("cards/session-{id}.html"), "cards/all.html".to_string()] {
                let text = unescape(files.iter().find(|f| f.path == path).unwrap().text());
                for protocol in &facts.visit.parts {
                    let own = judged.facts.of(*protocol);
                    for flag in own.flags.flags.iter().map(|f| &catalog.flags[f.flag]) {
                        assert!(text.contains(&*flag.question.value), "{path}: {}", flag.name.value);
                    }
                    for condition in own.cautions.iter().map(|c| &catalog.conditions[c.condition]) {
                        let asked = condition.question.as_ref().filter(|_| path.starts_with("sessions/")).unwrap_or(&condition.name);
                        assert!(text.contains(&*asked.value), "{path}: {}", condition.name.value);
                    }
                }
                // Every step is in one act; of steps that are done once the page names the one that covers the others.
                let mut members = 0;
                for act in &facts.visit.acts {
                    let lead = act.steps.lead;
                    // A card writes the time of a step that only asks before its full stop.
                    let action = catalog.protocols[facts.visit.parts[lead.part]].steps[lead.step].action.value.trim_end_matches('.');
                    assert!(text.contains(action), "{path}: {action}");
                    members += act.steps.members.len();
                }
                assert_eq!(members, facts.visit.parts.iter().map(|p| catalog.protocols[*p].steps.len()).sum::<usize>(), "{path}");
            }
        }
    }
}

#[test]
fn a_limit_without_a_number_says_on_the_card_what_to_do() {
    let cards = |judged: &Judged| -> Vec<String> {
        built(judged).iter().filter(|b| b.path.starts_with("cards/")).map(|b| unescape(b.text())).collect()
    };
    let dir = tempfile::tempdir().unwrap();
    common::copy(&common::root().join(PACKS[0]), dir.path()).unwrap();
    common::apply(dir.path(), "protocols/soleus.yaml\n- excludes: [late-pregnancy]\n+ excludes: []\n").unwrap();
    let base = cards(&judge(&[dir.path().to_path_buf()], common::TODAY).unwrap());
    assert!(
        base.iter().any(|c| c.to_lowercase().contains("not face down; not flat on the back for long") && c.contains("else Sensation test"))
    );
    for card in base.into_iter().chain(cards(&judged(PACKS[1]))) {
        for empty in [": , ", ": ; ", ", , ", "; ; ", ", ; "] {
            assert!(!card.contains(empty), "{empty}: {card}");
        }
    }
}

#[test]
fn many_cards_make_a_list_and_no_sheet() {
    let dir = tempfile::tempdir().unwrap();
    common::copy(&common::root().join("tests/checks/base"), dir.path()).unwrap();
    let sheet = || {
        let judged = judge(&[dir.path().to_path_buf()], common::TODAY).unwrap();
        let files = built(&judged);
        let cards =
            files.iter().filter(|f| f.path.starts_with("cards/") && f.path.ends_with(".html") && !f.path.ends_with("all.html")).count();
        (cards, unescape(files.iter().find(|f| f.path == "cards/all.html").unwrap().text()))
    };
    let (few, sheet_of_few) = sheet();
    assert!(few > 0 && sheet_of_few.contains("class=\"face "));
    let own = std::fs::read_to_string(dir.path().join("protocols/soleus.yaml")).unwrap();
    for i in 0..40 {
        let text = own.replacen("id: soleus", &format!("id: soleus-{i}"), 1);
        std::fs::write(dir.path().join(format!("protocols/soleus-{i}.yaml")), text).unwrap();
    }
    let (many, list) = sheet();
    assert!(many > 40 && !list.contains("class=\"face ") && list.contains(&format!("There are {many} cards")), "{many}");
    assert!((0..40).all(|i| list.contains(&format!("href=\"soleus-{i}.html\""))));
}

#[test]
fn headings_skip_no_level() {
    for pack in PACKS {
        for page in built(&judged(pack)).iter().filter(|b| b.shape == Shape::Page) {
            let mut last = 0;
            for level in page.text().split("<h").skip(1).filter_map(|t| t.chars().next()?.to_digit(10)) {
                assert!(level <= last + 1, "{}: h{last} then h{level}", page.path);
                last = level;
            }
        }
    }
}

#[test]
fn data_is_versioned_json() {
    for file in built(&judged(PACKS[0])).iter().filter(|b| b.shape == Shape::Data) {
        let json: serde_json::Value = serde_json::from_slice(&file.bytes).unwrap();
        assert_eq!(json["version"], 1, "{}", file.path);
    }
    let files = built(&judged(PACKS[0]));
    let protocol = files.iter().find(|f| f.path == "data/protocols/soleus.json").unwrap();
    let json: serde_json::Value = serde_json::from_slice(&protocol.bytes).unwrap();
    for part in ["ledger", "cautions", "flags", "timeline", "reporting"] {
        assert!(!json["document"]["derived"][part].is_null(), "{part}");
    }
    let sweep = json["document"]["steps"].as_array().unwrap().iter().map(|s| &s["sweep"]).find(|s| !s.is_null()).unwrap();
    for part in ["/unit", "/paths/0/view", "/paths/0/path/0/1", "/computed/width_cm", "/computed/lines/0/length_cm", "/computed/core_share"]
    {
        assert!(sweep.pointer(part).is_some_and(|v| !v.is_null()), "{part}: {sweep}");
    }
    let muscle = files.iter().find(|f| f.path == "data/muscles/soleus.json").unwrap();
    let json: serde_json::Value = serde_json::from_slice(&muscle.bytes).unwrap();
    for part in [
        "/chart/0/view",
        "/chart/0/outline/0/0",
        "/chart/0/attachments/distal",
        "/chart/0/ground",
        "/points/0/chart/0/radius_mm",
        "/look_alikes",
    ] {
        assert!(json["document"].pointer(part).is_some_and(|v| !v.is_null()), "{part}");
    }
}

#[test]
fn files_with_absolute_addresses_exist_only_where_the_pack_says_its_address() {
    let absolute = ["feed.xml", "opensearch.xml", "sitemap.xml"];
    let named = |files: &[Built]| files.iter().filter(|f| absolute.contains(&f.path.as_str())).map(|f| f.path.clone()).collect::<Vec<_>>();
    assert!(named(&built(&judged(PACKS[0]))).is_empty(), "the base pack is published nowhere");
    let files = built(&judged(PACKS[1]));
    assert_eq!(named(&files), absolute);
    for file in files.iter().filter(|f| absolute.contains(&f.path.as_str())) {
        roxmltree::Document::parse(file.text()).unwrap_or_else(|e| panic!("{}: {e}", file.path));
    }
    let text = |path: &str| files.iter().find(|f| f.path == path).unwrap().text().to_string();
    let (map, feed) = (text("sitemap.xml"), text("feed.xml"));
    for page in files.iter().filter(|f| f.path.ends_with(".html")) {
        let listed = map.contains(&format!("<loc>https://millrace.example/{}</loc>", page.path));
        assert_eq!(listed, page.path != "404.html", "{}", page.path);
    }
    assert!(text("opensearch.xml").contains("template=\"https://millrace.example/a-z.html?q={searchTerms}\""));
    // Editions with their reasons, approvals by day and role; ids are unique, days fall.
    assert!(feed.contains("edition 1.0.0") && feed.contains("Asking the doctor before a sweep") && feed.contains("approved by reviewer"));
    let feed = roxmltree::Document::parse(&feed).unwrap();
    let all = |name: &str| -> Vec<String> {
        feed.descendants()
            .filter(|n| n.has_tag_name(name) && n.parent().is_some_and(|p| p.has_tag_name("entry")))
            .filter_map(|n| n.text().map(String::from))
            .collect()
    };
    let (ids, days) = (all("id"), all("updated"));
    assert_eq!(ids.iter().collect::<BTreeSet<_>>().len(), ids.len());
    assert!(days.windows(2).all(|w| w[0] >= w[1]), "{days:?}");
}

#[test]
fn what_a_page_is_stands_in_it_as_data() {
    for pack in PACKS {
        for page in built(&judged(pack)).iter().filter(|b| b.path.ends_with(".html") && b.path != "404.html") {
            let data = page.text().split("<script type=\"application/ld+json\">").nth(1).and_then(|t| t.split("</script>").next());
            let value: serde_json::Value = serde_json::from_str(data.unwrap_or_else(|| panic!("{}", page.path))).unwrap();
            let clinical = page.doc.is_some_and(|d| !matches!(d.kind, fascicle::model::Kind::Source | fascicle::model::Kind::Page));
            let wanted = if clinical { "MedicalWebPage" } else { "WebPage" };
            assert_eq!(value["@type"], wanted, "{}", page.path);
            // Both packs are demonstrations: nobody has reviewed anything.
            assert!(value.get("lastReviewed").is_none(), "{}", page.path);
        }
    }
}
