//! Two sources that author and year do not tell apart.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::plan::references;

/// The check.
pub static CHECK: Check = Check {
    name: "citation-key-ambiguous",
    summary: "two sources read alike by author and year, and no letter of their own tells them apart",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("citation_key_ambiguous.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    // A style that cannot be read stops the build where pages are planned.
    let alike = references::alike(case.catalog).unwrap_or_default();
    for (label, sources) in alike {
        let letters: Vec<Option<char>> = sources.iter().map(|(_, s)| s.bibliography.letter.as_ref().map(|l| l.value)).collect();
        for (i, (_, source)) in sources.iter().enumerate().skip(1) {
            let Some(letter) = letters.get(i) else { continue };
            let Some(twin) = letters.iter().take(i).position(|l| l == letter) else { continue };
            let Some((_, first)) = sources.get(twin) else { continue };
            let (b, at) = (&source.bibliography, |s: &crate::model::docs::Source| {
                let b = &s.bibliography;
                b.letter.as_ref().map(|l| l.span).or(b.issued.as_ref().map(|i| i.span)).unwrap_or(s.head.at)
            });
            let said = b.letter.as_ref().map_or(label.clone(), |l| format!("{label}{}", l.value));
            sink.report(
                at(source),
                "the same author and year",
                format!("`{}` and `{}` are both {said}", first.head.id.value, source.head.id.value),
            )
            .also(at(first), "first here")
            .note("Letters that the tool gives by itself change when a source is added: a printed card would then point to another paper.")
            .help("write `year-suffix: a` in one and `year-suffix: b` in the other, and keep them for good");
        }
    }
}
