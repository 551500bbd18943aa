//! One six-string solve: from survey to contacts, crown, taut-string check and ways out.

#![allow(missing_docs)] // criterion's macros make public items

use criterion::{Criterion, criterion_group, criterion_main};
use fixtures::PARLOUR;
use std::hint::black_box;

fn benches(c: &mut Criterion) {
    for (name, criterion) in [
        ("plan, octave", strings::Criterion::Octave),
        ("plan, best-fit", strings::Criterion::BestFit),
        ("plan, best-fit-with-nut", strings::Criterion::BestFitWithNut),
    ] {
        let survey = PARLOUR.survey(criterion);
        c.bench_function(name, |b| b.iter(|| saddle::plan(black_box(&survey))));
    }
}

criterion_group!(all, benches);
criterion_main!(all);
