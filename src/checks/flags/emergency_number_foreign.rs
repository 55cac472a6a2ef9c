//! An emergency number that does not fit the country of the pack.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "emergency-number-foreign",
    summary: "the emergency number is not one that a published source guarantees in the country of the pack",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("emergency_number_foreign.md"),
};

/// Numbers that can be called everywhere in some countries, and who says so.
struct Guaranteed {
    countries: &'static [&'static str],
    numbers: &'static [&'static str],
    source: &'static str,
}

/// Countries that are not listed are not judged: a number is added with its source or not at all. Both
/// texts are cited from memory.
const GUARANTEED: [Guaranteed; 2] = [
    Guaranteed {
        countries: &[
            "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE", "IT", "LT", "LU", "LV", "MT", "NL",
            "PL", "PT", "RO", "SE", "SI", "SK",
        ],
        numbers: &["112"],
        source: "Directive (EU) 2018/1972, article 109: 112 is the single European emergency number in every member state",
    },
    Guaranteed {
        countries: &["GB"],
        numbers: &["999", "112"],
        source: "Ofcom, General Conditions of Entitlement, condition A3: emergency calls to 112 and 999",
    },
];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for pack in case.catalog.packs.rows() {
        let (country, Some(number)) = (&pack.jurisdiction, &pack.emergency) else { continue };
        let Some(row) = GUARANTEED.iter().find(|g| g.countries.contains(&&*country.value)) else { continue };
        if row.numbers.contains(&&*number.value) {
            continue;
        }
        let wanted = row.numbers.join(" or ");
        let message = format!("the emergency number is `{}`, and in {} the number to rely on is {wanted}", number.value, country.value);
        sink.report(number.span, format!("not {wanted}"), message)
            .also(country.span, "the country of the pack")
            .note(format!("{}.", row.source))
            .help(format!("write `number: \"{}\"`, or correct `jurisdiction`", row.numbers.first().unwrap_or(&"112")));
    }
}
