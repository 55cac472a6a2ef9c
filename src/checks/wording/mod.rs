//! Checks of the area "wording".
//!
//! Lists of words stand in `words/`, in English. Where a check reads one, only packs in English are judged.

use super::{Case, Check};
use crate::model::docs::Pack;
use crate::model::{Kind, Wording};

mod abbreviation_undefined;
mod claim_cure;
mod claim_mechanism_as_fact;
mod claim_uncited;
mod double_negative;
mod error_prone_notation;
mod frightening_words;
mod glossary_word_twice;
mod medical_condition_claimed;
mod patient;
mod protected_words;
mod reading_level;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &abbreviation_undefined::CHECK,
    &claim_cure::CHECK,
    &claim_mechanism_as_fact::CHECK,
    &claim_uncited::CHECK,
    &double_negative::CHECK,
    &error_prone_notation::CHECK,
    &frightening_words::CHECK,
    &glossary_word_twice::CHECK,
    &medical_condition_claimed::CHECK,
    &protected_words::CHECK,
    &reading_level::CHECK,
];

/// Texts of packs in English, with their pack. What a publication says in its own title or result is quoted, not said.
fn own_texts<'a>(case: &'a Case<'_>) -> impl Iterator<Item = (&'a Wording, &'a Pack)> {
    let own = case.catalog.wordings.iter().filter(|w| w.doc.kind != Kind::Source);
    own.filter_map(|w| case.english(w.doc).map(|pack| (w, pack)))
}
