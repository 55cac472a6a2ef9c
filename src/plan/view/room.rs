//! A protocol in the treatment room: one screen for each thing to do, large enough to be read from where the
//! clinician stands. It says what the page says, and less; every number comes from the views of the page.

use super::parts::{CautionGroup, DoseView, FlagGroup, Frame, Link, Mark, Pair};
use super::protocol::{self, PositionLine, retest, steps, stop};
use crate::model::docs::{Dose, DoseValue, Protocol, SAYS_STOP};
use crate::model::unit::Dim;
use crate::model::vocabulary::Urgency;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, pairs, texts};
use crate::plan::{route, words};
use serde::Serialize;

/// View of `room.html`.
#[derive(Debug, Serialize)]
pub struct RoomPage {
    /// Frame.
    pub frame: Frame,
    /// Title of the protocol.
    pub name: String,
    /// Side, in words that stand alone.
    pub side: String,
    /// Ways out of the room view.
    pub ways: Vec<Link>,
    /// Where the protocol stands.
    pub state: Mark,
    /// Banner of a demonstration in short.
    pub demonstration: Option<&'static str>,
    /// Red flags, most urgent first.
    pub flags: Vec<FlagGroup>,
    /// Red flags that call for the emergency service, for the stop screens.
    pub emergency: Vec<FlagGroup>,
    /// Topics that no flag covers.
    pub uncovered: Vec<String>,
    /// Cautions, strongest first.
    pub cautions: Vec<CautionGroup>,
    /// Whom it is not for, in the author's words.
    pub not_for: Option<String>,
    /// Conditions that put a person outside.
    pub excludes: Vec<String>,
    /// Cautions that the pack typed by hand.
    pub typed_cautions: Vec<String>,
    /// Positions in order of use.
    pub positions: Vec<PositionLine>,
    /// What to bring.
    pub equipment: Vec<String>,
    /// Consent script.
    pub consent: Vec<Pair>,
    /// Words and signs by which the person stops the treatment.
    pub says_stop: Option<String>,
    /// Chaperone, draping, record.
    pub sensitive: Vec<Pair>,
    /// Whole time, least to most.
    pub total: String,
    /// How often the person turns.
    pub turns: usize,
    /// What is measured again.
    pub retest: Vec<retest::RetestView>,
    /// After-care.
    pub aftercare: Vec<String>,
    /// Home programme.
    pub home: Vec<steps::HomeView>,
    /// What to record.
    pub record: Vec<String>,
    /// Screens in order.
    pub screens: Vec<Screen>,
    /// What differs from the base pack is told on the page of the protocol.
    pub differs: Option<Link>,
}

/// One screen.
#[derive(Debug, Serialize)]
pub struct Screen {
    /// Its address on the page.
    pub id: String,
    /// `stop`, `cautions`, `set-up`, `step`, `after`.
    pub kind: &'static str,
    /// Where in the protocol this is.
    pub at: String,
    /// The screen before.
    pub back: Option<Link>,
    /// The screen after.
    pub next: Option<Link>,
    /// Address of its stop screen.
    pub stop_id: String,
    /// The step, on the screen of a step.
    pub step: Option<RoomStep>,
}

/// A step in the room.
#[derive(Debug, Serialize)]
pub struct RoomStep {
    /// The step as on the page.
    pub view: steps::StepView,
    /// Numbers that say how long, how many, how hard.
    pub main: Vec<DoseView>,
    /// Numbers that set the tool.
    pub fine: Vec<DoseView>,
    /// Times to count.
    pub timers: Vec<Timer>,
}

/// A time that can be counted on the screen.
#[derive(Debug, Serialize)]
pub struct Timer {
    /// What it is.
    pub name: String,
    /// As the dose shows it.
    pub shown: String,
    /// Least, s.
    pub least: f64,
    /// Most, s; none if it is open.
    pub most: Option<f64>,
}

/// Times that nobody counts on a screen: the rhythm of a movement.
const RHYTHM: &str = "pace";

impl RoomPage {
    /// Shows a protocol in the room.
    pub fn new(site: &Site<'_>, idx: Idx<Protocol>) -> RoomPage {
        let p = &site.catalog.protocols[idx];
        let facts = site.facts.of(idx);
        let own = doc(Kind::Protocol, idx);
        let demonstration = site.catalog.packs[p.head.pack].demonstration.is_some();
        let flags = stop::flags(site, idx);
        let now = words::urgency(Urgency::Now).word;
        let emergency = flags.iter().filter(|f| f.urgency.word == now).cloned().collect();
        RoomPage {
            frame: frame(site, idx),
            name: p.title.value.to_string(),
            side: side(p),
            ways: ways(site, idx),
            state: words::state_of_card(site.state(own), demonstration),
            demonstration: demonstration.then_some(words::DEMONSTRATION_IN_THE_ROOM),
            flags: stop::flag_groups(flags),
            emergency: stop::flag_groups(emergency),
            uncovered: protocol::uncovered(facts),
            cautions: stop::caution_groups(stop::cautions(site, idx)),
            not_for: p.not_for().map(|t| t.value.to_string()),
            excludes: site.follow_all(Kind::Condition, &p.population.excludes).into_iter().map(|l| l.text).collect(),
            typed_cautions: texts(&p.cautions),
            positions: protocol::positions(site, idx),
            equipment: texts(&p.equipment),
            consent: pairs(&p.consent),
            says_stop: p.consent.iter().find(|(label, _)| *label == SAYS_STOP).map(|(_, t)| t.value.to_string()),
            sensitive: pairs(&p.sensitive),
            total: words::minutes(facts.timeline.total),
            turns: facts.timeline.turns,
            retest: retest::all(site, p),
            aftercare: texts(&p.aftercare),
            home: steps::home(site, idx),
            record: texts(&p.record),
            screens: screens(site, idx),
            differs: super::differs::of(site, own)
                .map(|d| Link { text: super::differs::mark(&d.base), href: format!("{}#differs", site.href(own)) }),
        }
    }
}

/// The frame of the protocol without menu and search: nothing small stands around the large targets.
fn frame(site: &Site<'_>, idx: Idx<Protocol>) -> Frame {
    let mut frame = site.doc_frame(doc(Kind::Protocol, idx));
    frame.title = format!("Room view: {}", frame.title);
    frame.nav = Vec::new();
    frame.crumbs = Vec::new();
    frame.differs = None;
    frame
}

fn ways(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Link> {
    let own = doc(Kind::Protocol, idx);
    let link = |text: &str, href: String| Link { text: text.into(), href };
    let mut out = vec![link("Page of the protocol", site.href(own))];
    out.extend(site.card(own).map(|href| link("Card to print", href)));
    out.push(link("All protocols", site.to(&route::list(Kind::Protocol))));
    out.push(link("A to Z", site.to(route::A_TO_Z)));
    out
}

fn side(p: &Protocol) -> String {
    match &*p.side.value {
        "either" => "Either side: say which".into(),
        other => format!("Side: {other}"),
    }
}

fn screens(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Screen> {
    let p = &site.catalog.protocols[idx];
    let screen = |id: &str, kind, at: &str, step| Screen {
        id: id.to_string(),
        kind,
        at: at.to_string(),
        back: None,
        next: None,
        stop_id: format!("stop-{}", id.trim_start_matches("step-")),
        step,
    };
    let mut out = vec![
        screen("stop", "stop", "Red flags", None),
        screen("cautions", "cautions", "Cautions", None),
        screen("set-up", "set-up", "Set-up", None),
    ];
    let count = p.steps.len();
    for (row, (view, step)) in steps::steps(site, idx).into_iter().zip(&p.steps).enumerate() {
        let number = view.number;
        let plain = usize::try_from(number) == Ok(row + 1);
        let at = if plain { format!("Step {number} of {count}") } else { format!("Step {number}, {} of {count}", row + 1) };
        let (fine, main) = view.dose.iter().cloned().partition(|d| d.minor);
        let step = RoomStep { main, fine, timers: timers(&step.dose), view };
        out.push(screen(&format!("step-{number}"), "step", &at, Some(step)));
    }
    out.push(screen("after-care", "after", "Re-test and after-care", None));
    chain(&mut out);
    out
}

/// Ties each screen to the one before and the one after.
fn chain(screens: &mut [Screen]) {
    let names: Vec<Link> = screens.iter().map(|s| Link { text: s.at.clone(), href: format!("#{}", s.id) }).collect();
    for (row, screen) in screens.iter_mut().enumerate() {
        screen.back = row.checked_sub(1).and_then(|r| names.get(r)).cloned();
        screen.next = names.get(row + 1).cloned();
    }
}

fn timers(dose: &Dose) -> Vec<Timer> {
    let timer = |e: &crate::model::docs::DoseEntry| match &e.value {
        DoseValue::Amount(q) if q.dim() == Dim::Time && &*e.name.value != RHYTHM => {
            let base = q.base();
            let most = base.hi.is_finite().then_some(base.hi);
            Some(Timer { name: words::parameter(&e.name.value), shown: q.shown(), least: base.lo, most })
        }
        _ => None,
    };
    dose.entries.iter().filter_map(timer).collect()
}
