//! 100,000 six-string samples, on all cores and on one.

#![allow(missing_docs)] // criterion's macros make public items

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use fixtures::PARLOUR;
use instrument::Uncertainty;
use saddle::tolerance::{Band, Sampling, tolerance};

fn benches(c: &mut Criterion) {
    let survey = PARLOUR.survey(strings::Criterion::Octave);
    let Ok(plan) = saddle::plan(&survey) else { return };
    let sampling = Sampling {
        samples: 100_000,
        ..Sampling::default()
    };
    let Ok(evidence) = survey.evidence(&Uncertainty::default()) else {
        return;
    };
    let run = || tolerance(&evidence, &survey, &plan, Band::default(), sampling, &|_| {});
    let mut group = c.benchmark_group("tolerance");
    group.sample_size(10).throughput(Throughput::Elements(100_000));
    group.bench_function("100,000 samples, all cores", |b| b.iter(run));
    if let Ok(pool) = rayon::ThreadPoolBuilder::new().num_threads(1).build() {
        group.bench_function("100,000 samples, one core", |b| b.iter(|| pool.install(run)));
    }
    group.finish();
}

criterion_group!(all, benches);
criterion_main!(all);
