//! The blended ends: the template of each against the solid that is to be made, and the sheets that carry them.

use crate::texts::check;
use drawing::{Item, Mesh, Shape, SheetOptions, along, dxf, mesh, outlines, saddle_sheets, silhouette};
use fixtures::PARLOUR;
use job::Paper;
use saddle::{Plan, Wings, plan};
use strings::Criterion;
use units::BenchUnit;
use work::Hazards;

/// Largest distance of a template from the solid that is made by it, mm.
const TRUE: f64 = 0.05;
/// Bass and treble contours, in mm: as traced, steep, and level with a step in.
const CONTOURS: [[&[(f64, f64)]; 2]; 3] = [
    [
        &[(0.0, 4.2), (3.2, 4.9), (6.4, 6.4), (8.5, 9.0)],
        &[(0.0, 4.1), (3.2, 4.7), (6.4, 6.0), (8.5, 8.6)],
    ],
    [&[(0.0, 2.0), (2.5, 9.5)], &[(1.0, 2.5), (3.0, 9.5)]],
    [
        &[(0.0, 5.0), (5.0, 5.0), (5.4, 9.5)],
        &[(0.0, 4.5), (4.0, 6.0), (4.0 + 1e-3, 9.5)],
    ],
];

fn blended([bass, treble]: [&[(f64, f64)]; 2], left_handed: bool, rounding: f64) -> Plan {
    let mut survey = PARLOUR.survey(Criterion::Octave);
    survey.left_handed = left_handed;
    survey.crown.rounding = rounding;
    survey.blank.wings = Some(Wings::new(bass, treble).unwrap());
    plan(&survey).unwrap()
}

fn each() -> Vec<Plan> {
    let hands = CONTOURS.iter().flat_map(|ends| [(ends, false), (ends, true)]);
    hands
        .flat_map(|(ends, left)| [0.0, 0.5, 2.0].map(|rounding| blended(*ends, left, rounding)))
        .collect()
}

fn options(paper: Paper) -> SheetOptions {
    SheetOptions {
        paper,
        bench: BenchUnit::THOU,
        title: "Blended ends".to_owned(),
        headline: String::new(),
        heights: work::Heights::default(),
        steps: Vec::new(),
        hazards: Hazards::default(),
        notes: Vec::new(),
    }
}

/// Highest place of the solid at X, as seen from the front, by where its triangles' edges pass it.
fn highest(mesh: &Mesh, x: f64) -> f64 {
    let mut top = f64::NEG_INFINITY;
    for t in &mesh.triangles {
        for (i, j) in [(0, 1), (1, 2), (2, 0)] {
            let (a, b) = (mesh.vertices[t[i]], mesh.vertices[t[j]]);
            let [low, high] = if a[0] <= b[0] { [a, b] } else { [b, a] };
            if low[0] <= x && x <= high[0] {
                let share = if high[0] > low[0] {
                    (x - low[0]) / (high[0] - low[0])
                } else {
                    1.0
                };
                top = top.max(low[2] + share * (high[2] - low[2]));
            }
        }
    }
    top
}

/// A line of a sheet by its id, as u and v.
fn line(items: &[Item], id: &str) -> Option<Vec<[f64; 2]>> {
    let item = items.iter().find(|item| item.id.as_deref() == Some(id))?;
    let (Shape::Path { points, .. }, Some(zero)) = (&item.shape, item.zero) else {
        panic!("{id}");
    };
    Some(
        points
            .iter()
            .map(|p| [(p[0] - zero.u0_x) * zero.u_sign, zero.v0_y - p[1]])
            .collect(),
    )
}

/// Points of a polyline, close together.
fn close(line: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let between = |w: &[[f64; 2]]| {
        let (a, b) = (w[0], w[1]);
        (0..=20)
            .map(move |k| f64::from(k) / 20.0)
            .map(move |t| [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])])
    };
    line.windows(2).flat_map(between).collect()
}

#[test]
fn every_point_of_a_template_lies_on_the_solids_silhouette() {
    for plan in each() {
        let solid = mesh(&plan).unwrap();
        let sheets = saddle_sheets(&plan, &options(Paper::A4)).unwrap();
        let items: Vec<Item> = sheets.into_iter().flat_map(|sheet| sheet.items).collect();
        for (end, outer, met) in [("bass", plan.ends.0, 0), ("treble", plan.ends.1, 1)] {
            let found = line(&items, &format!("template-{end}")).unwrap();
            let met = plan.wing_ends().unwrap()[met];
            // From the very end to beyond the place where it meets the crown.
            assert!((found[0][0] - outer).abs() < 1e-9);
            let last = found[found.len() - 1][0];
            assert!(
                (last - outer).abs() > (met.u - outer).abs() + 1.0,
                "{end} {last} {met:?}"
            );
            for [u, v] in close(&found) {
                // A wall seen from the front is every height at one place.
                let near = [-0.001, 0.0, 0.001]
                    .map(|by| highest(&solid, along(&plan, (u + by).clamp(plan.ends.0, plan.ends.1))));
                let (low, high) = near
                    .iter()
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |k, v| (k.0.min(*v), k.1.max(*v)));
                assert!(v > low - TRUE && v < high + TRUE, "{end} {u} {v} {near:?}");
            }
        }
        // Left-handed, the bass end is at the left as seen from the front.
        let x = |end: &str| {
            let id = format!("template-{end}");
            let item = items.iter().find(|item| item.id.as_deref() == Some(&id)).unwrap();
            let Shape::Path { points, .. } = &item.shape else {
                panic!()
            };
            points[0][0]
        };
        assert_eq!(x("bass") < x("treble"), plan.left_handed);
    }
}

/// The solid keeps its closed surface, and loses what the contour takes.
#[test]
fn the_solid_is_the_crown_under_the_contour() {
    for plan in each() {
        let mut proud = plan.clone();
        proud.blank.wings = None;
        let (solid, whole) = (mesh(&plan).unwrap(), mesh(&proud).unwrap());
        assert!(solid.volume() < whole.volume() - 1.0);
        for step in 0..=400 {
            let u = plan.ends.0 + (plan.ends.1 - plan.ends.0) * f64::from(step) / 400.0;
            let want = silhouette(&proud, u).min(plan.cap(u));
            assert!((silhouette(&plan, u) - want).abs() < 1e-12);
        }
        // No string loses its ridge, and the outline of a DXF is the same line.
        for s in &plan.strings {
            assert!(plan.cap(s.contact.u) >= s.contact.v);
        }
        assert_ne!(
            dxf(&plan, Hazards::default()).unwrap(),
            dxf(&proud, Hazards::default()).unwrap()
        );
    }
}

#[test]
fn the_line_stands_on_both_patterns_which_are_left_proud() {
    for plan in each() {
        let mut proud = plan.clone();
        proud.blank.wings = None;
        let want = outlines(&proud).unwrap().front;
        for paper in [Paper::A4, Paper::Letter] {
            let sheets = saddle_sheets(&plan, &options(paper)).unwrap();
            check(&sheets).unwrap();
            let items: Vec<&Item> = sheets.iter().flat_map(|sheet| &sheet.items).collect();
            let count = |id: &str| items.iter().filter(|item| item.id.as_deref() == Some(id)).count();
            for face in ["pattern-front", "pattern-back"] {
                assert_eq!(
                    [
                        count(&format!("blend-{face}-bass")),
                        count(&format!("blend-{face}-treble"))
                    ],
                    [1, 1]
                );
                let id = format!("outline-{face}");
                let item = items.iter().find(|item| item.id.as_deref() == Some(&id)).unwrap();
                let Shape::Path { points, .. } = &item.shape else {
                    panic!()
                };
                let high = |points: &[[f64; 2]], sign: f64| {
                    let v = points.iter().map(|p| sign * p[1]);
                    v.clone().fold(f64::NEG_INFINITY, f64::max) - v.fold(f64::INFINITY, f64::min)
                };
                assert_eq!(points.len(), want.len());
                assert!((high(points, -1.0) - high(&want, 1.0)).abs() < 1e-9);
            }
            let said = sheets
                .iter()
                .flat_map(|sheet| sheet.texts())
                .map(|text| text.content.clone())
                .collect::<Vec<_>>();
            assert!(said.join(" ").contains("leave them proud until the height is final"));
        }
    }
}
