//! One six-string solve: from survey to contacts, crown, taut-string check and ways out.

#![allow(missing_docs)] // criterion's macros make public items

#[allow(clippy::unwrap_used, clippy::cast_possible_truncation, dead_code)]
#[path = "../tests/common/mod.rs"]
mod common;

use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

fn benches(c: &mut Criterion) {
    let of = common::Invented {
        scale: 610.0,
        joint: 12,
        relief: 0.18,
        radius: (300.0, 350.0),
        spread: (36.5, 55.0),
        action: (2.4, 1.9),
        clearance: (0.55, 0.36),
        edge: (1.9, -0.4),
        top: (1.2, 1.4),
        depth: (5.5, 5.3),
        lean: 9.0,
        stepped: false,
    };
    for (name, criterion) in [
        ("plan, octave", strings::Criterion::Octave),
        ("plan, best-fit", strings::Criterion::BestFit),
        ("plan, best-fit-with-nut", strings::Criterion::BestFitWithNut),
    ] {
        let survey = common::survey(&of, criterion);
        c.bench_function(name, |b| b.iter(|| saddle::plan(black_box(&survey))));
    }
}

criterion_group!(all, benches);
criterion_main!(all);
