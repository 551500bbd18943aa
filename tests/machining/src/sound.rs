//! Jobs that are sound and were refused, or might be: ends that slope, large and small balls, tall stock, faces that a cutter has
//! gone along; and what goes into the vise.

#![allow(clippy::unwrap_used, clippy::panic)] // helpers of tests

use fixtures::{Guitar, PARLOUR, cutter, nut_survey, on_edge, with_nut};
use machining::{
    Check, CutTolerance, CutterShape, Ends, Fault, Holding, PrepareError, Setup, SetupKind, held, prepare, target,
    verify,
};
use nut::{Front, NutPlan, together};
use saddle::Plan;

/// The parlour guitar over a board of this radius, mm.
fn plan(radius: f64) -> Plan {
    let of = Guitar {
        radius: (radius, radius),
        ..PARLOUR
    };
    of.plan()
}

fn setup(plan: &Plan) -> Setup {
    let mut setup = on_edge();
    setup.stock.thickness = plan.crown.thickness;
    setup.stock.height = 13.0;
    setup.stock.length = plan.ends.1 - plan.ends.0;
    setup.holding = Holding::Vise {
        jaw_height: 3.0,
        jaw_thickness: 12.0,
        jaw_x: (0.0, setup.stock.length),
    };
    setup.scallop = 0.005;
    setup.machine.tool_lengths = machining::ToolLengths::OneProgram;
    setup
}

fn said(plan: &Plan, setup: &Setup) -> Result<(), String> {
    match prepare(plan, "test", setup) {
        Ok(_) => Ok(()),
        Err(PrepareError::Refused(refused)) => Err(refused
            .reports
            .iter()
            .flat_map(|(name, report)| {
                report
                    .findings
                    .iter()
                    .map(move |finding| format!("{name}: {finding}\n"))
            })
            .collect()),
        Err(error) => Err(error.to_string()),
    }
}

/// What is left proud stands under everything that is cut, the contour of the ends too, and is another way of cutting.
#[test]
fn a_top_left_proud_is_higher_everywhere() {
    let plan = plan(400.0);
    let wing = vec![(0.0, 6.0), (10.0, 13.5)];
    let winged = Ends::Winged {
        bass: wing.clone(),
        treble: wing,
    };
    for (ends, kind) in [
        (Ends::Square, SetupKind::OnEdge),
        (winged.clone(), SetupKind::OnEdge),
        (winged, SetupKind::Flat),
    ] {
        let mut planned = setup(&plan);
        (planned.ends, planned.kind) = (ends, kind);
        planned.stock.height = 14.0;
        if kind == SetupKind::Flat {
            planned.holding = Holding::Tape {
                tabs: 0,
                tab_length: 4.0,
                tab_height: 0.3,
            };
        }
        let proud = Setup {
            leave_proud: 0.3,
            ..planned.clone()
        };
        let [planned, proud] = [planned, proud].map(|setup| {
            assert_eq!(said(&plan, &setup), Ok(()));
            prepare(&plan, "test", &setup).unwrap()
        });
        assert_eq!(planned.heights.len(), plan.strings.len());
        for (low, high) in planned.heights.iter().zip(&proud.heights) {
            assert_eq!((low.string, low.at), (high.string, high.at));
            assert!((high.height - low.height - 0.3).abs() < 1e-9, "{low:?} {high:?}");
        }
        let marks = [&planned, &proud].map(|prepared| prepared.programs[0].marks.mark.clone());
        assert_ne!(marks[0], marks[1]);
    }
}

/// Where the top falls toward the end, a ball touches it behind its axis: it goes on and down until it has touched all.
#[test]
fn ends_that_slope_are_finished_to_the_end() {
    let wing = |slope: f64| {
        let wing = vec![(0.0, 5.5), (8.0 / slope, 13.5)];
        Ends::Winged {
            bass: wing.clone(),
            treble: wing,
        }
    };
    let mut wrong = Vec::new();
    for (radius, ends) in [
        (300.0, wing(0.3)),
        (300.0, wing(1.0)),
        (127.0, Ends::Square),
        (127.0, Ends::Round),
    ] {
        let plan = plan(radius);
        for (diameter, more) in [(1.5875, 0.0), (3.0, 0.0), (12.7, 0.0), (6.35, 4.0)] {
            let mut setup = setup(&plan);
            setup.ends = ends.clone();
            setup.finisher = cutter(2, CutterShape::Ball, diameter);
            setup.stock.length += 2.0 * more;
            setup.stock.bass_margin = more;
            if let Err(why) = said(&plan, &setup) {
                wrong.push(format!(
                    "{ends:?}, board {radius}, ball {diameter}, stock {more} longer: {why}"
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The first program's cutter runs along the faces, and takes less than a thousandth of a millimetre off cells that lie nearer to them: the
/// second is not refused for stock that is "too low" there. Stock that is too low is refused still.
#[test]
fn a_hair_off_a_face_is_no_low_stock() {
    let mut plan = plan(300.0);
    // 129 cells of 0.025 mm: the outermost centres lie 0.00001 mm within the faces.
    plan.crown.thickness = 3.20002;
    plan.blank.thickness = 3.20002;
    let mut setup = setup(&plan);
    setup.ends = Ends::Round;
    assert_eq!(said(&plan, &setup), Ok(()));
    let prepared = prepare(&plan, "test", &setup).unwrap();
    let target = target(&plan, &setup).unwrap();
    let mut left = prepared.programs[0].report.left.clone().unwrap();
    let lowered = left.heights.iter().copied().fold(0.0, f64::max) - 1.0;
    left.heights.iter_mut().for_each(|height| *height = height.min(lowered));
    let check = Check {
        setup: &setup,
        target: target.as_ref(),
        limits: CutTolerance::of(&setup),
        loaded: 2,
        start: Some(&left),
        last: true,
    };
    let report = verify(&prepared.programs[1].text, &check);
    assert!(
        report
            .findings
            .iter()
            .any(|f| matches!(f.fault, Fault::StockLow { .. })),
        "{:?}",
        report.findings
    );
}

fn jaws(setup: &Setup) -> (f64, (f64, f64)) {
    match setup.holding {
        Holding::Vise { jaw_height, jaw_x, .. } => (jaw_height, jaw_x),
        Holding::Tape { .. } => panic!("no vise"),
    }
}

#[test]
fn jaws_leave_room_for_the_cut_and_hold() {
    let plan = plan(300.0);
    for height in [11.0, 13.0, 18.0, 25.0, 40.0] {
        let mut raw = setup(&plan);
        raw.stock.height = height;
        let found = held(&plan, &raw, false, false).unwrap();
        let (jaw, along) = jaws(&found);
        assert!(
            jaw >= 3.0 && jaw <= 0.4 * height && (2.0 * jaw).fract() == 0.0,
            "{height}: {jaw}"
        );
        assert_eq!(along, jaws(&raw).1);
        assert_eq!(said(&plan, &found), Ok(()), "{height}");
        // What the job gives is kept.
        assert_eq!(held(&plan, &raw, false, true).unwrap(), raw);
    }
}

fn nut(front: Front) -> NutPlan {
    let mut survey = nut_survey();
    survey.front = front;
    together(&with_nut(&survey), &survey).unwrap().nut
}

fn nut_setup(plan: &NutPlan, kind: SetupKind) -> Setup {
    let mut setup = on_edge();
    setup.part = machining::PartKind::Nut;
    setup.kind = kind;
    setup.stock.thickness = plan.blank.thickness;
    setup.stock.height = plan.blank.height;
    setup.stock.length = plan.blank.length;
    setup.stock.bass_margin = plan.ends[0];
    setup.holding = match kind {
        SetupKind::Flat => Holding::Tape {
            tabs: 1,
            tab_length: 3.0,
            tab_height: 0.6,
        },
        _ => Holding::Vise {
            jaw_height: 2.0,
            jaw_thickness: 12.0,
            jaw_x: (0.0, plan.blank.length),
        },
    };
    let fine = CutterShape::Vee {
        tip: 0.1,
        half_angle: 30f64.to_radians(),
    };
    setup.groovers = vec![cutter(6, fine, 3.175)];
    setup
}

/// The nut in the vise is shorter and lower than the block that its outline came from, and so are its jaws.
#[test]
fn the_jaws_are_those_of_the_nut() {
    let plan = nut(Front::Plain);
    let mut raw = nut_setup(&plan, SetupKind::OnEdge);
    raw.stock.height = 16.0;
    let given = jaws(&raw);
    if let Holding::Vise { jaw_x, .. } = &mut raw.holding {
        *jaw_x = (f64::NEG_INFINITY, f64::INFINITY);
    }
    let found = held(&plan, &raw, false, false).unwrap();
    assert_eq!(found.stock.length, plan.board_width);
    assert!(plan.blank.length > plan.board_width + 1.0);
    assert_eq!(found.jaw_x(), Some((-10.0, plan.board_width + 10.0)));
    let (jaw, _) = jaws(&found);
    assert!((2.0..4.0).contains(&jaw), "{jaw}");
    // Jaws of a given height and length stay as they are.
    if let Holding::Vise { jaw_x, .. } = &mut raw.holding {
        *jaw_x = given.1;
    }
    assert_eq!(jaws(&held(&plan, &raw, true, true).unwrap()), given);
}

/// No program cuts the front of a nut: where it is not plain, every setup says what is filed, string by string.
#[test]
fn a_front_that_is_filed_is_told() {
    for front in [Front::Plain, Front::Shelf, Front::Straight] {
        let plan = nut(front);
        for kind in [SetupKind::Flat, SetupKind::OnEdge] {
            let setup = held(&plan, &nut_setup(&plan, kind), false, false).unwrap();
            let notes = prepare(&plan, "test", &setup).unwrap().notes;
            let told: Vec<&String> = notes.iter().filter(|note| note.contains("the nut's front")).collect();
            assert_eq!(
                told.len(),
                usize::from(front != Front::Plain),
                "{front:?} {kind:?}: {notes:?}"
            );
            let Some(told) = told.first() else { continue };
            if plan.front_x > 0.01 {
                assert!(told.contains(&format!("a step {:.2} mm deep", plan.front_x)), "{told}");
                assert!(told.contains(&format!(", {:.2} and ", plan.board_v)), "{told}");
            }
            for s in plan.strings.iter().filter(|s| front == Front::Shelf && s.b > 0.01) {
                assert!(told.contains(&format!("{} by {:.2} mm", s.number, s.b)), "{told}");
            }
        }
    }
}
