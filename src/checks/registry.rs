//! All checks, area by area.

use super::Check;
use std::sync::LazyLock;

static ALL: LazyLock<Vec<&'static Check>> = LazyLock::new(|| {
    let areas: [&[&'static Check]; 18] = [
        super::structure::CHECKS,
        super::links::CHECKS,
        super::dose::CHECKS,
        super::totals::CHECKS,
        super::order::CHECKS,
        super::position::CHECKS,
        super::anatomy::CHECKS,
        super::stretch::CHECKS,
        super::chart::CHECKS,
        super::thermal::CHECKS,
        super::cautions::CHECKS,
        super::flags::CHECKS,
        super::measurement::CHECKS,
        super::wording::CHECKS,
        super::evidence::CHECKS,
        super::review::CHECKS,
        super::house::CHECKS,
        super::output::CHECKS,
    ];
    let mut all: Vec<&'static Check> = areas.into_iter().flatten().copied().collect();
    all.sort_by_key(|c| c.name);
    all
});

/// Every check, sorted by name.
pub fn all() -> &'static [&'static Check] {
    &ALL
}

/// The check of a name.
pub fn named(name: &str) -> Option<&'static Check> {
    all().binary_search_by_key(&name, |c| c.name).ok().map(|i| all()[i])
}
