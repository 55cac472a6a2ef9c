//! Protocols and sessions.

use super::Reader;
use crate::model::docs::{Branch, ForWhom, Goal, Head, HomeItem, NOT_FOR, Protocol, Restated, SAYS_STOP, Session, Spacing, Step, Taken};
use crate::model::unit::Dim;
use crate::source::{Node, Spanned};

const CONSENT: [(&str, &str); 6] = [
    ("what", "What"),
    ("where", "Where"),
    ("why", "Why"),
    ("alternatives", "Alternatives"),
    ("may-stop", "You may stop"),
    ("say-stop", SAYS_STOP),
];

pub(super) fn protocol(r: &mut Reader<'_>, n: &Node, head: Head) -> Protocol {
    let part = |key: &str| n.get(key);
    Protocol {
        title: r.text(n, "title"),
        muscle: r.reference(n, "muscle"),
        side: r.text(n, "side"),
        population: population(r, n),
        aim: r.text(n, "aim"),
        rationale: r.claims(n, "rationale"),
        mode: r.maybe(n, "mode"),
        setting: r.maybe(n, "setting"),
        appointment: r.amount(n, "appointment", Dim::Time),
        equipment: r.texts(n, "equipment"),
        allergens: r.maybe(n, "allergens"),
        consent: part("consent").map(|x| r.labelled(x, &CONSENT)).unwrap_or_default(),
        sensitive: part("sensitive")
            .map(|x| r.labelled(x, &[("chaperone", "Chaperone"), ("draping", "Draping"), ("record", "Record")]))
            .unwrap_or_default(),
        steps: steps(r, n),
        home: home(r, n),
        spacing: spacing(r, n),
        aftercare: r.texts(n, "aftercare"),
        change_plan: r.maybe(n, "change-plan"),
        refer: r
            .items(n, "refer")
            .iter()
            .map(|x| Restated {
                flag: r.reference(x, "flag"),
                urgency: r.maybe(x, "urgency"),
                destination: r.maybe(x, "destination"),
                note: r.maybe(x, "note"),
            })
            .collect(),
        cautions: r.texts(n, "cautions"),
        totals: totals(r, n),
        tailoring: r.maybe(n, "tailoring"),
        modifications: r.maybe(n, "modifications"),
        audit_planned: part("audit").and_then(|x| r.maybe(x, "planned")),
        audit_actual: part("audit").and_then(|x| r.maybe(x, "actual")),
        evidence: r.claims(n, "evidence"),
        leaflet: r.maybe(n, "leaflet"),
        record: r.texts(n, "record"),
        notes: r.maybe(n, "notes"),
        head,
    }
}

fn population(r: &mut Reader<'_>, n: &Node) -> ForWhom {
    let Some((key, x)) = n.entry("population") else { return ForWhom::default() };
    ForWhom {
        words: r.labelled(x, &[("for", "For"), ("not-for", NOT_FOR), ("capacity", "Capacity")]),
        who: r.maybe_reference(x, "who"),
        ages: r.amount(x, "ages", Dim::Time),
        pregnancy: r.maybe(x, "pregnancy"),
        excludes: r.references(x, "excludes"),
        span: Some(key.span),
    }
}

fn steps(r: &mut Reader<'_>, n: &Node) -> Vec<Step> {
    let mut out = Vec::new();
    for x in r.items(n, "steps") {
        let then = x.entry("then").map(|(key, b)| (key.span, b));
        out.push(Step {
            number: r.count(x, "number").unwrap_or(Spanned::new(0, x.span)),
            action: r.text(x, "do"),
            technique: r.reference(x, "technique"),
            target: r.target(x),
            position: r.maybe_reference(x, "position"),
            exposure: r.maybe(x, "exposure"),
            dose: r.dose(x, "dose"),
            monitoring: r.maybe(x, "monitoring"),
            stop: r.stop_rules(x),
            success: r.maybe(x, "success"),
            then: then.map(|(span, b)| Branch { when: r.maybe(b, "if"), go: r.maybe(b, "go"), up_to: r.amount_in(b, "up-to", &[]), span }),
            measure: r.maybe_reference(x, "measure"),
            when: r.maybe(x, "when"),
            taken: taken(r, x),
            goal: goal(r, x),
            borrowed: r.maybe(x, "borrowed"),
            resists: r.motion(x, "resists"),
            joints: r.joints(x, "joints"),
            support: r.maybe(x, "support"),
            sweep: super::chart::step_sweep(r, x),
            ground: r.ground(x),
            span: x.span,
        });
    }
    out
}

fn taken(r: &Reader<'_>, step: &Node) -> Taken {
    let word = |key: &str| step.get("taken").and_then(|x| r.maybe(x, key));
    Taken { instrument: word("instrument"), repeats: word("repeats"), rater: word("rater") }
}

fn goal(r: &mut Reader<'_>, step: &Node) -> Option<Goal> {
    let x = step.get("goal")?;
    Some(Goal { change: r.amount_in(x, "change", &[]), over: r.text(x, "over"), ground: r.ground(x) })
}

fn home(r: &mut Reader<'_>, n: &Node) -> Vec<HomeItem> {
    let mut out = Vec::new();
    for x in r.items(n, "home") {
        out.push(HomeItem {
            name: r.text(x, "name"),
            action: r.text(x, "do"),
            technique: r.reference(x, "technique"),
            target: r.target(x),
            dose: r.dose(x, "dose"),
            per_day: r.amount(x, "per-day", Dim::PerWeek),
            days: r.amount(x, "days", Dim::DaysPerWeek),
            weeks: r.amount(x, "weeks", Dim::Time),
            stop: r.stop_rules(x),
            joints: r.joints(x, "joints"),
            first_check: r.maybe(x, "first-check"),
            keys: r.keys(x),
            ground: r.ground(x),
            span: x.span,
        });
    }
    out
}

fn spacing(r: &mut Reader<'_>, n: &Node) -> Spacing {
    let Some((key, x)) = n.entry("spacing") else { return Spacing::default() };
    Spacing {
        gap: r.amount(x, "gap", Dim::Time),
        per_week: r.amount(x, "per-week", Dim::PerWeek),
        sessions: r.amount(x, "sessions", Dim::Sessions),
        decide_after: r.amount(x, "decide-after", Dim::Sessions),
        decide: r.maybe(x, "decide"),
        keys: r.keys(x),
        ground: r.ground(x),
        span: Some(key.span),
    }
}

fn totals(r: &mut Reader<'_>, n: &Node) -> Vec<(Spanned<crate::model::vocabulary::Stressor>, crate::model::docs::Amount)> {
    let mut out = Vec::new();
    for x in r.items(n, "totals") {
        if let (Some(stressor), Some(stated)) = (r.stressor(x, "stressor"), r.amount_in(x, "stated", &[Dim::Time, Dim::Passes, Dim::Reps]))
        {
            out.push((stressor, stated));
        }
    }
    out
}

pub(super) fn session(r: &mut Reader<'_>, n: &Node, head: Head) -> Session {
    Session {
        title: r.text(n, "title"),
        protocols: r.references(n, "protocols"),
        appointment: r.amount(n, "appointment", Dim::Time),
        order: r.maybe(n, "order"),
        note: r.maybe(n, "note"),
        head,
    }
}
