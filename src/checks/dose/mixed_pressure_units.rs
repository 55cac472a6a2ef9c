//! Force and pressure in units of two families within one pack.

use super::item::items;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::DoseValue;
use crate::model::quantity::Quantity;
use crate::model::unit::{Dim, Unit};
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "mixed-pressure-units",
    summary: "doses of one pack give force or pressure in different units",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("mixed_pressure_units.md"),
};

struct Seen<'a> {
    protocol: usize,
    name: String,
    quantity: &'a Quantity,
    at: Span,
}

fn run(case: &Case<'_>, sink: &mut Sink) {
    let all = items(case);
    for pack in 0..case.catalog.packs.len() {
        let of_pack = all.iter().filter(|i| case.catalog.protocols[i.protocol].head.pack.row() == pack);
        let seen: Vec<Seen<'_>> = of_pack
            .flat_map(|i| {
                i.dose.entries.iter().filter_map(|e| match &e.value {
                    DoseValue::Amount(quantity) if matches!(quantity.dim(), Dim::Force | Dim::Pressure) => {
                        Some(Seen { protocol: i.protocol.row(), name: i.name.clone(), quantity, at: e.span })
                    }
                    _ => None,
                })
            })
            .collect();
        judge(&seen, sink);
    }
}

/// The first odd one of each protocol against the first of the pack.
fn judge(seen: &[Seen<'_>], sink: &mut Sink) {
    let Some(first) = seen.first() else { return };
    let mut told: Option<usize> = None;
    for odd in seen.iter().filter(|s| differ(first.quantity.unit, s.quantity.unit)) {
        if told == Some(odd.protocol) {
            continue;
        }
        told = Some(odd.protocol);
        let message = format!("{} gives {}, and elsewhere the pack gives {}", odd.name, odd.quantity.shown(), first.quantity.shown());
        let finding = sink.report(odd.at, odd.quantity.unit.shown, message);
        finding.also(first.at, first.quantity.unit.shown);
        if let Some(other) = odd.quantity.other_unit() {
            finding.note(format!("{} are {other}.", odd.quantity.shown()));
        }
        finding.help("write every force and every pressure of the pack in one family of units: N and kPa, or kgf and kgf/cm2");
    }
}

fn differ(a: &Unit, b: &Unit) -> bool {
    let kilograms = |u: &Unit| u.symbol.starts_with("kgf");
    kilograms(a) != kilograms(b) || (a.dim == b.dim && a.symbol != b.symbol)
}
