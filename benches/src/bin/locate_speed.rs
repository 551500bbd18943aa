//! Cutter locations over an invented crown, timed, and the same crown as meshes for another program.
//!
//! Writes into the folder named: `places.csv` (x, y), and for each ridge `RIDGE-CUTTER.f64` (heights of the tip at the places)
//! and `RIDGE-MESH.stl`. Prints JSON: rates, and how far each mesh strays from the crown.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss
)]

use fixtures::{Guitar, PARLOUR, cutter, on_edge};
use machining::{Cutter, CutterShape, Locator, Surface, locate_all};
use std::fmt::Write;
use std::path::Path;
use std::time::Instant;

/// Places that heights are compared at, and places of one timed run.
const COMPARED: usize = 2000;
const TIMED: usize = 400_000;
const RUNS: usize = 7;

struct Mesh {
    name: &'static str,
    /// Longest side of a cell along and across, mm.
    cell: (f64, f64),
}

/// A fine square grid that reaches 0.01 mm over both ridges, and a coarse one stretched along the blank that reaches it over
/// the smooth ridge alone.
const MESHES: [Mesh; 2] = [
    Mesh {
        name: "square",
        cell: (0.1, 0.1),
    },
    Mesh {
        name: "stretched",
        cell: (0.8, 0.16),
    },
];

fn height(surface: &Surface, x: f64, y: f64) -> f64 {
    surface.height(x, y).unwrap()
}

/// Binary STL of a grid over the crown, and the most that it strays from it, sampled inside every triangle.
fn mesh(surface: &Surface, mesh: &Mesh) -> (Vec<u8>, u32, f64) {
    let (long, wide) = (surface.stock_length(), surface.thickness());
    let (nx, ny) = (
        (long / mesh.cell.0).ceil() as usize,
        (wide / mesh.cell.1).ceil() as usize,
    );
    let at = |i: usize, j: usize| {
        let (x, y) = (long * i as f64 / nx as f64, -wide * j as f64 / ny as f64);
        [x, y, height(surface, x, y)]
    };
    let mut body = Vec::new();
    let (mut count, mut off) = (0u32, 0.0f64);
    for i in 0..nx {
        for j in 0..ny {
            let [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
            for t in [[a, c, b], [a, d, c]] {
                for (p, q) in [
                    (1.0 / 3.0, 1.0 / 3.0),
                    (0.5, 0.0),
                    (0.0, 0.5),
                    (0.5, 0.5),
                    (0.2, 0.2),
                    (0.6, 0.2),
                    (0.2, 0.6),
                ] {
                    let s = [0, 1, 2].map(|k| t[0][k] + p * (t[1][k] - t[0][k]) + q * (t[2][k] - t[0][k]));
                    let s = [s[0].clamp(0.0, long), s[1].clamp(-wide, 0.0), s[2]];
                    off = off.max((s[2] - height(surface, s[0], s[1])).abs());
                }
                body.extend([0u8; 12]);
                for v in t.iter().flatten() {
                    body.extend((*v as f32).to_le_bytes());
                }
                body.extend([0u8; 2]);
                count += 1;
            }
        }
    }
    let mut out = vec![0u8; 80];
    out.extend(count.to_le_bytes());
    out.extend(body);
    (out, count, off)
}

/// Best of several runs over a finishing raster: locations a second on one thread with starts that follow each other, and on all.
fn rates(tool: &Cutter, surface: &Surface, places: &[[f64; 2]]) -> (f64, f64) {
    let mut best = (f64::INFINITY, f64::INFINITY);
    for _ in 0..RUNS {
        let start = Instant::now();
        let mut locator = Locator::new(tool, surface);
        let sum: f64 = places.iter().map(|[x, y]| locator.z(*x, *y)).sum();
        best.0 = best.0.min(start.elapsed().as_secs_f64());
        assert!(sum.is_finite());
        let start = Instant::now();
        let all = locate_all(tool, surface, places);
        best.1 = best.1.min(start.elapsed().as_secs_f64());
        assert!((all.iter().sum::<f64>() - sum).abs() < 1e-3);
    }
    let count = places.len() as f64;
    (count / best.0, count / best.1)
}

fn main() {
    let folder = std::env::args().nth(1).unwrap_or_else(|| panic!("name a folder"));
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder).unwrap();
    let mut setup = on_edge();
    setup.stock.height = 12.0;
    // Places by a low-discrepancy sequence (additive recurrence with the plastic number), over the blank and a little beside its faces.
    let places: Vec<[f64; 2]> = (0..COMPARED)
        .map(|i| {
            let share = |a: f64| (0.5 + a * i as f64).fract();
            [
                1.6 + 71.8 * share(0.754_877_666_246_693),
                0.8 - 4.8 * share(0.569_840_290_998_053),
            ]
        })
        .collect();
    let raster: Vec<[f64; 2]> = (0..TIMED)
        .map(|i| {
            let (lane, along) = (i / 20_000, (i % 20_000) as f64 / 20_000.0);
            [
                75.0 * if lane % 2 == 0 { along } else { 1.0 - along },
                0.3 - 3.8 * lane as f64 / 20.0,
            ]
        })
        .collect();
    let csv: String = places.iter().fold(String::new(), |mut s, p| {
        let _ = writeln!(s, "{},{}", p[0], p[1]);
        s
    });
    std::fs::write(folder.join("places.csv"), csv).unwrap();
    let (mut meshes, mut speeds) = (Vec::new(), Vec::new());
    for (ridge, stepped) in [("smooth", false), ("stepped", true)] {
        let plan = Guitar { stepped, ..PARLOUR }.plan();
        let surface = Surface::new(&plan, &setup).unwrap();
        for m in &MESHES {
            let (bytes, triangles, off) = mesh(&surface, m);
            std::fs::write(folder.join(format!("{ridge}-{}.stl", m.name)), bytes).unwrap();
            meshes.push(format!(
                r#"{{"ridge":"{ridge}","mesh":"{}","triangles":{triangles},"strays":{off}}}"#,
                m.name
            ));
        }
        for (name, shape) in [("ball", CutterShape::Ball), ("flat", CutterShape::Flat)] {
            let tool = cutter(1, shape, 3.0);
            let bytes: Vec<u8> = locate_all(&tool, &surface, &places)
                .iter()
                .flat_map(|z| z.to_le_bytes())
                .collect();
            std::fs::write(folder.join(format!("{ridge}-{name}.f64")), bytes).unwrap();
            let (one, all) = rates(&tool, &surface, &raster);
            speeds.push(format!(
                r#"{{"ridge":"{ridge}","cutter":"{name}","one_thread":{one},"all_threads":{all}}}"#
            ));
        }
    }
    println!(
        r#"{{"diameter":3.0,"meshes":[{}],"speeds":[{}]}}"#,
        meshes.join(","),
        speeds.join(",")
    );
}
