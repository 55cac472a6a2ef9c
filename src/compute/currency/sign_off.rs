//! Where each document stands: who approved it as it is now, what is missing, and the state that a page and a card show.
//!
//! A state depends on the day and is asked for with one; nothing here knows today.

use super::{Currency, Statement};
use crate::model::docs::{Approval, Head, Pack, Technique};
use crate::model::vocabulary::{Status, Stressor};
use crate::model::{Catalog, DocName, Kind};
use jiff::ToSpan;
use jiff::civil::Date;

crate::model::vocabulary::words! {
    /// Where a document stands.
    State {
        /// Nobody has approved it as it is.
        Draft = "draft",
        /// Some have, or it is being read.
        InReview = "in review",
        /// Everybody who has to has approved it as it is.
        Approved = "approved",
        /// Approved, and to be looked at again soon.
        Due = "due",
        /// Approved once, and the day of the next look has passed.
        Overdue = "overdue",
        /// It, or something on which it rests, is not to be used for now.
        Suspended = "suspended",
        /// Not to be used any more.
        Retired = "retired",
    }
}

impl State {
    /// True if a card may be used in a room.
    pub fn is_in_force(self) -> bool {
        matches!(self, State::Approved | State::Due)
    }
}

/// Days before a review from which on it is due.
pub const NOTICE_DAYS: i32 = 90;

/// Kinds that are signed on their own. The others are signed with what rests on them.
pub const SIGNED: [Kind; 10] = [
    Kind::Condition,
    Kind::Flag,
    Kind::Measure,
    Kind::Muscle,
    Kind::Page,
    Kind::Position,
    Kind::Protocol,
    Kind::Question,
    Kind::Session,
    Kind::Technique,
];

/// What an approval still lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Need {
    /// So many roles have approved, so many have to.
    Roles(usize, usize),
    /// Nobody but the author has.
    OtherThanAuthor(String),
    /// No clinical role has.
    Clinical,
    /// No reviewing role has.
    Review,
}

/// Where one document stands.
#[derive(Clone, Debug)]
pub struct SignOff {
    /// Approvals of the document as it is now, the last of each role.
    pub current: Vec<Approval>,
    /// The last approval of an earlier state, if nobody has approved the present one.
    pub earlier: Option<Approval>,
    /// What is lacking.
    pub needs: Vec<Need>,
    /// The first of the days by which those who approved want it looked at again.
    pub review_by: Option<Date>,
    /// What is suspended of all on which it rests, itself included.
    pub suspended: Vec<DocName>,
    typed: Option<Status>,
}

impl SignOff {
    /// The state on a day.
    pub fn state(&self, today: Date) -> State {
        match self.typed {
            Some(Status::Retired) => return State::Retired,
            _ if !self.suspended.is_empty() => return State::Suspended,
            _ => {}
        }
        if !self.needs.is_empty() {
            let begun = !self.current.is_empty() || self.typed == Some(Status::InReview);
            return if begun { State::InReview } else { State::Draft };
        }
        match self.review_by {
            Some(day) if day < today => State::Overdue,
            Some(day) if day <= today.saturating_add(NOTICE_DAYS.days()) => State::Due,
            _ => State::Approved,
        }
    }
}

/// Where a document stands; `None` for a kind that is not signed on its own.
pub(super) fn of(catalog: &Catalog, statement: &Statement, approvals: &[&Approval], all: &Currency) -> Option<SignOff> {
    let doc = statement.doc.filter(|d| SIGNED.contains(&d.kind))?;
    let head = catalog.head(doc)?;
    let pack = &catalog.packs[head.pack];
    let mut current: Vec<Approval> = Vec::new();
    let mut earlier = None;
    for approval in approvals.iter().filter(|a| a.document == statement.name) {
        if approval.digest == statement.digest {
            current.retain(|a| a.role != approval.role);
            current.push((*approval).clone());
        } else {
            earlier = Some((*approval).clone());
        }
    }
    let technique = (doc.kind == Kind::Technique).then(|| &catalog.techniques.rows()[doc.row as usize]);
    let needs = needs(pack, head, doc.kind, technique, &current);
    let review_by = current.iter().map(|a| a.review_by).chain(head.review_by.as_ref().map(|d| d.value)).min();
    let suspended = statement.rests_on.keys().filter(|n| is_suspended(catalog, all, n)).cloned().collect();
    let earlier = earlier.filter(|_| current.is_empty());
    Some(SignOff { current, earlier, needs, review_by, suspended, typed: head.status.as_ref().map(|s| s.value) })
}

fn is_suspended(catalog: &Catalog, all: &Currency, name: &DocName) -> bool {
    let head = all.named(name).and_then(|s| s.doc).and_then(|d| catalog.head(d));
    head.and_then(|h| h.status.as_ref()).is_some_and(|s| s.value == Status::Suspended)
}

fn needs(pack: &Pack, head: &Head, kind: Kind, technique: Option<&Technique>, current: &[Approval]) -> Vec<Need> {
    let rule = &pack.sign_off;
    let least = rule.least.as_ref().map_or(2, |n| n.value as usize);
    let mut needs = Vec::new();
    if current.len() < least {
        needs.push(Need::Roles(current.len(), least));
    }
    if let Some(author) = author(pack, head).filter(|a| !current.is_empty() && current.iter().all(|c| c.role == **a)) {
        needs.push(Need::OtherThanAuthor(author.to_string()));
    }
    let thermal = technique.is_some_and(|t| t.has(Stressor::Heat) || t.has(Stressor::Cold));
    if thermal || matches!(kind, Kind::Condition | Kind::Flag) {
        let missing =
            |roles: &[crate::source::Text]| !roles.is_empty() && !roles.iter().any(|r| current.iter().any(|c| c.role == *r.value));
        needs.extend(missing(&rule.clinical).then_some(Need::Clinical));
        needs.extend(missing(&rule.review).then_some(Need::Review));
    }
    needs
}

/// Role that wrote a document.
pub fn author<'a>(pack: &'a Pack, head: &'a Head) -> Option<&'a str> {
    head.author.as_ref().or(pack.head.author.as_ref()).map(|a| &*a.value)
}
