//! BibTeX.

use super::{Broken, Incoming, People, date, line_of, too_deep};
use crate::model::docs::{Bibliography, Form, Name, Names, OTHERS, Part, PublicationType};
use crate::model::identifier::Scheme;
use biblatex::{Chunk, ChunksExt, ChunksRef, Entry, Person, RawBibliography};
use std::collections::BTreeMap;

/// Kinds of entry, the one that is written first.
const TYPES: [(&str, PublicationType); 23] = [
    ("article", PublicationType::ArticleJournal),
    ("unpublished", PublicationType::Article),
    ("book", PublicationType::Book),
    ("collection", PublicationType::Book),
    ("mvbook", PublicationType::Book),
    ("incollection", PublicationType::Chapter),
    ("inbook", PublicationType::Chapter),
    ("dataset", PublicationType::Dataset),
    ("misc", PublicationType::Document),
    ("manual", PublicationType::Document),
    ("booklet", PublicationType::Document),
    ("inproceedings", PublicationType::PaperConference),
    ("conference", PublicationType::PaperConference),
    ("techreport", PublicationType::Report),
    ("report", PublicationType::Report),
    ("software", PublicationType::Software),
    ("standard", PublicationType::Standard),
    ("phdthesis", PublicationType::Thesis),
    ("mastersthesis", PublicationType::Thesis),
    ("thesis", PublicationType::Thesis),
    ("online", PublicationType::Webpage),
    ("electronic", PublicationType::Webpage),
    ("www", PublicationType::Webpage),
];

/// Fields that mean one key of a source, the stronger first.
const FIELDS: [(&str, &str); 20] = [
    ("journaltitle", "container-title"),
    ("journal", "container-title"),
    ("booktitle", "container-title"),
    ("volume", "volume"),
    ("number", "issue"),
    ("issue", "issue"),
    ("pages", "page"),
    ("eid", "page"),
    ("publisher", "publisher"),
    ("institution", "publisher"),
    ("school", "publisher"),
    ("organization", "publisher"),
    ("location", "publisher-place"),
    ("address", "publisher-place"),
    ("edition", "edition"),
    ("doi", "DOI"),
    ("pmid", "PMID"),
    ("pmcid", "PMCID"),
    ("isbn", "ISBN"),
    ("issn", "ISSN"),
];

const MONTHS: [&str; 12] = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

fn help(kind: &biblatex::ParseErrorKind) -> &'static str {
    use biblatex::ParseErrorKind::{DuplicateKey, Expected, UnexpectedEof};
    match kind {
        DuplicateKey(_) => "two entries have this key; give one of the two another",
        UnexpectedEof | Expected(_) => {
            "an entry before this line is not closed, or a comma is missing: every field ends with `,`, every entry with `}`"
        }
        _ => "an entry is `@article{key, title = {…}, author = {Family, Given and Family, Given}, year = {2022}}`",
    }
}

pub(super) fn read(text: &str) -> Result<Vec<Incoming>, Broken> {
    if let Some(broken) = too_deep(text, b'{', b'}') {
        return Err(broken);
    }
    let broken =
        |e: biblatex::ParseError| Broken { line: line_of(text, e.span.start), what: e.kind.to_string(), help: help(&e.kind).into() };
    let raw = RawBibliography::parse(text).map_err(broken)?;
    let heads: BTreeMap<String, (usize, String)> =
        raw.entries.iter().map(|e| (e.v.key.v.to_string(), (line_of(text, e.span.start), e.v.kind.v.to_ascii_lowercase()))).collect();
    let all = biblatex::Bibliography::from_raw(raw).map_err(broken)?;
    let out: Vec<Incoming> = all.iter().filter_map(|e| heads.get(&e.key).map(|(line, kind)| entry(e, *line, kind))).collect();
    if out.is_empty() && !text.trim().is_empty() {
        return Err(Broken { line: 1, what: "there is no entry".into(), help: "an entry starts with `@article{key,`".into() });
    }
    Ok(out)
}

fn entry(e: &Entry, line: usize, kind: &str) -> Incoming {
    let mut entry = Incoming { line, key: e.key.clone(), ..Incoming::default() };
    entry.kind = TYPES.iter().find(|(word, _)| *word == kind).map(|(_, kind)| *kind);
    if entry.kind.is_none() {
        entry.keep("entrytype", kind);
    }
    let text = |key: &str| e.get(key).map(ChunksExt::format_verbatim).filter(|t| !t.trim().is_empty());
    let title = [text("title"), text("subtitle")].into_iter().flatten().collect::<Vec<_>>().join(": ");
    entry.set("title", "title", &title);
    for (own, key) in FIELDS {
        if let Some(value) = text(own) {
            entry.set(key, own, &if key == "page" { value.replace("--", "-").replace('–', "-") } else { value });
        }
    }
    let url = text("url");
    url.iter().for_each(|u| entry.set("URL", "url", u));
    if let Some(issued) = issued(&text) {
        entry.set("issued", "date", &issued);
    }
    entry.author = people(e, "author");
    entry.editor = people(e, "editor");
    for own in e.fields.keys() {
        let value = text(own).unwrap_or_default();
        match own.as_str() {
            "title" | "subtitle" | "author" | "editor" | "url" => {}
            "year" | "month" | "date" if entry.text.contains_key("issued") => {}
            "eprint" if text("eprinttype").is_some_and(|t| t.eq_ignore_ascii_case("pubmed")) => entry.set("PMID", own, &value),
            "eprinttype" if value.eq_ignore_ascii_case("pubmed") => {}
            "abstract" => entry.abstract_dropped(),
            own if FIELDS.iter().any(|(f, _)| *f == own) => {}
            own => entry.keep(own, &value),
        }
    }
    entry
}

fn issued(text: &impl Fn(&str) -> Option<String>) -> Option<String> {
    let right = |y: &str| y.len() == 4 && y.bytes().all(|b| b.is_ascii_digit());
    if let Some(written) = text("date") {
        let mut parts = written.split(['/', '-']).map(str::trim);
        let year = parts.next().filter(|y| right(y))?;
        let mut small = |most: u8| parts.next().and_then(|p| p.parse().ok()).filter(|n| (1..=most).contains(n));
        let month = small(12);
        return Some(date(year, month, month.and_then(|_| small(31))));
    }
    let year = text("year").map(|y| y.trim().to_string()).filter(|y| right(y))?;
    let month = text("month").and_then(|m| {
        let word = m.trim().to_ascii_lowercase();
        let named = MONTHS.iter().position(|n| word.starts_with(n)).and_then(|i| u8::try_from(i + 1).ok());
        named.or_else(|| word.parse().ok().filter(|n| (1..=12).contains(n)))
    });
    Some(date(&year, month, None))
}

fn people(e: &Entry, key: &str) -> People {
    let mut people = People::default();
    let chunks: Option<ChunksRef<'_>> = e.get(key);
    let named: Vec<Person> = chunks.and_then(|c| c.parse().ok()).unwrap_or_default();
    let count = named.len();
    // Braces around the whole of a name make it a body; the parsed name has lost them.
    let braced = |name: &str| chunks.into_iter().flatten().any(|c| matches!(&c.v, Chunk::Verbatim(text) if text.trim() == name));
    for (i, p) in named.into_iter().enumerate() {
        if p.name == OTHERS && p.given_name.is_empty() && i > 0 && i + 1 == count {
            people.others = true;
        } else if p.given_name.is_empty() && p.prefix.is_empty() && braced(&p.name) {
            people.named.push(vec![("literal", p.name)]);
        } else if !p.name.is_empty() {
            let parts = [("family", p.name), ("given", p.given_name), ("non-dropping-particle", p.prefix), ("suffix", p.suffix)];
            people.named.push(parts.into_iter().filter(|(_, text)| !text.is_empty()).collect());
        }
    }
    people
}

/// What the form cannot carry, for people.
pub const LOST: &str = "the letter of a year, the day of a date, ORCID of a person, for a person without given name the suffix and \
     that a family name of several words is no body, and the form of other imports";

/// The sources, entry by entry.
pub fn write<'a>(sources: impl Iterator<Item = (&'a str, &'a Bibliography)>) -> String {
    sources.map(|(id, b)| outgoing(id, b)).collect::<Vec<_>>().join("\n")
}

fn outgoing(id: &str, b: &Bibliography) -> String {
    let kind = TYPES.iter().find(|(_, kind)| *kind == b.kind).map_or("misc", |(word, _)| word);
    let mut fields: Vec<(String, String)> = Vec::new();
    for (key, names) in [("author", &b.author), ("editor", &b.editor)] {
        if !names.people.is_empty() {
            fields.push((key.into(), persons(names)));
        }
    }
    // Inner braces keep the capitals of a title as they are.
    fields.push(("title".into(), format!("{{{}}}", escape(&b.title.value))));
    for (part, text) in &b.parts {
        let value = escape(&text.value);
        fields.push((field(*part, b.kind).into(), if *part == Part::Page { value.replace('-', "--") } else { value }));
    }
    if let Some(issued) = b.issued.as_ref().map(|i| i.value) {
        fields.push(("year".into(), format!("{:04}", issued.year)));
        issued.month.into_iter().for_each(|m| fields.push(("month".into(), m.to_string())));
    }
    for (scheme, key) in
        [(Scheme::Doi, "doi"), (Scheme::Pmid, "pmid"), (Scheme::Pmcid, "pmcid"), (Scheme::Isbn, "isbn"), (Scheme::Issn, "issn")]
    {
        b.identifier(scheme).into_iter().for_each(|i| fields.push((key.into(), verbatim(i.value.plain()))));
    }
    b.url.iter().for_each(|u| fields.push(("url".into(), verbatim(&u.value))));
    for (key, value) in b.original.iter().filter(|o| o.form == Form::Bibtex).flat_map(|o| &o.fields) {
        let right = key.value.bytes().all(|c| c.is_ascii_alphanumeric() || c == b'-' || c == b'_');
        if right && &*key.value != "entrytype" && !fields.iter().any(|(k, _)| **k == *key.value) {
            fields.push((key.value.to_string(), escape(&value.value)));
        }
    }
    let lines: Vec<String> = fields.iter().map(|(key, value)| format!("  {key} = {{{value}}}")).collect();
    format!("@{kind}{{{id},\n{}\n}}\n", lines.join(",\n"))
}

fn field(part: Part, kind: PublicationType) -> &'static str {
    match part {
        Part::ContainerTitle if matches!(kind, PublicationType::Chapter | PublicationType::PaperConference) => "booktitle",
        Part::ContainerTitle => "journal",
        Part::Volume => "volume",
        Part::Issue => "number",
        Part::Page => "pages",
        Part::Publisher if kind == PublicationType::Thesis => "school",
        Part::Publisher if kind == PublicationType::Report => "institution",
        Part::Publisher => "publisher",
        Part::PublisherPlace => "address",
        Part::Edition => "edition",
    }
}

fn persons(names: &Names) -> String {
    let one = |name: &Name| match name {
        Name::Body(body) => format!("{{{}}}", escape(&body.value)),
        Name::Person { family, given: None, particle: None, .. } if stands_bare(&family.value) => escape(&family.value),
        Name::Person { family, given, particle, suffix, .. } => {
            let suffix = suffix.as_ref().filter(|_| given.is_some());
            let lead = particle.as_ref().map(|p| format!("{} ", escape(&p.value))).unwrap_or_default();
            let rest = [suffix, given.as_ref()].into_iter().flatten().map(|t| format!(", {}", escape(&t.value)));
            format!("{lead}{{{}}}{}", escape(&family.value), rest.collect::<String>())
        }
    };
    let others = names.others.then(|| OTHERS.to_string());
    names.people.iter().map(one).chain(others).collect::<Vec<_>>().join(" and ")
}

/// One word that no reader takes apart or for a word of the form.
fn stands_bare(family: &str) -> bool {
    !family.contains(|c: char| c.is_whitespace() || matches!(c, ',' | '=')) && family != OTHERS && family != "and"
}

/// Characters that TeX would obey, as text.
fn escape(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match c {
            '\\' => out += "\\textbackslash{}",
            '~' => out += "\\textasciitilde{}",
            '^' => out += "\\textasciicircum{}",
            '{' | '}' | '#' | '$' | '%' | '&' | '_' => {
                out.push('\\');
                out.push(c);
            }
            // Two hyphens side by side would be read as a dash.
            '-' if out.ends_with('-') => out += "{}-",
            c if c.is_whitespace() || c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// Identifiers and addresses are read as they stand; what would end the field is written as an address writes it.
fn verbatim(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '{' => "%7B".to_string(),
            '}' => "%7D".to_string(),
            '\\' => "%5C".to_string(),
            c if c.is_whitespace() || c.is_control() => "%20".to_string(),
            c => c.to_string(),
        })
        .collect()
}
