//! A DOI, ISBN or other number that cannot be right.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "identifier-invalid",
    summary: "a DOI, PMID, PMCID, ISBN, ISSN or ORCID has a wrong form or a wrong check digit",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("identifier_invalid.md"),
};
