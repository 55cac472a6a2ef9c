//! The language of a pack is named so that screen readers and browsers know it.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use isolang::Language;

/// The check.
pub static CHECK: Check = Check {
    name: "language-tag",
    summary: "the language of a pack is no valid tag",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("language_tag.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for pack in case.catalog.packs.rows() {
        let tag = &pack.language;
        if let Err(why) = judge(&tag.value) {
            sink.report(tag.span, why, format!("`{}` is no language tag", tag.value))
                .note("Tags follow BCP 47: a language of ISO 639, then script, country and variant where they matter.")
                .help("write the code of the language, for instance `en`, `en-GB` or `de-CH`");
        }
    }
}

/// Form of BCP 47 (RFC 5646, section 2.1) without extended languages and registered exceptions.
fn judge(tag: &str) -> Result<(), &'static str> {
    let mut parts = tag.split('-').peekable();
    let language = parts.next().unwrap_or_default();
    let code = language.to_ascii_lowercase();
    let known = match code.len() {
        2 => Language::from_639_1(&code),
        3 => Language::from_639_3(&code),
        _ => None,
    };
    if known.is_none() {
        return Err("no language of ISO 639 has this code");
    }
    let letters = |p: &&str, n: usize| p.len() == n && p.bytes().all(|b| b.is_ascii_alphabetic());
    parts.next_if(|p| letters(p, 4));
    parts.next_if(|p| letters(p, 2) || (p.len() == 3 && p.bytes().all(|b| b.is_ascii_digit())));
    let word = |p: &&str, least: usize| (least..=8).contains(&p.len()) && p.bytes().all(|b| b.is_ascii_alphanumeric());
    while parts.next_if(|p| word(p, 5) || (p.len() == 4 && word(p, 4) && p.starts_with(|c: char| c.is_ascii_digit()))).is_some() {}
    while let Some(single) = parts.next_if(|p| p.len() == 1 && word(p, 1)) {
        let least = if single.eq_ignore_ascii_case("x") { 1 } else { 2 };
        if parts.next_if(|p| word(p, least)).is_none() {
            return Err("an extension without content");
        }
        while parts.next_if(|p| word(p, least)).is_some() {}
    }
    if parts.next().is_some() { Err("a part that stands in no place of a tag") } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tags_are_judged_by_form_and_by_language() {
        for tag in ["en", "en-GB", "gsw-CH", "de-Latn-AT", "sl-rozaj", "de-1996", "es-419", "en-GB-x-plain"] {
            assert_eq!(judge(tag), Ok(()), "{tag}");
        }
        for tag in ["english", "en_GB", "xq", "", "en-", "en-GBR", "en-GB-Latn", "en-x", "-en"] {
            assert!(judge(tag).is_err(), "{tag}");
        }
    }
}
