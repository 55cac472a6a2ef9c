//! The stages in order: what `check` and `compile` share.

use crate::checks::{self, Case, allow::Located};
use crate::compute::currency::sign_off::State;
use crate::compute::house::House;
use crate::compute::{self, Facts};
use crate::error::ToolError;
use crate::finding::{self, Finding, Level};
use crate::load::{self, Loaded};
use crate::model::docs::Waiver;
use crate::model::{Catalog, Idx, Kind};
use crate::plan::changes::Listing;
use crate::render::{self, Built, Templates};
use crate::source::{Span, pointer_at};
use crate::write::{self, Written};
use crate::{link, plan, report};
use jiff::civil::Date;
use std::path::{Path, PathBuf};

/// Everything that was found out about some packs.
pub struct Judged {
    /// What was loaded, for texts and places.
    pub loaded: Loaded,
    /// The linked documents; `None` if a pack file could not be read.
    pub catalog: Option<Catalog>,
    /// What was computed.
    pub facts: Facts,
    /// Findings before levels and waivers.
    raw: Vec<Finding>,
}

/// Loads, links, computes and checks.
///
/// # Errors
/// When the command cannot run at all.
pub fn judge(packs: &[PathBuf], today: Date) -> Result<Judged, ToolError> {
    let mut judged = gather(packs, today)?;
    if let Some(catalog) = &judged.catalog {
        judged.raw.append(&mut checks::run(&Case { catalog, facts: &judged.facts, today }));
    }
    Ok(judged)
}

/// Loads, links and computes, without checks.
///
/// # Errors
/// When the command cannot run at all.
pub fn gather(packs: &[PathBuf], today: Date) -> Result<Judged, ToolError> {
    let mut loaded = load::load(packs)?;
    let mut raw = std::mem::take(&mut loaded.findings);
    let (catalog, mut linked) = link::link(&mut loaded);
    let hidden: Vec<Span> = raw.iter().filter(|f| f.check == "text-hygiene").map(|f| f.primary.span).collect();
    linked.retain(|f| !hidden.iter().any(|h| f.primary.span.contains(*h)));
    raw.append(&mut linked);
    let mut facts = Facts::default();
    if let Some(catalog) = &catalog {
        facts = compute::compute(catalog, today);
        let mut houses = houses(&mut loaded, today);
        houses.iter_mut().for_each(|h| h.compare(catalog, &facts));
        facts.houses = houses;
        let beside = std::mem::take(&mut loaded.beside).into_iter().map(|b| (b.pack, b.folder, b.id, b.contents)).collect::<Vec<_>>();
        facts.alike = compute::house::alike(catalog, &beside);
    }
    Ok(Judged { loaded, catalog, facts, raw })
}

/// The packs that build on another. What cannot be linked in a base cannot be linked in the house pack either, and is
/// reported there.
fn houses(loaded: &mut Loaded, today: Date) -> Vec<House> {
    let linked = std::mem::take(&mut loaded.bases).into_iter().filter_map(|(pack, mut base)| Some((pack, link::link(&mut base).0?)));
    linked.map(|(pack, base)| House::new(Idx::new(pack), base, today)).collect()
}

impl Judged {
    /// Adds findings of a later stage.
    pub fn add(&mut self, mut findings: Vec<Finding>) {
        self.raw.append(&mut findings);
    }

    /// Findings after levels and waivers, sorted.
    pub fn findings(&self, today: Date) -> Vec<Finding> {
        let mut findings = self.raw.clone();
        finding::sort(&mut findings);
        if let Some(catalog) = &self.catalog {
            findings = checks::allow::apply(catalog, today, findings, &|span| self.locate(span));
            finding::sort(&mut findings);
        }
        findings
    }

    /// Findings that a waiver lets through, each with the waiver.
    fn waived(&self) -> Vec<(Finding, &Waiver)> {
        let mut findings = self.raw.clone();
        finding::sort(&mut findings);
        let catalog = self.catalog.as_ref();
        catalog.map(|c| checks::allow::waived(c, self.facts.today, &findings, &|span| self.locate(span))).unwrap_or_default()
    }

    /// Document and pointer of a place.
    pub fn locate(&self, span: Span) -> Located {
        let Some(file) = self.loaded.files.get(span.file.0 as usize) else {
            return Located { document: String::new(), pointer: String::new() };
        };
        let document = match file.kind {
            Some(Kind::Pack) => "pack.yaml".to_string(),
            Some(kind) => format!("{}/{}", kind.folder(), file.stem),
            None => self.loaded.map.path(span.file).to_string(),
        };
        let pointer = file.tree.as_ref().map(|t| pointer_at(t, span)).unwrap_or_default();
        Located { document, pointer }
    }

    /// Where each document stands: it follows from the day too.
    fn standing(&self) -> String {
        let Some(catalog) = &self.catalog else { return String::new() };
        let states = catalog.all_docs().filter_map(|d| self.facts.state_of(catalog, d));
        states.map(crate::compute::currency::sign_off::State::word).collect::<Vec<_>>().join(" ")
    }

    /// Digest of everything that decides what the site looks like.
    pub(crate) fn inputs(&self, templates: &[(String, String)]) -> String {
        let map = &self.loaded.map;
        let packs = map.ids().map(|id| (map.path(id), map.text(id).as_bytes()));
        let templates = templates.iter().map(|(name, text)| (name.as_str(), text.as_bytes()));
        let standing = self.standing();
        write::inputs_digest(packs.chain(templates).chain([("standing", standing.as_bytes())]))
    }

    /// Digest of the documents alone: what an edition says, whoever signed it and whatever the day.
    fn content(&self) -> String {
        // What readers found is written down after an edition is out.
        let says = |kind: &Kind| *kind != Kind::Audit;
        let documents = self.loaded.files.iter().filter_map(|f| Some((f.kind.filter(says)?, f)));
        let mut named: Vec<(String, &str)> =
            documents.map(|(kind, f)| (format!("{}/{}/{}", f.pack, kind.folder(), f.stem), self.loaded.map.text(f.file))).collect();
        named.sort_unstable();
        write::content_digest(named.iter().map(|(name, text)| (name.as_str(), text.as_bytes())))
    }

    /// The folder in `into` where the edition of these packs keeps an address of its own.
    ///
    /// # Errors
    /// When there are several packs, or the folder has this edition with other documents: people may have cited it.
    pub fn edition_folder(&self, into: &Path) -> Result<EditionFolder, ToolError> {
        let packs = self.catalog.as_ref().map(|c| c.packs.rows()).unwrap_or_default();
        let [pack] = packs else {
            return Err(ToolError::Usage("--edition-folder needs exactly one pack, since each has an edition of its own".into()));
        };
        let edition = &*pack.edition.value;
        let (folder, content) = (into.join(edition), format!("{OF_EDITION}{}", self.content()));
        let standing = write::standing(&folder)?;
        let refused = |why: &str| Err(ToolError::Usage(format!("{} {why}", folder.display())));
        match &standing {
            Some(m) if m.inputs == content => {}
            Some(m) if !m.inputs.starts_with(OF_EDITION) => {
                return refused("holds a site that was not written there by --edition-folder; remove it yourself, it is written anew");
            }
            Some(_) => {
                return refused(&format!(
                    "holds edition {edition} with other documents, and whoever cited it would find another text there; nothing was \
                     written. Raise `edition` in pack.yaml, or remove that folder yourself if nobody cites it yet"
                ));
            }
            None if write::holds_something(&folder)? => {
                return refused("holds files that fascicle did not write; nothing was written. Remove them yourself");
            }
            None => {}
        }
        let signed = |s: State| !matches!(s, State::Draft | State::InReview);
        let unsigned = |c: &Catalog| c.all_docs().filter_map(|d| self.facts.state_of(c, d)).filter(|s| !signed(*s)).count();
        let unsigned = self.catalog.as_ref().map_or(0, unsigned);
        Ok(EditionFolder { stands: standing.is_some(), folder, unsigned, content })
    }

    /// Findings as JSON text.
    pub fn json(&self, findings: &[Finding]) -> String {
        report::json::render(findings, &self.waived(), &self.loaded.map, &|span| self.locate(span))
    }
}

/// True if these findings stop a build.
pub fn stops(findings: &[Finding], strict: bool) -> bool {
    findings.iter().any(|f| f.level == Level::Error || (strict && f.level == Level::Warning))
}

/// Before the digest of its documents, the mark of a folder that an edition keeps for itself.
const OF_EDITION: &str = "edition ";

/// Where an edition keeps an address of its own.
pub struct EditionFolder {
    /// The folder.
    pub folder: PathBuf,
    /// True if this edition is there already; it then stays as it is.
    pub stands: bool,
    /// Documents that nobody has approved, or not everybody who has to.
    pub unsigned: usize,
    content: String,
}

/// A site that is rendered and not yet written.
pub struct Site {
    built: Vec<Built>,
    inputs: String,
}

impl Site {
    /// Writes it.
    ///
    /// # Errors
    /// When the folder belongs to somebody else or the disk refuses.
    pub fn write(&self, into: &Path) -> Result<Written, ToolError> {
        write::write(&self.built, into, &self.inputs)
    }

    /// Writes it once more where its edition keeps an address, unless it stands there.
    ///
    /// # Errors
    /// When the folder belongs to somebody else or the disk refuses.
    pub fn write_edition(&self, at: &EditionFolder) -> Result<(), ToolError> {
        if !at.stands {
            write::write(&self.built, &at.folder, &at.content)?;
        }
        Ok(())
    }

    /// The rendered files.
    pub fn files(&self) -> &[Built] {
        &self.built
    }
}

/// Renders the reviewer's dossier and writes it into a folder of its own.
///
/// # Errors
/// When the packs could not be linked, or the folder belongs to somebody else.
pub fn audit(judged: &Judged, draw: Option<(&str, usize)>, into: &Path) -> Result<Written, ToolError> {
    let catalog = judged.catalog.as_ref().ok_or_else(|| ToolError::Bug("nothing to show".into()))?;
    let planned = plan::dossier(catalog, &judged.facts, draw)?;
    let built = render::render(&planned, Templates::shipped())?;
    write::write(&built, into, &judged.inputs(&[]))
}

/// Renders a list of changes and writes it into a folder of its own.
///
/// # Errors
/// When the pack could not be linked, or the folder belongs to somebody else.
pub fn changes(judged: &Judged, listing: &Listing, into: &Path) -> Result<Written, ToolError> {
    let catalog = judged.catalog.as_ref().ok_or_else(|| ToolError::Bug("nothing to show".into()))?;
    let planned = plan::changes(catalog, &judged.facts, listing)?;
    let built = render::render(&planned, Templates::shipped())?;
    let list = listing.json()?;
    write::write(&built, into, &write::inputs_digest(std::iter::once(("changes", list.as_bytes()))))
}

/// Plans and renders the site and looks at what came out; findings are added to `judged`.
///
/// # Errors
/// When a template is broken, the packs could not be linked, or the folder holds something else.
pub fn build(judged: &mut Judged, into: &Path, templates: Option<&Path>, today: Date) -> Result<Site, ToolError> {
    let old = write::standing(into)?;
    if old.as_ref().is_some_and(write::Manifest::holds_cards_alone) {
        return Err(ToolError::Usage(format!("{} holds cards as PDF; name another folder for the site", into.display())));
    }
    let own = templates.map(load::templates).transpose()?.unwrap_or_default();
    let inputs = judged.inputs(&own);
    let chosen = templates.map(|folder| Templates::with_overrides(folder, own)).transpose()?;
    let built = look(judged, chosen.as_ref().unwrap_or(Templates::shipped()), today)?;
    if let (Some(old), Some(catalog)) = (old, &judged.catalog) {
        let found = checks::output::unrepeatable(&write::unrepeatable(&old, &inputs, &built), catalog);
        judged.add(found.into_iter().collect());
    }
    Ok(Site { built, inputs })
}

/// Renders the site and looks at what came out; findings are added to `judged`.
///
/// # Errors
/// When a template is broken or the packs could not be linked.
pub fn look(judged: &mut Judged, templates: &Templates, today: Date) -> Result<Vec<Built>, ToolError> {
    let catalog = judged.catalog.as_ref().ok_or_else(|| ToolError::Bug("nothing to build".into()))?;
    let planned = plan::plan(catalog, &judged.facts)?;
    let built = render::render(&planned, templates)?;
    let case = Case { catalog, facts: &judged.facts, today };
    let mut findings = checks::run_on_output(&case, &built);
    findings.extend(checks::output::clashes(&planned.clashes, catalog));
    findings.extend(checks::output::overfull(&planned.overfull, catalog));
    judged.add(findings);
    Ok(built)
}
