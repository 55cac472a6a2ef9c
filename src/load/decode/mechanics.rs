//! Moment arms of a muscle, part by part.
//!
//! What a schema cannot say is reported here: a joint that is not on the list, angles that do not
//! rise, a positive direction that is not the one of the list, two couplings for one pair.

use super::Reader;
use crate::model::docs::{JointArm, JointCoupling, MusclePart};
use crate::model::motion::{self, Coordinate};
use crate::model::nearest;
use crate::model::unit::Dim;
use crate::source::{Node, NodeKind, Span, Spanned};

pub(super) fn parts(r: &mut Reader<'_>, n: &Node) -> Vec<MusclePart> {
    let mut out: Vec<MusclePart> = Vec::new();
    for x in r.items(n, "mechanics") {
        let name = r.text(x, "part");
        if let Some(first) = out.iter().find(|p| p.name.value == name.value).map(|p| p.name.span) {
            let message = format!("the part `{}` stands twice", name.value);
            r.report("schema-shape", name.span, "again here", message).also(first, "first here").help("give each part its own name");
        }
        let part = MusclePart {
            name,
            arms: arms(r, x),
            couplings: couplings(r, x),
            fibre: length(r, x, "fibre"),
            error: length(r, x, "error"),
            ground: r.ground(x),
            span: x.span,
        };
        out.push(part);
    }
    out
}

/// A single length in mm.
fn length(r: &mut Reader<'_>, n: &Node, key: &str) -> Option<Spanned<f64>> {
    let value = n.get(key)?;
    let quantity = r.quantity(value, key, &[Dim::Length])?;
    let mm = single(r, value, key, quantity.in_unit("mm"))?;
    if key == "fibre" && mm <= 0.0 {
        r.report("number-out-of-bounds", value.span, "not possible", "a fibre length is above zero").help("write the length in mm");
        return None;
    }
    Some(Spanned::new(mm, value.span))
}

fn single(r: &mut Reader<'_>, value: &Node, name: &str, amount: crate::model::interval::Interval) -> Option<f64> {
    if (amount.hi - amount.lo).abs() < 1e-12 {
        return Some(amount.hi);
    }
    let message = format!("`{name}` of a moment-arm table is one value, no range");
    r.report("schema-shape", value.span, "a range here", message).help("write one value; the spread of the table is its `error`");
    None
}

fn joint(r: &mut Reader<'_>, written: &str, at: Span) -> Option<&'static Coordinate> {
    let known = motion::coordinate(written);
    if known.is_none() {
        let near = nearest(written, motion::COORDINATES.iter().map(|c| c.id)).map(|n| format!("did you mean `{n}`?"));
        let message = format!("there is no joint coordinate `{written}`");
        r.report("link-missing", at, near.unwrap_or_else(|| "not on the list".into()), message)
            .help("write joint and coordinate, for instance `hip.flexion`");
    }
    known
}

fn arms(r: &mut Reader<'_>, part: &Node) -> Vec<JointArm> {
    let mut out = Vec::new();
    for (name, value) in r.entries(part, "arms") {
        let Some(joint) = joint(r, &name.value, name.span) else { continue };
        let points = match &value.kind {
            NodeKind::Map(_) => table(r, joint, value),
            _ => millimetres(r, value, joint.id).map(|mm| vec![(0.0, mm)]),
        };
        if let Some(points) = points {
            out.push(JointArm { joint, points, at: name.span });
        }
    }
    out
}

/// A table of arms; `None` if any of it cannot be used.
fn table(r: &mut Reader<'_>, joint: &Coordinate, value: &Node) -> Option<Vec<(f64, f64)>> {
    if let Some(positive) = r.maybe(value, "positive").filter(|p| !same_direction(&p.value, joint)) {
        let message = format!("`{}` counts {} as positive, and this table says {}", joint.id, shown(joint.positive), positive.value);
        r.report("schema-shape", positive.span, "not the direction of the list", message).help(format!(
            "write `{}`, and turn every angle and every arm of the table round if it was made the other way",
            joint.positive
        ));
        return None;
    }
    let (mut points, mut whole): (Vec<(f64, f64, Span)>, bool) = (Vec::new(), true);
    for (angle, arm) in r.entries(value, "arms") {
        let key = Node { span: angle.span, kind: NodeKind::Text(angle.value.clone()) };
        let degrees = r.quantity(&key, "angle", &[Dim::Angle]).and_then(|q| single(r, &key, "angle", q.base()));
        match (degrees, millimetres(r, arm, joint.id)) {
            (Some(degrees), Some(mm)) => points.push((degrees, mm, angle.span)),
            _ => whole = false,
        }
    }
    let falls = points.windows(2).find_map(|w| match w {
        [a, b] if a.0 >= b.0 => Some((a.2, b.2)),
        _ => None,
    });
    if let Some((before, at)) = falls {
        let message = format!("the angles of `{}` do not rise", joint.id);
        r.report("schema-shape", at, "not above the angle before it", message)
            .also(before, "the angle before it")
            .help("write the angles from the lowest to the highest, each once");
        return None;
    }
    (whole && !points.is_empty()).then(|| points.into_iter().map(|(degrees, mm, _)| (degrees, mm)).collect())
}

fn same_direction(written: &str, joint: &Coordinate) -> bool {
    written == joint.positive || written == shown(joint.positive)
}

fn shown(way: &str) -> String {
    way.replace(" same", " to the same side").replace(" away", " to the other side")
}

fn millimetres(r: &mut Reader<'_>, value: &Node, name: &str) -> Option<f64> {
    let quantity = r.signed(value, name, &[Dim::Length])?;
    single(r, value, name, quantity.in_unit("mm"))
}

fn couplings(r: &mut Reader<'_>, part: &Node) -> Vec<JointCoupling> {
    let mut out: Vec<JointCoupling> = Vec::new();
    for item in r.items(part, "couplings") {
        let NodeKind::Seq(three) = &item.kind else { continue };
        let [a, b, value] = three.as_slice() else { continue };
        let (Some(first), Some(second)) = (a.text(), b.text()) else { continue };
        let (Some(a), Some(b)) = (joint(r, first, a.span), joint(r, second, b.span)) else { continue };
        if a == b {
            let message = format!("a coupling of `{}` with itself", a.id);
            r.report("schema-shape", item.span, "one joint twice", message).help("name two different joint coordinates");
            continue;
        }
        if let Some(old) = out.iter().find(|c| c.between == (a, b) || c.between == (b, a)).map(|c| c.span) {
            let message = format!("`{}` and `{}` have two couplings", a.id, b.id);
            r.report("schema-shape", item.span, "again here", message)
                .also(old, "first here")
                .note("Both ways round it is the same number: the mixed derivative of one length.")
                .help("keep one of the two");
            continue;
        }
        if let Some(mm_per_rad) = per_radian(r, value) {
            out.push(JointCoupling { between: (a, b), mm_per_rad, span: item.span });
        }
    }
    out
}

/// `-31 mm/rad`.
fn per_radian(r: &mut Reader<'_>, value: &Node) -> Option<f64> {
    let written = value.text()?;
    let Some(length) = written.strip_suffix("/rad") else {
        let message = format!("`{written}` is no length for each radian");
        r.report("quantity-dimension", value.span, "millimetres for each radian wanted", message).help("write it as `-31 mm/rad`");
        return None;
    };
    let node = Node { span: value.span, kind: NodeKind::Text(length.into()) };
    millimetres(r, &node, "coupling")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::FileId;

    fn read(text: &str) -> (Vec<MusclePart>, Vec<(&'static str, String)>) {
        let root = crate::load::yaml::parse(FileId(0), text).root.unwrap();
        let mut r = Reader::new(FileId(0), text);
        let parts = parts(&mut r, &root);
        let found = r.findings.iter().map(|f| (f.check, text[f.primary.span.range()].to_string())).collect();
        (parts, found)
    }

    #[test]
    fn a_part_is_read_in_millimetres_and_degrees() {
        let text = "mechanics:\n  - part: all\n    arms:\n      hip.flexion: {positive: flexion, arms: {-20 deg: -18.5 mm, 0 deg: 1 cm}}\n      neck.side_bend: {positive: side bend to the same side, arms: {0 deg: 1 mm, 10 deg: 2 mm}}\n      knee.flexion: -26 mm\n    couplings: [[hip.flexion, knee.flexion, -31 mm/rad]]\n    fibre: 84 mm\n";
        let (parts, found) = read(text);
        assert!(found.is_empty(), "{found:?}");
        let part = &parts[0];
        let shown: Vec<_> = part
            .arms
            .iter()
            .map(|a| (a.joint.id, a.points.iter().map(|(q, mm)| (*q, (mm * 1e6).round() / 1e6)).collect::<Vec<_>>()))
            .collect();
        assert_eq!(
            shown,
            [
                ("hip.flexion", vec![(-20.0, -18.5), (0.0, 10.0)]),
                ("neck.side_bend", vec![(0.0, 1.0), (10.0, 2.0)]),
                ("knee.flexion", vec![(0.0, -26.0)])
            ]
        );
        assert!((part.couplings[0].mm_per_rad + 31.0).abs() < 1e-9 && part.fibre.as_ref().is_some_and(|f| (f.value - 84.0).abs() < 1e-9));
    }

    #[test]
    fn mistakes_are_found_at_their_characters() {
        let part = |arms: &str, more: &str| format!("mechanics:\n  - part: all\n    arms: {arms}\n{more}");
        let ok = "{hip.flexion: 1 mm, knee.flexion: 2 mm}";
        let cases = [
            (part("{hip.flexion: {arms: {0.3 rad: 1 mm, 5 deg: 2 mm}}}", ""), "quantity-unreadable", "rad"),
            (part("{hip.flexion: {arms: {10 deg: 1 mm, 0 deg: 2 mm}}}", ""), "schema-shape", "0 deg"),
            (part("{hip.flexion: {arms: {0 deg: 1 mm, 10 deg: 2 N}}}", ""), "quantity-dimension", "N"),
            (part("{hip.flexion: {positive: extension, arms: {0 deg: 1 mm, 10 deg: 2 mm}}}", ""), "schema-shape", "extension"),
            (part("{hip.flex: 1 mm}", ""), "link-missing", "hip.flex"),
            (part("{hip.flexion: 1-2 mm}", ""), "schema-shape", "1-2 mm"),
            (
                part(ok, "    couplings: [[hip.flexion, knee.flexion, 1 mm/rad], [knee.flexion, hip.flexion, 2 mm/rad]]\n"),
                "schema-shape",
                "knee.flexion, hip.flexion, 2 mm/rad",
            ),
            (part(ok, "    couplings: [[hip.flexion, hip.flexion, 1 mm/rad]]\n"), "schema-shape", "hip.flexion, hip.flexion, 1 mm/rad"),
            (part(ok, "    couplings: [[hip.flexion, knee.flexion, 1 mm/deg]]\n"), "quantity-dimension", "1 mm/deg"),
            (part(ok, "    fibre: 0 mm\n"), "number-out-of-bounds", "0 mm"),
        ];
        for (text, check, at) in cases {
            let (_, found) = read(&text);
            assert!(matches!(found.as_slice(), [(c, a)] if *c == check && a.contains(at)), "{text}: {found:?}");
        }
    }
}
