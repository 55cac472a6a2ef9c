//! What heat and cold do to the skin and to what lies under it.
//!
//! A one-dimensional stack (room, pack, covers, skin, fat, muscle, core) with blood flow, solved by
//! finite volumes; damage integrals over its temperatures; the time that a source may lie. Numbers
//! only: `apparatus` and `facts` read techniques and doses, the rest knows neither. SI units and degC
//! throughout.
//!
//! Bioheat equation: Pennes 1948. Time stepping: TR-BDF2 (Bank and others 1985; the weights of this
//! form from memory). Every constant stands with its source in `constants`.

pub mod apparatus;
pub mod chain;
pub mod constants;
pub mod damage;
pub mod facts;
pub mod history;
pub mod march;
pub mod memo;
pub mod readiness;
pub mod run;
pub mod safe;
pub mod scenario;
pub mod simple;
pub mod spoken;
pub mod stack;
