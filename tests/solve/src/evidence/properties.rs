//! What must hold of every adjustment.

use super::straight::adjusted;
use evidence::{AdjustError, AskError, Estimate, Further, two_sided};
use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;

/// JCGM 100 (GUM), the weighted mean of readings of one figure: weights are squares over one another, variances add as their inverses.
#[test]
fn readings_of_one_figure_give_the_weighted_mean() {
    let found = adjusted(&[&[1.0], &[1.0]], &[(10.0, 0.3), (11.0, 0.1)]).unwrap();
    let (a, b) = (1.0 / 0.09, 1.0 / 0.01);
    assert!((found.state[0] - (10.0 * a + 11.0 * b) / (a + b)).abs() < 1e-12);
    assert!((found.sure_to(0) - (1.0 / (a + b)).sqrt()).abs() < 1e-12);
}

/// The part that readings with one tool share is a figure of its own: repeats sharpen the rest alone.
#[test]
fn repeats_with_one_tool_sharpen_their_own_part_alone() {
    let s = 0.1f64;
    for rho in [0.0f64, 0.3, 0.5, 0.9] {
        let (shared, own) = (s * rho.sqrt(), s * (1.0 - rho).sqrt());
        let rows: [&[f64]; 3] = [&[1.0, 1.0], &[1.0, 1.0], &[0.0, 1.0]];
        let found = adjusted(&rows, &[(2.0, own), (2.1, own), (0.0, shared.max(1e-12))]).unwrap();
        assert!((found.sure_to(0) - s * f64::midpoint(1.0, rho).sqrt()).abs() < 1e-9);
        assert!((found.state[0] - 2.05).abs() < 1e-9);
    }
}

/// Two who contradict one another accuse each other, and are named together.
#[test]
fn what_contradicts_is_a_group() {
    let one: &[f64] = &[1.0];
    let found = adjusted(&[one, one], &[(1.0, 0.1), (3.0, 0.1)]).unwrap();
    let tests = found.tests();
    assert!(tests.iter().all(|test| (test.checked_share - 0.5).abs() < 1e-12));
    assert!(tests[0].off.unwrap().abs() > found.limit(0.01));
    assert_eq!(found.group(&tests, 0), [0, 1]);
    // A third tells which.
    let found = adjusted(&[one, one, one], &[(1.0, 0.1), (3.0, 0.1), (1.05, 0.1)]).unwrap();
    let tests = found.tests();
    let largest = (0..3).max_by(|a, b| tests[*a].off.unwrap().abs().total_cmp(&tests[*b].off.unwrap().abs()));
    assert_eq!(largest, Some(1));
    assert_eq!(found.group(&tests, 1), [1]);
}

/// A net of eight readings of three figures, all checked.
fn net() -> impl Strategy<Value = (Vec<[f64; 3]>, Vec<(f64, f64)>)> {
    let row = prop::array::uniform3(-2.0..2.0f64);
    (
        prop::collection::vec(row, 8),
        prop::collection::vec((-5.0..5.0f64, 0.05..0.5f64), 8),
    )
}

fn of(rows: &[[f64; 3]], readings: &[(f64, f64)]) -> Result<Estimate, AdjustError> {
    let rows: Vec<&[f64]> = rows.iter().map(<[f64; 3]>::as_slice).collect();
    adjusted(&rows, readings)
}

proptest! {
    #[test]
    fn order_does_not_matter((rows, readings) in net()) {
        let (mut turned, mut with) = (rows.clone(), readings.clone());
        turned.rotate_left(3);
        with.rotate_left(3);
        let (Ok(a), Ok(b)) = (of(&rows, &readings), of(&turned, &with)) else { return Ok(()) };
        prop_assert!((&a.state - &b.state).norm() < 1e-7 * (1.0 + a.state.norm()));
        prop_assert!((&a.covariance - &b.covariance).norm() < 1e-7 * a.covariance.norm());
    }

    /// What is promised of a further reading is what an adjustment with it gives, and it never makes less sure.
    #[test]
    fn a_further_reading_gains_what_was_promised((rows, readings) in net(), further in prop::array::uniform3(-2.0..2.0f64), sure_to in 0.05..0.5f64) {
        let Ok(before) = of(&rows, &readings) else { return Ok(()) };
        let promised = before.with(&further, sure_to).unwrap();
        let (mut all, mut with) = (rows, readings);
        all.push(further);
        with.push((0.7, sure_to));
        let after = of(&all, &with).unwrap();
        prop_assert!((&after.covariance - &promised).norm() < 1e-7 * before.covariance.norm());
        for figure in 0..3 {
            prop_assert!(promised[(figure, figure)] <= before.covariance[(figure, figure)] * (1.0 + 1e-12));
            let of = DVector::from_fn(3, |j, _| f64::from(u8::from(j == figure)));
            prop_assert!((before.variance_with(of.as_slice(), &further, sure_to).unwrap() - promised[(figure, figure)]).abs() < 1e-9 * before.covariance.norm());
        }
    }

    /// What each reading by itself moves a figure by adds up to all that it is unsure by.
    #[test]
    fn influences_add_up((rows, readings) in net(), of_all in prop::array::uniform3(-2.0..2.0f64)) {
        let Ok(found) = of(&rows, &readings) else { return Ok(()) };
        let each = found.influence(&of_all).unwrap();
        let all = found.variance(&of_all).unwrap();
        prop_assert_eq!(each.len(), readings.len());
        prop_assert!((each.norm_squared() / all - 1.0).abs() < 1e-9);
        prop_assert!(found.influence(&of_all[..2]).is_err());
    }

    /// Several asked after at once are the same several taken in turn, in whatever order, and make nothing less sure.
    #[test]
    fn the_order_of_further_readings_does_not_matter(
        (rows, readings) in net(),
        more in prop::collection::vec((prop::array::uniform3(-2.0..2.0f64), 0.05..0.5f64), 4),
        order in Just([0usize, 1, 2, 3]).prop_shuffle(),
        count in 0usize..=4,
    ) {
        let Ok(before) = of(&rows, &readings) else { return Ok(()) };
        let slopes = DMatrix::from_fn(4, 3, |i, j| more[i].0[j]);
        let sure_to: Vec<f64> = more.iter().map(|(_, sure_to)| *sure_to).collect();
        let interest = DMatrix::from_row_slice(2, 3, &[1.0, 0.0, -1.0, 0.3, 2.0, 0.5]);
        let mut further = Further::of(&before.covariance, &interest, &slopes, &sure_to).unwrap();
        let promised = further.variances_with_all(&order[..count]).unwrap();
        let start: Vec<f64> = further.variances().collect();
        let mut in_order = order[..count].to_vec();
        in_order.sort_unstable();
        for reading in in_order {
            let was: Vec<f64> = further.variances().collect();
            further.take(reading).unwrap();
            prop_assert!(further.variances().zip(&was).all(|(now, was)| now <= was * (1.0 + 1e-12)));
        }
        for ((now, promised), start) in further.variances().zip(&promised).zip(&start) {
            prop_assert!((now - promised).abs() < 1e-9 * start, "{} {}", now, promised);
        }
        let further = Further::of(&before.covariance, &interest, &slopes, &sure_to).unwrap();
        for (i, j) in [(0, 1), (2, 3), (1, 1)] {
            let row = |i: usize| slopes.row(i).transpose();
            let between = |i: usize, j: usize| row(i).dot(&(&before.covariance * row(j)));
            let own = |i: usize| between(i, i) + sure_to[i].powi(2);
            let shared = if i == j { own(i) } else { between(i, j) };
            let found = further.correlation(i, j).unwrap();
            prop_assert!((found - shared / (own(i) * own(j)).sqrt()).abs() < 1e-9);
        }
        prop_assert_eq!(further.variances_with_all(&[4]), Err(AskError::NoReading(4)));
    }

    /// Several in turn, asked after and taken one after another, are what adjustments with all of them make; a row taken twice is two readings.
    #[test]
    fn further_readings_in_turn_gain_what_was_promised((rows, readings) in net(), more in prop::collection::vec((prop::array::uniform3(-2.0..2.0f64), 0.05..0.5f64), 3)) {
        let Ok(before) = of(&rows, &readings) else { return Ok(()) };
        let slopes = DMatrix::from_fn(3, 3, |i, j| more[i].0[j]);
        let sure_to: Vec<f64> = more.iter().map(|(_, sure_to)| *sure_to).collect();
        let interest = DMatrix::from_row_slice(2, 3, &[1.0, 0.0, -1.0, 0.3, 2.0, 0.5]);
        let further = before.further(&interest, &slopes, &sure_to).unwrap();
        let mut taken = further.clone();
        let (mut all, mut with) = (rows, readings);
        for next in [1, 0, 2, 1] {
            let promised: Vec<f64> = taken.variances_with(next).unwrap().collect();
            taken.take(next).unwrap();
            all.push(more[next].0);
            with.push((0.0, more[next].1));
            let after = of(&all, &with).unwrap();
            let wanted = &interest * &after.covariance * interest.transpose();
            let small = 1e-7 * (&interest * &before.covariance * interest.transpose()).norm();
            prop_assert!((taken.covariance() - &wanted).norm() < small);
            for (i, (promised, now)) in promised.into_iter().zip(taken.variances()).enumerate() {
                prop_assert!((promised - now).abs() < 1e-3 * small);
                prop_assert!((now - after.variance(&interest.row(i).iter().copied().collect::<Vec<_>>()).unwrap()).abs() < small);
            }
        }
        taken.clone_from(&further);
        prop_assert_eq!(&taken, &further);
    }

    /// The largest first, and the adjustment without it: three slips in 24 readings are named one after another, and then nothing is off.
    #[test]
    fn slips_are_named_one_after_another(rows in prop::collection::vec(prop::array::uniform3(-2.0..2.0f64), 24), state in prop::array::uniform3(-3.0..3.0f64), size in 60.0..90.0f64) {
        let mut left: Vec<usize> = (0..24).collect();
        let value = |i: usize| {
            let exact: f64 = rows[i].iter().zip(state).map(|(a, x)| a * x).sum();
            exact + 0.1 * match i { 2 => size, 11 => -0.5 * size, 17 => 0.25 * size, _ => 0.0 }
        };
        let mut named = vec![];
        loop {
            let kept: Vec<[f64; 3]> = left.iter().map(|i| rows[*i]).collect();
            let found = of(&kept, &left.iter().map(|i| (value(*i), 0.1)).collect::<Vec<_>>()).unwrap();
            let tests = found.tests();
            prop_assume!(tests.iter().all(|test| test.checked_share > 0.5));
            let off = |i: &usize| tests[*i].off.unwrap().abs();
            let largest = (0..left.len()).max_by(|a, b| off(a).total_cmp(&off(b))).unwrap();
            if off(&largest) < found.limit(0.01) {
                break;
            }
            named.push(left.remove(largest));
        }
        prop_assert_eq!(named, [2, 11, 17]);
    }

    /// A slip planted in readings that agree is found with its size and its place; of its kind alone does it move the state by what is told.
    #[test]
    fn a_planted_slip_is_found((rows, readings) in net(), state in prop::array::uniform3(-3.0..3.0f64), at in 0usize..8, size in 3.0..30.0f64) {
        let mut exact = readings;
        for (row, reading) in rows.iter().zip(&mut exact) {
            reading.0 = row.iter().zip(state).map(|(a, x)| a * x).sum();
        }
        let Ok(clean) = of(&rows, &exact) else { return Ok(()) };
        prop_assert!(clean.squares() < 1e-12 * (1.0 + clean.state.norm_squared()));
        let slip = size * exact[at].1;
        exact[at].0 += slip;
        let found = of(&rows, &exact).unwrap();
        let tests = found.tests();
        prop_assume!(tests[at].checked_share > 0.01);
        let mut pattern = vec![0.0; 8];
        pattern[at] = 1.0;
        let told = found.slip(&pattern).unwrap().unwrap();
        prop_assert!((told.size - slip).abs() < 1e-6 * slip);
        let off = tests[at].off.unwrap();
        prop_assert!((told.off - off).abs() < 1e-6 * off.abs());
        prop_assert!((off - size * tests[at].checked_share.sqrt()).abs() < 1e-6 * off);
        for (other, test) in tests.iter().enumerate() {
            prop_assert!(test.off.is_none_or(|o| o.abs() <= off * (1.0 + 1e-6)), "{other}");
        }
        prop_assert!(found.group(&tests, at).contains(&at));
    }
}

/// A survey without a slip is accused about one time in a hundred, and readings of planted noise stand off by what they should.
#[test]
fn clean_surveys_are_seldom_accused() {
    let mut seed = 0x9e37_79b9_7f4a_7c15u64;
    // xorshift64*, and the normal figure as a sum of twelve: enough for a rate.
    let mut uniform = move || {
        seed ^= seed >> 12;
        seed ^= seed << 25;
        seed ^= seed >> 27;
        (seed.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 11) as f64 / (1u64 << 53) as f64
    };
    let mut normal = move || (0..12).map(|_| uniform()).sum::<f64>() - 6.0;
    let rows: Vec<Vec<f64>> = (0..30)
        .map(|i| {
            (0..6)
                .map(|j| f64::from((i * 7 + j * 3) % 11) - 5.0 + f64::from(u8::from(i % 6 == j)))
                .collect()
        })
        .collect();
    let rows: Vec<&[f64]> = rows.iter().map(Vec::as_slice).collect();
    let (mut accused, mut squares, surveys) = (0u32, 0.0, 2000u32);
    for _ in 0..surveys {
        let readings: Vec<(f64, f64)> = (0..30).map(|_| (0.2 * normal(), 0.2)).collect();
        let found = adjusted(&rows, &readings).unwrap();
        let limit = found.limit(0.01);
        accused += u32::from(
            found
                .tests()
                .iter()
                .any(|test| test.off.is_some_and(|off| off.abs() > limit)),
        );
        squares += found.squares() / 24.0;
    }
    let (rate, mean) = (f64::from(accused) / f64::from(surveys), squares / f64::from(surveys));
    assert!(rate <= 0.015, "{rate}");
    assert!((mean - 1.0).abs() < 0.03, "{mean}");
    assert!(two_sided(3.0) < 0.003);
}
