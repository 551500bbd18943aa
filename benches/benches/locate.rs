//! Cutter locations per second, and a whole preparation.

#![allow(missing_docs)] // criterion's macros make public items

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use fixtures::{Guitar, PARLOUR, cutter, on_edge};
use machining::{CutterShape, Locator, Surface, prepare};
use std::hint::black_box;

const PLACES: u32 = 10_000;

#[allow(clippy::unwrap_used)]
fn benches(c: &mut Criterion) {
    let mut setup = on_edge();
    setup.stock.height = 12.0;
    for stepped in [false, true] {
        let plan = Guitar { stepped, ..PARLOUR }.plan();
        let surface = Surface::new(&plan, &setup).unwrap();
        let ridge = if stepped { "stepped" } else { "smooth" };
        let mut group = c.benchmark_group(format!("locate, {ridge} ridge"));
        group.throughput(Throughput::Elements(u64::from(PLACES)));
        for (name, shape) in [
            ("ball", CutterShape::Ball),
            ("flat", CutterShape::Flat),
            (
                "vee",
                CutterShape::Vee {
                    tip: 0.1,
                    half_angle: 0.5,
                },
            ),
        ] {
            let tool = cutter(1, shape, 3.0);
            group.bench_function(name, |b| {
                b.iter(|| {
                    let mut locator = Locator::new(&tool, &surface);
                    let mut sum = 0.0;
                    for i in 0..PLACES {
                        let x = 75.0 * f64::from(i) / f64::from(PLACES);
                        sum += locator.z(x, -1.3);
                    }
                    black_box(sum)
                });
            });
        }
    }
}

#[allow(clippy::unwrap_used)]
fn whole(c: &mut Criterion) {
    let mut setup = on_edge();
    setup.stock.height = 12.7;
    setup.scallop = 0.005;
    let plan = PARLOUR.plan();
    let mut group = c.benchmark_group("prepare");
    group.sample_size(10);
    group.bench_function("parlour saddle, on edge", |b| {
        b.iter(|| prepare(black_box(&plan), "Parlour", &setup).unwrap());
    });
}

criterion_group!(all, benches, whole);
criterion_main!(all);
