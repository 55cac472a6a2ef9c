//! Files for a course: coverage, mark sheets, leaflets, errata, glossary, muscles side by side, editions.

use super::references::References;
use super::site::{Site, doc};
use super::view::View;
use super::view::course::{self, CourseView, coverage, editions, errata, glossary, leaflet, mark_sheet, side_by_side};
use super::{Artifact, Body, Shape, data, page, route};
use crate::compute::chart::to_tell_apart;
use crate::compute::currency::sign_off::State;
use crate::compute::{Facts, coverage as compute};
use crate::model::docs::Protocol;
use crate::model::{Catalog, DocRef, Idx, Kind};
use rayon::prelude::*;

/// All of them.
pub(super) fn files(catalog: &Catalog, facts: &Facts, references: &References) -> Vec<(String, Artifact)> {
    let at = |path: &'static str| Site { catalog, facts, references, path };
    let covered = compute::of(catalog, facts);
    let shared = |path: &str, view: CourseView| (path.to_string(), page(View::Course(Box::new(view)), None));
    let mut out = vec![
        ("assets/course.css".to_string(), Artifact { shape: Shape::Asset, doc: None, body: Body::Asset("course.css") }),
        ("data/coverage.json".to_string(), data(&coverage::data(&at(route::COVERAGE), &covered), None)),
        shared(route::COURSE, CourseView::Overview(course::overview(&at(route::COURSE)))),
        shared(route::COVERAGE, CourseView::Coverage(coverage::page(&at(route::COVERAGE), &covered))),
        shared(route::ERRATA, CourseView::Errata(errata::page(&at(route::ERRATA)))),
        shared(route::GLOSSARY, CourseView::Glossary(glossary::page(&at(route::GLOSSARY)))),
        shared(route::EDITIONS, CourseView::Editions(editions::page(&at(route::EDITIONS)))),
    ];
    let pairs: Vec<_> = to_tell_apart(catalog, &facts.chart).into_iter().collect();
    let beside = pairs.par_iter().map(|(a, b)| {
        let path = route::side_by_side(&catalog.muscles[*a].head.id.value, &catalog.muscles[*b].head.id.value);
        let view = side_by_side::page(&Site { catalog, facts, references, path: &path }, *a, *b);
        shared(&path, CourseView::SideBySide(view))
    });
    out.extend(beside.collect::<Vec<_>>());
    let protocols: Vec<Idx<Protocol>> = catalog.protocols.iter().map(|(idx, _)| idx).collect();
    let prints = protocols.par_iter().map(|idx| handouts(catalog, facts, references, *idx)).collect::<Vec<_>>();
    out.extend(prints.into_iter().flatten());
    out
}

/// Mark sheet and leaflet of a protocol. What is retired is not printed.
fn handouts(catalog: &Catalog, facts: &Facts, references: &References, idx: Idx<Protocol>) -> Vec<(String, Artifact)> {
    let own = doc(Kind::Protocol, idx);
    if facts.state_of(catalog, own) == Some(State::Retired) {
        return Vec::new();
    }
    let id = catalog.id(own);
    let path = route::mark_sheet(id);
    let sheet = mark_sheet::sheet(&Site { catalog, facts, references, path: &path }, idx);
    let mut out = vec![(path, handout(CourseView::MarkSheet(sheet), own))];
    let path = route::leaflet(id);
    if let Some(view) = leaflet::leaflet(&Site { catalog, facts, references, path: &path }, idx) {
        out.push((path, handout(CourseView::Leaflet(view), own)));
    }
    out
}

fn handout(view: CourseView, doc: DocRef) -> Artifact {
    Artifact { shape: Shape::Handout, doc: Some(doc), body: Body::View(View::Course(Box::new(view))) }
}
