//! The maintained fork under the name of the archived crate, until the processor of references names
//! the fork itself.

pub use pastey::*;
