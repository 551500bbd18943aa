//! Programs carried out: positions, feeds, spindle and arcs against hand-worked motions.

#![allow(clippy::unwrap_used, clippy::panic)] // helpers of tests

use std::f64::consts::{FRAC_PI_2, TAU};

use machining::{EventKind, Motion, MotionKind, Plane, Replay, ReplayFault, read, replay};
use proptest::prelude::*;

fn run(text: &str) -> Replay {
    replay(&read(text).unwrap(), 1).unwrap()
}

fn fault(text: &str) -> (u32, ReplayFault) {
    let error = replay(&read(text).unwrap(), 1).unwrap_err();
    (error.line, error.fault)
}

fn last(text: &str) -> Motion {
    *run(text).motions.last().unwrap()
}

#[test]
fn modal_state_carries_over() {
    let done = run("G21 G90\nS9000 M3\nG0 X1 Y2\nZ-3\nG1 X4 F120\nG91 Y1\nF60 Z0.5\nG90 G0 Z5\nM5\nG0 X0\nM30\n");
    let to: Vec<_> = done.motions.iter().map(|m| m.to).collect();
    assert_eq!(
        to,
        [
            [1.0, 2.0, 0.0],
            [1.0, 2.0, -3.0],
            [4.0, 2.0, -3.0],
            [4.0, 3.0, -3.0],
            [4.0, 3.0, -2.5],
            [4.0, 3.0, 5.0],
            [0.0, 3.0, 5.0]
        ]
    );
    let feeds: Vec<_> = done.motions.iter().map(|m| m.feed).collect();
    assert_eq!(feeds, [0.0, 0.0, 120.0, 120.0, 60.0, 0.0, 0.0]);
    let lines: Vec<_> = done.motions.iter().map(|m| m.line).collect();
    assert_eq!(lines, [3, 4, 5, 6, 7, 8, 10]);
    let speeds: Vec<_> = done.motions.iter().map(|m| m.spindle).collect();
    assert_eq!(speeds, [9000.0, 9000.0, 9000.0, 9000.0, 9000.0, 9000.0, 0.0]);
    assert!(done.motions.windows(2).all(|w| w[0].to == w[1].from));
}

#[test]
fn inches_become_millimetres() {
    let m = last("G20\nG1 X1 Y-0.5 F10\n");
    assert_eq!(m.to, [25.4, -12.7, 0.0]);
    assert_eq!(m.feed, 254.0);
    let m = last("G20\nG2 X0.2 I0.1 F10\n");
    let MotionKind::Arc { centre, turn, .. } = m.kind else {
        panic!()
    };
    assert!((centre[0] - 2.54).abs() < 1e-12 && (turn - TAU / 2.0).abs() < 1e-9);
}

#[test]
fn helix_in_the_zx_plane() {
    // First axis Z, second X: from +Z to +X is anticlockwise.
    let m = last("G18\nG0 X0 Y0 Z2\nG3 X2 Y1 Z0 K-2 F50\n");
    let MotionKind::Arc {
        plane,
        centre,
        clockwise,
        turn,
    } = m.kind
    else {
        panic!()
    };
    assert_eq!((plane, clockwise, centre), (Plane::Zx, false, [0.0, 0.0, 0.0]));
    assert!((turn - FRAC_PI_2).abs() < 1e-12);
    assert_eq!(m.to, [2.0, 1.0, 0.0]);
}

#[test]
fn full_circle_without_coordinates() {
    let m = last("G0 X5\nG3 I-5 F100\n");
    let MotionKind::Arc { centre, turn, .. } = m.kind else {
        panic!()
    };
    assert_eq!(
        (centre, turn, m.from, m.to),
        ([0.0; 3], TAU, [5.0, 0.0, 0.0], [5.0, 0.0, 0.0])
    );
}

#[test]
fn a_tool_change_stops_the_spindle() {
    let done = run("S5000 M3\nG1 X1 F10\nT7 M6\nG1 X2\n");
    assert_eq!((done.motions[0].tool, done.motions[1].tool), (1, 7));
    assert_eq!(done.motions[1].spindle, 0.0);
}

/// What a program says of lengths, pauses and places of the machine's own.
#[test]
fn events_and_places_that_nobody_knows() {
    let text = "G21 G90 G49\nT3 M6\nG43 H3\nG0 Z20\nX1\nY2 M8\nG64 P0.02\nM9\nG53 G0 Z0\nG28 X5\nG0 Z4\n(Tool 7: the ball)\nM0\nM1\nM30\n";
    let done = machining::replay_under(&read(text).unwrap(), 1, 30.0).unwrap();
    let kinds: Vec<EventKind> = done
        .events
        .iter()
        .map(|e| e.kind)
        .filter(|k| !matches!(k, EventKind::Mode(_)))
        .collect();
    assert_eq!(
        kinds,
        [
            EventKind::Length(None),
            EventKind::Select(3),
            EventKind::Tool(3),
            EventKind::Length(Some(3)),
            EventKind::Coolant(true),
            EventKind::Blend(Some(0.02)),
            EventKind::Coolant(false),
            EventKind::Machine(Some(0.0)),
            EventKind::Stored(280),
            EventKind::ToolByHand(7),
            EventKind::OptionalPause,
            EventKind::End
        ]
    );
    let to: Vec<_> = done.motions.iter().map(|m| m.to).collect();
    let (up, over) = ([1.0, 2.0, 30.0], [5.0, 2.0, 30.0]);
    assert_eq!(
        to,
        [
            [0.0, 0.0, 20.0],
            [1.0, 0.0, 20.0],
            [1.0, 2.0, 20.0],
            up,
            over,
            over,
            [5.0, 2.0, 4.0]
        ]
    );
    let blind: Vec<_> = done.blind.iter().map(|b| (b.motion, b.unknown, b.machine)).collect();
    assert_eq!(
        blind,
        [
            (0, [true; 3], false),
            (1, [true, true, false], false),
            (2, [false, true, false], false),
            (3, [false; 3], true),
            (5, [false; 3], true),
            (6, [true, true, false], false)
        ]
    );
    // A step from a place that nobody knows ends at one.
    let done = run("G91\nG0 Z5\nZ5\n");
    assert_eq!(done.blind.len(), 2);
}

#[test]
fn what_cannot_be_carried_out() {
    type Test = fn(&ReplayFault) -> bool;
    let cases: [(&str, u32, Test); 22] = [
        ("G1 X1\n", 1, |f| *f == ReplayFault::NoFeed),
        ("X1\n", 1, |f| *f == ReplayFault::NoMotion),
        ("G0 X1\nG80\nX2\n", 3, |f| *f == ReplayFault::NoMotion),
        ("G0\n", 1, |f| matches!(f, ReplayFault::NoCoordinates(_))),
        ("G2 X1 F10\n", 1, |f| matches!(f, ReplayFault::Arc(_))),
        ("G19\nG2 X1 I1 F10\n", 2, |f| matches!(f, ReplayFault::Arc(_))),
        ("G0 X1 I2\n", 1, |f| *f == ReplayFault::Unused('I')),
        ("P2\n", 1, |f| *f == ReplayFault::Unused('P')),
        ("G20 F10\n", 1, |f| *f == ReplayFault::UnitsAndFeed),
        ("G93\n", 1, |f| *f == ReplayFault::InverseTime),
        ("F-1\n", 1, |f| *f == ReplayFault::Negative('F')),
        ("T1.5\n", 1, |f| matches!(f, ReplayFault::ToolNumber(_))),
        ("M6\n", 1, |f| *f == ReplayFault::NoTool),
        ("M3\n", 1, |f| *f == ReplayFault::NoSpeed),
        ("M30\nG0 X1\n", 2, |f| *f == ReplayFault::AfterEnd),
        ("G43\n", 1, |f| *f == ReplayFault::NoLength),
        ("G43 H1.5\n", 1, |f| *f == ReplayFault::LengthNumber(1.5)),
        ("H1\n", 1, |f| *f == ReplayFault::Unused('H')),
        ("G4 G64 P1\n", 1, |f| *f == ReplayFault::SharedP),
        ("G1 G53 Z0 F9\n", 1, |f| *f == ReplayFault::MachineFeed),
        ("G0 G53\n", 1, |f| matches!(f, ReplayFault::NoCoordinates(_))),
        ("G0 G28 Z1\n", 1, |f| matches!(f, ReplayFault::TwoMotions(..))),
    ];
    for (text, line, test) in cases {
        let (at, what) = fault(text);
        assert!(at == line && test(&what), "{text:?}: line {at}, {what:?}");
    }
}

proptest! {
    /// Incremental and absolute programs of the same places are the same motions.
    #[test]
    fn incremental_equals_absolute(places in prop::collection::vec((-50.0..50.0f64, -50.0..50.0f64, -5.0..5.0f64), 1..20)) {
        let mut absolute = String::from("G90\nG0 X0 Y0 Z0\n");
        let mut steps = String::from("G91\nG0 X0 Y0 Z0\n");
        let mut at = (0.0, 0.0, 0.0);
        for p in places {
            let p = ((p.0 * 1e3).round() / 1e3, (p.1 * 1e3).round() / 1e3, (p.2 * 1e3).round() / 1e3);
            absolute += &format!("G1 X{:.3} Y{:.3} Z{:.3} F10\n", p.0, p.1, p.2);
            steps += &format!("G1 X{:.3} Y{:.3} Z{:.3} F10\n", p.0 - at.0, p.1 - at.1, p.2 - at.2);
            at = p;
        }
        for (a, b) in run(&absolute).motions.iter().zip(&run(&steps).motions) {
            prop_assert!(a.to.iter().zip(&b.to).all(|(a, b)| (a - b).abs() < 1e-6));
        }
    }

    /// However an arc is written, it turns the same: by centre, by radius, and mirrored.
    #[test]
    fn centre_and_radius_agree(r in 0.5..20.0f64, start in 0.0..TAU, turn in 0.05..6.2f64, clockwise: bool) {
        let sign = if clockwise { -1.0 } else { 1.0 };
        let end = start + sign * turn;
        let (x0, y0) = (r * start.cos(), r * start.sin());
        let (x1, y1) = (r * end.cos(), r * end.sin());
        let word = if clockwise { "G2" } else { "G3" };
        let by_centre = last(&format!("G0 X{x0:.9} Y{y0:.9}\n{word} X{x1:.9} Y{y1:.9} I{:.9} J{:.9} F9\n", -x0, -y0));
        let signed = if turn > TAU / 2.0 { -r } else { r };
        let by_radius = last(&format!("G0 X{x0:.9} Y{y0:.9}\n{word} X{x1:.9} Y{y1:.9} R{signed:.9} F9\n"));
        let turn_of = |m: Motion| match m.kind { MotionKind::Arc { turn, .. } => turn, _ => 0.0 };
        prop_assert!((turn_of(by_centre) - turn).abs() < 1e-6);
        // Near the half circle the radius says little about the centre.
        if (turn - TAU / 2.0).abs() > 0.1 {
            prop_assert!((turn_of(by_radius) - turn).abs() < 1e-4);
        }
    }
}
