//! Why a number was not computed. `what` is always the name of the input at fault, as the struct of the
//! inputs names it.

use super::Scale;

/// Why there is no result.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Refusal {
    /// An input is infinite or no number.
    NotFinite {
        /// Input.
        what: &'static str,
    },
    /// A number of people or events is not whole.
    NotWhole {
        /// Input.
        what: &'static str,
        /// Its value.
        found: f64,
    },
    /// Below what is possible.
    Below {
        /// Input.
        what: &'static str,
        /// Least that is possible.
        least: f64,
        /// Its value.
        found: f64,
    },
    /// Not above a bound that is itself impossible.
    NotAbove {
        /// Input.
        what: &'static str,
        /// The bound.
        bound: f64,
        /// Its value.
        found: f64,
    },
    /// Above what is possible.
    Above {
        /// Input.
        what: &'static str,
        /// Most that is possible.
        most: f64,
        /// Its value.
        found: f64,
    },
    /// Not below a bound that is itself impossible.
    NotBelow {
        /// Input.
        what: &'static str,
        /// The bound.
        bound: f64,
        /// Its value.
        found: f64,
    },
    /// More events than people.
    MoreThan {
        /// Input.
        what: &'static str,
        /// Its value.
        found: f64,
        /// The input that bounds it.
        of: &'static str,
        /// The value of that input.
        most: f64,
    },
    /// Too few of them for this calculation.
    TooFew {
        /// Input.
        what: &'static str,
        /// Least that is needed.
        least: usize,
        /// How many there are.
        found: usize,
    },
    /// A row of a table is longer or shorter than it should be.
    Uneven {
        /// Input.
        what: &'static str,
        /// Row, from 0.
        row: usize,
        /// Entries it should have.
        wanted: usize,
        /// Entries it has.
        found: usize,
    },
    /// A row of a table does not add up to what every row adds up to.
    RowSum {
        /// Input.
        what: &'static str,
        /// Row, from 0.
        row: usize,
        /// What the first row adds up to.
        wanted: f64,
        /// What this row adds up to.
        found: f64,
    },
    /// A study without variance would take all the weight.
    NoVariance {
        /// Study, from 0.
        study: usize,
    },
    /// Studies on different scales.
    Mixed {
        /// Study, from 0.
        study: usize,
        /// Its scale.
        found: Scale,
        /// Scale of the first study.
        wanted: Scale,
    },
    /// The formula has no value for these inputs.
    Undefined {
        /// Input.
        what: &'static str,
        /// Why, to follow "because".
        because: &'static str,
    },
    /// The result is too large or too small for a number of the machine.
    OutOfRange {
        /// Input.
        what: &'static str,
    },
}

impl Refusal {
    /// The input at fault.
    pub fn what(&self) -> &'static str {
        match self {
            Self::NotFinite { what }
            | Self::NotWhole { what, .. }
            | Self::Below { what, .. }
            | Self::NotAbove { what, .. }
            | Self::Above { what, .. }
            | Self::NotBelow { what, .. }
            | Self::MoreThan { what, .. }
            | Self::TooFew { what, .. }
            | Self::Uneven { what, .. }
            | Self::RowSum { what, .. }
            | Self::Undefined { what, .. }
            | Self::OutOfRange { what } => what,
            Self::NoVariance { .. } | Self::Mixed { .. } => "studies",
        }
    }
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NotFinite { what } => write!(f, "`{what}` is no finite number"),
            Self::NotWhole { what, found } => write!(f, "`{what}` counts people or events, and {found} is no whole number"),
            Self::Below { what, least, found } => write!(f, "`{what}` is {found}, and the least possible is {least}"),
            Self::NotAbove { what, bound, found } => write!(f, "`{what}` is {found}, and has to be above {bound}"),
            Self::Above { what, most, found } => write!(f, "`{what}` is {found}, and the most possible is {most}"),
            Self::NotBelow { what, bound, found } => write!(f, "`{what}` is {found}, and has to be below {bound}"),
            Self::MoreThan { what, found, of, most } => write!(f, "`{what}` is {found}, more than `{of}`, which is {most}"),
            Self::TooFew { what, least, found } => write!(f, "`{what}` has {found} entries, and {least} are needed"),
            Self::Uneven { what, row, wanted, found } => {
                write!(f, "row {} of `{what}` has {found} entries, and should have {wanted}", row + 1)
            }
            Self::RowSum { what, row, wanted, found } => {
                write!(f, "row {} of `{what}` adds up to {found}, and the first row to {wanted}", row + 1)
            }
            Self::NoVariance { study } => write!(f, "study {} has no variance and would take all the weight", study + 1),
            Self::Mixed { study, found, wanted } => {
                write!(f, "study {} is a {}, and the first study a {}", study + 1, found.name(), wanted.name())
            }
            Self::Undefined { what, because } => write!(f, "there is no result from `{what}`, because {because}"),
            Self::OutOfRange { what } => write!(f, "the result from `{what}` is too large or too small to be told"),
        }
    }
}

/// The number if it is finite.
///
/// # Errors
/// If it is not.
pub fn finite(what: &'static str, found: f64) -> Result<f64, Refusal> {
    if found.is_finite() { Ok(found) } else { Err(Refusal::NotFinite { what }) }
}

/// A whole number of at least `least`.
///
/// # Errors
/// If it is none.
pub fn count(what: &'static str, found: f64, least: f64) -> Result<f64, Refusal> {
    match finite(what, found)? {
        x if x < least => Err(Refusal::Below { what, least, found }),
        x if x.fract() != 0.0 => Err(Refusal::NotWhole { what, found }),
        x => Ok(x),
    }
}

/// A number of at least `least`.
///
/// # Errors
/// If it is less.
pub fn at_least(what: &'static str, found: f64, least: f64) -> Result<f64, Refusal> {
    if finite(what, found)? < least { Err(Refusal::Below { what, least, found }) } else { Ok(found) }
}

/// A number above `bound`.
///
/// # Errors
/// If it is not.
pub fn above(what: &'static str, found: f64, bound: f64) -> Result<f64, Refusal> {
    if finite(what, found)? > bound { Ok(found) } else { Err(Refusal::NotAbove { what, bound, found }) }
}

/// A number between two bounds that are themselves impossible.
///
/// # Errors
/// If it lies outside or on one of them.
pub fn inside(what: &'static str, found: f64, low: f64, high: f64) -> Result<f64, Refusal> {
    if above(what, found, low)? < high { Ok(found) } else { Err(Refusal::NotBelow { what, bound: high, found }) }
}

/// Events among `of` people.
///
/// # Errors
/// If they are no whole number from 0 to `most`.
pub fn events(what: &'static str, found: f64, of: &'static str, most: f64) -> Result<f64, Refusal> {
    if count(what, found, 0.0)? > most { Err(Refusal::MoreThan { what, found, of, most }) } else { Ok(found) }
}
