//! The sheets of a nut: no text in the way over many nuts, and slots where the plan has them.

use crate::texts::{check, options, words};
use drawing::{DrawingError, Point, Shape, Sheet, SheetOptions, nut_dxf, nut_sheets};
use fixtures::{Guitar, PARLOUR, nut_survey};
use instrument::{Courses, PairSpacing};
use job::Paper;
use nut::{Front, Headstock, NutBlank, NutPlan, NutSurvey, Outer, Post, TopShape, spacing, together};
use proptest::prelude::*;
use strings::Criterion;
use units::BenchUnit;
use work::Hazards;

/// What varies.
#[derive(Debug, Clone)]
struct Made {
    strings: usize,
    pairs: bool,
    board: f64,
    more: f64,
    thickness: f64,
    seat: f64,
    fall: f64,
    posts: bool,
    shows: f64,
    arc: bool,
    front: Front,
    left_handed: bool,
}

const PLAIN: Made = Made {
    strings: 6,
    pairs: false,
    board: 44.0,
    more: 3.0,
    thickness: 5.0,
    seat: 3.0,
    fall: 7.0,
    posts: true,
    shows: 0.5,
    arc: false,
    front: Front::Shelf,
    left_handed: false,
};

fn made(of: &Made) -> Option<NutPlan> {
    let guitar = Guitar {
        strings: of.strings,
        thickness: 9.0,
        left_handed: of.left_handed,
        ..PARLOUR
    };
    let mut given = guitar.survey(Criterion::BestFitWithNut);
    let courses = if of.pairs && of.strings.is_multiple_of(2) {
        Courses {
            sizes: vec![2; of.strings / 2],
            pair: PairSpacing::Gap(1.0),
        }
    } else {
        Courses::single(of.strings)
    };
    let post = |i: usize| Post {
        back: 50.0 + 20.0 * (i % 3) as f64,
        across: if 2 * i < of.strings { -20.0 } else { 20.0 },
        below: (i > 0).then_some(9.0),
    };
    let nut = NutSurvey {
        board_width: of.board,
        seat_depth: of.seat,
        outer: Outer::ToSide([2.5, 2.5]),
        courses,
        wound: (0..of.strings).map(|i| i % 2 == 0).collect(),
        blank: NutBlank {
            material: "bone".to_owned(),
            thickness: of.thickness,
            height: of.seat + 5.0,
            length: of.board + of.more,
        },
        headstock: Headstock {
            angle: 0.2,
            posts: of.posts.then(|| (0..of.strings).map(post).collect()),
        },
        fall: Some(of.fall.to_radians()),
        shows: of.shows,
        top: if of.arc { TopShape::Arc(250.0) } else { TopShape::Follow },
        front: of.front,
        ..nut_survey()
    };
    let gauges: Vec<f64> = given.strings.iter().map(|s| s.model.outer_diameter).collect();
    let y = spacing::centres(nut.outer, nut.board_width, nut.rule, &gauges, &nut.courses).ok()?;
    for (s, y) in given.strings.iter_mut().zip(y) {
        s.run.nut = y;
        s.new_gap = Some(instrument::NewGap::Open(0.4));
    }
    together(&given, &nut).ok().map(|done| done.nut)
}

fn a_nut() -> impl Strategy<Value = Made> {
    (
        (2usize..=12, any::<[bool; 4]>()),
        (26.0..75.0f64, 0.0..8.0f64, 3.0..8.0f64, 0.5..6.0f64),
        (0.0..14.0f64, -0.5..0.9f64, 0usize..3),
    )
        .prop_map(
            |((strings, [pairs, posts, arc, left_handed]), (board, more, thickness, seat), (fall, shows, front))| {
                Made {
                    strings,
                    pairs,
                    board,
                    more,
                    thickness,
                    seat,
                    fall,
                    posts,
                    shows,
                    arc,
                    front: [Front::Plain, Front::Shelf, Front::Straight][front],
                    left_handed,
                }
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, max_global_rejects: 4000, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn no_text_is_in_the_way(of in a_nut(), options in options(), long in 0usize..4) {
        let plan = made(&of);
        prop_assume!(plan.is_some());
        let plan = plan.unwrap();
        let names: Vec<String> = (0..of.strings).map(|_| words(long)).collect();
        match nut_sheets(&plan, &names, &options) {
            Ok(sheets) => check(&sheets)?,
            Err(e) => prop_assert!(false, "{e}"),
        }
    }
}

fn sheets(plan: &NutPlan, paper: Paper) -> Vec<Sheet> {
    let options = SheetOptions {
        paper,
        bench: BenchUnit::THOU,
        title: "A nut".to_owned(),
        headline: String::new(),
        heights: work::Heights::default(),
        steps: Vec::new(),
        hazards: Hazards::default(),
        notes: Vec::new(),
    };
    nut_sheets(plan, &[], &options).unwrap()
}

fn points(sheets: &[Sheet], id: &str) -> Vec<Point> {
    let item = sheets
        .iter()
        .flat_map(|s| &s.items)
        .find(|i| i.id.as_deref() == Some(id));
    match &item.unwrap_or_else(|| panic!("{id}")).shape {
        Shape::Path { points, .. } => points.clone(),
        Shape::Circle { centre, .. } => vec![*centre],
        Shape::Text(text) => vec![text.at],
    }
}

/// In the views and on the patterns: places along, heights and directions come back from the sheet.
#[test]
fn slots_are_where_the_plan_has_them() {
    for left_handed in [false, true] {
        for strings in [4, 6, 8, 12] {
            let of = Made {
                strings,
                left_handed,
                board: 36.0 + 2.0 * strings as f64,
                ..PLAIN
            };
            let plan = made(&of).unwrap();
            let drawn = sheets(&plan, Paper::A4);
            let box_of = |id: &str| {
                let p = points(&drawn, id);
                let edge = |f: fn(f64, f64) -> f64, i: usize| p.iter().map(|p| p[i]).reduce(f).unwrap();
                (edge(f64::min, 0), edge(f64::max, 0), edge(f64::max, 1))
            };
            // The finished nut in front, at some scale; the blank's strip at 1:1.
            let (left, right, bottom) = box_of("nut-outline-front");
            let scale = (right - left) / plan.board_width;
            assert!((scale - scale.round()).abs() < 1e-9 && scale >= 1.0);
            let (from, to, front) = box_of("nut-strip");
            assert!((to - from - plan.blank.length).abs() < 1e-9);
            let u_of = |x: f64, left: f64, right: f64, scale: f64, first: f64| {
                first + if left_handed { right - x } else { x - left } / scale
            };
            for s in &plan.strings {
                let [x, y] = points(&drawn, &format!("nut-station-{}", s.number))[0];
                assert!((u_of(x, left, right, scale, plan.ends[0]) - s.u).abs() < 1e-9, "{s:?}");
                assert!(((bottom - y) / scale - s.floor).abs() < 1e-9);
                let slot = points(&drawn, &format!("nut-strip-slot-{}", s.number));
                assert!((u_of(slot[0][0], from, to, 1.0, 0.0) - s.u).abs() < 1e-9);
                assert!((front - slot[0][1] - s.b).abs() < 1e-9);
                assert!((u_of(slot[1][0], from, to, 1.0, 0.0) - plan.centre - s.back_y).abs() < 1e-9);
                assert!((front - slot[1][1] - plan.blank.thickness).abs() < 1e-9);
            }
            // Each slot is cut in the outline: its lowest point there is the floor.
            let outline = points(&drawn, "nut-outline-front");
            for s in &plan.strings {
                let near = |p: &&Point| (u_of(p[0], left, right, scale, plan.ends[0]) - s.u).abs() < 1e-6;
                let low = outline.iter().filter(near).map(|p| (bottom - p[1]) / scale);
                assert!(low.clone().any(|v| (v - s.floor).abs() < 1e-9), "{s:?}");
            }
        }
    }
}

/// Every line of the DXF's layer of stations ends at its floor, from the centre line on which the frets are.
#[test]
fn the_dxf_has_every_floor() {
    for left_handed in [false, true] {
        let plan = made(&Made { left_handed, ..PLAIN }).unwrap();
        let text = nut_dxf(&plan, Hazards::default()).unwrap();
        let sign = if left_handed { -1.0 } else { 1.0 };
        for s in &plan.strings {
            let x = format!("{:.6}", sign * s.y);
            let line = format!(
                "AcDbLine\n 10\n{x}\n 20\n0.000000\n 30\n0.000000\n 11\n{x}\n 21\n{:.6}\n 31\n0.000000\n",
                s.floor
            );
            assert!(text.contains(&line), "{line}");
        }
        assert!(text.is_ascii() && text.trim_end().ends_with("EOF"));
    }
}

#[test]
fn what_cannot_be_drawn_is_refused() {
    let mut plan = made(&PLAIN).unwrap();
    let options = |paper| SheetOptions {
        paper,
        bench: BenchUnit::THOU,
        title: String::new(),
        headline: String::new(),
        heights: work::Heights::default(),
        steps: Vec::new(),
        hazards: Hazards::default(),
        notes: Vec::new(),
    };
    plan.blank.length = 400.0;
    let long = nut_sheets(&plan, &[], &options(Paper::A4)).unwrap_err();
    assert!(matches!(long, DrawingError::TooLong { .. }));
    assert!(long.to_string().contains("at true scale the nut needs"), "{long}");
    plan.blank.length = f64::NAN;
    assert!(matches!(
        nut_sheets(&plan, &[], &options(Paper::A4)),
        Err(DrawingError::NotFinite { .. })
    ));
    plan.strings.clear();
    assert_eq!(
        nut_sheets(&plan, &[], &options(Paper::A4)),
        Err(DrawingError::NoStrings)
    );
}
