//! A page as a flat tree: elements in order, each with its parent, for checks that ask what stands in what.

use html5gum::{Token, Tokenizer};
use std::ops::Range;

/// An element.
#[derive(Debug, Default)]
pub(super) struct Element {
    /// Name.
    pub tag: String,
    /// Attributes.
    pub attributes: Vec<(String, String)>,
    /// The element in which it stands.
    pub parent: Option<usize>,
    /// Index behind its last descendant.
    pub end: usize,
    /// Text of its own, without that of elements in it.
    pub text: String,
}

/// A page.
#[derive(Debug, Default)]
pub(super) struct Tree {
    /// Elements in order.
    pub elements: Vec<Element>,
}

impl Element {
    /// An attribute.
    pub fn get(&self, key: &str) -> Option<&str> {
        self.attributes.iter().find(|(k, _)| k == key).map(|(_, v)| v.as_str())
    }

    /// True if it has a name for people who do not see it.
    pub fn is_labelled(&self) -> bool {
        ["aria-label", "aria-labelledby"].iter().any(|key| self.get(key).is_some_and(|v| !v.trim().is_empty()))
    }

    /// How a finding names it.
    pub fn shown(&self) -> String {
        let part = |key: &str| self.get(key).map(|v| format!(" {key}=\"{}\"", v.chars().take(60).collect::<String>()));
        let parts: String = ["id", "class", "href", "src", "name"].iter().filter_map(|k| part(k)).take(2).collect();
        format!("<{}{parts}>", self.tag)
    }
}

impl Tree {
    /// Reads a page.
    pub fn read(html: &str) -> Tree {
        let mut tree = Tree::default();
        let mut open: Vec<usize> = Vec::new();
        for Ok(token) in Tokenizer::new(html) {
            match token {
                Token::StartTag(tag) => {
                    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
                    let attributes = tag.attributes.iter().map(|(k, v)| (text(k), text(v))).collect();
                    let at = tree.elements.len();
                    let name = text(&tag.name);
                    let leaf = tag.self_closing || is_void(&name);
                    tree.elements.push(Element { tag: name, attributes, parent: open.last().copied(), end: at + 1, text: String::new() });
                    if !leaf {
                        open.push(at);
                    }
                }
                Token::EndTag(tag) => {
                    let name = String::from_utf8_lossy(&tag.name);
                    if let Some(depth) = open.iter().rposition(|i| tree.elements[*i].tag == name) {
                        tree.close(open.split_off(depth));
                    }
                }
                Token::String(text) => {
                    if let Some(element) = open.last().and_then(|i| tree.elements.get_mut(*i)) {
                        element.text.push_str(&String::from_utf8_lossy(&text.value));
                    }
                }
                _ => {}
            }
        }
        tree.close(open);
        tree
    }

    fn close(&mut self, left: Vec<usize>) {
        let end = self.elements.len();
        for i in left {
            if let Some(element) = self.elements.get_mut(i) {
                element.end = end;
            }
        }
    }

    /// Elements with this name, by index.
    pub fn all<'a>(&'a self, tags: &'a [&str]) -> impl Iterator<Item = (usize, &'a Element)> {
        self.elements.iter().enumerate().filter(|(_, e)| tags.contains(&e.tag.as_str()))
    }

    /// What stands in an element.
    pub fn inside(&self, at: usize) -> &[Element] {
        let range: Range<usize> = at + 1..self.elements.get(at).map_or(at + 1, |e| e.end);
        self.elements.get(range).unwrap_or_default()
    }

    /// The elements in which one stands, from the inside out.
    pub fn around(&self, at: usize) -> impl Iterator<Item = (usize, &Element)> {
        let mut next = self.elements.get(at).and_then(|e| e.parent);
        std::iter::from_fn(move || {
            let i = next?;
            let element = self.elements.get(i)?;
            next = element.parent;
            Some((i, element))
        })
    }

    /// Text of an element and all in it, without what is hidden from a listener.
    pub fn words(&self, at: usize) -> String {
        let own = self.elements.get(at).map(|e| e.text.as_str()).unwrap_or_default();
        let inner = self.inside(at).iter().filter(|e| !matches!(e.tag.as_str(), "script" | "style")).map(|e| e.text.as_str());
        std::iter::once(own).chain(inner).flat_map(str::split_whitespace).collect::<Vec<_>>().join(" ")
    }
}

fn is_void(tag: &str) -> bool {
    matches!(tag, "area" | "base" | "br" | "col" | "embed" | "hr" | "img" | "input" | "link" | "meta" | "source" | "track" | "wbr")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn elements_know_what_stands_in_them() {
        let tree = Tree::read("<main><p id=a>One <b>two</b><br>three</p><svg><path d='M0 0'/></svg></main><p>after");
        let p = tree.all(&["p"]).next().unwrap();
        assert_eq!(tree.words(p.0), "One three two");
        assert_eq!(tree.inside(p.0).len(), 2);
        let path = tree.all(&["path"]).next().unwrap();
        assert_eq!(tree.around(path.0).map(|(_, e)| e.tag.as_str()).collect::<Vec<_>>(), ["svg", "main"]);
        assert_eq!(tree.all(&["p"]).nth(1).unwrap().1.parent, None);
    }
}
