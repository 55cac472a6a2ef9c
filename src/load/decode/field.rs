//! Reading single fields: text, quantities, regions, movements, references, ground.

use crate::finding::{Finding, Level};
use crate::model::content::Content;
use crate::model::docs::{
    Amount, Cite, Claim, ClaimedEffect, Dose, DoseEntry, DoseValue, Ground, Head, JointAngle, Limit, Origin, Pack, Places, RestsOn,
    StopRule, Target,
};
use crate::model::evidence::{Certainty, Comparator, Direction};
use crate::model::interval::Interval;
use crate::model::motion::{self, Motion};
use crate::model::quantity::{self, Quantity, QuantityError, QuantityMistake};
use crate::model::region::{self, RegionError, Tag};
use crate::model::unit::Dim;
use crate::model::vocabulary::{Basis, Per, Status, Stressor};
use crate::model::{Idx, Ref, nearest};
use crate::source::{FileId, Node, NodeKind, SourceMap, Span, Spanned, Text, prose};

/// Reads fields of one document and collects what is wrong with them.
pub struct Reader<'a> {
    file: FileId,
    texts: Texts<'a>,
    origin: Origin,
    /// What was found wrong.
    pub findings: Vec<Finding>,
}

enum Texts<'a> {
    One(&'a str),
    All(&'a SourceMap),
}

impl<'a> Reader<'a> {
    /// A reader for one text.
    pub fn new(file: FileId, text: &'a str) -> Self {
        Self { file, texts: Texts::One(text), origin: Origin::Own, findings: Vec::new() }
    }

    /// A reader for a document whose values may stand in several files.
    pub fn over(file: FileId, map: &'a SourceMap, origin: Origin) -> Self {
        Self { file, texts: Texts::All(map), origin, findings: Vec::new() }
    }

    /// Reports a mistake; later calls may add to it.
    pub(super) fn report(&mut self, check: &'static str, at: Span, label: impl Into<String>, message: impl Into<String>) -> &mut Finding {
        self.findings.push(Finding::new(check, Level::Error, at, label, message));
        let last = self.findings.len() - 1;
        &mut self.findings[last]
    }

    /// Bytes of a part of a text value.
    pub(super) fn part(&self, node: &Node, decoded: &str, part: std::ops::Range<usize>) -> Span {
        let written = match self.texts {
            Texts::One(text) => text.get(node.span.range()).unwrap_or(""),
            Texts::All(map) => map.slice(node.span),
        };
        prose::locate(written, decoded, part, node.span)
    }

    /// The common part of a document.
    pub fn head(&mut self, root: &Node, pack: Idx<Pack>) -> Head {
        let at = match &root.kind {
            NodeKind::Map(entries) => entries.first().map_or(root.span, |(k, _)| k.span),
            _ => root.span,
        };
        Head {
            id: self.text(root, "id"),
            file: self.file,
            pack,
            status: self.word(root, "status", Status::from_word),
            since: self.date(root, "since"),
            because: self.maybe(root, "because"),
            successor: self.maybe(root, "successor"),
            author: self.maybe(root, "author"),
            review_by: self.date(root, "review-by"),
            at,
            content: Content::of(root),
            origin: self.origin.clone(),
        }
    }

    /// Text that the schema requires; empty if it is absent all the same.
    pub fn text(&self, node: &Node, key: &str) -> Text {
        self.maybe(node, key).unwrap_or_else(|| Spanned::new("".into(), node.span))
    }

    /// Optional text.
    pub fn maybe(&self, node: &Node, key: &str) -> Option<Text> {
        let value = node.get(key)?;
        let text = value.text()?.trim_end();
        Some(Spanned::new(text.into(), value.span))
    }

    /// Items of a list.
    pub fn items<'n>(&self, node: &'n Node, key: &str) -> &'n [Node] {
        match node.get(key).map(|n| &n.kind) {
            Some(NodeKind::Seq(items)) => items,
            _ => &[],
        }
    }

    /// Entries of a mapping.
    pub fn entries<'n>(&self, node: &'n Node, key: &str) -> &'n [(Text, Node)] {
        match node.get(key).map(|n| &n.kind) {
            Some(NodeKind::Map(entries)) => entries,
            _ => &[],
        }
    }

    /// Keys of a mapping.
    pub fn keys(&self, node: &Node) -> Vec<Text> {
        match &node.kind {
            NodeKind::Map(entries) => entries.iter().map(|(k, _)| k.clone()).collect(),
            _ => Vec::new(),
        }
    }

    /// A list of texts.
    pub fn texts(&self, node: &Node, key: &str) -> Vec<Text> {
        self.items(node, key).iter().filter_map(|n| n.text().map(|t| Spanned::new(t.into(), n.span))).collect()
    }

    /// Those of `labels` that are present, with their text.
    pub fn labelled(&self, node: &Node, labels: &[(&str, &'static str)]) -> Vec<(&'static str, Text)> {
        labels.iter().filter_map(|(key, label)| self.maybe(node, key).map(|t| (*label, t))).collect()
    }

    /// True or false; false if absent.
    pub fn flag(&self, node: &Node, key: &str) -> bool {
        matches!(node.get(key).map(|n| &n.kind), Some(NodeKind::Bool(true)))
    }

    /// A whole number.
    pub fn whole(&self, node: &Node, key: &str) -> Option<Spanned<i64>> {
        let value = node.get(key)?;
        value.text()?.parse().ok().map(|n| Spanned::new(n, value.span))
    }

    /// A plain number.
    pub fn number(&self, node: &Node, key: &str) -> Option<Spanned<f64>> {
        let value = node.get(key)?;
        value.text()?.parse().ok().filter(|n: &f64| n.is_finite()).map(|n| Spanned::new(n, value.span))
    }

    /// A count from 1.
    pub fn count(&self, node: &Node, key: &str) -> Option<Spanned<u32>> {
        self.whole(node, key).and_then(|n| u32::try_from(n.value).ok().map(|v| Spanned::new(v, n.span)))
    }

    /// A word of a closed list; the schema has reported any other.
    pub fn word<T>(&self, node: &Node, key: &str, read: impl Fn(&str) -> Option<T>) -> Option<Spanned<T>> {
        let written = self.maybe(node, key)?;
        read(&written.value).map(|value| Spanned::new(value, written.span))
    }

    /// A calendar date.
    pub fn date(&mut self, node: &Node, key: &str) -> Option<Spanned<jiff::civil::Date>> {
        let value = node.get(key)?;
        let written = value.text()?;
        if let Ok(date) = written.parse() {
            return Some(Spanned::new(date, value.span));
        }
        self.report("schema-shape", value.span, "no such day", format!("`{written}` is not a day of the calendar"))
            .help("write year-month-day");
        None
    }

    /// A quantity of one dimension.
    pub fn amount(&mut self, node: &Node, key: &str, dim: Dim) -> Option<Amount> {
        self.amount_in(node, key, &[dim])
    }

    /// A quantity of one of several dimensions; any if the list is empty.
    pub fn amount_in(&mut self, node: &Node, key: &str, dims: &[Dim]) -> Option<Amount> {
        let value = node.get(key)?;
        self.quantity(value, key, dims).map(|q| Spanned::new(q, value.span))
    }

    /// Reads a quantity from a value and reports what is wrong with it.
    pub fn quantity(&mut self, value: &Node, name: &str, dims: &[Dim]) -> Option<Quantity> {
        let quantity = self.signed(value, name, dims)?;
        self.bounds_hold(value, name, &quantity).then_some(quantity)
    }

    /// The same where any number goes, for lengths with a direction.
    pub fn signed(&mut self, value: &Node, name: &str, dims: &[Dim]) -> Option<Quantity> {
        let written = value.text()?;
        let quantity = match quantity::parse(written) {
            Ok(quantity) => quantity,
            Err(error) => return self.refuse(value, written, error),
        };
        self.dimension_fits(value, name, &quantity, dims).then_some(quantity)
    }

    fn refuse<T>(&mut self, value: &Node, written: &str, error: QuantityError) -> Option<T> {
        let at = self.part(value, written, error.at);
        let (check, message) = match error.kind {
            QuantityMistake::Unreadable => ("quantity-unreadable", format!("`{written}` cannot be read as a quantity")),
            QuantityMistake::Notation => ("error-prone-notation", format!("`{written}` is written in a form that is known to be misread")),
            QuantityMistake::Inverted => ("range-inverted", format!("`{written}` runs from high to low")),
        };
        self.report(check, at, error.what, message).help(error.help);
        None
    }

    /// A number or a range without unit, inside `possible`.
    pub fn ratio(&mut self, node: &Node, key: &str, possible: (f64, f64)) -> Option<Spanned<Interval>> {
        let value = node.get(key)?;
        let written = value.text()?;
        let read = match quantity::parse_bare(written) {
            Ok(read) => read,
            Err(error) => return self.refuse(value, written, error),
        };
        if read.lo >= possible.0 && read.hi <= possible.1 {
            return Some(Spanned::new(read, value.span));
        }
        let (least, most) = (quantity::number(possible.0), quantity::number(possible.1));
        self.report("number-out-of-bounds", value.span, "not possible", format!("`{key}: {written}` is outside what is possible"))
            .help(format!("possible: {least} to {most}"));
        None
    }

    fn dimension_fits(&mut self, value: &Node, name: &str, quantity: &Quantity, dims: &[Dim]) -> bool {
        if dims.is_empty() || dims.contains(&quantity.dim()) {
            return true;
        }
        let wanted = dims.iter().map(|d| d.word()).collect::<Vec<_>>().join(" or ");
        let written = value.text().unwrap_or_default();
        let unit = written.rfind(quantity.unit.symbol).map_or(0..written.len(), |i| i..written.len());
        let at = self.part(value, written, unit);
        let message = format!("`{name}` should be {wanted}, and `{written}` is {}", quantity.dim().word());
        self.report("quantity-dimension", at, format!("{} here", quantity.dim().word()), message).help(format!("write {wanted}"));
        false
    }

    fn bounds_hold(&mut self, value: &Node, name: &str, quantity: &Quantity) -> bool {
        let (least, most) = quantity.dim().bounds();
        let base = quantity.base();
        if base.lo >= least && (base.hi <= most || base.hi.is_infinite()) {
            return true;
        }
        let written = value.text().unwrap_or_default();
        let message = format!("`{name}: {written}` is outside what is possible for {}", quantity.dim().word());
        self.report("number-out-of-bounds", value.span, "not possible", message)
            .note("A slip of the finger is often a factor of ten.")
            .help(format!(
                "possible: {} to {}",
                quantity::number(least),
                if most.is_finite() { quantity::number(most) } else { "any".into() }
            ));
        false
    }

    /// A reference to another document.
    pub fn reference<T>(&self, node: &Node, key: &str) -> Ref<T> {
        Ref::unlinked(self.text(node, key))
    }

    /// An optional reference.
    pub fn maybe_reference<T>(&self, node: &Node, key: &str) -> Option<Ref<T>> {
        self.maybe(node, key).map(Ref::unlinked)
    }

    /// A list of references.
    pub fn references<T>(&self, node: &Node, key: &str) -> Vec<Ref<T>> {
        self.texts(node, key).into_iter().map(Ref::unlinked).collect()
    }

    /// Regions under a key: one text or a list.
    pub fn places(&mut self, node: &Node, key: &str) -> Places {
        let Some(value) = node.get(key) else { return Places::default() };
        let items = match &value.kind {
            NodeKind::Seq(items) => items.as_slice(),
            _ => std::slice::from_ref(value),
        };
        let mut places = Places::default();
        for item in items {
            let Some(written) = item.text() else { continue };
            places.written.push(Spanned::new(written.into(), item.span));
            match region::parse_places(written) {
                Ok(found) => places.all.extend(found),
                Err(error) => self.region_error(item, written, error),
            }
        }
        places
    }

    fn region_error(&mut self, item: &Node, written: &str, error: RegionError) {
        match error {
            RegionError::Unknown(range) => {
                let word = written[range.clone()].to_string();
                let at = self.part(item, written, range);
                let near = nearest(&word, region::regions().words());
                let label = near.map_or_else(|| "not on the list".into(), |n| format!("did you mean `{n}`?"));
                self.report("link-missing", at, label, format!("there is no region `{word}`"))
                    .help("use a region or group of the list that ships with the tool (`fascicle draft regions` prints it)");
            }
            RegionError::Side(range) => {
                let at = self.part(item, written, range);
                self.report("side-impossible", at, "no such side here", format!("`{written}` has no such side"))
                    .help("paired regions take same, other, left, right or both; midline regions take no side");
            }
        }
    }

    /// A movement.
    pub fn motion(&mut self, node: &Node, key: &str) -> Option<Spanned<Motion>> {
        let value = node.get(key)?;
        let written = value.text()?;
        if let Some(motion) = motion::parse(written) {
            return Some(Spanned::new(motion, value.span));
        }
        let words: Vec<String> = motion::words().map(|(w, _)| w).collect();
        let near = nearest(written, words.iter().map(String::as_str)).map(|n| format!("did you mean `{n}`?"));
        self.report(
            "link-missing",
            value.span,
            near.unwrap_or_else(|| "not on the list".into()),
            format!("there is no movement `{written}`"),
        )
        .help("write joint and direction, for instance `ankle plantarflexion` or `neck side bend away`");
        None
    }

    /// Reports a word that is not on a list of the same document.
    pub fn one_of(&mut self, word: &Text, list: &[Text], what: &str) {
        if list.iter().any(|w| w.value == word.value) {
            return;
        }
        let near = nearest(&word.value, list.iter().map(|w| &*w.value)).map(|n| format!("did you mean `{n}`?"));
        let all = list.iter().map(|w| &*w.value).collect::<Vec<_>>().join(", ");
        let help = if all.is_empty() { "the list is empty".into() } else { format!("on the list: {all}") };
        self.report("link-missing", word.span, near.unwrap_or_else(|| "not on the list".into()), format!("`{}` is no {what}", word.value))
            .help(help);
    }

    /// Reports a source of heat or cold in a technique that does not name the stressor: its cautions
    /// would be lost.
    pub fn unexposed(&mut self, source: &Text, stressor: Stressor) {
        let word = stressor.word();
        let message = format!("`{}` brings {word}, and `exposes` of this technique does not name {word}", source.value);
        self.report("schema-shape", source.span, format!("brings {word}"), message)
            .note("Cautions and limits hang on `exposes`.")
            .help(format!("add `{{stressor: {word}}}` to `exposes`"));
    }

    /// Joint angles.
    pub fn joints(&mut self, node: &Node, key: &str) -> Vec<JointAngle> {
        let mut joints = Vec::new();
        for (name, value) in self.entries(node, key) {
            let Some(coordinate) = motion::coordinate(&name.value) else {
                let near = nearest(&name.value, motion::COORDINATES.iter().map(|c| c.id)).map(|n| format!("did you mean `{n}`?"));
                let message = format!("there is no joint coordinate `{}`", name.value);
                self.report("link-missing", name.span, near.unwrap_or_else(|| "not on the list".into()), message)
                    .help("write joint and coordinate, for instance `hip.flexion`");
                continue;
            };
            if let Some(angle) = self.quantity(value, coordinate.id, &[Dim::Angle]) {
                joints.push(JointAngle { coordinate, angle: Spanned::new(angle, value.span), at: name.span });
            }
        }
        joints
    }

    /// A stressor by word.
    pub fn stressor(&self, node: &Node, key: &str) -> Option<Spanned<Stressor>> {
        let written = self.maybe(node, key)?;
        Stressor::from_word(&written.value).map(|s| Spanned::new(s, written.span))
    }

    /// What a value stands on.
    pub fn ground(&self, node: &Node) -> Ground {
        let cites = self
            .items(node, "cite")
            .iter()
            .map(|n| Cite {
                source: self.reference(n, "source"),
                at: self.maybe(n, "at"),
                through: self.maybe_reference(n, "through"),
                supports: self.maybe(n, "for"),
            })
            .collect();
        let basis = self.maybe(node, "basis").and_then(|t| Basis::from_word(&t.value).map(|b| Spanned::new(b, t.span)));
        Ground { cites, basis }
    }

    /// Statements.
    pub fn claims(&self, node: &Node, key: &str) -> Vec<Claim> {
        self.items(node, key)
            .iter()
            .map(|n| Claim {
                text: self.text(n, "text"),
                effect: n.get("outcome").map(|_| self.claimed(n)),
                certainty: self.word(n, "certainty", Certainty::from_word),
                why: self.maybe(n, "why"),
                ground: self.ground(n),
            })
            .collect()
    }

    fn claimed(&self, n: &Node) -> ClaimedEffect {
        let question = || self.maybe_reference(n, "question").map(RestsOn::Question);
        let result = || n.get("result").map(|x| RestsOn::Result(super::question::result(self, x)));
        ClaimedEffect {
            outcome: self.reference(n, "outcome"),
            direction: self.word(n, "direction", Direction::from_word),
            who: self.maybe_reference(n, "who"),
            comparator: self.word(n, "comparator", Comparator::from_word),
            rests_on: question().or_else(result),
        }
    }

    /// Stop rules.
    pub fn stop_rules(&self, node: &Node) -> Vec<StopRule> {
        self.items(node, "stop")
            .iter()
            .map(|n| StopRule {
                sign: self.text(n, "sign"),
                at: self.maybe(n, "at"),
                act: self.maybe(n, "do"),
                then: self.maybe(n, "then"),
            })
            .collect()
    }

    /// Dose limits.
    pub fn limits(&mut self, node: &Node) -> Vec<Limit> {
        let mut limits = Vec::new();
        for n in self.items(node, "limits") {
            let (Some(stressor), Some(per)) = (self.stressor(n, "stressor"), self.maybe(n, "per").and_then(|t| Per::from_word(&t.value)))
            else {
                continue;
            };
            limits.push(Limit {
                stressor: stressor.value,
                per,
                max: self.amount_in(n, "max", &[]),
                regions: self.places(n, "regions"),
                tags: self.texts(n, "tags").iter().filter_map(|t| Tag::from_word(&t.value)).collect(),
                why: self.maybe(n, "why"),
                ground: self.ground(n),
                span: n.span,
            });
        }
        limits
    }

    /// Dose parameters. A value that starts like a quantity is read as one; other text is a word.
    pub fn dose(&mut self, node: &Node, key: &str) -> Dose {
        let mut dose = Dose { entries: Vec::new(), span: node.entry(key).map(|(k, _)| k.span) };
        for (name, value) in self.entries(node, key) {
            let written = value.text().unwrap_or_default();
            let value_read = if looks_like_quantity(written) {
                self.quantity(value, &name.value, &[]).map_or(DoseValue::Unreadable, DoseValue::Amount)
            } else {
                DoseValue::Word(written.into())
            };
            dose.entries.push(DoseEntry { name: name.clone(), value: value_read, span: value.span });
        }
        dose
    }

    /// Where a step acts.
    pub fn target(&mut self, node: &Node) -> Target {
        let Some((key, value)) = node.entry("target") else { return Target::default() };
        Target {
            point: self.count(value, "point"),
            regions: self.places(value, "regions"),
            muscle: self.flag(value, "muscle"),
            span: Some(if value.span.start == value.span.end { key.span } else { value.span }),
        }
    }
}

fn looks_like_quantity(text: &str) -> bool {
    let t = text.trim_start_matches(['-', '.', '<', '>', '=', '≤', '≥', ' ']);
    t.starts_with(|c: char| c.is_ascii_digit()) || text.starts_with("until ")
}
