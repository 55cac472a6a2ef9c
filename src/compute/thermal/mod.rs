//! Heat and cold: what a dose brings to the skin.

pub mod apparatus;
pub mod readiness;
