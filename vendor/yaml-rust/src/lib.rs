//! The maintained fork under the name of the archived crate, until the highlighter that the typesetter
//! brings names the fork itself.

pub use yaml_rust2::*;
