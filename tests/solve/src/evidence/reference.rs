//! Certified and printed values of others.

use evidence::{Estimate, Model, Reading, adjust};
use nalgebra::{DMatrix, DVector};

/// A curve `y = f(x; b)` with its derivatives by b.
struct Curve<const N: usize> {
    x: &'static [f64],
    value: fn(f64, &[f64]) -> (f64, [f64; N]),
}

impl<const N: usize> Model for Curve<N> {
    fn states(&self) -> usize {
        N
    }

    fn expect(&self, state: &[f64], expected: &mut DVector<f64>, slopes: &mut DMatrix<f64>) {
        for (i, x) in self.x.iter().enumerate() {
            let (value, by) = (self.value)(*x, state);
            expected[i] = value;
            for (j, by) in by.iter().enumerate() {
                slopes[(i, j)] = *by;
            }
        }
    }
}

/// Certified parameters with their standard deviations, residual sum of squares.
struct Certified<const N: usize> {
    curve: Curve<N>,
    y: &'static [f64],
    start: [f64; N],
    parameters: [(f64, f64); N],
    squares: f64,
}

/// NIST Statistical Reference Datasets, nonlinear regression: certified to 11 digits; the second of each set's starts. The data and values
/// are from memory; an agreement to nine digits leaves no room for a slip in them.
fn agrees<const N: usize>(name: &str, set: &Certified<N>) {
    let degrees = (set.y.len() - N) as f64;
    let sure_to = (set.squares / degrees).sqrt();
    let readings: Vec<Reading> = set.y.iter().map(|&value| Reading { value, sure_to }).collect();
    let found = adjust(&set.curve, &readings, &set.start).unwrap();
    for (j, (value, deviation)) in set.parameters.iter().enumerate() {
        assert!(
            (found.state[j] / value - 1.0).abs() < 1e-9,
            "{name} b{}: {}",
            j + 1,
            found.state[j]
        );
        assert!(
            (found.sure_to(j) / deviation - 1.0).abs() < 1e-8,
            "{name} b{}: {}",
            j + 1,
            found.sure_to(j)
        );
    }
    assert!(
        (found.squares() / degrees - 1.0).abs() < 1e-9,
        "{name}: {}",
        found.squares()
    );
    assert_eq!(found.redundancy(), set.y.len() - N);
}

#[test]
fn nist_misra1a() {
    agrees(
        "Misra1a",
        &Certified {
            curve: Curve {
                x: &[
                    77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0,
                ],
                value: |x, b| {
                    let e = (-b[1] * x).exp();
                    (b[0] * (1.0 - e), [1.0 - e, b[0] * x * e])
                },
            },
            y: &[
                10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78,
            ],
            start: [250.0, 0.0005],
            parameters: [
                (2.389_421_291_8e2, 2.707_007_524_1),
                (5.501_564_318_1e-4, 7.266_868_843_6e-6),
            ],
            squares: 1.245_513_889_4e-1,
        },
    );
}

#[test]
fn nist_danwood() {
    agrees(
        "DanWood",
        &Certified {
            curve: Curve {
                x: &[1.309, 1.471, 1.490, 1.565, 1.611, 1.680],
                value: |x, b| {
                    let p = x.powf(b[1]);
                    (b[0] * p, [p, b[0] * p * x.ln()])
                },
            },
            y: &[2.138, 3.421, 3.597, 4.340, 4.882, 5.660],
            start: [0.7, 4.0],
            parameters: [
                (7.688_622_617_6e-1, 1.828_197_386_0e-2),
                (3.860_405_587_1, 5.172_661_091_3e-2),
            ],
            squares: 4.317_308_408_3e-3,
        },
    );
}

#[test]
fn nist_mgh09() {
    agrees(
        "MGH09",
        &Certified {
            curve: Curve {
                x: &[4.0, 2.0, 1.0, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625],
                value: |x, b| {
                    let (over, under) = (x * x + x * b[1], x * x + x * b[2] + b[3]);
                    let value = b[0] * over / under;
                    (
                        value,
                        [over / under, b[0] * x / under, -value * x / under, -value / under],
                    )
                },
            },
            y: &[
                0.1957, 0.1947, 0.1735, 0.1600, 0.0844, 0.0627, 0.0456, 0.0342, 0.0323, 0.0235, 0.0246,
            ],
            start: [0.25, 0.39, 0.415, 0.39],
            parameters: [
                (1.928_069_345_8e-1, 1.143_531_222_7e-2),
                (1.912_823_287_3e-1, 1.963_322_091_1e-1),
                (1.230_565_069_3e-1, 8.084_203_123_2e-2),
                (1.360_623_306_8e-1, 9.002_554_230_8e-2),
            ],
            squares: 3.075_056_038_5e-4,
        },
    );
}

#[test]
fn nist_boxbod() {
    agrees(
        "BoxBOD",
        &Certified {
            curve: Curve {
                x: &[1.0, 2.0, 3.0, 5.0, 7.0, 10.0],
                value: |x, b| {
                    let e = (-b[1] * x).exp();
                    (b[0] * (1.0 - e), [1.0 - e, b[0] * x * e])
                },
            },
            y: &[109.0, 149.0, 149.0, 191.0, 213.0, 224.0],
            start: [100.0, 0.75],
            parameters: [
                (2.138_094_088_9e2, 1.235_451_517_6e1),
                (5.472_374_854_2e-1, 1.045_599_323_7e-1),
            ],
            squares: 1.168_008_876_6e3,
        },
    );
}

#[test]
fn nist_rat42() {
    agrees(
        "Rat42",
        &Certified {
            curve: Curve {
                x: &[9.0, 14.0, 21.0, 28.0, 42.0, 57.0, 63.0, 70.0, 79.0],
                value: |x, b| {
                    let e = (b[1] - b[2] * x).exp();
                    let under = 1.0 + e;
                    let by = b[0] * e / (under * under);
                    (b[0] / under, [1.0 / under, -by, x * by])
                },
            },
            y: &[8.930, 10.800, 18.590, 22.330, 39.350, 56.110, 61.730, 64.620, 67.080],
            start: [75.0, 2.5, 0.07],
            parameters: [
                (7.246_223_757_6e1, 1.734_028_340_1),
                (2.618_076_840_2, 8.829_521_753_6e-2),
                (6.735_920_006_6e-2, 3.446_566_337_7e-3),
            ],
            squares: 8.056_522_933_8,
        },
    );
}

/// Heights of four points, of which the last is fixed, from the differences between all pairs.
struct Levelling;

const DIFFERENCES: [(usize, usize, f64, f64); 6] = [
    (0, 1, -0.749, 1.1),
    (0, 2, -1.274, 1.8),
    (0, 3, -2.890, 1.4),
    (1, 2, -0.530, 1.5),
    (1, 3, -2.141, 1.9),
    (2, 3, -1.614, 0.9),
];
const FIXED: f64 = 101.345;

impl Model for Levelling {
    fn states(&self) -> usize {
        3
    }

    fn expect(&self, state: &[f64], expected: &mut DVector<f64>, slopes: &mut DMatrix<f64>) {
        let height = |point: usize| state.get(point).copied().unwrap_or(FIXED);
        for (i, (from, to, ..)) in DIFFERENCES.iter().enumerate() {
            expected[i] = height(*to) - height(*from);
            for (point, sign) in [(*from, -1.0), (*to, 1.0)] {
                if point < 3 {
                    slopes[(i, point)] = sign;
                }
            }
        }
    }
}

fn levelled() -> Estimate {
    // 0.7 mm a kilometre, taken with the length as the page takes it.
    let readings = DIFFERENCES.map(|(_, _, value, km)| Reading {
        value,
        sure_to: 0.7e-3 * km,
    });
    adjust(&Levelling, &readings, &[104.234, 103.487, 102.958]).unwrap()
}

/// A printed example of a levelling net and its data snooping: Z. Siki, OSGeoLabBp tutorials, data_processing/level_net.rst: heights, corrections,
/// weighted sum, standard deviations by m0, tests and checked shares, to the digits that are printed.
#[test]
fn a_levelling_net_as_printed() {
    let found = levelled();
    let near = |got: f64, printed: f64, digits: i32| {
        assert!(
            (got - printed).abs() <= 0.5 * 10f64.powi(-digits) * (1.0 + 1e-6),
            "{got} against {printed}"
        );
    };
    for (height, printed) in found.state.iter().zip([104.2350, 103.4868, 102.9588]) {
        near(*height, printed, 4);
    }
    assert_eq!(found.redundancy(), 3);
    near(found.squares(), 8.217, 3);
    let m0 = (found.squares() / 3.0).sqrt();
    near(m0, 1.65, 2);
    for (j, printed) in [1.13, 1.19, 0.91].into_iter().enumerate() {
        near(1e3 * m0 * found.sure_to(j), printed, 2);
    }
    let tests = found.tests();
    // Corrections are expected less read.
    let printed = [
        (0.81, 1.9, 0.3),
        (-2.18, 2.1, 0.7),
        (0.00, 0.0, 0.5),
        (2.01, 2.6, 0.5),
        (-0.81, 0.7, 0.7),
        (0.18, 0.6, 0.2),
    ];
    for (i, (correction, off, share)) in printed.into_iter().enumerate() {
        near(-1e3 * found.residual(i), correction, 2);
        near(tests[i].off.unwrap().abs(), off, 1);
        near(tests[i].checked_share, share, 1);
    }
    // Checked shares sum to the redundancy.
    let shares: f64 = tests.iter().map(|test| test.checked_share).sum();
    assert!((shares - 3.0).abs() < 1e-9);
}
