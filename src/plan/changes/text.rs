//! The list for a screen.

use super::{CAUTION, Listing, spoken, words};
use crate::compute::compare::Change;

/// Where the words of a change begin.
const INDENT: usize = 12;

pub(super) fn text(list: &Listing, width: usize) -> String {
    if list.changes.is_empty() {
        return String::new();
    }
    let mut out = wrapped(&format!("{}: {} -> {}", list.headline(), list.old.name, list.new.name), 0, width);
    for (class, changes) in list.groups() {
        out += &format!("\n{}\n", wrapped(&class.heading().to_uppercase(), 0, width).trim_end());
        changes.iter().for_each(|c| out += &change(c, width));
    }
    let cards = |heading: &str, cards: &[super::Card]| {
        let lines: String = cards.iter().map(|c| wrapped(&format!("{}: {}", c.document.id, c.title), 2, width)).collect();
        if cards.is_empty() { String::new() } else { format!("\n{heading}\n{lines}") }
    };
    out += &cards("CARDS TO PRINT AGAIN", &list.reprint);
    out += &cards("CARDS TO WITHDRAW", &list.withdraw);
    out += &format!("\nEDITION\n{}", wrapped(&list.verdict(), 2, width));
    out + "\n" + &wrapped(CAUTION, 0, width) + &wrapped(words::USE_NOTE, 0, width)
}

fn change(change: &Change, width: usize) -> String {
    let own = spoken(change);
    let head = wrapped(&format!("{} ({})", change.path, own.document), INDENT, width);
    let way = format!("  {:<1$}", change.way.word(), INDENT - 2);
    let mut out = way + head.trim_start();
    let ratio = own.ratio.map(|r| format!(", {r}")).unwrap_or_default();
    let moved = format!("{} -> {}{ratio}", own.old, own.new);
    if moved.chars().count() + INDENT <= width {
        out += &wrapped(&moved, INDENT, width);
    } else {
        out += &wrapped(&format!("before: {}", own.old), INDENT, width);
        out += &wrapped(&format!("after: {}{ratio}", own.new), INDENT, width);
    }
    out + &wrapped(&format!("on {}", own.shows_on), INDENT, width)
}

/// A paragraph, indented; a word that is longer than a line stands alone.
fn wrapped(text: &str, indent: usize, width: usize) -> String {
    let room = width.saturating_sub(indent).max(20);
    let mut lines: Vec<String> = vec![String::new()];
    for word in text.split(' ') {
        let line = lines.last().map_or(0, |l| l.chars().count());
        match lines.last_mut() {
            Some(last) if line == 0 || line + 1 + word.chars().count() <= room => {
                if line > 0 {
                    last.push(' ');
                }
                last.push_str(word);
            }
            _ => lines.push(word.to_string()),
        }
    }
    lines.into_iter().map(|l| " ".repeat(indent) + &l + "\n").collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paragraphs_are_wrapped_and_indented() {
        assert_eq!(wrapped("one two three four five six", 2, 22), "  one two three four\n  five six\n");
        assert_eq!(wrapped("", 2, 22), "  \n");
    }
}
