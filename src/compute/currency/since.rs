//! What has changed in a document, or in what it rests on, since somebody last signed it.

use super::kept::Moment;
use super::{Currency, RULES};
use crate::model::DocName;
use jiff::civil::Date;

/// What has changed since the last sign-off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Since {
    /// Nobody has signed it yet.
    First,
    /// Others have signed it as it is.
    Same,
    /// It was signed on this day in another state, and these documents are others now.
    Moved(Date, Vec<Moved>),
    /// It was signed on this day in another state, which was not kept.
    NotKept(Date),
}

/// A document that is another than when it was signed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    /// Its name.
    pub name: DocName,
    /// In which way.
    pub how: How,
}

/// In which way a document is another.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum How {
    /// It was not there.
    New,
    /// It says something else.
    Changed,
    /// It is not there any more.
    Gone,
    /// The program derives by other rules.
    Rules,
}

impl How {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            How::New => "new",
            How::Changed => "changed",
            How::Gone => "gone",
            How::Rules => "derived by other rules",
        }
    }
}

impl Currency {
    /// What has changed in a document since its last sign-off.
    pub fn since(&self, name: &DocName) -> Since {
        let Some(sign_off) = self.sign_off(name) else { return Since::First };
        if !sign_off.current.is_empty() {
            return Since::Same;
        }
        let Some(earlier) = &sign_off.earlier else { return Since::First };
        match self.kept_for(earlier) {
            Some((_, moment)) => Since::Moved(earlier.date, self.moved(name, moment)),
            None => Since::NotKept(earlier.date),
        }
    }

    fn moved(&self, name: &DocName, then: &Moment) -> Vec<Moved> {
        let mut moved = Vec::new();
        for (other, digest) in self.named(name).map(|s| &s.rests_on).into_iter().flatten() {
            let how = match then.documents.get(other) {
                None => How::New,
                Some(old) if old != digest => How::Changed,
                Some(_) => continue,
            };
            moved.push(Moved { name: other.clone(), how });
        }
        let gone = then.rests_on(name).into_iter().filter(|n| self.named(n).is_none());
        moved.extend(gone.map(|n| Moved { name: n.clone(), how: How::Gone }));
        if then.rules != RULES {
            moved.push(Moved { name: name.clone(), how: How::Rules });
        }
        moved
    }
}
