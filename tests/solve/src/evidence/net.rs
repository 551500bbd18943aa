//! A plane net of directions and distances, adjusted free.
//!
//! Numbers of `tests/gama-local/input/sef1.gkf` (observations and approximate coordinates) and `sef1.xml` (what the adjustment printed), GNU Gama,
//! github.com/gitGNU/gnu_gama; the description there names Reza Ghoddousi-Fard.
//!
//! Of a free net no reading says where it lies or how it is turned. That is said here by three readings with next to no uncertainty: the corrections
//! of the approximate coordinates sum to nought in x, in y and in turning (inner constraints). They are the fewest that will do, so that nothing
//! checks them, and residuals, checked shares and tests are those of any other choice; coordinates and covariance are those that were printed.

use evidence::{Estimate, Model, Reading, adjust};
use nalgebra::{DMatrix, DVector};

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    /// Gon, clockwise, of a circle that stands at any turn on its point.
    Direction,
    /// Metres.
    Distance,
}
use Kind::{Direction, Distance};

/// From, to, observed, adjusted (shortened to 1e-7), `f` and standardised residual as printed.
const OBSERVED: [(Kind, usize, usize, f64, f64, f64, f64); 41] = [
    (Direction, 1, 2, 0.000000, 399.9999335, 50.231, 0.831),
    (Direction, 1, 4, 31.697272, 31.6972879, 52.921, 0.196),
    (Direction, 1, 6, 42.944778, 42.9448898, 52.906, 1.373),
    (Direction, 1, 5, 70.089781, 70.0898570, 53.459, 0.930),
    (Direction, 1, 3, 99.371895, 99.3717578, 50.588, 1.710),
    (Distance, 1, 3, 479.4903, 479.4904236, 20.705, 0.769),
    (Distance, 1, 5, 973.3437, 973.3437206, 30.947, 0.108),
    (Distance, 1, 6, 983.1419, 983.1416445, 30.983, 1.339),
    (Distance, 1, 2, 502.4023, 502.4022521, 19.376, 0.307),
    (Distance, 1, 4, 650.9058, 650.9060036, 32.666, 1.044),
    (Direction, 2, 4, 0.000000, 399.9999556, 40.188, 0.601),
    (Direction, 2, 5, 18.518960, 18.5190746, 47.144, 1.462),
    (Direction, 2, 3, 65.183762, 65.1838011, 47.753, 0.497),
    (Direction, 2, 1, 113.998034, 113.9979248, 43.600, 1.433),
    (Distance, 2, 3, 691.0610, 691.0608729, 27.152, 0.703),
    (Distance, 2, 5, 870.0721, 870.0721250, 28.313, 0.136),
    (Distance, 2, 4, 318.5303, 318.5302305, 25.189, 0.397),
    (Direction, 3, 1, 0.000000, 399.9999592, 47.773, 0.518),
    (Direction, 3, 2, 51.813951, 51.8140112, 52.156, 0.743),
    (Direction, 3, 4, 82.231880, 82.2319248, 52.764, 0.551),
    (Direction, 3, 6, 111.740852, 111.7409383, 51.758, 1.067),
    (Direction, 3, 5, 146.962472, 146.9623215, 50.114, 1.882),
    (Distance, 3, 4, 591.6779, 591.6780325, 28.135, 0.723),
    (Distance, 3, 6, 774.8489, 774.8488775, 28.016, 0.123),
    (Distance, 3, 5, 583.8668, 583.8669090, 24.088, 0.635),
    (Direction, 4, 5, 0.000000, 399.9999550, 41.347, 0.602),
    (Direction, 4, 3, 66.875719, 66.8756815, 46.383, 0.481),
    (Direction, 4, 1, 116.969225, 116.9692461, 46.676, 0.270),
    (Direction, 4, 2, 171.273861, 171.2739224, 37.430, 0.853),
    (Distance, 4, 5, 572.2641, 572.2638317, 29.330, 1.438),
    (Distance, 4, 6, 360.9761, 360.9763790, 25.373, 1.589),
    (Direction, 5, 3, 0.000000, 0.0000755, 51.257, 0.936),
    (Direction, 5, 1, 23.755682, 23.7558124, 52.985, 1.601),
    (Direction, 5, 2, 58.187080, 58.1870387, 53.176, 0.506),
    (Direction, 5, 4, 68.394012, 68.3939523, 52.605, 0.734),
    (Direction, 5, 6, 111.655849, 111.6557441, 47.840, 1.332),
    (Distance, 5, 6, 414.0729, 414.0730925, 13.473, 1.456),
    (Direction, 6, 5, 0.000000, 0.0000963, 43.046, 1.270),
    (Direction, 6, 3, 53.123142, 53.1230445, 48.004, 1.236),
    (Direction, 6, 1, 84.955241, 84.9551975, 47.158, 0.555),
    (Direction, 6, 4, 105.485275, 105.4853196, 40.656, 0.601),
];

const APPROXIMATE: [(f64, f64); 6] = [
    (1245.6615, 564.1391),
    (965.2758, 147.2527),
    (845.1657, 827.7976),
    (668.5546, 263.0875),
    (279.5796, 682.8368),
    (307.6384, 269.7137),
];

/// Adjusted coordinates (m, shortened to 1e-7) and their variances (mm^2).
const ADJUSTED: [(f64, f64, f64, f64); 6] = [
    (1245.6595924, 564.1377984, 1.2647302e-2, 1.6096107e-2),
    (965.2754358, 147.2532250, 2.2537135e-2, 1.6384056e-2),
    (845.1657848, 827.7962448, 1.4815381e-2, 1.6109444e-2),
    (668.5549994, 263.0914328, 1.2992676e-2, 2.1224045e-2),
    (279.5804181, 682.8350072, 1.3932763e-2, 1.4757221e-2),
    (307.6393695, 269.7136918, 2.0184345e-2, 2.0476105e-2),
];
/// Variances of the circles' turns (1e-8 gon^2).
const TURNS: [f64; 6] = [
    1.8605110e-1,
    2.4183556e-1,
    1.7816494e-1,
    2.2713974e-1,
    1.8460243e-1,
    2.4556620e-1,
];

const GON: f64 = std::f64::consts::PI / 200.0;
/// Of a direction, 0.7e-4 gon; of a distance, 0.2 mm.
const DIRECTION: f64 = 0.7e-4;
const DISTANCE: f64 = 0.2e-3;
/// Of the inner constraints: metres, of turning as well, at a kilometre.
const NOTHING: f64 = 2e-8;
const KILOMETRE: f64 = 1000.0;
const READINGS: usize = OBSERVED.len() + 3;

/// Corrections of the approximate coordinates (m), then the turns of the circles (gon).
struct Net {
    /// As the print was made: by one linear step from the approximate coordinates, which are off by up to 4 mm.
    one_step: bool,
}

fn bearing(dx: f64, dy: f64) -> f64 {
    dx.atan2(dy) / GON
}

/// An angle between -200 and 200 gon.
fn near_nought(gon: f64) -> f64 {
    gon - 400.0 * (gon / 400.0).round()
}

impl Model for Net {
    fn states(&self) -> usize {
        18
    }

    fn expect(&self, state: &[f64], expected: &mut DVector<f64>, slopes: &mut DMatrix<f64>) {
        if self.one_step {
            let start = start();
            curved(&start, expected, slopes);
            let gone = DVector::from_iterator(18, state.iter().zip(&start).map(|(to, from)| to - from));
            expected.gemv(1.0, slopes, &gone, 1.0);
        } else {
            curved(state, expected, slopes);
        }
    }
}

fn curved(state: &[f64], expected: &mut DVector<f64>, slopes: &mut DMatrix<f64>) {
    for (i, &(kind, from, to, observed, ..)) in OBSERVED.iter().enumerate() {
        let (a, b) = (2 * (from - 1), 2 * (to - 1));
        let ((ax, ay), (bx, by)) = (APPROXIMATE[from - 1], APPROXIMATE[to - 1]);
        let dx = bx - ax + (state[b] - state[a]);
        let dy = by - ay + (state[b + 1] - state[a + 1]);
        let far = dx.hypot(dy);
        let (by_x, by_y) = match kind {
            Distance => {
                expected[i] = far;
                (dx / far, dy / far)
            }
            Direction => {
                let turn = 11 + from;
                expected[i] = observed + near_nought(bearing(dx, dy) - state[turn] - observed);
                slopes[(i, turn)] = -1.0;
                (dy / (far * far * GON), -dx / (far * far * GON))
            }
        };
        for (column, value) in [(b, by_x), (b + 1, by_y), (a, -by_x), (a + 1, -by_y)] {
            slopes[(i, column)] = value;
        }
    }
    let row = OBSERVED.len();
    for (point, (x, y)) in APPROXIMATE.into_iter().enumerate() {
        let (dx, dy) = (state[2 * point], state[2 * point + 1]);
        expected[row] += dx;
        expected[row + 1] += dy;
        expected[row + 2] += (x * dy - y * dx) / KILOMETRE;
        slopes[(row, 2 * point)] = 1.0;
        slopes[(row + 1, 2 * point + 1)] = 1.0;
        slopes[(row + 2, 2 * point)] = -y / KILOMETRE;
        slopes[(row + 2, 2 * point + 1)] = x / KILOMETRE;
    }
}
/// No corrections, and turns by the first direction of each circle.
fn start() -> Vec<f64> {
    let mut start = vec![0.0; 12];
    for from in 1..=6 {
        let first = OBSERVED.iter().find(|row| row.0 == Direction && row.1 == from);
        let &(_, _, to, observed, ..) = first.unwrap();
        let ((x, y), (to_x, to_y)) = (APPROXIMATE[from - 1], APPROXIMATE[to - 1]);
        start.push(bearing(to_x - x, to_y - y) - observed);
    }
    start
}

fn adjusted(one_step: bool) -> Estimate {
    let readings = OBSERVED.iter().map(|&(kind, _, _, value, ..)| Reading {
        value,
        sure_to: if kind == Distance { DISTANCE } else { DIRECTION },
    });
    let constraints = [Reading {
        value: 0.0,
        sure_to: NOTHING,
    }; 3];
    let readings: Vec<Reading> = readings.chain(constraints).collect();
    adjust(&Net { one_step }, &readings, &start()).unwrap()
}

/// Holds an adjustment to what was printed, shares and tests to their digits and a tenth, the rest to `slack` times its last digit.
fn as_printed(found: &Estimate, slack: f64) {
    let within = |what: &str, i: usize, got: f64, printed: f64, by: f64| {
        assert!((got - printed).abs() <= by, "{what} {i}: {got} against {printed}");
    };
    let near = |what: &str, i: usize, got: f64, printed: f64, digit: f64| {
        within(what, i, got, printed, 0.501 * digit * slack);
    };
    assert_eq!(found.redundancy(), 26);
    // Printed for a unit of 10.
    near("sum", 0, 100.0 * found.squares(), 4520.8670, 1e-4);
    let m0 = (found.squares() / 26.0).sqrt();
    near("m0", 0, 10.0 * m0, 13.186338, 1e-6);
    let tests = found.tests();
    assert_eq!(tests.len(), READINGS);
    for (i, (_, _, _, observed, adjusted, f, off)) in OBSERVED.into_iter().enumerate() {
        near("residual", i, found.residual(i), near_nought(observed - adjusted), 1e-7);
        within(
            "f",
            i,
            100.0 * (1.0 - (1.0 - tests[i].checked_share).sqrt()),
            f,
            0.55e-3,
        );
        within("off", i, tests[i].off.unwrap().abs() / m0, off, 0.55e-3);
    }
    for (i, test) in tests.iter().enumerate().skip(OBSERVED.len()) {
        assert!(test.checked_share < 1e-6, "nothing checks how the net lies");
        within("constraint", i, found.residual(i), 0.0, 1e-9);
    }
    let variance = |j: usize| found.covariance[(j, j)] * m0 * m0;
    for (point, (x, y, of_x, of_y)) in ADJUSTED.into_iter().enumerate() {
        let (at_x, at_y) = APPROXIMATE[point];
        for (j, at, coordinate, printed) in [(2 * point, at_x, x, of_x), (2 * point + 1, at_y, y, of_y)] {
            near("coordinate", j, at + found.state[j], coordinate, 1e-7);
            // Weights of constraints and readings are 1e8 apart: the eighth digit is not sure.
            near("variance", j, 1e6 * variance(j), printed, 2e-9);
        }
        near("turn", point, 1e8 * variance(12 + point), TURNS[point], 2e-8);
    }
    let shares: f64 = tests.iter().map(|test| test.checked_share).sum();
    within("shares", 0, shares, 26.0, 1e-6);
}

#[test]
fn a_free_net_as_printed() {
    as_printed(&adjusted(true), 1.0);
}

/// The same to the end: what the last digits of one linear step leave out.
#[test]
fn a_free_net_to_the_end() {
    as_printed(&adjusted(false), 1000.0);
}
