//! The list as Markdown, for a message or a release note.

use super::{CAUTION, Listing, spoken, words};

pub(super) fn markdown(list: &Listing) -> String {
    if list.changes.is_empty() {
        return String::new();
    }
    let mut out = format!("# {}\n", escaped(&list.headline()));
    for (class, changes) in list.groups() {
        out += &format!(
            "\n## {}\n\n| way | document | what | before | after | ratio | shows on |\n|---|---|---|---|---|---|---|\n",
            class.heading()
        );
        for change in changes {
            let own = spoken(change);
            let cells =
                [change.way.word(), &own.document, &change.path, &own.old, &own.new, own.ratio.as_deref().unwrap_or(""), &own.shows_on];
            out += &format!("| {} |\n", cells.map(escaped).join(" | "));
        }
    }
    for (heading, cards) in [("Cards to print again", &list.reprint), ("Cards to withdraw", &list.withdraw)] {
        if !cards.is_empty() {
            out += &format!("\n## {heading}\n\n");
            cards.iter().for_each(|c| out += &format!("- {}: {}\n", c.document.id, escaped(&c.title)));
        }
    }
    out + &format!("\n## Edition\n\n{}\n\n{CAUTION} {}\n", escaped(&list.verdict()), words::USE_NOTE)
}

/// Text of a pack, with every mark of Markdown and HTML taken for itself.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' | '\r' => out.push(' '),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '&' => out.push_str("&amp;"),
            '\\' | '`' | '*' | '_' | '[' | ']' | '|' | '#' | '~' => out.extend(['\\', c]),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_of_a_pack_is_no_markup() {
        assert_eq!(escaped("a|b <i> *c* [d](e)"), "a\\|b &lt;i&gt; \\*c\\* \\[d\\](e)");
    }
}
