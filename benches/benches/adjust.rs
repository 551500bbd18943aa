//! One adjustment of 60 figures by 100 readings and 60 of what is known beforehand, and what a further reading would gain.
//!
//! The part of the model itself is measured beside it: outside of the libraries, code is not optimised in this profile.

#![allow(missing_docs)] // criterion's macros make public items

use criterion::{Criterion, criterion_group, criterion_main};
use evidence::{Model, Reading, adjust};
use nalgebra::{DMatrix, DVector};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

const FIGURES: usize = 60;
const READINGS: usize = 100;

/// A reading is `u + u^2/50` of its own weighted sum u of some figures.
struct Bent {
    sums: Vec<Vec<(usize, f64)>>,
}

impl Model for Bent {
    fn states(&self) -> usize {
        FIGURES
    }

    fn expect(&self, state: &[f64], expected: &mut DVector<f64>, slopes: &mut DMatrix<f64>) {
        let (rows, expected, slopes) = (self.sums.len(), expected.as_mut_slice(), slopes.as_mut_slice());
        for (i, sum) in self.sums.iter().enumerate() {
            let u: f64 = sum.iter().map(|(j, weight)| weight * state[*j]).sum();
            expected[i] = u + u * u / 50.0;
            for (j, weight) in sum {
                slopes[j * rows + i] = weight * (1.0 + u / 25.0);
            }
        }
    }
}

/// A model whose readings go with so many figures each, and readings of a state near nought, sure to 0.1; each figure is known to 1 beforehand.
fn survey(figures: usize) -> (Bent, Vec<Reading>) {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(1);
    let mut uniform = move || f64::from(random.next_u32()) / f64::from(u32::MAX) * 2.0 - 1.0;
    let mut sums: Vec<Vec<(usize, f64)>> = (0..READINGS)
        .map(|i| (0..figures).map(|k| ((i * 7 + k * 11) % FIGURES, uniform())).collect())
        .collect();
    sums.extend((0..FIGURES).map(|j| vec![(j, 1.0)]));
    let model = Bent { sums };
    let state: Vec<f64> = (0..FIGURES).map(|_| uniform()).collect();
    let (mut expected, mut slopes) = (
        DVector::zeros(model.sums.len()),
        DMatrix::zeros(model.sums.len(), FIGURES),
    );
    model.expect(&state, &mut expected, &mut slopes);
    let readings = expected.iter().enumerate().map(|(i, value)| {
        let sure_to = if i < READINGS { 0.1 } else { 1.0 };
        Reading {
            value: value + sure_to * uniform(),
            sure_to,
        }
    });
    let readings = readings.collect();
    (model, readings)
}

fn benches(c: &mut Criterion) {
    for figures in [8, FIGURES] {
        let (model, readings) = survey(figures);
        let start = [0.0; FIGURES];
        let mut group = c.benchmark_group(format!("adjust, {figures} figures a reading"));
        group.bench_function("from nought", |b| b.iter(|| adjust(&model, &readings, &start)));
        let Ok(found) = adjust(&model, &readings, &start) else {
            return;
        };
        group.bench_function("again from what was found", |b| {
            b.iter(|| adjust(&model, &readings, found.state.as_slice()))
        });
        let (mut expected, mut slopes) = (DVector::zeros(readings.len()), DMatrix::zeros(readings.len(), FIGURES));
        group.bench_function("the model alone, once", |b| {
            b.iter(|| model.expect(&start, &mut expected, &mut slopes));
        });
        group.bench_function("tests", |b| b.iter(|| found.tests()));
        // What could be read next: all readings once more. Of interest: six figures.
        let mut slopes = DMatrix::zeros(readings.len(), FIGURES);
        model.expect(found.state.as_slice(), &mut expected, &mut slopes);
        let slopes = slopes.rows(0, READINGS).into_owned();
        let sure_to = [0.1; READINGS];
        let of = DMatrix::identity(6, FIGURES);
        let (one, first): (Vec<f64>, Vec<f64>) = (
            of.row(0).iter().copied().collect(),
            slopes.row(0).iter().copied().collect(),
        );
        group.bench_function("the covariance after one more", |b| b.iter(|| found.with(&first, 0.1)));
        group.bench_function("one variance after one more", |b| {
            b.iter(|| found.variance_with(&one, &first, 0.1));
        });
        group.bench_function("100 further readings made ready", |b| {
            b.iter(|| found.further(&of, &slopes, &sure_to));
        });
        let Ok(further) = found.further(&of, &slopes, &sure_to) else {
            return;
        };
        group.bench_function("six variances after one of them", |b| {
            b.iter(|| further.variances_with(3).map(Iterator::sum::<f64>));
        });
        let mut scratch = further.clone();
        group.bench_function("one of them taken, in a copy", |b| {
            b.iter(|| {
                scratch.clone_from(&further);
                scratch.take(3)
            });
        });
        group.finish();
    }
}

criterion_group!(all, benches);
criterion_main!(all);
