//! Times the simulation of a finishing program and writes the moves and the heights for a comparison from outside.
//!
//! `cargo run --release -p bonewright-benches --bin simulate_speed -- FOLDER` writes `moves.csv` (x, y, z of every
//! point), `heights.f64` (little-endian, rows along x), and prints JSON: sizes, best seconds, bytes touched, bandwidth.

#![allow(clippy::print_stdout, clippy::print_stderr)]

use std::fmt::Write as _;
use std::path::PathBuf;
use std::time::Instant;

use fixtures::{cutter, finishing_moves};
use machining::{CutterShape, Grid, HeightMap, simulate};

const ROUNDS: u32 = 7;

fn best(mut run: impl FnMut()) -> f64 {
    (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed().as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min)
}

/// Processor time of this thread so far, s; nought where the system does not tell.
fn thread_seconds() -> f64 {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let nanoseconds = text.split(' ').next().and_then(|n| n.parse::<f64>().ok());
    1e-9 * nanoseconds.unwrap_or_default()
}

fn main() -> std::io::Result<()> {
    let folder = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| ".".into()));
    std::fs::create_dir_all(&folder)?;
    let (width, depth, cell, top) = (75.0, 3.2, 0.025, 11.0);
    let tool = cutter(2, CutterShape::Ball, 3.0);
    let motions = finishing_moves(2);
    let grid = Grid::cover([0.0, -depth, width, 0.0], cell);

    let mut map = HeightMap::block(grid, top);
    let seconds = best(|| {
        map = HeightMap::block(grid, top);
        let met = simulate(&mut map, &motions, &[&tool]);
        assert_eq!(met.len(), motions.len());
    });

    // On one thread, by the processor's clock: what others do on the machine then matters less.
    let mut processor = f64::INFINITY;
    if let Ok(pool) = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .use_current_thread()
        .build()
    {
        for _ in 0..ROUNDS {
            let start = thread_seconds();
            pool.install(|| simulate(&mut HeightMap::block(grid, top), &motions, &[&tool]).len());
            processor = processor.min(thread_seconds() - start);
        }
    }

    // A copy far larger than any cache, read and written once each.
    let source = vec![1.0f64; 32 << 20];
    let mut sink = vec![0.0f64; 32 << 20];
    let copy = best(|| {
        use rayon::prelude::*;
        sink.par_chunks_mut(1 << 20)
            .zip(source.par_chunks(1 << 20))
            .for_each(|(to, from)| to.copy_from_slice(from));
    });
    let bandwidth = 2.0 * 8.0 * source.len() as f64 / copy;

    let mut moves = String::new();
    for point in motions
        .first()
        .map(|m| m.from)
        .into_iter()
        .chain(motions.iter().map(|m| m.to))
    {
        let _ = writeln!(moves, "{},{},{}", point[0], point[1], point[2]);
    }
    std::fs::write(folder.join("moves.csv"), moves)?;
    let bytes: Vec<u8> = map.heights.iter().flat_map(|h| h.to_le_bytes()).collect();
    std::fs::write(folder.join("heights.f64"), bytes)?;
    println!(
        "{{\"moves\":{},\"nx\":{},\"ny\":{},\"cell\":{cell},\"x0\":{},\"y0\":{},\"top\":{top},\"radius\":{},\"seconds\":{seconds},\"processor\":{processor},\"bandwidth\":{bandwidth},\"cells\":{},\"check\":{}}}",
        motions.len(),
        grid.count[0],
        grid.count[1],
        grid.low[0],
        grid.low[1],
        tool.radius(),
        machining::cells_visited(&map, &motions, &[&tool]),
        sink[sink.len() - 1],
    );
    Ok(())
}
