//! Editions that were kept when they were signed: what every document said then, and the cells that followed. They
//! make a list of changes possible years later; they prove nothing, since the ledger holds the digests.

use super::Currency;
use super::derived::Derived;
use crate::model::DocName;
use crate::model::content::Digest;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// One file of `editions/`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Kept {
    /// The pack.
    pub pack: String,
    /// The edition.
    pub edition: String,
    /// States in which documents were signed, oldest first.
    pub states: Vec<Moment>,
    /// What the documents said, by the digest of it.
    pub contents: BTreeMap<Digest, Said>,
}

/// The pack at one moment.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Moment {
    /// When.
    pub date: Date,
    /// Version of the deriving rules.
    pub rules: u32,
    /// What was signed, with the digest to which the sign-off is bound.
    pub signed: BTreeMap<DocName, Digest>,
    /// Every document, with the digest of its content.
    pub documents: BTreeMap<DocName, Digest>,
    /// On what each document rested in one step.
    pub links: BTreeMap<DocName, BTreeSet<DocName>>,
    /// Cells of every protocol and session.
    pub derived: BTreeMap<DocName, Derived>,
}

impl Moment {
    /// Everything on which a document rested, itself included.
    pub fn rests_on<'a>(&'a self, name: &'a DocName) -> BTreeSet<&'a DocName> {
        super::reach(name, &self.links)
    }
}

/// What a document said.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Said {
    /// Its title.
    pub title: String,
    /// Its content.
    pub content: Value,
}

impl Kept {
    /// An edition in which nothing was signed yet.
    pub fn new(pack: &str, edition: &str) -> Kept {
        Kept { pack: pack.into(), edition: edition.into(), states: Vec::new(), contents: BTreeMap::new() }
    }

    /// Reads one.
    ///
    /// # Errors
    /// In words, when the text is none or a content does not fit its digest.
    pub fn read(text: &str) -> Result<Kept, String> {
        let kept: Kept = serde_json::from_str(text).map_err(|e| e.to_string())?;
        for (digest, said) in &kept.contents {
            if Digest::of_value(&said.content) != *digest {
                return Err(format!("what is kept of \"{}\" does not fit its digest {}", said.title, digest.short()));
            }
        }
        let known = |d: &Digest| kept.contents.contains_key(d);
        match kept.states.iter().flat_map(|s| &s.documents).find(|(_, d)| !known(d)) {
            Some((name, _)) => Err(format!("the content of {name} is not kept")),
            None => Ok(kept),
        }
    }

    /// The state in which a document had this digest when it was signed; the last if there were several.
    pub fn state(&self, document: &DocName, digest: Digest) -> Option<&Moment> {
        self.states.iter().rev().find(|s| s.signed.get(document) == Some(&digest))
    }

    /// Adds what is signed now to the state that the pack is in.
    pub fn add(
        &mut self,
        date: Date,
        currency: &Currency,
        derived: BTreeMap<DocName, Derived>,
        titles: &dyn Fn(&DocName) -> String,
        signed: &[DocName],
    ) {
        let documents: BTreeMap<DocName, Digest> = currency.all().map(|s| (s.name.clone(), s.own)).collect();
        for statement in currency.all() {
            let said = || Said { title: titles(&statement.name), content: statement.content.value().clone() };
            self.contents.entry(statement.own).or_insert_with(said);
        }
        let same = self.states.last().is_some_and(|s| s.documents == documents && s.rules == super::RULES && s.derived == derived);
        if !same {
            let links = currency.links().clone();
            self.states.push(Moment { date, rules: super::RULES, signed: BTreeMap::new(), documents, links, derived });
        }
        if let Some(state) = self.states.last_mut() {
            let digests = signed.iter().filter_map(|n| Some((n.clone(), currency.named(n)?.digest)));
            state.signed.extend(digests);
        }
    }

    /// The file: one line for each content, so that a comparison of two versions stays readable.
    pub fn render(&self) -> String {
        let line = |value: &dyn Fn() -> serde_json::Result<String>| value().unwrap_or_default();
        let mut out = format!("{{\"pack\":{},\"edition\":{},\n\"states\":[", Value::from(&*self.pack), Value::from(&*self.edition));
        let states: Vec<String> = self.states.iter().map(|s| line(&|| serde_json::to_string(s))).collect();
        out.push_str(&states.join(",\n"));
        out.push_str("],\n\"contents\":{\n");
        let contents: Vec<String> = self.contents.iter().map(|(d, s)| format!("\"{d}\":{}", line(&|| serde_json::to_string(s)))).collect();
        out.push_str(&contents.join(",\n"));
        out.push_str("\n}}\n");
        out
    }
}
