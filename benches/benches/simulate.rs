//! The simulation's speed on a finishing program of about 20,000 moves over a blank of 75 by 3.2 mm, and on a rough one.

#![allow(missing_docs)] // macros of criterion

use criterion::{Criterion, criterion_group, criterion_main};
use fixtures::{cutter, finishing_moves};
use machining::{CutterShape, Grid, HeightMap, simulate};

fn finishing(c: &mut Criterion) {
    let tool = cutter(2, CutterShape::Ball, 3.0);
    let motions = finishing_moves(2);
    let grid = Grid::cover([0.0, -3.2, 75.0, 0.0], 0.025);
    c.bench_function("finishing, 20,000 moves, 3000 by 128 cells", |b| {
        b.iter(|| {
            let mut map = HeightMap::block(grid, 11.0);
            simulate(&mut map, &motions, &[&tool]).len()
        });
    });
}

criterion_group! {
    name = all;
    config = Criterion::default().sample_size(20);
    targets = finishing
}
criterion_main!(all);
