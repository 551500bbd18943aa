//! Readings and questions that cannot be met, and readings that no one would believe.

use super::straight::{Straight, adjusted};
use evidence::{AdjustError, AskError, Model, Reading, adjust};
use nalgebra::{DMatrix, DVector};

const ONE: &[f64] = &[1.0];

#[test]
fn bad_readings_are_named() {
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(
            adjusted(&[ONE, ONE], &[(1.0, 0.1), (1.0, bad)]),
            Err(AdjustError::Uncertainty(1))
        );
    }
    assert_eq!(
        adjusted(&[ONE, ONE], &[(f64::NAN, 0.1), (1.0, 0.1)]),
        Err(AdjustError::NotFinite(0))
    );
    // The second figure is in no reading; the first and the third only together.
    let rows: [&[f64]; 3] = [&[1.0, 0.0, 1.0], &[2.0, 0.0, 2.0], &[1.0, 0.0, 1.0]];
    let readings = [(1.0, 0.1); 3];
    assert_eq!(adjusted(&rows, &readings), Err(AdjustError::Undetermined(vec![1])));
    let rows: [&[f64]; 3] = [&[1.0, 0.0, 1.0], &[2.0, 1.0, 2.0], &[1.0, 0.0, 1.0]];
    assert_eq!(adjusted(&rows, &readings), Err(AdjustError::Undetermined(vec![0, 2])));
    let short = adjust(
        &Straight(DMatrix::zeros(1, 2)),
        &[Reading {
            value: 1.0,
            sure_to: 0.1,
        }],
        &[0.0],
    );
    assert_eq!(short, Err(AdjustError::Start { given: 1, wanted: 2 }));
}

/// A reading whose square is beyond all numbers.
#[test]
fn a_reading_too_large_to_weigh_is_named() {
    for huge in [1e300, -1e300, f64::INFINITY] {
        let found = adjusted(&[ONE, ONE, ONE], &[(1.0, 0.1), (1.1, 0.1), (huge, 0.1)]);
        assert_eq!(found, Err(AdjustError::NotFinite(2)));
    }
    let found = adjusted(&[ONE, ONE], &[(1.0, 1e-300), (1.0, 0.1)]);
    assert_eq!(found, Err(AdjustError::NotFinite(0)));
}

/// One absurd value does not keep the search from its end, and is named.
#[test]
fn an_absurd_value_is_settled_and_named() {
    for absurd in [650.0, 1e6, 1e12, -1e30] {
        let mut readings = [(0.651, 0.02), (0.64, 0.02), (0.66, 0.02), (0.648, 0.02), (0.655, 0.02)];
        readings[3].0 = absurd;
        let rows = [[1.0, 0.0], [1.0, 0.3], [1.0, 0.7], [1.0, 0.2], [1.0, 1.0]];
        let rows: Vec<&[f64]> = rows.iter().map(<[f64; 2]>::as_slice).collect();
        let found = adjusted(&rows, &readings).unwrap();
        let tests = found.tests();
        let off = |i: &usize| tests[*i].off.unwrap().abs();
        assert_eq!((0..5).max_by(|a, b| off(a).total_cmp(&off(b))), Some(3), "{absurd}");
        assert!(off(&3) > 100.0 * found.limit(0.01));
        let told = found.slip(&[0.0, 0.0, 0.0, 1.0, 0.0]).unwrap().unwrap();
        assert!((told.size / absurd - 1.0).abs() < 2e-3, "{absurd}: {}", told.size);
    }
}

/// A model whose derivatives lead away from every better state: the search ends, and the reading furthest off is named.
#[test]
fn what_does_not_settle_names_the_reading_furthest_off() {
    struct Misled;
    impl Model for Misled {
        fn states(&self) -> usize {
            1
        }
        fn expect(&self, state: &[f64], expected: &mut DVector<f64>, slopes: &mut DMatrix<f64>) {
            let value = state[0].tanh();
            for i in 0..3 {
                expected[i] = value;
                // The sign is wrong.
                slopes[(i, 0)] = value * value - 1.0;
            }
        }
    }
    let readings = [0.5, 0.51, 40.0].map(|value| Reading { value, sure_to: 0.01 });
    assert_eq!(adjust(&Misled, &readings, &[0.5]), Err(AdjustError::NotSettled(2)));
}

/// Two things known beforehand that contradict one another: both are named, and the state lies between.
#[test]
fn contradictory_beforehand_is_told_of_both() {
    let rows: [&[f64]; 4] = [&[1.0, 0.0], &[1.0, 0.0], &[0.0, 1.0], &[0.0, 1.0]];
    let found = adjusted(&rows, &[(10.0, 0.1), (20.0, 0.1), (3.0, 0.1), (3.1, 0.1)]).unwrap();
    assert!((found.state[0] - 15.0).abs() < 1e-9);
    let (tests, limit) = (found.tests(), found.limit(0.01));
    let off: Vec<bool> = tests.iter().map(|test| test.off.unwrap().abs() > limit).collect();
    assert_eq!(off, [true, true, false, false]);
    assert_eq!(found.group(&tests, 0), [0, 1]);
    assert_eq!(found.group(&tests, 1), [0, 1]);
    assert!((found.squares() - (2.0 * 50.0f64.powi(2) + 0.5)).abs() < 1e-6);
}

/// Fifty repeats of one reading: a seventh of its uncertainty, but of the tool's own error nothing is learnt.
#[test]
fn fifty_repeats_are_a_seventh() {
    let found = adjusted(&[ONE; 50], &[(2.5, 0.1); 50]).unwrap();
    assert_eq!(found.redundancy(), 49);
    assert!((found.state[0] - 2.5).abs() < 1e-12);
    assert!((found.sure_to(0) - 0.1 / 50f64.sqrt()).abs() < 1e-12);
    assert!(
        found
            .tests()
            .iter()
            .all(|test| (test.checked_share - 0.98).abs() < 1e-9)
    );
    let both: &[f64] = &[1.0, 1.0];
    let mut rows = vec![both; 50];
    rows.push(&[0.0, 1.0]);
    let mut readings = vec![(2.5, 0.1); 50];
    readings.push((0.0, 0.07));
    let found = adjusted(&rows, &readings).unwrap();
    assert!((found.sure_to(0) - (0.01f64 / 50.0 + 0.0049).sqrt()).abs() < 1e-12);
    assert!((found.sure_to(1) - 0.07).abs() < 1e-12);
    assert_eq!(found.tests()[50].off, None);
}

/// All readings struck out, or all but too few.
#[test]
fn too_few_readings_leave_figures_undetermined() {
    let nothing = adjust(&Straight(DMatrix::zeros(0, 3)), &[], &[0.0; 3]);
    assert_eq!(nothing, Err(AdjustError::Undetermined(vec![0, 1, 2])));
    let rows: [&[f64]; 2] = [&[1.0, 1.0, 0.0], &[0.0, 0.0, 2.0]];
    let found = adjusted(&rows, &[(1.0, 0.1); 2]);
    assert_eq!(found, Err(AdjustError::Undetermined(vec![0, 1])));
    // A state of no figures has nothing to be sure of, and its readings stand as they are.
    let reading = Reading {
        value: 0.3,
        sure_to: 0.1,
    };
    let found = adjust(&Straight(DMatrix::zeros(1, 0)), &[reading], &[]).unwrap();
    assert_eq!((found.redundancy(), found.tests()[0].checked_share), (1, 1.0));
    assert!((found.tests()[0].off.unwrap() - 3.0).abs() < 1e-12);
    assert!(adjust(&Straight(DMatrix::zeros(0, 0)), &[], &[]).is_ok());
}

/// Questions of the wrong length, of what is no number, and of readings that nothing weighs.
#[test]
fn questions_that_cannot_be_met_are_typed() {
    let rows: [&[f64]; 3] = [&[1.0, 0.0], &[0.0, 1.0], &[1.0, 1.0]];
    let found = adjusted(&rows, &[(1.0, 0.1), (2.0, 0.1), (3.1, 0.1)]).unwrap();
    for given in [0, 1, 3, 100] {
        let (list, short) = (vec![1.0; given], AskError::Length { given, wanted: 2 });
        assert_eq!(found.variance(&list), Err(short));
        assert_eq!(found.with(&list, 0.1), Err(short));
        assert_eq!(found.variance_with(&list, &[1.0, 0.0], 0.1), Err(short));
        assert_eq!(found.variance_with(&[1.0, 0.0], &list, 0.1), Err(short));
        let (wide, right) = (DMatrix::zeros(1, given), DMatrix::zeros(1, 2));
        assert_eq!(found.further(&wide, &right, &[0.1]), Err(short));
        assert_eq!(found.further(&right, &wide, &[0.1]), Err(short));
    }
    for given in [0, 2, 4] {
        assert_eq!(
            found.slip(&vec![1.0; given]),
            Err(AskError::Length { given, wanted: 3 })
        );
    }
    let rows = DMatrix::identity(2, 2);
    assert_eq!(
        found.further(&rows, &rows, &[0.1]),
        Err(AskError::Length { given: 1, wanted: 2 })
    );
    for bad in [0.0, -0.1, f64::NAN, f64::INFINITY, 1e-200, 1e200] {
        assert_eq!(found.with(&[1.0, 0.0], bad), Err(AskError::Uncertainty(0)));
        assert_eq!(
            found.variance_with(&[1.0, 0.0], &[1.0, 0.0], bad),
            Err(AskError::Uncertainty(0))
        );
        assert_eq!(found.further(&rows, &rows, &[0.1, bad]), Err(AskError::Uncertainty(1)));
    }
    for bad in [f64::NAN, f64::INFINITY, 1e200] {
        assert_eq!(found.variance(&[bad, 0.0]), Err(AskError::NotFinite));
        assert_eq!(found.with(&[bad, 0.0], 0.1), Err(AskError::NotFinite));
        assert_eq!(
            found.variance_with(&[1.0, 0.0], &[bad, 1.0], 0.1),
            Err(AskError::NotFinite)
        );
        assert_eq!(found.slip(&[0.0, bad, 0.0]), Err(AskError::NotFinite));
        let with = DMatrix::from_row_slice(1, 2, &[bad, 1.0]);
        assert_eq!(found.further(&rows, &with, &[0.1]), Err(AskError::NotFinite));
    }
    let mut further = found.further(&rows, &rows, &[0.1, 0.1]).unwrap();
    assert_eq!(further.variances_with(2).err(), Some(AskError::NoReading(2)));
    assert_eq!(further.take(2), Err(AskError::NoReading(2)));
    // A pattern that moves nothing is no slip; tests of readings that are not there are none.
    assert_eq!(found.slip(&[0.0; 3]), Ok(None));
    let tests = found.tests();
    let longer: Vec<_> = tests.iter().chain(&tests).copied().collect();
    assert_eq!(found.together(&longer, 0, 5), None);
    assert_eq!(found.group(&tests, 7), Vec::<usize>::new());
    assert_eq!(found.hidden_slip(7, &tests[0], 3.0), f64::INFINITY);
}

/// Two readings of one figure, the second of which bends by so much; they fit nowhere.
struct Bent(f64);

impl Model for Bent {
    fn states(&self) -> usize {
        1
    }

    fn expect(&self, state: &[f64], expected: &mut DVector<f64>, slopes: &mut DMatrix<f64>) {
        let (x, bent) = (state[0], self.0);
        (expected[0], expected[1]) = (x, bent * x * x + x);
        (slopes[(0, 0)], slopes[(1, 0)]) = (1.0, 2.0 * bent * x + 1.0);
    }
}

/// Near the best state, which is 0, a step of Gauss-Newton alone leads to `bent` times the way that was left: to and fro without an end.
/// After R. Fletcher, Practical Methods of Optimization, 2nd ed., section 6.1 (from memory).
#[test]
fn readings_that_bend_and_do_not_fit_are_settled() {
    let readings = [-1.0, 1.0].map(|value| Reading { value, sure_to: 1.0 });
    for bent in [-0.5, -0.9, -0.99, -1.0, -1.3, -3.0, 0.5, 0.9] {
        let found = adjust(&Bent(bent), &readings, &[0.3]);
        assert!(
            found.as_ref().is_ok_and(|found| found.state[0].abs() < 1e-5),
            "{bent}: {found:?}"
        );
    }
}
