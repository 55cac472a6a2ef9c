//! A house pack that the licence of its base does not allow.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "licence-forbids-change",
    summary: "the licence of the base pack does not allow what the house pack does",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("licence_forbids_change.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for house in &case.facts.houses {
        let pack = &case.catalog.packs[house.pack];
        let (Some(extends), Some(base)) = (&pack.extends, house.base()) else { continue };
        let choices = choices(&base.licence.value);
        if choices.iter().all(|c| has(c, "-ND")) {
            let message = format!("`{}` is under {}, which allows no changed version", base.head.id.value, base.licence.value);
            sink.report(extends.pack.span, "its licence allows no changed version", message)
                .also(base.licence.span, "the licence")
                .help("ask whoever holds the rights, or write a pack of your own");
        } else if choices.iter().all(|c| has(c, "-SA"))
            && !self::choices(&pack.licence.value).iter().all(|own| choices.iter().any(|c| alike(own, c)))
        {
            let message = format!(
                "a changed version of a pack under {} has to be under the same licence, not {}",
                base.licence.value, pack.licence.value
            );
            sink.report(pack.licence.span, "another licence", message)
                .also(base.licence.span, "the licence of the base pack")
                .help(format!("write `licence: {}`", base.licence.value));
        }
    }
}

/// What an SPDX expression lets one choose between.
fn choices(expression: &str) -> Vec<&str> {
    expression.split(" OR ").map(|part| part.trim_matches(['(', ')', ' '])).collect()
}

fn has(licence: &str, element: &str) -> bool {
    licence.split(" AND ").any(|id| id.starts_with("CC-") && id.contains(element))
}

/// The same elements, whatever the version.
fn alike(own: &str, base: &str) -> bool {
    let elements =
        |id: &str| id.split('-').filter(|part| !part.starts_with(|c: char| c.is_ascii_digit())).map(String::from).collect::<Vec<_>>();
    elements(own) == elements(base)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_expression_is_a_choice() {
        let no_changes = |text| choices(text).iter().all(|c| has(c, "-ND"));
        assert!(no_changes("CC-BY-ND-4.0") && no_changes("(CC-BY-NC-ND-4.0 OR CC-BY-ND-3.0)"));
        assert!(!no_changes("CC-BY-ND-4.0 OR CC-BY-4.0") && !no_changes("CC-BY-4.0") && !no_changes("LicenseRef-ND"));
        assert!(alike("CC-BY-SA-4.0", "CC-BY-SA-3.0") && !alike("CC-BY-NC-SA-4.0", "CC-BY-SA-4.0"));
    }
}
