//! Reads the source of the chart. A slip in it is an error with its line, never a guess.

use super::path::{self, Curve, SAME};
use super::{Arc, Chart, Inset, Shape, Stroke, View};
use crate::model::chart::ViewId;
use crate::model::region::{RegionId, regions};
use geo::{Area, Coord, LineString, Polygon, Rect};
use roxmltree::{Document, Node};
use std::collections::BTreeMap;

/// What is wrong with a source of a chart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChartError {
    /// Line of the source, from 1.
    pub line: u32,
    /// What is wrong.
    pub message: String,
}

impl std::fmt::Display for ChartError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}: {}", self.line, self.message)
    }
}

impl std::error::Error for ChartError {}

type Read<T> = Result<T, ChartError>;

fn wrong(node: Node<'_, '_>, message: impl Into<String>) -> ChartError {
    ChartError { line: node.document().text_pos_at(node.range().start).row, message: message.into() }
}

/// Reads a chart from SVG text.
///
/// # Errors
/// When the text is no XML, a number or an id cannot be read, a view or region is unknown, or the arcs
/// of a region do not form a ring.
pub fn parse(text: &str) -> Result<Chart, ChartError> {
    let document = Document::parse(text).map_err(|e| ChartError { line: e.pos().row, message: e.to_string() })?;
    let root = document.root_element();
    let mut chart = Chart { height: number(root, "data-height")?, ..Chart::default() };
    for node in root.descendants().filter(Node::is_element) {
        if node.has_attribute("data-view") {
            let view = view(node)?;
            if chart.view(view.id).is_some() {
                return Err(wrong(node, format!("the view `{}` stands twice", view.id.word())));
            }
            chart.views.push(view);
        } else if node.has_attribute("data-inset") {
            chart.insets.push(inset(node)?);
        }
    }
    Ok(chart)
}

fn attribute<'a>(node: Node<'a, '_>, name: &str) -> Read<&'a str> {
    node.attribute(name).ok_or_else(|| wrong(node, format!("`{name}` is missing")))
}

fn number(node: Node<'_, '_>, name: &str) -> Read<f64> {
    let text = attribute(node, name)?;
    text.parse().ok().filter(|n: &f64| n.is_finite()).ok_or_else(|| wrong(node, format!("`{name}` is no number: `{text}`")))
}

fn view_id(node: Node<'_, '_>, name: &str) -> Read<ViewId> {
    let word = attribute(node, name)?;
    ViewId::from_word(word).ok_or_else(|| wrong(node, format!("there is no view `{word}`")))
}

fn rect(x: f64, y: f64, width: f64, height: f64) -> Rect {
    Rect::new(Coord { x, y }, Coord { x: x + width, y: y + height })
}

fn numbers(node: Node<'_, '_>, text: &str) -> Read<Vec<f64>> {
    let words = text.split([' ', ',', '\n', '\t']).filter(|w| !w.is_empty());
    words.map(|w| w.parse().ok().filter(|n: &f64| n.is_finite()).ok_or_else(|| wrong(node, format!("`{w}` is no number")))).collect()
}

fn inset(node: Node<'_, '_>) -> Read<Inset> {
    Ok(Inset {
        id: attribute(node, "data-inset")?.into(),
        name: attribute(node, "data-name")?.into(),
        of: view_id(node, "data-of")?,
        bounds: rect(number(node, "x")?, number(node, "y")?, number(node, "width")?, number(node, "height")?),
    })
}

/// Where `translate(x, y)` puts the origin.
fn origin(node: Node<'_, '_>) -> Read<(f64, f64)> {
    let Some(written) = node.attribute("transform") else { return Ok((0.0, 0.0)) };
    let inner = written.trim().strip_prefix("translate(").and_then(|t| t.strip_suffix(')'));
    let inner = inner.ok_or_else(|| wrong(node, "a view is moved by one `translate(x y)` only"))?;
    match *numbers(node, inner)? {
        [x] => Ok((x, 0.0)),
        [x, y] => Ok((x, y)),
        _ => Err(wrong(node, "`translate` takes x and y")),
    }
}

fn view(group: Node<'_, '_>) -> Read<View> {
    let &[x, y, width, height] = &*numbers(group, attribute(group, "data-box")?)? else {
        return Err(wrong(group, "`data-box` is x, y, width and height"));
    };
    let mut view = View {
        id: view_id(group, "data-view")?,
        name: attribute(group, "data-name")?.into(),
        bounds: rect(x, y, width, height),
        origin: origin(group)?,
        mirror: group.attribute("data-mirror") == Some("yes"),
        arcs: Vec::new(),
        details: Vec::new(),
        regions: Vec::new(),
    };
    let curves = lines(group, &mut view)?;
    let mut found: BTreeMap<RegionId, (String, Vec<Polygon>)> = BTreeMap::new();
    let mut order = Vec::new();
    for node in paths(group).filter(|n| n.attribute("class") == Some("region")) {
        let (region, ring) = region(node, &curves, view.mirror)?;
        if !order.contains(&region) {
            order.push(region);
        }
        let (text, polygons) = found.entry(region).or_default();
        for (path, line) in ring {
            let polygon = Polygon::new(line, Vec::new());
            if polygon.unsigned_area() < SAME {
                return Err(wrong(node, "the region has no area"));
            }
            text.push_str(&path);
            polygons.push(polygon);
        }
    }
    for region in order {
        let Some((text, polygons)) = found.remove(&region) else { continue };
        view.regions.extend(Shape::new(region, text, polygons));
    }
    Ok(view)
}

fn paths<'a, 'i>(group: Node<'a, 'i>) -> impl Iterator<Item = Node<'a, 'i>> {
    group.descendants().filter(|n| n.tag_name().name() == "path")
}

/// Reads arcs and details; the curves of the arcs by id.
fn lines<'a>(group: Node<'a, '_>, view: &mut View) -> Read<BTreeMap<&'a str, Curve>> {
    let mut curves = BTreeMap::new();
    for node in paths(group) {
        let stroke = match attribute(node, "class")? {
            "outline" => Stroke::Outline,
            "seam" => Stroke::Seam,
            "detail" => {
                view.details.push(path::detail(attribute(node, "d")?).map_err(|e| wrong(node, e))?);
                continue;
            }
            "region" => continue,
            other => return Err(wrong(node, format!("there is no class `{other}`"))),
        };
        let id = attribute(node, "id")?;
        let curve = path::arc(attribute(node, "d")?).map_err(|e| wrong(node, format!("arc `{id}`: {e}")))?;
        view.arcs.push(Arc { id: id.into(), stroke, path: path::text(&curve.drawn), line: LineString::new(curve.flat.clone()) });
        if curves.insert(id, curve).is_some() {
            return Err(wrong(node, format!("the arc `{id}` stands twice")));
        }
    }
    Ok(curves)
}

/// A region and its closed rings: one, or two where it is mirrored without touching the midline.
fn region(node: Node<'_, '_>, curves: &BTreeMap<&str, Curve>, mirror: bool) -> Read<(RegionId, Vec<(String, LineString)>)> {
    let word = attribute(node, "data-region")?;
    let region = regions().find(word).ok_or_else(|| wrong(node, format!("there is no region `{word}`")))?;
    let mut ring = chained(node, curves)?;
    let Some((first, last)) = ring.ends() else { return Err(wrong(node, "the ring is empty")) };
    let both = mirror && !regions().get(region).paired;
    let on_midline = |c: Coord| mirror && c.x.abs() < SAME;
    if same(first, last) {
        let other = both.then(|| ring.mirrored().closed());
        return Ok((region, std::iter::once(ring.closed()).chain(other).collect()));
    }
    if !on_midline(first) || !on_midline(last) {
        return Err(wrong(node, format!("the ring of `{word}` is open: it starts at {} and ends at {}", shown(first), shown(last))));
    }
    if both {
        let other = ring.mirrored().backwards();
        ring.join(&other);
    }
    Ok((region, vec![ring.closed()]))
}

/// The arcs of a ring, end to end.
fn chained(node: Node<'_, '_>, curves: &BTreeMap<&str, Curve>) -> Read<Curve> {
    let mut ring = Curve::default();
    for written in attribute(node, "data-ring")?.split_whitespace() {
        let (id, back) = written.strip_prefix('-').map_or((written, false), |id| (id, true));
        let curve = curves.get(id).ok_or_else(|| wrong(node, format!("this view has no arc `{id}`")))?;
        let curve = if back { curve.backwards() } else { curve.clone() };
        if let Some(((_, end), (first, _))) = ring.ends().zip(curve.ends()).filter(|((_, end), (first, _))| !same(*end, *first)) {
            return Err(wrong(node, format!("`{written}` starts at {}, and the arc before it ends at {}", shown(first), shown(end))));
        }
        ring.join(&curve);
    }
    Ok(ring)
}

fn same(a: Coord, b: Coord) -> bool {
    (a.x - b.x).hypot(a.y - b.y) < SAME
}

fn shown(p: Coord) -> String {
    format!("{:.2} {:.2}", p.x, p.y)
}
