//! The check code of a card: eight letters from the digest of its protocol, the last of them a check letter, so that a
//! card from a drawer can be asked whether it still holds.
//!
//! The check letter follows the NOID check digit algorithm (J. Kunze, California Digital Library, documentation of Noid,
//! "NOID CHECK DIGIT ALGORITHM"): the sum of value times place, modulo a prime as large as the alphabet. For codes
//! shorter than that prime it finds every single wrong letter and every two neighbours that changed places. The alphabet
//! is ours: of letters and digits that are taken for one another (0 O Q, 1 I L, 2 Z, 5 S, 6 G, 8 B, U V, E F) it has one
//! or none.

use super::Currency;
use super::sign_off::State;
use crate::model::content::Digest;
use crate::model::docs::Approval;
use crate::model::{Catalog, DocName, Kind};
use jiff::civil::Date;
use std::fmt;

/// Letters of a code by value. Their number is a prime.
pub const LETTERS: &[u8; 23] = b"2346789ACDFHJKMNPRTVWXY";

/// Letters that no code has, and the one for which each is easily taken.
pub const TAKEN_FOR: [(char, char); 5] = [('Z', '2'), ('G', '6'), ('B', '8'), ('E', 'F'), ('U', 'V')];

const LENGTH: usize = 8;

/// A check code.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Code([u8; LENGTH]);

/// Why a text is no code.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum NoCode {
    /// It has so many letters, and a code has eight.
    Length(usize),
    /// A letter that no code has.
    Letter(char),
    /// The check letter does not fit: a slip in reading or typing.
    Check,
}

/// The check value of values, by the published rule.
fn check(values: impl Iterator<Item = usize>, radix: usize) -> usize {
    values.enumerate().map(|(i, value)| value * (i + 1)).sum::<usize>() % radix
}

fn value(letter: u8) -> Option<usize> {
    LETTERS.iter().position(|l| *l == letter)
}

impl Code {
    /// The code of a digest.
    pub fn of(digest: Digest) -> Code {
        let radix = LETTERS.len();
        let mut rest = digest.0.iter().take(8).fold(0u64, |all, byte| (all << 8) | u64::from(*byte));
        let mut values = [0; LENGTH];
        for place in values.iter_mut().take(LENGTH - 1) {
            *place = usize::try_from(rest % radix as u64).unwrap_or(0);
            rest /= radix as u64;
        }
        values[LENGTH - 1] = check(values.iter().take(LENGTH - 1).copied(), radix);
        Code(values.map(|v| LETTERS[v]))
    }

    /// Reads a code as it was typed: blanks and hyphens do not matter, nor does the case.
    ///
    /// # Errors
    /// With what is wrong.
    pub fn read(text: &str) -> Result<Code, NoCode> {
        let meant = |c: char| TAKEN_FOR.iter().find(|(seen, _)| *seen == c).map_or(c, |(_, meant)| *meant);
        let letters: Vec<char> = text.chars().filter(|c| !c.is_whitespace() && *c != '-').map(|c| meant(c.to_ascii_uppercase())).collect();
        let mut code = [0; LENGTH];
        let mut values = [0; LENGTH];
        if letters.len() != LENGTH {
            return Err(NoCode::Length(letters.len()));
        }
        for (i, letter) in letters.into_iter().enumerate() {
            code[i] = u8::try_from(letter).map_err(|_| NoCode::Letter(letter))?;
            values[i] = value(code[i]).ok_or(NoCode::Letter(letter))?;
        }
        let wanted = check(values.iter().take(LENGTH - 1).copied(), LETTERS.len());
        if wanted == values[LENGTH - 1] { Ok(Code(code)) } else { Err(NoCode::Check) }
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, letter) in self.0.iter().enumerate() {
            write!(f, "{}{}", if i == LENGTH / 2 { "-" } else { "" }, char::from(*letter))?;
        }
        Ok(())
    }
}

impl fmt::Debug for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

/// What is to be said of a code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// The card holds; by when it is to be looked at again.
    Current(Option<Date>),
    /// The protocol is as on the card, and not signed, or its review is overdue.
    NotInForce(State),
    /// The protocol was changed and signed again: edition and day.
    Superseded(String, Date),
    /// The protocol was changed and nobody has signed it since.
    Changed,
    /// The protocol is suspended, retired or gone: since when and why, if that is said.
    Withdrawn(Option<Date>, Option<String>),
}

impl Answer {
    /// True if the card may stay in the room.
    pub fn holds(&self) -> bool {
        matches!(self, Answer::Current(_))
    }
}

/// A code that a card of this pack carries or carried.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Known {
    /// The code.
    pub code: Code,
    /// The protocol.
    pub protocol: DocName,
    /// Its title; its id if it is gone.
    pub title: String,
    /// Edition in which this state was first signed; `None` if it never was.
    pub edition: Option<String>,
    /// What is to be said of it.
    pub answer: Answer,
}

/// Kinds of document with a card.
fn has_card(kind: Kind) -> bool {
    matches!(kind, Kind::Protocol | Kind::Session)
}

/// Every code that was ever signed or is printed now, by protocol and session, newest first. The ledger is the register: a code
/// follows from a digest in it.
pub fn register(catalog: &Catalog, currency: &Currency, today: Date) -> Vec<Known> {
    let whole = catalog.ledgers.iter().zip(&currency.faults).filter(|(_, faults)| faults.is_empty());
    let approvals: Vec<&Approval> =
        whole.flat_map(|(l, _)| l.entries.iter().map(|e| &e.approval)).filter(|a| has_card(a.document.kind)).collect();
    let mut names: Vec<&DocName> = approvals.iter().map(|a| &a.document).collect();
    names.extend(currency.all().filter(|s| s.doc.is_some_and(|d| has_card(d.kind))).map(|s| &s.name));
    names.sort_unstable();
    names.dedup();
    names.into_iter().flat_map(|name| of_document(catalog, currency, today, name, &approvals)).collect()
}

fn of_document(catalog: &Catalog, currency: &Currency, today: Date, name: &DocName, approvals: &[&Approval]) -> Vec<Known> {
    // Each state that was signed, in order, with its first approval.
    let mut states: Vec<&Approval> = Vec::new();
    for approval in approvals.iter().filter(|a| a.document == *name) {
        if !states.iter().any(|s| s.digest == approval.digest) {
            states.push(approval);
        }
    }
    let statement = currency.named(name);
    let head = statement.and_then(|s| s.doc).and_then(|d| catalog.head(d));
    let title = statement.and_then(|s| s.doc).map_or_else(|| name.id.to_string(), |d| catalog.title(d).to_string());
    let state = currency.sign_off(name).map(|s| s.state(today));
    let withdrawn = || {
        let suspended = currency.sign_off(name).and_then(|s| s.suspended.first()).and_then(|n| currency.named(n)).and_then(|s| s.doc);
        let why = suspended.and_then(|d| catalog.head(d)).or(head);
        Answer::Withdrawn(
            why.and_then(|h| h.since.as_ref()).map(|d| d.value),
            why.and_then(|h| h.because.as_ref()).map(|t| t.value.to_string()),
        )
    };
    let answer = |digest: Digest, next: Option<&&Approval>| match (statement, state) {
        (None, _) => Answer::Withdrawn(None, None),
        (_, Some(State::Suspended | State::Retired)) => withdrawn(),
        (Some(s), Some(state)) if s.digest == digest => {
            let by = currency.sign_off(name).and_then(|s| s.review_by);
            if state.is_in_force() { Answer::Current(by) } else { Answer::NotInForce(state) }
        }
        _ => next.map_or(Answer::Changed, |n| Answer::Superseded(n.edition.clone(), n.date)),
    };
    let mut out = Vec::new();
    if let Some(now) = statement.filter(|s| !states.iter().any(|a| a.digest == s.digest)) {
        out.push(Known {
            code: Code::of(now.digest),
            protocol: name.clone(),
            title: title.clone(),
            edition: None,
            answer: answer(now.digest, None),
        });
    }
    for (i, first) in states.iter().enumerate().rev() {
        let edition = Some(first.edition.clone());
        out.push(Known {
            code: Code::of(first.digest),
            protocol: name.clone(),
            title: title.clone(),
            edition,
            answer: answer(first.digest, states.get(i + 1)),
        });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Documentation of Noid: the identifier `13030/xf93gt2` over its own alphabet of 29, in which every other
    /// character counts zero, has the check character `q`.
    #[test]
    fn the_published_example_has_its_check_letter() {
        let alphabet = b"0123456789bcdfghjkmnpqrstvwxz";
        let values = b"13030/xf93gt2".iter().map(|c| alphabet.iter().position(|a| a == c).unwrap_or(0));
        assert_eq!(alphabet[check(values, alphabet.len())], b'q');
    }

    #[test]
    fn a_code_reads_back_however_it_is_typed() {
        let code = Code::of(Digest::of(b"a protocol"));
        let shown = code.to_string();
        assert_eq!(shown.len(), LENGTH + 1);
        for typed in [shown.clone(), shown.to_lowercase(), shown.replace('-', ""), format!(" {} ", shown.replace('-', " "))] {
            assert_eq!(Code::read(&typed), Ok(code), "{typed}");
        }
        let confused = TAKEN_FOR.iter().fold(shown.clone(), |t, (seen, meant)| t.replace(*meant, &seen.to_string()));
        assert_eq!(Code::read(&confused), Ok(code), "{confused}");
        for (bad, why) in [
            ("", NoCode::Length(0)),
            ("2222-222", NoCode::Length(7)),
            ("0222-2222", NoCode::Letter('0')),
            ("é222-2222", NoCode::Letter('é')),
        ] {
            assert_eq!(Code::read(bad), Err(why), "{bad}");
        }
    }

    proptest! {
        #[test]
        fn one_wrong_letter_or_two_that_changed_places_is_found(seed in any::<[u8; 8]>(), at in 0usize..LENGTH, step in 1usize..23) {
            let code = Code::of(Digest::of(&seed));
            let mut wrong = code.0;
            wrong[at] = LETTERS[(value(wrong[at]).unwrap() + step) % LETTERS.len()];
            prop_assert_eq!(Code::read(std::str::from_utf8(&wrong).unwrap()), Err(NoCode::Check));
            let mut swapped = code.0;
            let next = (at + 1) % LENGTH;
            swapped.swap(at, next);
            if swapped != code.0 && next != 0 {
                prop_assert_eq!(Code::read(std::str::from_utf8(&swapped).unwrap()), Err(NoCode::Check));
            }
        }

        #[test]
        fn any_text_is_read_or_refused(text in "\\PC{0,12}") {
            let _ = Code::read(&text);
        }
    }
}
