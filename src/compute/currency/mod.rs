//! What a document rests on, and one digest over all of it: a sign-off binds to that digest, so an edit three links
//! away un-signs exactly what reaches it.
//!
//! A document rests on what it refers to with consequence, on the conditions and flags that are derived for it, and on
//! the house rules of its pack. It does not rest on what it only names: links in Markdown, look-alikes, the techniques
//! that a condition leaves possible. Ledgers and dates are not here.

pub mod code;
pub mod derived;
pub mod kept;
pub mod ledger;
pub mod sign_off;
pub mod signature;
pub mod since;

use super::ProtocolFacts;
use crate::model::content::{Content, Digest};
use crate::model::docs::Approval;
use crate::model::{Catalog, DocName, DocRef, Kind};
use kept::Kept;
use ledger::Fault;
use rayon::prelude::*;
use serde_json::{Map, Value};
use sign_off::SignOff;
use std::collections::{BTreeMap, BTreeSet};

/// Version of the rules by which cautions, flags, totals and times are derived. Raise it when a change of the program
/// changes what is derived from an unchanged pack: whoever signed then signed something else.
pub const RULES: u32 = 1;

pub use crate::model::PARTS;

/// One document as it stands.
#[derive(Clone, Debug)]
pub struct Statement {
    /// The document; `None` for a part of the pack file.
    pub doc: Option<DocRef>,
    /// What it is called.
    pub name: DocName,
    /// What it says.
    pub content: Content,
    /// Digest of that alone.
    pub own: Digest,
    /// Everything on which it rests, itself included, each with the digest of its content.
    pub rests_on: BTreeMap<DocName, Digest>,
    /// Digest of all that, to which a sign-off binds.
    pub digest: Digest,
}

/// All documents as they stand, by name.
#[derive(Clone, Debug, Default)]
pub struct Currency {
    statements: BTreeMap<DocName, Statement>,
    links: BTreeMap<DocName, BTreeSet<DocName>>,
    sign_offs: BTreeMap<DocName, SignOff>,
    /// Faults of each ledger of the catalogue; a ledger with one counts for nothing.
    pub faults: Vec<Vec<Fault>>,
    /// Kept editions of the catalogue, or why they cannot be read.
    pub kept: Vec<Result<Kept, String>>,
}

impl Currency {
    /// All, by name.
    pub fn all(&self) -> impl Iterator<Item = &Statement> {
        self.statements.values()
    }

    /// One digest over all, by which a pack names exactly the base that is meant.
    pub fn digest(&self) -> Digest {
        let all: Map<String, Value> = self.all().map(|s| (s.name.to_string(), Value::String(s.digest.to_string()))).collect();
        Digest::of_value(&Value::Object(all))
    }

    /// That of a name.
    pub fn named(&self, name: &DocName) -> Option<&Statement> {
        self.statements.get(name)
    }

    /// On what each document rests in one step.
    pub fn links(&self) -> &BTreeMap<DocName, BTreeSet<DocName>> {
        &self.links
    }

    /// Where a document stands; `None` for what is not signed on its own.
    pub fn sign_off(&self, name: &DocName) -> Option<&SignOff> {
        self.sign_offs.get(name)
    }

    /// The kept state in which an approval was given.
    pub fn kept_for(&self, approval: &Approval) -> Option<(&Kept, &kept::Moment)> {
        self.kept.iter().flatten().find_map(|k| Some((k, k.state(&approval.document, approval.digest)?)))
    }

    /// That of a document.
    pub fn of(&self, catalog: &Catalog, doc: DocRef) -> Option<&Statement> {
        self.named(&catalog.name(doc))
    }
}

/// The digest to which a sign-off binds: over the name, all on which the document rests, and the rules.
pub fn digest(name: &DocName, rests_on: &BTreeMap<DocName, Digest>) -> Digest {
    let rests: Map<String, Value> = rests_on.iter().map(|(n, d)| (n.to_string(), Value::String(d.to_string()))).collect();
    let all = [("document", Value::String(name.to_string())), ("rests-on", Value::Object(rests)), ("rules", Value::from(RULES))];
    Digest::of_value(&Value::Object(all.into_iter().map(|(k, v)| (k.to_string(), v)).collect()))
}

pub(super) fn compute(catalog: &Catalog, protocols: &[ProtocolFacts]) -> Currency {
    let mut own: BTreeMap<DocName, (Option<DocRef>, Content, Digest)> = BTreeMap::new();
    for doc in catalog.all_docs().filter(|d| d.kind != Kind::Pack) {
        let content = catalog.head(doc).map(|h| h.content.clone()).unwrap_or_default();
        let digest = content.digest();
        own.insert(catalog.name(doc), (Some(doc), content, digest));
    }
    for (name, content) in parts(catalog) {
        let digest = content.digest();
        own.insert(name, (None, content, digest));
    }
    let links = links(catalog, protocols);
    let statements = own.par_iter().map(|(name, (doc, content, digest_of_own))| {
        let rests_on = reach(name, &links).into_iter().filter_map(|n| Some((n.clone(), own.get(n)?.2))).collect();
        let digest = digest(name, &rests_on);
        (name.clone(), Statement { doc: *doc, name: name.clone(), content: content.clone(), own: *digest_of_own, rests_on, digest })
    });
    let statements = statements.collect();
    let mut currency = Currency { statements, links, ..Currency::default() };
    currency.kept = catalog.kept.iter().map(|k| Kept::read(&k.text)).collect();
    currency.faults = catalog.ledgers.iter().map(|l| ledger::faults(l, &catalog.packs[l.pack])).collect();
    currency.sign_offs = sign_offs(catalog, &currency);
    currency
}

fn sign_offs(catalog: &Catalog, currency: &Currency) -> BTreeMap<DocName, SignOff> {
    let whole = catalog.ledgers.iter().zip(&currency.faults).filter(|(_, faults)| faults.is_empty());
    let mut approvals: BTreeMap<&DocName, Vec<&Approval>> = BTreeMap::new();
    for approval in whole.flat_map(|(l, _)| l.entries.iter().map(|e| &e.approval)) {
        approvals.entry(&approval.document).or_default().push(approval);
    }
    let own = |s: &Statement| approvals.get(&s.name).map_or(&[][..], Vec::as_slice);
    currency.all().filter_map(|s| Some((s.name.clone(), sign_off::of(catalog, s, own(s), currency)?))).collect()
}

/// Parts of the pack file. With several packs, those of the first: documents of all packs meet on one site.
fn parts(catalog: &Catalog) -> Vec<(DocName, Content)> {
    let Some(pack) = catalog.packs.rows().first() else { return Vec::new() };
    PARTS.iter().map(|(part, keys)| (part_name(part), pack.head.content.only(keys))).collect()
}

fn part_name(part: &str) -> DocName {
    DocName { kind: Kind::Pack, id: part.into() }
}

/// What each document rests on in one step.
fn links(catalog: &Catalog, protocols: &[ProtocolFacts]) -> BTreeMap<DocName, BTreeSet<DocName>> {
    let mut links: BTreeMap<DocName, BTreeSet<DocName>> = BTreeMap::new();
    for back in catalog.backrefs.iter().filter(|b| b.rests && b.target.kind != Kind::Pack) {
        let from = if back.from.kind == Kind::Pack { part_name("house") } else { catalog.name(back.from) };
        links.entry(from).or_default().insert(catalog.name(back.target));
    }
    for (doc, facts) in catalog.docs(Kind::Protocol).zip(protocols) {
        let conditions = facts.cautions.iter().map(|c| (Kind::Condition, c.condition.row()));
        let flags = facts.flags.flags.iter().map(|f| (Kind::Flag, f.flag.row()));
        let derived = conditions.chain(flags).map(|(kind, row)| catalog.name(DocRef { kind, row: u32::try_from(row).unwrap_or(u32::MAX) }));
        links.entry(catalog.name(doc)).or_default().extend(derived);
    }
    for change in catalog.docs(Kind::Change) {
        // What was signed in a house pack is the change with its reason and its record.
        let part = || Some(catalog.changes.rows().get(change.row as usize)?.of.as_ref()?.value.clone());
        let Some(changed) = catalog.changed_by(change).map(|d| catalog.name(d)).or_else(part) else { continue };
        links.entry(changed).or_default().insert(catalog.name(change));
    }
    for doc in catalog.all_docs() {
        let part = match doc.kind {
            Kind::Protocol | Kind::Session => "house",
            Kind::Flag => "referral",
            _ => continue,
        };
        links.entry(catalog.name(doc)).or_default().insert(part_name(part));
    }
    links
}

/// Everything that can be reached from a document, itself included.
fn reach<'a>(from: &'a DocName, links: &'a BTreeMap<DocName, BTreeSet<DocName>>) -> BTreeSet<&'a DocName> {
    let mut reached = BTreeSet::new();
    let mut open = vec![from];
    while let Some(name) = open.pop() {
        if reached.insert(name) {
            open.extend(links.get(name).into_iter().flatten());
        }
    }
    reached
}

#[cfg(test)]
mod tests {
    use super::super::testing;
    use super::*;

    fn currency(catalog: &Catalog) -> Currency {
        crate::compute::compute(catalog, crate::compute::testing::TODAY).currency
    }

    fn name(text: &str) -> DocName {
        DocName::read(text).expect("names a document")
    }

    #[test]
    fn a_protocol_rests_on_what_it_uses_on_what_is_derived_and_on_the_house() {
        let catalog = testing::base();
        let currency = currency(&catalog);
        let rests = &currency.named(&name("protocols/soleus")).expect("is there").rests_on;
        for kind in [Kind::Muscle, Kind::Technique, Kind::Position, Kind::Condition, Kind::Flag, Kind::Source, Kind::Protocol] {
            assert!(rests.keys().any(|n| n.kind == kind), "{kind:?}: {rests:?}");
        }
        assert!(rests.contains_key(&name("pack/house")) && rests.contains_key(&name("pack/referral")));
        let source = &currency.named(&name("sources/house-trial")).expect("is there").rests_on;
        assert!(source.keys().all(|n| matches!(n.kind, Kind::Source | Kind::Outcome | Kind::Population)), "{source:?}");
    }

    #[test]
    fn a_change_moves_the_digest_of_exactly_what_reaches_it() {
        let catalog = testing::base();
        let before = currency(&catalog);
        for changed in before.all().map(|s| s.name.clone()).filter(|n| n.kind != Kind::Pack) {
            let mut catalog = testing::base();
            let doc = catalog.find(changed.kind, &changed.id).expect("is there");
            testing::set_content(&mut catalog, doc, Content::of_text("something else"));
            let after = currency(&catalog);
            for statement in after.all() {
                let old = before.named(&statement.name).expect("is there");
                let reaches = old.rests_on.contains_key(&changed);
                assert_eq!(statement.digest != old.digest, reaches, "{changed} changed, {}", statement.name);
                let moved: Vec<_> = statement.rests_on.iter().filter(|(n, d)| old.rests_on.get(n) != Some(d)).map(|(n, _)| n).collect();
                assert_eq!(moved, if reaches { vec![&changed] } else { vec![] });
            }
        }
    }
}
