//! Geometry on the body chart against an independent library, and the same geometry mirrored.
//!
//! The reference is tests/reference/chart/table.json, made once by Shapely 2.2.0 on GEOS 3.14.1 with the
//! script beside it. Areas, overlaps and distances of straight-sided shapes agree to 1e-6; a buffer is a
//! polygon here and there, so its area may differ by 1 %.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

use fascicle::chart::{chart, mirrored};
use fascicle::compute::chart::cover::{covered, line, place_at, polygon};
use fascicle::compute::chart::sweep::swaths;
use fascicle::model::chart::{Line, Outline, Point2, ViewId};
use fascicle::model::docs::SweepPath;
use fascicle::model::region::{Place, Side};
use fascicle::source::{FileId, Span, Spanned};
use geo::{Area, BooleanOps, Distance, Euclidean, Length, MultiPolygon, Point, Polygon};
use proptest::prelude::*;
use serde_json::Value;

fn table() -> Value {
    serde_json::from_str(include_str!("reference/chart/table.json")).expect("the table is JSON")
}

fn nowhere() -> Span {
    Span::new(FileId(0), 0, 0)
}

fn points(value: &Value) -> Vec<Spanned<Point2>> {
    let pair = |c: &Value| Point2 { x: c[0].as_f64().unwrap(), y: c[1].as_f64().unwrap() };
    value.as_array().unwrap().iter().map(|c| Spanned::new(pair(c), nowhere())).collect()
}

fn shape(table: &Value, name: &Value) -> Polygon {
    polygon(&Outline { points: points(&table["shapes"][name.as_str().unwrap()]["ring"]), span: nowhere() })
}

fn drawn(table: &Value, name: &Value) -> Line {
    Line { points: points(&table["lines"][name.as_str().unwrap()]["line"]), span: nowhere() }
}

fn swath(line: Line, radius: f64) -> MultiPolygon {
    let path = SweepPath { view: Spanned::new(ViewId::Back, nowhere()), path: line };
    swaths(&[path], radius * 2.0).remove(0).1
}

fn at(value: &Value) -> Point {
    Point::new(value[0].as_f64().unwrap(), value[1].as_f64().unwrap())
}

fn rows<'t>(table: &'t Value, key: &str) -> &'t Vec<Value> {
    let rows = table[key].as_array().unwrap();
    assert!(rows.len() >= 15, "{key} is short");
    rows
}

fn near(found: f64, wanted: &Value, relative: f64, what: &Value) {
    let wanted = wanted.as_f64().unwrap();
    assert!((found - wanted).abs() <= 1e-6 + relative * wanted.abs(), "{what}: {found}, and the reference is {wanted}");
}

#[test]
fn areas_and_lengths_agree_with_the_reference() {
    let table = table();
    for (name, row) in table["shapes"].as_object().unwrap() {
        near(shape(&table, &Value::from(name.as_str())).unsigned_area(), &row["area"], 0.0, row);
    }
    for (name, row) in table["lines"].as_object().unwrap() {
        near(Euclidean.length(&line(&drawn(&table, &Value::from(name.as_str())))), &row["length"], 0.0, row);
    }
}

#[test]
fn overlaps_agree_with_the_reference() {
    let table = table();
    for row in rows(&table, "overlaps") {
        let common = shape(&table, &row[0]).intersection(&shape(&table, &row[1])).unsigned_area();
        near(common, &row[2], 1e-6, row);
    }
}

#[test]
fn distances_agree_with_the_reference() {
    let table = table();
    for row in rows(&table, "distances") {
        near(Euclidean.distance(&at(&row[1]), &shape(&table, &row[0])), &row[2], 0.0, row);
    }
    for row in rows(&table, "line-distances") {
        near(Euclidean.distance(&at(&row[1]), &line(&drawn(&table, &row[0]))), &row[2], 0.0, row);
    }
}

#[test]
fn swaths_agree_with_the_reference() {
    let table = table();
    for row in rows(&table, "buffers") {
        near(swath(drawn(&table, &row[0]), row[1].as_f64().unwrap()).unsigned_area(), &row[2], 0.01, row);
    }
    for row in rows(&table, "swaths") {
        let own = swath(drawn(&table, &row[0]), row[1].as_f64().unwrap());
        let common = own.intersection(&MultiPolygon::new(vec![shape(&table, &row[2])])).unsigned_area();
        near(common, &row[3], 0.01, row);
    }
}

fn other(place: Place) -> Place {
    let side = match place.side {
        Side::Same => Side::Other,
        Side::Other => Side::Same,
        side => side,
    };
    Place { side, ..place }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Three corners on the front or back and their mirror image cover the same places with the sides
    /// changed, by the same areas.
    #[test]
    fn mirrored_geometry_gives_mirrored_results(
        corners in proptest::collection::vec((-400i32..400, 0i32..1700), 3),
        back in any::<bool>(),
    ) {
        let view = chart().view(if back { ViewId::Back } else { ViewId::Front }).expect("is drawn");
        let ring = corners.iter().map(|(x, y)| geo::Coord { x: f64::from(*x) / 10.0, y: f64::from(*y) / 10.0 }).collect();
        let own = MultiPolygon::new(vec![Polygon::new(ring, Vec::new())]);
        let here = covered(view, &own);
        let mut there: Vec<_> = covered(view, &mirrored(&own)).into_iter().map(|c| (other(c.place), c.area, c.of_region)).collect();
        there.sort_by_key(|c| c.0);
        let mut here: Vec<_> = here.into_iter().map(|c| (c.place, c.area, c.of_region)).collect();
        here.sort_by_key(|c| c.0);
        // What is met at a corner only may be met on one side by the last digit.
        let solid = |all: &[(Place, f64, f64)]| all.iter().filter(|c| c.1 > 1e-3).map(|c| c.0).collect::<Vec<_>>();
        prop_assert_eq!(solid(&here), solid(&there));
        for (a, b) in here.iter().filter(|c| c.1 > 1e-3).zip(there.iter().filter(|c| c.1 > 1e-3)) {
            prop_assert!((a.1 - b.1).abs() < 1e-3 && (a.2 - b.2).abs() < 1e-3, "{:?} {:?}", a, b);
        }
    }

    /// A point and its mirror image lie in the same region.
    #[test]
    fn mirrored_points_lie_in_the_same_region(x in 1i32..4500, y in 0i32..17200, back in any::<bool>()) {
        let view = if back { ViewId::Back } else { ViewId::Front };
        let place = |x: f64| place_at(view, Point2 { x, y: f64::from(y) / 100.0 });
        let x = f64::from(x) / 100.0;
        prop_assert_eq!(place(x).map(other), place(-x));
    }
}
