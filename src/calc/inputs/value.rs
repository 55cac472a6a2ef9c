//! One value: a plain number, text with a unit, a list, or a report of what it is instead.

use super::Inputs;
use crate::calc::rule::Rule;
use crate::load::decode::Reader;
use crate::model::unit::Dim;
use crate::source::{Node, NodeKind, Span, Text};

impl<'a> Inputs<'a> {
    /// A number by the rule of `key`, wherever it stands.
    pub fn value(&self, name: &Text, node: &Node, rule: &'static Rule, exact: bool) -> Option<f64> {
        let value = if exact { self.plain_number(name, node, rule)? } else { self.with_unit(name, node, rule.dim?)? };
        if value.is_finite() && rule.allows(value) {
            return Some(value);
        }
        let written = node.text().unwrap_or_default();
        let message = format!("`{}: {written}` is outside what is possible", name.value);
        self.page.report("number-out-of-bounds", node.span, "not possible", message, format!("possible: {}", rule.range()));
        None
    }

    pub(super) fn plain_number(&self, name: &Text, node: &Node, rule: &'static Rule) -> Option<f64> {
        if let NodeKind::Number(written) = &node.kind {
            return written.parse().ok();
        }
        let at = if node.span.start == node.span.end { name.span } else { node.span };
        let help = match rule.plain(&name.value) {
            Some(plain) => {
                format!("the key says the unit: write the number of {} alone, or write `{plain}: {}`", rule.unit, rule.example)
            }
            None if rule.unit.is_empty() => "write a number".to_string(),
            None => format!("the key says the unit: write the number of {} alone", rule.unit),
        };
        let message = format!("`{}` should be a number, not {}", name.value, node.kind_name());
        self.page.report("schema-shape", at, format!("this is {}", node.kind_name()), message, help);
        None
    }

    pub(super) fn with_unit(&self, name: &Text, node: &Node, dim: Dim) -> Option<f64> {
        if node.text().is_none() {
            return self.wrong_kind(name, node, &format!("{} with its unit", dim.word()));
        }
        let mut reader = Reader::new(self.page.file, self.page.text);
        let quantity = reader.signed(node, &name.value, &[dim]);
        self.page.findings.borrow_mut().append(&mut reader.findings);
        let base = quantity?.base();
        if base.lo.total_cmp(&base.hi).is_eq() {
            return Some(base.lo);
        }
        let written = node.text().unwrap_or_default();
        self.page.report(
            "schema-shape",
            node.span,
            "this is a range",
            format!("`{}: {written}` is a range, and one value is wanted", name.value),
            "write one value; calculate the other end in an entry of its own",
        );
        None
    }

    pub(super) fn list(&self, name: &Text, node: &'a Node, least: usize, most: usize) -> Option<&'a [Node]> {
        let NodeKind::Seq(items) = &node.kind else { return self.wrong_kind(name, node, "a list") };
        if (least..=most).contains(&items.len()) {
            return Some(items);
        }
        let wanted = if least == most { format!("{least}") } else { format!("{least} to {most}") };
        let message = format!("`{}` has {} entries; {wanted} can be read", name.value, items.len());
        self.page.report("schema-shape", node.span, format!("{} here", items.len()), message, format!("write {wanted}"));
        None
    }

    pub(super) fn wrong_kind<T>(&self, name: &Text, node: &Node, wanted: &str) -> Option<T> {
        let at = if node.span.start == node.span.end { name.span } else { node.span };
        self.kind_report(at, &name.value, node, wanted);
        None
    }

    pub(super) fn kind_report(&self, at: Span, name: &str, node: &Node, wanted: &str) {
        let found = node.kind_name();
        let message = format!("`{name}` should be {wanted}, not {found}");
        self.page.report("schema-shape", at, format!("this is {found}"), message, format!("write {wanted}"));
    }
}
