//! Rows of claims: statements about effects and harms, and the reasons of cautions, red flags and signs.

use super::numbers::with_path;
use super::{RowKind, Rows, Said, by_words, doc};
use crate::compute::appraisal::claims;
use crate::model::Kind;
use crate::model::docs::{Ground, Muscle};
use crate::source::Text;

pub(super) fn gather(rows: &mut Rows<'_>) {
    let catalog = rows.catalog;
    for (document, list, claim) in claims::all(catalog) {
        let said = Said { name: list.to_string(), value: claim.text.value.to_string(), at: claim.text.span, ground: &claim.ground };
        let i = rows.add(RowKind::Claim, document, &format!("{list}/{}", by_words(&claim.text.value)), said);
        if let Some(row) = rows.out.get_mut(i) {
            row.certainty = claims::certainty(catalog, claim);
        }
    }
    for (idx, condition) in catalog.conditions.iter() {
        text(rows, doc(Kind::Condition, idx), "reason", "reason", &condition.reason, &condition.ground);
        for together in &condition.together {
            let path = format!("{}/reason", with_path(together));
            text(rows, doc(Kind::Condition, idx), &path, "reason, together with others", &together.reason, &condition.ground);
        }
    }
    for (idx, flag) in catalog.flags.iter() {
        text(rows, doc(Kind::Flag, idx), "presentation", "presentation", &flag.presentation, &flag.ground);
    }
    for (idx, technique) in catalog.techniques.iter() {
        if !technique.ground.is_silent() {
            text(rows, doc(Kind::Technique, idx), "aim", "aim", &technique.aim, &technique.ground);
        }
    }
    for (idx, muscle) in catalog.muscles.iter() {
        of_muscle(rows, doc(Kind::Muscle, idx), muscle);
    }
}

fn text(rows: &mut Rows<'_>, document: crate::model::DocRef, path: &str, name: &str, text: &Text, ground: &Ground) {
    let said = Said { name: name.to_string(), value: text.value.to_string(), at: text.span, ground };
    rows.add(RowKind::Claim, document, path, said);
}

fn of_muscle(rows: &mut Rows<'_>, d: crate::model::DocRef, m: &Muscle) {
    for end in &m.attachments {
        text(
            rows,
            d,
            &format!("attachments/{}/{}", end.end, by_words(&end.text.value)),
            &format!("attachment, {}", end.end),
            &end.text,
            &end.ground,
        );
    }
    for action in &m.actions {
        let Some(motion) = &action.motion else { continue };
        let said = Said { name: "action".into(), value: motion.value.shown(), at: motion.span, ground: &action.ground };
        rows.add(RowKind::Claim, d, &format!("actions/{}", super::slug(&motion.value.shown())), said);
    }
    if let Some(nerve) = &m.nerve {
        text(rows, d, "nerve", "nerve supply", nerve, &m.nerve_ground);
    }
    if let Some(fibres) = &m.fibres {
        text(rows, d, "fibres", "fibre direction", fibres, &m.fibres_ground);
    }
    for hazard in &m.hazards {
        text(rows, d, &format!("hazards/{}", by_words(&hazard.text.value)), "hazard", &hazard.text, &hazard.ground);
    }
    if let Some(method) = &m.palpation.method {
        text(rows, d, "palpation", "palpation", method, &m.palpation.ground);
    }
    for point in &m.points {
        let n = point.number.value;
        if let Some(zone) = &point.zone {
            let names = |all: &[crate::source::Text]| all.iter().map(|t| t.value.to_string()).collect::<Vec<_>>().join(", ");
            let value = format!("core: {}; spread: {}", names(&zone.core.written), names(&zone.spread.written));
            let said = Said { name: format!("pain zone of point {n}"), value, at: zone.span, ground: &zone.ground };
            rows.add(RowKind::Claim, d, &format!("points/{n}/zone"), said);
        }
        for sign in &point.confirms {
            text(
                rows,
                d,
                &format!("points/{n}/confirms/{}", super::slug(&sign.sign.value)),
                &format!("sign at point {n}"),
                &sign.sign,
                &sign.ground,
            );
        }
    }
}
