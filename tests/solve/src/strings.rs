//! Against M. B. Anderson, R. G. Beausoleil, "Classical guitar intonation and compensation: the well-tempered guitar",
//! J. Acoust. Soc. Am. 156(1), 683 (2024): the paper's normal-tension nylon set and its predicted setbacks.
//! Its geometry: scale 650 mm, nut 1 mm above the fret plane, saddle 4 mm above the nut and kept at that height while
//! it moves, no relief, finger pressing at the fret.

use strings::{Criterion, Ends, FrettedString, Point, SaddleHeight, Stiffness, StringModel, rms, setback};

/// Note; radius mm, density g/m, tension N, R, saddle setback mm, nut setback mm, rms cents.
const SET: [(&str, [f64; 7]); 6] = [
    ("E4", [0.356, 0.374, 68.6, 23.6, 1.48, -0.36, 0.15]),
    ("B3", [0.409, 0.505, 52.0, 23.8, 1.69, -0.36, 0.15]),
    ("G3", [0.512, 0.836, 54.2, 28.8, 2.33, -0.43, 0.19]),
    ("D3", [0.368, 1.920, 70.0, 22.5, 1.48, -0.34, 0.14]),
    ("A2", [0.445, 3.289, 67.3, 23.9, 1.82, -0.36, 0.15]),
    ("E2", [0.546, 5.470, 62.8, 28.6, 2.46, -0.43, 0.19]),
];

#[test]
fn setbacks_and_rms_of_the_normal_tension_set() {
    for (note, [radius, density, tension, response, saddle, nut, rms_cents]) in SET {
        let model = StringModel {
            outer_diameter: 2.0 * radius,
            linear_density: density,
            stiffness: Stiffness::from_response(response),
        };
        let frequency = strings::frequency(note, 440.0).unwrap();
        let crowns = std::array::from_fn(|i| Point {
            x: 650.0 * (1.0 - (-(i as f64 + 1.0) / 12.0).exp2()),
            z: 0.0,
        });
        let string = FrettedString {
            model,
            frequency,
            fret_0: 0.0,
            scale: 650.0,
            crowns,
            press: 0.0,
            ends: Ends::PUBLISHED,
        };
        let height = SaddleHeight::Level(5.0);
        let found = setback(&string, Point { x: 0.0, z: 1.0 }, height, Criterion::BestFitWithNut).unwrap();
        assert!(
            (found.saddle - saddle).abs() < 0.03,
            "{note}: saddle {} against {saddle}",
            found.saddle
        );
        assert!(
            (found.nut - nut).abs() < 0.03,
            "{note}: nut {} against {nut}",
            found.nut
        );
        let nut_at = Point { x: -found.nut, z: 1.0 };
        let left = rms(&string.cents(nut_at, height.contact(nut_at, 650.0 + found.saddle)));
        // The paper prints two decimals: half a unit of the last beside the tolerance.
        assert!(
            (left - rms_cents).abs() < 0.01,
            "{note}: rms {left} against {rms_cents}"
        );
        // The paper's tensions are its own computation of 4 mu L^2 f^2, printed to 0.1 N.
        assert!(
            (model.tension(650.0, frequency) - tension).abs() < 0.15,
            "{note}: {}",
            model.tension(650.0, frequency)
        );
    }
}

/// Worked example 16.5 of OpenStax, "University Physics Volume 1", section 16.3 "Wave Speed on a Stretched String": a guitar's
/// high E string of 3.09e-4 kg/m under 56.40 N carries waves at 427.23 m/s; a low E string of 5.78e-3 kg/m needs
/// 1055.00 N for the same speed. The fundamental of a string of length L is v / 2 L.
#[test]
fn tension_of_the_handbook_strings() {
    for (density, tension) in [(0.309, 56.40), (5.78, 1055.00)] {
        let model = StringModel {
            outer_diameter: 0.3,
            linear_density: density,
            stiffness: Stiffness::from_response(20.0),
        };
        let fundamental = 427.23 / (2.0 * 0.648);
        let found = model.tension(648.0, fundamental);
        assert!((found / tension - 1.0).abs() < 1e-4, "{found} N against {tension} N");
    }
}
