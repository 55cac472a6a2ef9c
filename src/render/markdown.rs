//! Markdown of a pack to clean HTML.
//!
//! Links were resolved by `plan`; a link that it does not know loses its address and stays as words.
//! What comes out passes a sanitiser, so that nothing but plain text structure reaches a page.

use pulldown_cmark::{CowStr, Event, HeadingLevel, Options, Parser, Tag, TagEnd, html};

/// Markdown with its links, as a view carries it.
#[derive(Debug, Default)]
pub struct Prose {
    /// Text.
    pub text: String,
    /// Links.
    pub links: Vec<ProseLink>,
    /// Headings are moved down by this many levels.
    pub down: u8,
}

/// A resolved link.
#[derive(Debug)]
pub struct ProseLink {
    /// As written.
    pub from: String,
    /// Relative address.
    pub to: String,
    /// True if it leads to a source.
    pub source: bool,
}

/// Turns Markdown into HTML that may stand in a page.
pub fn to_html(prose: &Prose) -> String {
    let options = Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH;
    let mut open = Vec::new();
    let events = Parser::new_ext(&prose.text, options).filter_map(|event| rewrite(prose, &mut open, event));
    let mut raw = String::new();
    html::push_html(&mut raw, events);
    clean(&raw)
}

fn rewrite<'a>(prose: &Prose, open: &mut Vec<bool>, event: Event<'a>) -> Option<Event<'a>> {
    match event {
        Event::Html(_) | Event::InlineHtml(_) | Event::Start(Tag::Image { .. }) | Event::End(TagEnd::Image) => None,
        Event::Start(Tag::Heading { level, id, classes, attrs }) => {
            Some(Event::Start(Tag::Heading { level: deeper(level, prose.down), id, classes, attrs }))
        }
        Event::End(TagEnd::Heading(level)) => Some(Event::End(TagEnd::Heading(deeper(level, prose.down)))),
        Event::Start(Tag::Link { dest_url, title, .. }) => {
            let known = prose.links.iter().find(|l| *l.from == *dest_url);
            let to = known.map(|l| l.to.clone()).or_else(|| dest_url.starts_with('#').then(|| dest_url.to_string()));
            open.push(to.is_some());
            let to = to?;
            let class = if known.is_some_and(|l| l.source) { " class=\"cite\"" } else { "" };
            let title = if title.is_empty() { String::new() } else { format!(" title=\"{}\"", escape(&title)) };
            Some(Event::InlineHtml(CowStr::from(format!("<a href=\"{}\"{class}{title}>", escape(&to)))))
        }
        Event::End(TagEnd::Link) => open.pop().filter(|known| *known).map(|_| Event::InlineHtml(CowStr::from("</a>"))),
        other => Some(other),
    }
}

fn deeper(level: HeadingLevel, down: u8) -> HeadingLevel {
    let n = (level as usize + usize::from(down)).min(6);
    HeadingLevel::try_from(n).unwrap_or(HeadingLevel::H6)
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('"', "&quot;").replace('<', "&lt;").replace('>', "&gt;")
}

fn clean(raw: &str) -> String {
    let mut builder = ammonia::Builder::default();
    builder.link_rel(None).url_schemes(std::collections::HashSet::new()).rm_tags(["img"]).add_allowed_classes("a", ["cite"]);
    builder.clean(raw).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn prose(text: &str) -> String {
        let link = |from: &str, to: &str, source| ProseLink { from: from.into(), to: to.into(), source };
        let links = vec![link("muscle:soleus", "../muscles/soleus.html", false), link("source:lu-2022", "../sources/lu-2022.html", true)];
        to_html(&Prose { text: text.into(), links, down: 1 })
    }

    #[test]
    fn links_become_relative_and_citations_are_marked() {
        assert_eq!(prose("See [soleus](muscle:soleus)."), "<p>See <a href=\"../muscles/soleus.html\">soleus</a>.</p>\n");
        let cite = prose("As [Lu](source:lu-2022 \"abstract\") says.");
        assert!(cite.contains("class=\"cite\"") && cite.contains("title=\"abstract\""), "{cite}");
    }

    #[test]
    fn nothing_leaves_the_site() {
        let html = prose("[out](https://example.org) ![x](https://example.org/a.png) <script>alert(1)</script> [j](javascript:alert(1))");
        assert!(!html.contains("href") && !html.contains("<img") && !html.contains("<script"), "{html}");
        assert!(html.contains("out"));
    }

    #[test]
    fn headings_move_down() {
        assert!(prose("## Two").contains("<h3>Two</h3>"));
        assert!(prose("###### Six").contains("<h6>"));
    }
}
