//! Checks of the area "structure".

use super::Check;

mod ambiguous_scalar;
mod duplicate_key;
mod file_unreadable;
mod id_matches_file;
mod language_tag;
mod nesting_too_deep;
mod number_out_of_bounds;
mod placeholder_left;
mod quantity_dimension;
mod quantity_unreadable;
mod range_inverted;
mod schema_shape;
mod side_impossible;
mod stray_file;
mod symlink_outside_pack;
mod text_hygiene;
mod unknown_key;
mod yaml_feature_refused;
mod yaml_syntax;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &ambiguous_scalar::CHECK,
    &duplicate_key::CHECK,
    &file_unreadable::CHECK,
    &id_matches_file::CHECK,
    &language_tag::CHECK,
    &nesting_too_deep::CHECK,
    &number_out_of_bounds::CHECK,
    &placeholder_left::CHECK,
    &quantity_dimension::CHECK,
    &quantity_unreadable::CHECK,
    &range_inverted::CHECK,
    &schema_shape::CHECK,
    &side_impossible::CHECK,
    &stray_file::CHECK,
    &symlink_outside_pack::CHECK,
    &text_hygiene::CHECK,
    &unknown_key::CHECK,
    &yaml_feature_refused::CHECK,
    &yaml_syntax::CHECK,
];
