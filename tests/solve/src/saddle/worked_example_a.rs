//! A survey and its full solution computed independently of this project, in double precision by scipy root finding from the
//! equations of the design: an invented parlour guitar with a through saddle that leans forward (worked example A of the
//! project's design papers). Tolerances as given there: places 0.0005 mm, axes 1e-6, tension 0.01 N, cents 0.005.

use fixtures::PARLOUR;
use instrument::NutReading;
use saddle::{Hold, Plan, Ridge, SaddleSurvey, plan};
use strings::{Criterion, rms};

/// Bass to treble: number, Hz, gauge mm, core mm (0: plain), first-fret clearance, action 12 now, target, g/m, E A in N, E I in N mm2.
const STRINGS: [[f64; 10]; 6] = [
    [
        6.0, 82.4069, 1.35, 0.45, 0.55, 2.9, 2.4, 10.042306, 31808.6256, 402.5779,
    ],
    [5.0, 110.0, 1.07, 0.4, 0.52, 2.75, 2.3, 6.332775, 25132.7412, 251.3274],
    [
        4.0, 146.8324, 0.81, 0.36, 0.48, 2.6, 2.2, 3.657023, 20357.5204, 164.8959,
    ],
    [
        3.0, 195.9977, 0.61, 0.33, 0.45, 2.45, 2.1, 2.100133, 17105.972, 116.4275,
    ],
    [2.0, 246.9417, 0.41, 0.0, 0.4, 2.3, 2.0, 1.0364, 26405.0863, 277.4184],
    [1.0, 329.6276, 0.3, 0.0, 0.36, 2.2, 1.9, 0.554884, 14137.1669, 79.5216],
];

const ORIGIN: [f64; 3] = [612.758809, -27.473023, -5.174875];
const E_U: [f64; 3] = [-0.042330938, 0.999077375, 0.007244987];
const E_B: [f64; 3] = [0.986850952, 0.040678521, 0.156430359];
const E_V: [f64; 3] = [-0.155991317, -0.013771566, 0.987662418];

/// One solved string: u, b, v, x, z, setback, wanted setback, nut z, tension, then cents at frets 1 to 12, then their RMS.
type Solution = ([f64; 9], [f64; 12], f64, Hold);

const OCTAVE: [Solution; 6] = [
    (
        [
            -0.0909, 2.85, 8.46715, 614.25438, 3.63298, 4.25438, 4.88035, -0.30237, 102.9283,
        ],
        [
            1.2586, 1.5415, 1.8004, 2.0055, 2.1543, 2.2486, 2.2906, 2.2829, 2.2276, 2.1266, 1.9815, 1.7936,
        ],
        2.0002,
        Hold::Back,
    ),
    (
        [
            10.97157, 2.4731, 8.86437, 613.35219, 4.04649, 3.35219, 3.35219, 0.055, 115.3128,
        ],
        [
            0.7308, 0.8576, 0.9583, 1.0161, 1.0299, 1.0008, 0.9304, 0.82, 0.671, 0.4842, 0.2603, 0.0,
        ],
        0.7944,
        Hold::Free,
    ),
    (
        [
            22.01986, 2.12609, 8.96108, 612.52697, 4.16777, 2.52697, 2.52697, 0.19713, 118.3315,
        ],
        [
            0.4825, 0.5943, 0.6793, 0.7298, 0.746, 0.7293, 0.6809, 0.6021, 0.4939, 0.3571, 0.1923, 0.0,
        ],
        0.5703,
        Hold::Free,
    ),
    (
        [
            33.04565, 2.00958, 8.70597, 611.98506, 3.97746, 1.98506, 1.98506, 0.16665, 120.8669,
        ],
        [
            0.3505, 0.445, 0.5156, 0.5582, 0.5733, 0.5622, 0.526, 0.4659, 0.3826, 0.2769, 0.1492, 0.0,
        ],
        0.4361,
        Hold::Free,
    ),
    (
        [
            44.02899, 2.85, 8.02411, 612.45585, 3.51505, 2.45585, 3.53698, -0.05457, 94.8288,
        ],
        [
            0.6926, 1.0904, 1.4445, 1.7555, 2.0268, 2.2624, 2.4656, 2.6395, 2.7871, 2.9107, 3.0126, 3.0948,
        ],
        2.3095,
        Hold::Back,
    ),
    (
        [
            55.04608, 2.58151, 7.20193, 611.85278, 2.74083, 1.85278, 1.85278, -0.42788, 90.2848,
        ],
        [
            0.2096, 0.329, 0.4156, 0.4714, 0.4984, 0.4983, 0.4728, 0.4231, 0.3501, 0.2549, 0.138, 0.0,
        ],
        0.3711,
        Hold::Free,
    ),
];

const BEST_FIT: [Solution; 6] = [
    (
        [
            -0.0909, 2.85, 8.46715, 614.25438, 3.63298, 4.25438, 5.33835, -0.30237, 102.9283,
        ],
        [
            1.2586, 1.5415, 1.8004, 2.0055, 2.1543, 2.2486, 2.2906, 2.2829, 2.2276, 2.1266, 1.9815, 1.7936,
        ],
        2.0002,
        Hold::Back,
    ),
    (
        [
            10.95562, 2.77505, 8.81868, 613.65797, 4.04848, 3.65797, 3.65797, 0.055, 115.4278,
        ],
        [
            0.6778, 0.7495, 0.7918, 0.7877, 0.7361, 0.6379, 0.4942, 0.3063, 0.0752, -0.1985, -0.5143, -0.872,
        ],
        0.6208,
        Hold::Free,
    ),
    (
        [
            22.00952, 2.34622, 8.92776, 612.74984, 4.16921, 2.74984, 2.74984, 0.19713, 118.4176,
        ],
        [
            0.4442, 0.5159, 0.5584, 0.5639, 0.5325, 0.4654, 0.3636, 0.2283, 0.0603, -0.1398, -0.3716, -0.6348,
        ],
        0.4418,
        Hold::Free,
    ),
    (
        [
            33.03873, 2.17931, 8.68022, 612.15686, 3.97853, 2.15686, 2.15686, 0.16665, 120.9347,
        ],
        [
            0.3211, 0.3847, 0.4226, 0.4305, 0.409, 0.3591, 0.2818, 0.1782, 0.0488, -0.1058, -0.2851, -0.489,
        ],
        0.3362,
        Hold::Free,
    ),
    (
        [
            44.02899, 2.85, 8.02411, 612.45585, 3.51505, 2.45585, 3.83394, -0.05457, 94.8288,
        ],
        [
            0.6926, 1.0904, 1.4445, 1.7555, 2.0268, 2.2624, 2.4656, 2.6395, 2.7871, 2.9107, 3.0126, 3.0948,
        ],
        2.3095,
        Hold::Back,
    ),
    (
        [
            55.04195, 2.73183, 7.17895, 612.00488, 2.74162, 2.00488, 2.00488, -0.42788, 90.3297,
        ],
        [
            0.1837, 0.2757, 0.3333, 0.3585, 0.353, 0.3186, 0.2567, 0.1684, 0.0547, -0.0838, -0.2464, -0.4329,
        ],
        0.2781,
        Hold::Free,
    ),
];

/// The guitar of the fixtures, its strings as tabled above.
fn survey(criterion: Criterion) -> SaddleSurvey {
    let mut survey = PARLOUR.survey(criterion);
    for (s, row) in survey.strings.iter_mut().zip(STRINGS) {
        let [
            number,
            frequency,
            gauge,
            _,
            clearance,
            action_12,
            target,
            density,
            axial,
            bending,
        ] = row;
        assert_eq!(
            (f64::from(s.number), s.frequency, s.model.outer_diameter),
            (number, frequency, gauge)
        );
        assert!((s.model.linear_density - density).abs() < 1e-6);
        let strings::Stiffness::Elastic { axial: ea, bending: ei } = s.model.stiffness else {
            panic!("elastic")
        };
        assert!((ea - axial).abs() < 1e-4 && (ei - bending).abs() < 1e-4);
        s.present_nut = Some(NutReading::Open { clearance, action_12 });
        s.target_action = target;
    }
    survey
}

fn check(plan: &Plan, solutions: &[Solution; 6]) {
    let near = |got: f64, want: f64, tolerance: f64, what: &str| {
        assert!((got - want).abs() <= tolerance, "{what}: {got} against {want}");
    };
    for (i, axis) in ["x", "y", "z"].iter().enumerate() {
        near(plan.frame.origin[i], ORIGIN[i], 0.0005, &format!("origin {axis}"));
        near(plan.frame.e_u[i], E_U[i], 1e-6, &format!("e_u {axis}"));
        near(plan.frame.e_b[i], E_B[i], 1e-6, &format!("e_b {axis}"));
        near(plan.frame.e_v[i], E_V[i], 1e-6, &format!("e_v {axis}"));
    }
    for (string, ([u, b, v, x, z, setback, wanted, nut_z, tension], cents, rms_cents, hold)) in
        plan.strings.iter().zip(solutions)
    {
        let name = |what: &str| format!("string {} {what}", string.number);
        near(string.contact.u, *u, 0.0005, &name("u"));
        near(string.contact.b, *b, 0.0005, &name("b"));
        near(string.contact.v, *v, 0.0005, &name("v"));
        near(string.position.x, *x, 0.0005, &name("x"));
        near(string.position.z, *z, 0.0005, &name("z"));
        near(string.setback, *setback, 0.0005, &name("setback"));
        near(string.setback_wanted, *wanted, 0.0005, &name("wanted setback"));
        near(string.nut.z, *nut_z, 0.0005, &name("nut z"));
        near(string.tension, *tension, 0.01, &name("tension"));
        for (fret, (got, want)) in string.cents.iter().zip(cents).enumerate() {
            near(*got, *want, 0.005, &name(&format!("cents at fret {}", fret + 1)));
        }
        near(rms(&string.cents), *rms_cents, 0.005, &name("rms"));
        assert_eq!(string.hold, *hold, "{}", name("hold"));
    }
}

#[test]
fn octave() {
    check(&plan(&survey(Criterion::Octave)).unwrap(), &OCTAVE);
}

#[test]
fn best_fit() {
    check(&plan(&survey(Criterion::BestFit)).unwrap(), &BEST_FIT);
}

/// The real end of the taut string is the planned contact, to 1 micrometre.
#[test]
fn the_string_ends_on_the_planned_contact() {
    for ridge in [Ridge::Smooth, Ridge::Stepped] {
        let mut survey = survey(Criterion::Octave);
        survey.crown.ridge = ridge;
        for string in &plan(&survey).unwrap().strings {
            assert!(
                string.termination.from_planned < 0.001,
                "string {}: {:?}",
                string.number,
                string.termination
            );
        }
    }
}
