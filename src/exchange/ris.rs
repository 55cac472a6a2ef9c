//! RIS: one field a line, a tag of two characters, two spaces, a hyphen, a space and the value.
//!
//! Read by hand: no well-kept library for it was found, and the form is lines.

use super::{Broken, Incoming, People, date};
use crate::model::docs::{Bibliography, Form, Name, Names, OTHERS, Part, PublicationType};
use crate::model::identifier::Scheme;

const TYPES: [(&str, PublicationType); 18] = [
    ("JOUR", PublicationType::ArticleJournal),
    ("EJOUR", PublicationType::ArticleJournal),
    ("UNPB", PublicationType::Article),
    ("BOOK", PublicationType::Book),
    ("EBOOK", PublicationType::Book),
    ("EDBOOK", PublicationType::Book),
    ("CHAP", PublicationType::Chapter),
    ("ECHAP", PublicationType::Chapter),
    ("DATA", PublicationType::Dataset),
    ("GEN", PublicationType::Document),
    ("CPAPER", PublicationType::PaperConference),
    ("CONF", PublicationType::PaperConference),
    ("RPRT", PublicationType::Report),
    ("COMP", PublicationType::Software),
    ("STAND", PublicationType::Standard),
    ("THES", PublicationType::Thesis),
    ("ELEC", PublicationType::Webpage),
    ("WEB", PublicationType::Webpage),
];

/// Tags that mean one key of a source, the stronger first.
const TAGS: [(&str, &str); 18] = [
    ("TI", "title"),
    ("T1", "title"),
    ("CT", "title"),
    ("T2", "container-title"),
    ("JF", "container-title"),
    ("JO", "container-title"),
    ("BT", "container-title"),
    ("JA", "container-title"),
    ("VL", "volume"),
    ("IS", "issue"),
    ("PB", "publisher"),
    ("CY", "publisher-place"),
    ("PP", "publisher-place"),
    ("ET", "edition"),
    ("DO", "DOI"),
    ("UR", "URL"),
    ("C2", "PMCID"),
    ("SN", "ISSN"),
];

pub(super) fn read(text: &str) -> Result<Vec<Incoming>, Broken> {
    let mut out = Vec::new();
    let mut open: Option<(usize, Vec<(String, String)>)> = None;
    for (i, line) in text.lines().enumerate() {
        let number = i + 1;
        match (tag(line), &mut open) {
            (Some(("TY", _)), Some((from, _))) => {
                return Err(broken(
                    number,
                    format!("a new entry starts before the one of line {from} ends"),
                    "end it with a line `ER  - `",
                ));
            }
            (Some(("TY", value)), None) => open = Some((number, vec![("TY".into(), value.into())])),
            (Some(("ER", _)), Some(_)) => out.extend(open.take().map(|(line, fields)| entry(line, &fields))),
            (Some((tag, value)), Some((_, fields))) => fields.push((tag.into(), value.into())),
            (Some((tag, _)), None) => {
                return Err(broken(number, format!("`{tag}` stands outside an entry"), "an entry starts with a line `TY  - JOUR`"));
            }
            (None, _) if line.trim().is_empty() => {}
            (None, Some((_, fields))) => {
                if let Some((_, value)) = fields.last_mut() {
                    *value += &format!(" {}", line.trim());
                }
            }
            (None, None) => {
                let shown: String = line.chars().take(40).collect();
                return Err(broken(
                    number,
                    format!("`{shown}` is no line of RIS"),
                    "a line is a tag, two spaces, a hyphen, a space and a value: `TI  - Title`",
                ));
            }
        }
    }
    match open {
        Some((line, _)) => Err(broken(line, "the entry that starts here does not end".into(), "end it with a line `ER  - `")),
        None => Ok(out),
    }
}

fn broken(line: usize, what: String, help: &str) -> Broken {
    Broken { line, what, help: help.into() }
}

fn tag(line: &str) -> Option<(&str, &str)> {
    let (tag, rest) = (line.get(..2)?, line.get(2..)?);
    let right = |b: u8, first: bool| b.is_ascii_uppercase() || (!first && b.is_ascii_digit());
    let bytes = tag.as_bytes();
    let value = rest.strip_prefix("  -")?;
    (right(*bytes.first()?, true) && right(*bytes.get(1)?, false) && (value.is_empty() || value.starts_with(' ')))
        .then(|| (tag, value.trim()))
}

fn entry(line: usize, fields: &[(String, String)]) -> Incoming {
    let mut entry = Incoming { line, ..Incoming::default() };
    for (own, key) in TAGS.iter().filter(|(own, _)| *own != "SN") {
        for (_, value) in fields.iter().filter(|(t, v)| t == own && (t != "C2" || v.starts_with("PMC"))) {
            entry.set(key, own, value);
        }
    }
    let first = |tags: &[&str]| tags.iter().find_map(|t| fields.iter().find(|(own, v)| own == t && !v.is_empty())).map(|(_, v)| &**v);
    if let Some(start) = first(&["SP"]) {
        let end = first(&["EP"]).filter(|end| *end != start && !start.contains('-'));
        entry.set("page", "SP", &end.map_or(start.to_string(), |end| format!("{start}-{end}")));
    } else if let Some(number) = first(&["C7"]) {
        entry.set("page", "C7", number);
    }
    let written = first(&["DA"]).filter(|d| first(&["PY", "Y1"]).is_none_or(|y| d.starts_with(y.split('/').next().unwrap_or(y))));
    if let Some(issued) = written.or_else(|| first(&["PY", "Y1"])).and_then(issued) {
        entry.set("issued", "PY", &issued);
    }
    for (own, value) in fields {
        match own.as_str() {
            "TY" => {
                entry.kind = TYPES.iter().find(|(word, _)| word == value).map(|(_, kind)| *kind);
                if entry.kind.is_none() {
                    entry.keep("TY", value);
                }
            }
            "AU" | "A1" => name(&mut entry.author, value),
            "ED" | "A2" | "A3" => name(&mut entry.editor, value),
            "SN" => serial(&mut entry, value),
            "ID" => entry.key.clone_from(value),
            "AB" | "N2" => entry.abstract_dropped(),
            "SP" | "EP" | "PY" | "Y1" | "DA" => {}
            "C2" if !value.starts_with("PMC") => entry.keep("C2", value),
            "C7" if entry.text.get("page") == Some(value) => {}
            own if TAGS.iter().any(|(t, _)| *t == own) => {}
            own => entry.keep(own, value),
        }
    }
    entry
}

/// `2022/03/15/note` or `2022-03-15`.
fn issued(written: &str) -> Option<String> {
    let mut parts = written.split(['/', '-']).map(str::trim);
    let year = parts.next().filter(|y| y.len() == 4 && y.bytes().all(|b| b.is_ascii_digit()))?;
    let mut small = |most: u8| parts.next().and_then(|p| p.parse().ok()).filter(|n| (1..=most).contains(n));
    let month = small(12);
    let day = month.and_then(|_| small(31));
    Some(date(year, month, day))
}

/// `Family, Given, Suffix`; without a comma it is a body.
fn name(people: &mut People, value: &str) {
    let mut parts = value.splitn(3, ',').map(str::trim);
    let family = parts.next().unwrap_or_default();
    let rest: Vec<&str> = parts.collect();
    if family.is_empty() {
        return;
    }
    if rest.is_empty() && matches!(family.to_ascii_lowercase().as_str(), "others" | "et al" | "et al.") && !people.named.is_empty() {
        people.others = true;
        return;
    }
    people.named.push(if rest.is_empty() {
        vec![("literal", family.to_string())]
    } else {
        let keys = ["given", "suffix"].into_iter().zip(&rest).filter(|(_, v)| !v.is_empty());
        std::iter::once(("family", family.to_string())).chain(keys.map(|(k, v)| (k, (*v).to_string()))).collect()
    });
}

/// One tag for two kinds of number; the count of digits tells them apart.
fn serial(entry: &mut Incoming, value: &str) {
    let digits = value.bytes().filter(u8::is_ascii_alphanumeric).count();
    entry.set(if digits == 8 { "ISSN" } else { "ISBN" }, "SN", value);
}

/// What the form cannot carry, for people.
pub const LOST: &str =
    "PMID, ORCID of a person, that a particle is no part of the family name, commas within a name, and the form of other imports";

/// The sources, entry by entry.
pub fn write<'a>(sources: impl Iterator<Item = (&'a str, &'a Bibliography)>) -> String {
    sources.map(|(id, b)| outgoing(id, b)).collect::<Vec<_>>().join("\r\n")
}

fn outgoing(id: &str, b: &Bibliography) -> String {
    let mut lines: Vec<(String, String)> = Vec::new();
    let mut add = |tag: &str, value: &str| lines.push((tag.to_string(), value.to_string()));
    add("TY", TYPES.iter().find(|(_, kind)| *kind == b.kind).map_or("GEN", |(word, _)| word));
    add("ID", id);
    for (tag, names) in [("AU", &b.author), ("ED", &b.editor)] {
        persons(names).iter().for_each(|n| add(tag, n));
    }
    add("TI", &b.title.value);
    let tags = [
        (Part::ContainerTitle, "T2"),
        (Part::Volume, "VL"),
        (Part::Issue, "IS"),
        (Part::Publisher, "PB"),
        (Part::PublisherPlace, "CY"),
        (Part::Edition, "ET"),
    ];
    for (part, tag) in tags {
        b.part(part).into_iter().for_each(|t| add(tag, &t.value));
    }
    if let Some(issued) = b.issued.as_ref().map(|i| i.value) {
        add("PY", &format!("{:04}", issued.year));
        if issued.month.is_some() {
            add("DA", &issued.to_string().replace('-', "/"));
        }
    }
    if let Some(page) = b.part(Part::Page) {
        let (start, end) = page.value.split_once('-').map_or((&*page.value, None), |(s, e)| (s, Some(e)));
        add("SP", start);
        end.into_iter().for_each(|e| add("EP", e));
    }
    for (scheme, tag) in [(Scheme::Doi, "DO"), (Scheme::Pmcid, "C2"), (Scheme::Isbn, "SN"), (Scheme::Issn, "SN")] {
        b.identifier(scheme).into_iter().for_each(|i| add(tag, i.value.plain()));
    }
    b.url.iter().for_each(|u| add("UR", &u.value));
    for (key, value) in b.original.iter().filter(|o| o.form == Form::Ris).flat_map(|o| &o.fields) {
        add(&key.value, &value.value);
    }
    lines.push(("ER".into(), String::new()));
    // A line break in a value would start a field of its own.
    let line = |(tag, value): &(String, String)| format!("{tag}  - {}\r\n", value.split_whitespace().collect::<Vec<_>>().join(" "));
    lines.iter().map(line).collect::<Vec<_>>().concat()
}

fn persons(names: &Names) -> Vec<String> {
    // A comma ends a part of a name.
    let part = |text: &str| text.replace(',', "");
    let one = |name: &Name| match name {
        Name::Body(body) => part(&body.value),
        Name::Person { given, suffix, .. } => {
            let given = given.as_ref().map(|t| part(&t.value)).unwrap_or_default();
            let suffix = suffix.as_ref().map(|t| format!(", {}", part(&t.value))).unwrap_or_default();
            // The comma stays where no given name follows: a name without a comma is a body.
            format!("{}, {given}{suffix}", part(&name.short()))
        }
    };
    let others = names.others.then(|| OTHERS.to_string());
    names.people.iter().map(one).chain(others).collect()
}
