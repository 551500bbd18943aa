//! The strings that are made up, against the formula: where the bridge holds they stand on it, and where it yields as a mass, by its rule.

use fixtures::{Body, BodyMode, StiffString};
use std::f64::consts::{PI, TAU};

/// A low E of a light set, hinged at both ends.
const LOW_E: StiffString = StiffString {
    length: 0.648,
    tension: 78.7,
    mass: 6.9e-3,
    bending: 430e-6,
    axial: 33e3,
    clamp: 0.0,
    loss: [0.0, 0.0, 0.0],
};

fn cents(a: f64, b: f64) -> f64 {
    1200.0 * (a / b).log2()
}

#[test]
fn with_a_bridge_that_holds_partials_stand_on_the_formula() {
    for string in [
        LOW_E,
        LOW_E.sharper(400.0),
        StiffString {
            bending: 85e-6,
            mass: 0.57e-3,
            ..LOW_E
        },
    ] {
        for mode in string.modes(&Body::still(), 40, 0.2) {
            let off = cents(mode.omega.re / TAU, string.formula(mode.partial));
            assert!(off.abs() < 0.001, "partial {}: {off} cents", mode.partial);
        }
        let held = string.held();
        assert!(cents(held.pitch, string.limp()).abs() < 1e-6);
        assert!((held.inharmonicity / string.inharmonicity() - 1.0).abs() < 1e-6);
    }
}

/// Losses that are usual move no partial by a tenth of what is asked.
#[test]
fn losses_move_no_partial() {
    let string = StiffString {
        loss: [0.5, 0.25, 0.4],
        ..LOW_E
    };
    for mode in string.modes(&Body::still(), 30, 0.2) {
        let off = cents(mode.omega.re / TAU, string.formula(mode.partial));
        assert!(off.abs() < 0.005, "partial {}: {off} cents", mode.partial);
        assert!((mode.omega.im / string.decay_of(mode.partial) - 1.0).abs() < 1e-4);
    }
}

/// A clamped end: `f0 (1 + 2 sqrt(B)/pi + ...)` for both ends (H. Fletcher, J. Acoust. Soc. Am. 36, 203 (1964)), half of it for one.
#[test]
fn a_clamped_nut_makes_the_string_as_if_shorter() {
    let clamped = StiffString { clamp: 1.0, ..LOW_E };
    let reach = (LOW_E.bending / LOW_E.tension).sqrt() / LOW_E.length;
    let want = cents(1.0 + reach, 1.0);
    let found = cents(clamped.held().pitch, LOW_E.limp());
    assert!((found - want).abs() < 0.02 * want, "{found} {want}");
}

/// Far above a body's resonances it is a mass M at the end: partial n is pulled by `Z / (pi n omega M)`, Z the string's impedance.
#[test]
fn above_its_resonances_a_body_is_a_mass() {
    let body = Body {
        modes: vec![BodyMode {
            frequency: 8.0,
            quality: 30.0,
            per_mass: 1.0 / 0.4,
        }],
        rest: 0.0,
    };
    let impedance = (LOW_E.tension * LOW_E.mass).sqrt();
    for mode in LOW_E.modes(&body, 15, 0.2).iter().filter(|mode| mode.partial > 2) {
        let n = f64::from(u32::try_from(mode.partial).unwrap());
        let rigid = LOW_E.formula(mode.partial);
        let want = 1200.0 / std::f64::consts::LN_2 * impedance * 2.5 / (PI * n * TAU * rigid);
        let found = cents(mode.omega.re / TAU, rigid);
        assert!((found - want).abs() < 0.03 * want, "partial {n}: {found} {want}");
    }
}

/// A resonance above a partial pulls it flat, one below it sharp, and string and body answer to the same force alike: what is heard of
/// a pluck at one place is the step's answer of the sum of modes, which begins at rest.
#[test]
fn a_resonance_pushes_partials_away() {
    let at = |frequency: f64| Body {
        modes: vec![BodyMode {
            frequency,
            quality: 40.0,
            per_mass: 0.5,
        }],
        rest: 0.0,
    };
    let second = LOW_E.formula(2);
    let pulled = |body: &Body| LOW_E.pulls(body)[1];
    assert!(pulled(&at(0.8 * second)) > 0.2);
    assert!(pulled(&at(1.25 * second)) < -0.1);
    let modes = LOW_E.modes(&at(0.8 * second), 60, 0.7);
    // The bridge hears nothing until the wave has come to it, a fifth of a period and more.
    let heard = |t: f64| -> f64 {
        let each = modes
            .iter()
            .map(|mode| mode.heard * (nalgebra::Complex::<f64>::i() * mode.omega * t).exp());
        each.map(|v| v.re).sum()
    };
    let loud = (0..200).map(|i| heard(f64::from(i) * 1e-4).abs()).fold(0.0, f64::max);
    let early = 0.05 / LOW_E.limp();
    assert!(heard(early).abs() < 0.02 * loud, "{} of {loud}", heard(early));
}
