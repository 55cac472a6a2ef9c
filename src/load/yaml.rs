//! Text to tree. The only place that knows which YAML library is used.
//!
//! Everything on which readers of YAML disagree, or which tears a value from the place where it was
//! written, is refused here with a finding: anchors, aliases, merge keys, tags, directives, several
//! documents in a file, duplicate keys and ambiguous bare scalars.

use crate::finding::{Finding, Level};
use crate::source::{FileId, Node, NodeKind, Span, Spanned};
use granit_parser::{Event, Parser, ScalarStyle};

/// Deepest nesting that is read.
pub const MAX_DEPTH: usize = 64;

/// A parsed file: its tree, if it could be read, and what was wrong with it.
#[derive(Default)]
pub struct Parsed {
    /// The root value.
    pub root: Option<Node>,
    /// What was wrong.
    pub findings: Vec<Finding>,
}

/// What differs between the kinds of file.
#[derive(Copy, Clone, Debug)]
pub struct Rules {
    /// Word for the file in messages.
    whole: &'static str,
    /// `8.0e-5` is a number and `null` is nothing. Packs have no use for either; a sheet of numbers
    /// that programs write as JSON has.
    numeric: bool,
    /// `null` written out removes a value.
    removes: bool,
}

/// Documents of packs.
pub const PACK: Rules = Rules { whole: "pack", numeric: false, removes: false };

/// Change documents of packs.
pub const CHANGE: Rules = Rules { whole: "pack", numeric: false, removes: true };

/// Worksheets, in YAML or JSON.
pub const WORKSHEET: Rules = Rules { whole: "worksheet", numeric: true, removes: false };

/// Parses one file of a pack.
pub fn parse(file: FileId, text: &str) -> Parsed {
    parse_as(file, text, PACK)
}

/// Parses one file by the rules of its kind.
pub fn parse_as(file: FileId, text: &str, rules: Rules) -> Parsed {
    let mut builder = Builder { file, text, rules, stack: Vec::new(), root: None, findings: Vec::new(), documents: 0 };
    let options = granit_parser::options! {
        emit_anchor_events: true,
        emit_unresolved_aliases: true,
        disallow_directives: true,
        emit_comments: false,
        flow_nesting_limit: 256,
        block_nesting_limit: 256,
    };
    for next in Parser::new_from_str_with_options(text, options) {
        match next {
            Ok((event, span)) => {
                if builder.event(event, &span).is_err() {
                    return Parsed { root: None, findings: builder.findings };
                }
            }
            Err(error) => {
                builder.syntax(&error);
                return Parsed { root: None, findings: builder.findings };
            }
        }
    }
    Parsed { root: builder.root, findings: builder.findings }
}

enum Frame {
    Seq { start: u32, items: Vec<Node> },
    Map { start: u32, entries: Vec<(Spanned<Box<str>>, Node)>, key: Option<Spanned<Box<str>>> },
}

/// Reading cannot go on.
struct Stop;

struct Builder<'a> {
    file: FileId,
    text: &'a str,
    rules: Rules,
    stack: Vec<Frame>,
    root: Option<Node>,
    findings: Vec<Finding>,
    documents: usize,
}

impl Builder<'_> {
    fn span(&self, span: &granit_parser::Span) -> Span {
        let range = span.byte_range().unwrap_or(0..0);
        Span::new(self.file, range.start, range.end)
    }

    fn refuse(&mut self, at: Span, what: &str, help: &str) {
        let mut finding = Finding::new(
            "yaml-feature-refused",
            Level::Error,
            at,
            format!("not allowed in a {}", self.rules.whole),
            format!("{what} is used"),
        );
        finding.note("Readers of YAML differ on it, or it tears a value from the place where it is written.").help(help);
        self.findings.push(finding);
    }

    fn event(&mut self, event: Event<'_>, at: &granit_parser::Span) -> Result<(), Stop> {
        let span = self.span(at);
        if let Some(tag) = event.tag() {
            let start = at.tag_start().and_then(|m| m.byte_offset()).unwrap_or(span.start as usize);
            let tag_span =
                Span::new(self.file, start, start + tag.to_string().len().min(span.end as usize - start.min(span.end as usize)).max(1));
            self.refuse(tag_span, "a tag", "remove the tag; the schema says what kind of value belongs here");
        }
        match event {
            Event::DocumentStart(..) => {
                self.documents += 1;
                if self.documents > 1 {
                    self.refuse(span, "a second document in one file", "put each document into a file of its own");
                    return Err(Stop);
                }
            }
            Event::Scalar(value, style, _, _) => self.scalar(&value, style, span),
            Event::SequenceStart(..) => self.open(Frame::Seq { start: span.start, items: Vec::new() }, span)?,
            Event::MappingStart(..) => self.open(Frame::Map { start: span.start, entries: Vec::new(), key: None }, span)?,
            Event::SequenceEnd | Event::MappingEnd => self.close(span),
            Event::Anchor(_, name) => {
                self.refuse(span, &format!("the anchor `&{name}`"), "write the value out at each place where it is needed");
            }
            Event::Alias(_) | Event::UnresolvedAlias(_) => {
                self.refuse(span, "an alias", "write the value out here");
                self.add(Node { span, kind: NodeKind::Null });
            }
            _ => {}
        }
        Ok(())
    }

    fn open(&mut self, frame: Frame, span: Span) -> Result<(), Stop> {
        if self.stack.len() >= MAX_DEPTH {
            let message = format!("values are nested more than {MAX_DEPTH} deep");
            let mut finding = Finding::new(
                "nesting-too-deep",
                Level::Error,
                Span { end: span.end.max(span.start + 1), ..span },
                "the limit is passed here",
                message,
            );
            finding.help("no document needs this; look for a bracket that was not closed");
            self.findings.push(finding);
            return Err(Stop);
        }
        self.stack.push(frame);
        Ok(())
    }

    fn close(&mut self, end: Span) {
        let node = match self.stack.pop() {
            Some(Frame::Seq { start, items }) => {
                let last = items.last().map_or(end.end, |n| n.span.end).max(end.end.min(self.flow_end(end)));
                Node { span: Span { file: self.file, start, end: last }, kind: NodeKind::Seq(items) }
            }
            Some(Frame::Map { start, entries, .. }) => {
                let last = entries.last().map_or(end.end, |(_, n)| n.span.end).max(end.end.min(self.flow_end(end)));
                Node { span: Span { file: self.file, start, end: last }, kind: NodeKind::Map(entries) }
            }
            None => return,
        };
        self.add(node);
    }

    /// End of a flow collection; a block collection ends with its last item.
    fn flow_end(&self, end: Span) -> u32 {
        let closes = self.text.get(end.range()).is_some_and(|s| s == "]" || s == "}");
        if closes { end.end } else { 0 }
    }

    fn scalar(&mut self, value: &str, style: ScalarStyle, span: Span) {
        let plain = style == ScalarStyle::Plain;
        let is_key = matches!(self.stack.last(), Some(Frame::Map { key: None, .. }));
        if is_key && plain && value == "<<" {
            self.refuse(span, "a merge key", "write the keys out here");
        } else if plain
            && !is_key
            && !(value == "null" && (self.rules.numeric || self.rules.removes))
            && !(self.rules.numeric && has_exponent(value))
            && let Some(why) = ambiguous(value)
        {
            let mut finding =
                Finding::new("ambiguous-scalar", Level::Error, span, why, format!("`{value}` can be read in more than one way"));
            finding.help(format!("write it in quotes, \"{value}\", if it is text; write a number with its unit if it is a quantity"));
            self.findings.push(finding);
        }
        let kind = if plain { plain_kind(value, self.rules) } else { NodeKind::Text(value.into()) };
        self.add(Node { span, kind });
    }

    fn add(&mut self, node: Node) {
        match self.stack.last_mut() {
            None => self.root = Some(node),
            Some(Frame::Seq { items, .. }) => items.push(node),
            Some(Frame::Map { key: key @ None, .. }) => *key = Some(key_of(&node)),
            Some(Frame::Map { entries, key, .. }) => {
                let Some(key) = key.take() else { return };
                if let Some((first, _)) = entries.iter().find(|(k, _)| k.value == key.value) {
                    let mut finding = Finding::new(
                        "duplicate-key",
                        Level::Error,
                        key.span,
                        "written again here",
                        format!("the key `{}` stands twice", key.value),
                    );
                    finding.also(first.span, "first written here").help("keep one of the two; most readers would silently keep the last");
                    self.findings.push(finding);
                } else {
                    entries.push((key, node));
                }
            }
        }
    }

    fn syntax(&mut self, error: &granit_parser::ScanError) {
        let offset = error.marker().byte_offset().unwrap_or(self.text.len()).min(self.text.len());
        let at = self.visible_at_or_before(offset);
        let mut finding = Finding::new("yaml-syntax", Level::Error, at, error.info(), "the file cannot be read as YAML");
        finding.help("look at this line and the one above it: indentation, a missing quote, bracket or colon, a file that was cut off");
        self.findings.push(finding);
    }

    /// The character at `offset`, or the last visible one before it.
    fn visible_at_or_before(&self, offset: usize) -> Span {
        let mut end = offset;
        while !self.text.is_char_boundary(end) {
            end -= 1;
        }
        let here = self.text[end..].chars().next().filter(|c| !c.is_whitespace());
        if let Some(c) = here {
            return Span::new(self.file, end, end + c.len_utf8());
        }
        let before = self.text[..end].trim_end();
        let width = before.chars().next_back().map_or(0, char::len_utf8);
        Span::new(self.file, before.len() - width, before.len())
    }
}

fn key_of(node: &Node) -> Spanned<Box<str>> {
    Spanned::new(node.text().unwrap_or("").into(), node.span)
}

fn plain_kind(value: &str, rules: Rules) -> NodeKind {
    match value {
        "" | "null" | "~" => NodeKind::Null,
        "true" => NodeKind::Bool(true),
        "false" => NodeKind::Bool(false),
        _ if is_number(value) || (rules.numeric && has_exponent(value)) => NodeKind::Number(value.into()),
        _ => NodeKind::Text(value.into()),
    }
}

fn is_number(value: &str) -> bool {
    let digits = value.strip_prefix('-').unwrap_or(value);
    let mut parts = digits.splitn(2, '.');
    let all_digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    parts.next().is_some_and(all_digits) && parts.next().is_none_or(all_digits)
}

/// True for a number with a power of ten, as in `8.0e-5`.
fn has_exponent(value: &str) -> bool {
    let Some((number, power)) = value.split_once(['e', 'E']) else { return false };
    let digits = power.strip_prefix(['-', '+']).unwrap_or(power);
    is_number(number) && !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit())
}

/// Why readers of YAML disagree on a bare scalar; the list follows the differences between the
/// YAML 1.1 type repository and the core schema of YAML 1.2 (section 10.3).
fn ambiguous(value: &str) -> Option<&'static str> {
    let lower = value.to_ascii_lowercase();
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    let unsigned = value.trim_start_matches(['-', '+']);
    match lower.as_str() {
        "yes" | "no" | "on" | "off" | "y" | "n" => Some("true or false to some readers, text to others"),
        "true" | "false" if value != lower => Some("true or false to some readers, text to others"),
        "~" | "null" => Some("nothing to some readers, text to others"),
        ".inf" | "-.inf" | ".nan" => Some("a number to some readers, text to others"),
        _ if unsigned.contains(':') && unsigned.split(':').all(digits) => Some("a number in base 60 to some readers, text to others"),
        _ if unsigned.len() > 1 && unsigned.starts_with('0') && digits(unsigned) => Some("octal to some readers, decimal to others"),
        _ if lower.starts_with("0x") || lower.starts_with("0o") || lower.starts_with("0b") => {
            Some("a number in another base to some readers, text to others")
        }
        _ if unsigned.contains('_') && digits(&unsigned.replace('_', "")) => Some("a number to some readers, text to others"),
        _ if lower.contains('e') && lower.parse::<f64>().is_ok() => Some("a number to some readers, text to others"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(text: &str) -> Vec<(&'static str, String)> {
        parse(FileId(0), text).findings.iter().map(|f| (f.check, text[f.primary.span.range()].to_string())).collect()
    }

    #[test]
    fn spans_cover_exactly_what_was_written() {
        let text = "é: \"a b\"\nb:\n  - {c: d, e: 5/10}\n  - |\n    x\n    y\nf: 30-90 s\n";
        let root = parse(FileId(0), text).root.unwrap();
        let slice = |n: &Node| &text[n.span.range()];
        assert_eq!(slice(root.get("é").unwrap()), "\"a b\"");
        assert_eq!(slice(root.get("f").unwrap()), "30-90 s");
        let NodeKind::Seq(items) = &root.get("b").unwrap().kind else { panic!() };
        assert_eq!(slice(&items[0]), "{c: d, e: 5/10}");
        assert_eq!(slice(items[0].get("e").unwrap()), "5/10");
    }

    #[test]
    fn what_readers_disagree_on_is_refused_at_its_characters() {
        let cases = [
            ("side: no\n", "ambiguous-scalar", "no"),
            ("hold: 1:30\n", "ambiguous-scalar", "1:30"),
            ("n: 08\n", "ambiguous-scalar", "08"),
            ("n: ~\n", "ambiguous-scalar", "~"),
            ("a: &x 1\n", "yaml-feature-refused", "&x"),
            ("a: *x\n", "yaml-feature-refused", "*x"),
            ("<<: {a: b}\n", "yaml-feature-refused", "<<"),
            ("a: 1\na: 2\n", "duplicate-key", "a"),
            ("a: \"open\n", "yaml-syntax", "\""),
        ];
        for (text, check, at) in cases {
            assert_eq!(names(text), [(check, at.to_string())], "{text:?}");
        }
    }

    #[test]
    fn ordinary_scalars_are_left_alone() {
        assert!(names("a: 5/10\nb: 2027-06-30\nc: \"no\"\nd: 3\ne: true\nf: 1.0.0\ng: 30-90 s\n").is_empty());
    }

    #[test]
    fn a_worksheet_takes_the_numbers_of_json() {
        let text = "{\"a\": 8.0e-05, \"b\": 3.1E+98, \"c\": null, d: 1e, e: 08, f: 2.5}";
        let parsed = parse_as(FileId(0), text, WORKSHEET);
        let root = parsed.root.unwrap();
        let number = |key: &str| matches!(root.get(key).unwrap().kind, NodeKind::Number(_));
        assert!(number("a") && number("b") && number("f") && !number("d"));
        assert!(matches!(root.get("c").unwrap().kind, NodeKind::Null));
        let found: Vec<&str> = parsed.findings.iter().map(|f| &text[f.primary.span.range()]).collect();
        assert_eq!(found, ["08"]);
    }

    #[test]
    fn deep_nesting_is_refused() {
        let text = "[".repeat(70) + &"]".repeat(70);
        assert_eq!(names(&text)[0].0, "nesting-too-deep");
    }
}
