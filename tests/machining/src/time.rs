//! Durations against hand-worked moves.

#![allow(clippy::unwrap_used)] // helpers of tests

use std::f64::consts::PI;

use fixtures::machine;
use machining::{Machine, Motion, MotionKind, durations, read, replay};
use proptest::prelude::*;

/// 200 mm/s2 in X and Y, 100 in Z; 50 mm/s rapids in X and Y, 25 in Z.
fn seconds(text: &str, machine: &Machine) -> Vec<f64> {
    durations(&replay(&read(text).unwrap(), 1).unwrap().motions, &[], machine)
}

fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-9, "{a} for {b}");
}

/// 600 mm/min is 10 mm/s: 0.05 s and 0.25 mm to reach it, and to lose it; 9.5 mm at speed.
#[test]
fn trapezoid() {
    near(seconds("G1 X10 F600\n", &machine())[0], 0.05 + 0.95 + 0.05);
}

/// 0.32 mm is too short to reach 10 mm/s: half of it up to sqrt(200 * 0.32) = 8 mm/s, in 0.04 s, and down again.
#[test]
fn triangle() {
    near(seconds("G1 X0.32 F600\n", &machine())[0], 0.08);
}

/// A rapid on the diagonal is held by neither axis passing its own rate: 50 sqrt 2 mm/s and 200 sqrt 2 mm/s2.
#[test]
fn diagonal_rapid() {
    let (v, a) = (50.0 * 2f64.sqrt(), 200.0 * 2f64.sqrt());
    near(
        seconds("G0 X100 Y100\n", &machine())[0],
        100.0 * 2f64.sqrt() / v + v / a,
    );
}

/// Down in Z the slower axis holds: 25 mm/s at 100 mm/s2.
#[test]
fn rapid_in_z() {
    near(seconds("G0 Z-50\n", &machine())[0], 50.0 / 25.0 + 0.25);
}

/// Two moves in line are one.
#[test]
fn no_corner_in_line() {
    let times = seconds("G1 X4 F600\nX10\n", &machine());
    near(times[0] + times[1], 1.05);
    near(times[0], 0.05 + 3.75 / 10.0);
}

/// A right angle with a deviation of 0.01 mm at 200 mm/s2: c = sqrt(1/2), r = 0.01 c/(1 - c), v = sqrt(200 r).
#[test]
fn right_angle() {
    let c = 0.5f64.sqrt();
    let v = (200.0 * 0.01 * c / (1.0 - c)).sqrt();
    let leg = (10.0 / 200.0) + (10.0 - v) / 200.0 + (10.0 - 0.25 - (100.0 - v * v) / 400.0) / 10.0;
    let times = seconds("G1 X10 F600\nY10\n", &machine());
    near(times[0], leg);
    near(times[1], leg);
    // With no deviation it stops, and so it does where it turns back.
    let exact = Machine {
        corner: 0.0,
        ..machine()
    };
    near(seconds("G1 X10 F600\nY10\n", &exact)[0], 1.05);
    near(seconds("G1 X10 F600\nX0\n", &machine())[0], 1.05);
}

/// Look-ahead over many short moves: the stop at the end is seen from afar.
#[test]
fn look_ahead_over_short_moves() {
    let mut text = String::from("F600\n");
    for k in 1..=100 {
        text += &format!("G1 X{:.1}\n", f64::from(k) / 10.0);
    }
    near(seconds(&text, &machine()).iter().sum(), 1.05);
}

/// A full circle of 10 mm radius at 10 mm/s: accelerations of the tangent as on a line; 100/10 = 10 mm/s2 inward is allowed.
#[test]
fn circle() {
    near(
        seconds("G2 I10 F600\n", &machine())[0],
        0.05 + (20.0 * PI - 0.5) / 10.0 + 0.05,
    );
    // At 0.1 mm radius the inward pull holds it to sqrt(200 * 0.1) mm/s.
    let v = 20f64.sqrt();
    near(seconds("G2 I0.1 F600\n", &machine())[0], 0.2 * PI / v + v / 200.0);
}

#[test]
fn stops_are_kept() {
    let motions = replay(&read("G1 X4 F600\nX10\n").unwrap(), 1).unwrap().motions;
    let whole: f64 = durations(&motions, &[], &machine()).iter().sum();
    let stopped: f64 = durations(&motions, &[0], &machine()).iter().sum();
    near(stopped - whole, 0.05);
}

proptest! {
    /// No faster than the feed, and no slower than stopping at every corner.
    #[test]
    fn between_two_bounds(points in prop::collection::vec((-20.0..20.0f64, -20.0..20.0f64, -5.0..5.0f64), 2..30), feed in 50.0..2000.0f64) {
        let motions: Vec<Motion> = points.windows(2).map(|w| Motion {
            from: [w[0].0, w[0].1, w[0].2],
            to: [w[1].0, w[1].1, w[1].2],
            kind: MotionKind::Line,
            feed,
            spindle: 1e4,
            tool: 1,
            line: 1,
        }).collect();
        let all: Vec<usize> = (0..motions.len()).collect();
        let stopping: f64 = durations(&motions, &all, &machine()).iter().sum();
        let times = durations(&motions, &[], &machine());
        let sum: f64 = times.iter().sum();
        prop_assert!(sum <= stopping + 1e-9);
        for (time, motion) in times.iter().zip(&motions) {
            prop_assert!(*time >= motion.length() / (feed / 60.0) - 1e-9);
        }
    }
}
