//! Text on a card that is smaller than its class allows.

use super::{Output, css};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::plan::Shape;
use crate::plan::fit::{CLASSES, TextClass};

/// The check.
pub static CHECK: Check = Check {
    name: "card-type-too-small",
    summary: "text on a card is too small to be read where it is used",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("card_type_too_small.md"),
};

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    let Some(pack) = case.catalog.packs.rows().first() else { return };
    let has_cards = output.built.iter().any(|b| matches!(b.shape, Shape::Card | Shape::Sheet));
    for sheet in output.built.iter().filter(|b| has_cards && b.path == "assets/style.css") {
        let rules = css::rules(sheet.text());
        for class in &CLASSES {
            let found = size(&rules, class);
            if found.is_some_and(|points| points >= class.least) {
                continue;
            }
            let shown = found.map_or_else(|| "no size in points".to_string(), |p| format!("{p} pt"));
            let message = format!("`{}` has {shown} on cards", class.what.to_lowercase());
            sink.report(pack.head.at, "this pack", message)
                .note(format!("at the least {} pt, set by `{}` in {}", class.least, class.selector, sheet.path))
                .help("use the shipped style sheet, or set the size in yours");
        }
    }
}

/// The smallest size in points that any rule gives the class, on screen or on paper.
fn size(rules: &[css::Rule], class: &TextClass) -> Option<f64> {
    let own = rules.iter().filter(|r| r.selectors.iter().any(|s| s == class.selector));
    let declared = own.flat_map(|r| &r.declarations).filter(|(name, _)| name == "font-size" || name == "font");
    declared.filter_map(|(_, value)| points(value)).reduce(f64::min)
}

/// The first size in points of a `font` or `font-size`.
fn points(value: &str) -> Option<f64> {
    value.split([' ', '/']).find_map(|word| word.strip_suffix("pt")?.parse().ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_smallest_size_of_a_rule_counts() {
        let rules =
            css::rules(".face { font: 11pt/12.8pt Arial } .item-stop { font-size: 18pt } @media print { .item-stop { font-size: 9.5pt } }");
        let class = |selector| TextClass { what: "Text", selector, points: 0.0, least: 0.0 };
        assert_eq!(size(&rules, &class(".face")), Some(11.0));
        assert_eq!(size(&rules, &class(".item-stop")), Some(9.5));
        assert_eq!(size(&rules, &class(".other")), None);
    }

    #[test]
    fn the_layout_counts_with_the_sizes_of_the_shipped_sheet() {
        let rules = css::rules(include_str!("../../../templates/assets/style.css"));
        for class in &CLASSES {
            assert_eq!(size(&rules, class), Some(class.points), "{}", class.what);
        }
    }
}
