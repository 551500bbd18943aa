//! The part as outlines, DXF and STL against the plan's own crown.

use drawing::{CHORD_TOLERANCE, Mesh, ShapeError, dxf, mesh, outlines, silhouette, span, stl};
use fixtures::PARLOUR;
use proptest::prelude::*;
use saddle::{BlankKind, CrownSpec, Plan, Ridge, SaddleSurvey, Wings, plan};
use std::collections::HashMap;
use strings::Criterion;
use work::Hazards;

/// Every kind of part: a change to the survey above, with a name.
fn plans() -> Vec<(&'static str, Plan)> {
    type Change = fn(&mut SaddleSurvey);
    let changes: [(&str, Change); 11] = [
        ("through", |_| {}),
        ("drop-in", |s| s.blank.kind = BlankKind::DropIn),
        ("stepped", |s| s.crown.ridge = Ridge::Stepped),
        ("left-handed drop-in", |s| {
            s.left_handed = true;
            s.blank.kind = BlankKind::DropIn;
        }),
        ("sharp", |s| s.crown.rounding = 0.0),
        ("wide rounding", |s| s.crown.rounding = 6.0),
        ("front rises", |s| {
            s.crown.front_fall = Some((-2f64).to_radians());
            s.crown.back_fall = Some(14f64.to_radians());
        }),
        ("drop-in with squared ends", |s| {
            s.blank.kind = BlankKind::DropIn;
            s.blank.given_end_radius = Some(0.4);
        }),
        ("drop-in with sharp corners", |s| {
            s.blank.kind = BlankKind::DropIn;
            s.blank.given_end_radius = Some(0.0);
        }),
        ("blended ends", |s| {
            let (bass, treble) = (
                [(0.0, 4.2), (3.2, 4.9), (8.5, 9.0)],
                [(1.0, 4.1), (6.4, 6.0), (6.6, 8.6)],
            );
            s.blank.wings = Some(Wings::new(&bass, &treble).unwrap());
        }),
        ("flush with the string", |s| {
            s.blank.length = 58.0;
            s.blank.kind = BlankKind::DropIn;
        }),
    ];
    changes
        .into_iter()
        .map(|(name, change)| {
            let mut survey = PARLOUR.survey(Criterion::Octave);
            change(&mut survey);
            (name, plan(&survey).unwrap())
        })
        .collect()
}

/// Numbers of the corners with equal places made one, as a reader of an STL file does.
fn welded(mesh: &Mesh) -> Vec<[usize; 3]> {
    let mut known = HashMap::new();
    #[allow(clippy::cast_possible_truncation)] // the precision of the file
    let id: Vec<usize> = mesh
        .vertices
        .iter()
        .map(|v| {
            let next = known.len();
            *known.entry(v.map(|c| (c as f32 + 0.0).to_bits())).or_insert(next)
        })
        .collect();
    mesh.triangles.iter().map(|t| t.map(|i| id[i])).collect()
}

/// Height of the mesh's top over (x, y), by its triangles that look upward.
fn top_at(mesh: &Mesh, x: f64, y: f64) -> Option<f64> {
    mesh.triangles
        .iter()
        .filter_map(|t| {
            let [a, b, c] = t.map(|i| mesh.vertices[i]);
            let side = |p: [f64; 3], q: [f64; 3]| (q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0]);
            let area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
            let weights = [side(b, c), side(c, a), side(a, b)].map(|w| w / area);
            (area > 0.0 && weights.iter().all(|w| *w >= -1e-9))
                .then(|| weights[0] * a[2] + weights[1] * b[2] + weights[2] * c[2])
        })
        .reduce(f64::max)
}

#[test]
fn every_edge_belongs_to_two_triangles_that_run_along_it_in_opposite_ways() {
    for (name, plan) in plans() {
        let mut edges: HashMap<(usize, usize), u32> = HashMap::new();
        let triangles = welded(&mesh(&plan).unwrap());
        for t in &triangles {
            assert!(
                t[0] != t[1] && t[1] != t[2] && t[2] != t[0],
                "{name}: a triangle without area"
            );
            for (from, to) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
                *edges.entry((from, to)).or_default() += 1;
            }
        }
        for (&(from, to), count) in &edges {
            assert_eq!(*count, 1, "{name}: edge used twice in one direction");
            assert!(edges.contains_key(&(to, from)), "{name}: open edge");
        }
        // Euler's formula for a closed surface without holes.
        let corners = triangles.iter().flatten().max().unwrap() + 1;
        assert_eq!(corners + triangles.len(), edges.len() / 2 + 2, "{name}");
    }
}

#[test]
fn volume_is_that_under_the_crown() {
    for (name, plan) in plans() {
        let (start, end) = plan.ends;
        let (along, across) = (20_000u32, 200u32);
        let step = (end - start) / f64::from(along);
        let mut expected = 0.0;
        for i in 0..along {
            let u = start + step * (f64::from(i) + 0.5);
            let section = plan.crown.section(u);
            // Written anew, not taken from the code under test.
            let middle = 0.5 * plan.blank.thickness;
            let radius = plan.blank.given_end_radius.unwrap_or(middle);
            let inward = (u - start).min(end - u);
            let half = if plan.blank.kind == BlankKind::DropIn && inward < radius {
                middle - radius + (radius.powi(2) - (radius - inward).powi(2)).sqrt()
            } else {
                middle
            };
            let width = 2.0 * half / f64::from(across);
            for j in 0..across {
                let crown = section.height(middle - half + width * (f64::from(j) + 0.5));
                expected += step * width * crown.min(plan.cap(u));
            }
        }
        let volume = mesh(&plan).unwrap().volume();
        assert!(
            (volume / expected - 1.0).abs() < 1e-3,
            "{name}: {volume} against {expected}"
        );
    }
}

#[test]
fn the_top_keeps_to_the_crown() {
    for (name, plan) in plans() {
        let mesh = mesh(&plan).unwrap();
        let (start, end) = plan.ends;
        let mut worst = 0f64;
        // Steps without common measure with the mesh's own.
        for i in 0..700u32 {
            let u = start + (end - start) * (f64::from(i) * 0.618_034).fract();
            let (low, high) = span(&plan, u);
            let b = low + (high - low) * (f64::from(i) * 0.414_214).fract();
            let exact = plan.crown.section(u).height(b).min(plan.cap(u));
            // Right at a rounded end the chords cut inside.
            if let Some(top) = top_at(&mesh, drawing::along(&plan, u), -b) {
                worst = worst.max((top - exact).abs());
            }
        }
        assert!(worst < CHORD_TOLERANCE, "{name}: {worst} mm");
        assert!(worst > 1e-9, "{name}: nothing was measured");
    }
}

#[test]
fn the_box_of_the_mesh_is_that_of_the_plan() {
    for (name, plan) in plans() {
        let (low, high) = mesh(&plan).unwrap().bounds();
        let (a, b) = if plan.left_handed {
            (-plan.ends.1, -plan.ends.0)
        } else {
            plan.ends
        };
        let tallest = (0..=20_000u32)
            .map(|i| {
                silhouette(
                    &plan,
                    plan.ends.0 + (plan.ends.1 - plan.ends.0) * f64::from(i) / 20_000.0,
                )
            })
            .fold(0.0, f64::max);
        let thickness = plan.blank.thickness;
        for (got, want) in [(low[0], a), (high[0], b), (low[2], 0.0)] {
            assert!((got - want).abs() < 1e-12, "{name}: {got} against {want}");
        }
        for (got, want) in [(low[1], -thickness), (high[1], 0.0), (high[2], tallest)] {
            assert!((got - want).abs() < CHORD_TOLERANCE, "{name}: {got} against {want}");
        }
    }
}

#[test]
fn the_drawn_silhouette_keeps_to_the_crown_and_reaches_every_contact() {
    for (name, plan) in plans() {
        let shape = outlines(&plan).unwrap();
        let area = |p: &[[f64; 2]]| {
            let next = p.iter().cycle().skip(1);
            p.iter().zip(next).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum::<f64>() / 2.0
        };
        assert!(
            area(&shape.front) > 0.0 && area(&shape.top) > 0.0,
            "{name}: sense of the outlines"
        );
        assert!(
            shape.front[0][1] == 0.0 && shape.front[1][1] == 0.0 && shape.front[0][0] < shape.front[1][0],
            "{name}"
        );
        let mut top: Vec<_> = shape.front[2..].to_vec();
        top.reverse();
        for pair in top.windows(2) {
            for t in [0.2, 0.5, 0.9] {
                let x = pair[0][0] + t * (pair[1][0] - pair[0][0]);
                let v = pair[0][1] + t * (pair[1][1] - pair[0][1]);
                let error = (v - silhouette(&plan, drawing::from_front(&plan, x))).abs();
                assert!(error < CHORD_TOLERANCE, "{name}: {error} mm at {x}");
            }
        }
        for (mark, string) in shape.stations.iter().zip(&plan.strings) {
            let on_ridge = |[x, b, v]: &[f64; 3]| (x - mark.x).abs() + (b - mark.b).abs() + (v - mark.v).abs() < 1e-9;
            assert!(shape.ridge.iter().any(on_ridge), "{name}: string {}", mark.number);
            assert!(
                silhouette(&plan, string.contact.u) >= mark.v - 1e-12,
                "{name}: contact above the part"
            );
        }
    }
}

#[test]
fn a_left_handed_part_is_the_mirror_image() {
    let right = PARLOUR.plan();
    let left = Plan {
        left_handed: true,
        ..right.clone()
    };
    let (a, b) = (mesh(&right).unwrap(), mesh(&left).unwrap());
    assert!((a.volume() - b.volume()).abs() < 1e-9 && b.volume() > 0.0);
    for (p, q) in a.vertices.iter().zip(&b.vertices) {
        assert_eq!([-p[0], p[1], p[2]], *q);
    }
    let (a, b) = (outlines(&right).unwrap(), outlines(&left).unwrap());
    for (p, q) in a.ridge.iter().rev().zip(&b.ridge) {
        assert_eq!([-p[0], p[1], p[2]], *q);
    }
    assert_eq!(a.stations[0].number, b.stations[0].number);
    assert!(a.stations[0].x == -b.stations[0].x);
}

#[test]
fn the_files_hold_the_part_and_are_the_same_each_time() {
    for (name, plan) in plans() {
        let bytes = stl(&plan).unwrap();
        let count = mesh(&plan).unwrap().triangles.len();
        assert_eq!(bytes.len(), 84 + 50 * count, "{name}");
        assert_eq!(
            u32::from_le_bytes(bytes[80..84].try_into().unwrap()) as usize,
            count,
            "{name}"
        );
        assert!(!bytes.starts_with(b"solid") && bytes == stl(&plan).unwrap());
        let text = dxf(&plan, Hazards::default()).unwrap();
        assert_eq!(text, dxf(&plan, Hazards::default()).unwrap());
        assert!(text.is_ascii() && text.ends_with("EOF\n"));
        assert!(!text.contains("NaN") && !text.contains("inf\n") && !text.contains("-0.000000\n"));
        // Group code and value, line by line.
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len() % 2, 0, "{name}");
        assert!(
            lines.iter().step_by(2).all(|code| code.trim().parse::<u16>().is_ok()),
            "{name}"
        );
        assert!(lines.windows(3).any(|w| w == ["$INSUNITS", " 70", "4"]), "{name}");
    }
}

#[test]
fn what_is_no_part_is_refused() {
    let good = PARLOUR.plan();
    let mut steep = PARLOUR.survey(Criterion::Octave);
    steep.crown.front_fall = Some(80f64.to_radians());
    let steep = plan(&steep).unwrap();
    assert!(matches!(mesh(&steep), Err(ShapeError::CrownTooLow { .. })));
    assert!(matches!(
        dxf(&steep, Hazards::default()),
        Err(ShapeError::CrownTooLow { .. })
    ));
    for ends in [(0.0, f64::NAN), (5.0, 5.0), (9.0, 2.0), (0.0, f64::INFINITY)] {
        let bad = Plan { ends, ..good.clone() };
        assert!(matches!(stl(&bad), Err(ShapeError::Size { .. })), "{ends:?}");
    }
    let mut short = good;
    short.blank.kind = BlankKind::DropIn;
    short.ends = (0.0, 3.1);
    assert!(matches!(outlines(&short), Err(ShapeError::TooShort { .. })));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn any_plan_makes_a_closed_part_or_a_reason(
        rounding in 0.0..9.0f64, front in -4.0..45.0f64, back in 10.0..45.0f64, thickness in 1.2..6.5f64,
        length in 2.0..90.0f64, stepped: bool, drop_in: bool, left_handed: bool,
    ) {
        let mut survey = PARLOUR.survey(Criterion::Octave);
        survey.crown = CrownSpec {
            ridge: if stepped { Ridge::Stepped } else { Ridge::Smooth },
            rounding,
            front_fall: Some(front.to_radians()),
            back_fall: Some(back.to_radians()),
        };
        survey.blank.kind = if drop_in { BlankKind::DropIn } else { BlankKind::Through };
        survey.blank.thickness = thickness;
        survey.blank.length = length;
        survey.left_handed = left_handed;
        if let Ok(plan) = plan(&survey) && let Ok(mesh) = mesh(&plan) {
            let mut edges: HashMap<(usize, usize), i32> = HashMap::new();
            for t in welded(&mesh) {
                for (from, to) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
                    let (key, way) = if from < to { ((from, to), 1) } else { ((to, from), -1) };
                    *edges.entry(key).or_default() += way;
                    prop_assert!(from != to);
                }
            }
            prop_assert!(edges.values().all(|balance| *balance == 0));
            prop_assert!(mesh.volume() > 0.0);
            prop_assert!(dxf(&plan, Hazards::default()).is_ok());
        }
    }
}
