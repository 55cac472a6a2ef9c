//! What a browser would see in a page: text in order, links, ids, addresses that would be loaded.

use html5gum::{Token, Tokenizer};

/// A page taken apart.
#[derive(Debug, Default)]
pub(super) struct Page {
    /// Visible text with single blanks.
    pub text: String,
    /// Links and images of the page: what they point at.
    pub links: Vec<String>,
    /// Addresses that are loaded by themselves.
    pub loads: Vec<String>,
    /// Ids and where in `text` they start.
    pub ids: Vec<(String, usize)>,
    /// Class attributes and where in `text` they start.
    pub classes: Vec<(String, usize)>,
}

/// Takes a page apart.
pub(super) fn read(html: &str) -> Page {
    let mut page = Page::default();
    let mut hidden = 0usize;
    for Ok(token) in Tokenizer::new(html) {
        match token {
            Token::StartTag(tag) => {
                let name = String::from_utf8_lossy(&tag.name).into_owned();
                if is_hidden(&name) && !tag.self_closing {
                    hidden += 1;
                }
                for (key, value) in &tag.attributes {
                    let value = String::from_utf8_lossy(value).into_owned();
                    attribute(&name, &String::from_utf8_lossy(key), value, &mut page);
                }
                page.text.push(' ');
            }
            Token::EndTag(tag) => {
                if is_hidden(&String::from_utf8_lossy(&tag.name)) {
                    hidden = hidden.saturating_sub(1);
                }
                page.text.push(' ');
            }
            Token::String(text) if hidden == 0 => page.text.push_str(&String::from_utf8_lossy(&text.value)),
            _ => {}
        }
    }
    squeeze(&page.text, &mut page.classes);
    page.text = squeeze(&page.text, &mut page.ids);
    page
}

fn is_hidden(tag: &str) -> bool {
    matches!(tag, "script" | "style" | "template" | "noscript")
}

fn attribute(tag: &str, key: &str, value: String, page: &mut Page) {
    match (tag, key) {
        (_, "id") => page.ids.push((value, page.text.len())),
        (_, "class") => page.classes.push((value, page.text.len())),
        ("a", "href") => page.links.push(value),
        ("link", "href") | ("script" | "img" | "source" | "iframe" | "video" | "audio" | "embed", "src") | ("object", "data") => {
            page.loads.push(value);
        }
        (_, "srcset" | "poster" | "background" | "ping") => page.loads.push(value),
        ("use" | "image", "href" | "xlink:href") => page.loads.push(value),
        _ => {}
    }
}

/// Single blanks, and the places of ids moved with them.
pub(super) fn squeeze(text: &str, ids: &mut [(String, usize)]) -> String {
    let mut out = String::with_capacity(text.len());
    let mut next = 0;
    for (offset, c) in text.char_indices() {
        while next < ids.len() && ids[next].1 <= offset {
            ids[next].1 = out.len();
            next += 1;
        }
        if !c.is_whitespace() {
            out.push(c);
        } else if !out.ends_with(' ') {
            out.push(' ');
        }
    }
    for id in ids.iter_mut().skip(next) {
        id.1 = out.len();
    }
    out
}

/// Text with single blanks, for comparing with a page.
pub(super) fn plain(text: &str) -> String {
    squeeze(text.trim(), &mut [])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_links_and_places_are_read() {
        let page = read("<p id=a>One&amp;two <b>three</b></p><script>no</script>\n<a href='x.html#b' id=b>link</a><img src='i.png'>");
        assert_eq!(page.text.trim(), "One&two three link");
        assert_eq!(page.links, ["x.html#b"]);
        assert_eq!(page.loads, ["i.png"]);
        assert_eq!(page.ids[0].0, "a");
        assert!(page.ids[1].1 > page.text.find("three").unwrap());
    }
}
