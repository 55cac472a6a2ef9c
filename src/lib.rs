//! Compiles packs of soft-tissue treatment protocols into a checked reference site, printable cards
//! and machine-readable data.
//!
//! ```text
//! load   ->  link   ->  compute ->  checks ->  plan   ->  render -> write
//! files      ids        numbers     findings   pages      bytes     folder
//! ```
//!
//! Each stage is a function from values to a value and findings, and knows only the stages before
//! it. Read in this order: `source`, `finding`, `model`, one file of `checks`, then `build`.

#![forbid(unsafe_code)]

pub mod build;
pub mod calc;
pub mod chart;
pub mod checks;
pub mod cli;
pub mod compute;
pub mod error;
pub mod exchange;
pub mod finding;
pub mod keep;
pub mod link;
pub mod load;
pub mod model;
#[cfg(feature = "pdf")]
pub mod pdf;
pub mod plan;
#[cfg(feature = "pdf")]
pub mod press;
pub mod render;
pub mod report;
pub mod sign;
pub mod source;
pub mod write;
