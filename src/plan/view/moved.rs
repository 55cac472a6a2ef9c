//! A retired document that names its successor: its address leads on.

use super::parts::{Frame, Link};
use super::standing;
use crate::compute::currency::sign_off::State;
use crate::model::DocRef;
use crate::plan::site::Site;
use serde::Serialize;

/// View of `moved.html`.
#[derive(Debug, Serialize)]
pub struct Moved {
    /// Frame.
    pub frame: Frame,
    /// The successor.
    pub to: Link,
}

impl Moved {
    /// The page, if the document is retired and has a successor.
    pub fn new(site: &Site<'_>, doc: DocRef) -> Option<Moved> {
        let to = standing::successor(site, doc).filter(|_| site.state_of(doc) == Some(State::Retired))?;
        Some(Moved { frame: site.doc_frame(doc), to })
    }
}
