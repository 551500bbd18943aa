//! Writes programs for checks from outside into a folder: one in order, and one with arcs and helices in all planes. Beside each
//! lies FILE.limits.json with the safe height and the machine's travel, mm.
//!
//! `cargo run -p bonewright-benches --bin write_program -- FOLDER`

use std::path::PathBuf;

use fixtures::{bow_program, on_edge};

/// Arcs by centre and by radius, helices, a full circle, steps, inches.
const ALL_PLANES: &str = "%
(all planes)
G21
G90 G17 G94 G40 G49 G80 G54
G0 Z20
T1 M6
S9000 M3
G0 X10 Y5
G1 Z1 F300
G2 X14 Y5 I2 J0 F600
G3 X14 Y9 R2
G3 X14 Y9 I-3 J0 Z0.5
G18 G2 X18 Z0.5 I2 K0
G3 X20 Z2.5 R2 Y10
G19 G3 Y12 Z4.5 J0 K2
G2 Y14 Z6.5 R-2
G17
G91
G1 X1 Y-1 Z0.25
G2 X2 Y2 I2 J0
G90
G0 Z20
G20
G0 X1 Y0.5
G1 Z0.5 F20
G2 X1.2 Y0.5 I0.1 J0 Z0.4
G0 Z0.8
G21
G0 Z20
M5
M30
%
";

fn main() -> std::io::Result<()> {
    let folder = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| ".".into()));
    std::fs::create_dir_all(&folder)?;
    let travel = on_edge().machine.travel;
    let programs = [
        ("bow.ngc", bow_program(), on_edge().safe_z()),
        ("planes.ngc", ALL_PLANES.to_owned(), 20.0),
    ];
    for (name, text, safe) in programs {
        std::fs::write(folder.join(name), text)?;
        let limits = format!("{{\"safe_z\":{safe:?},\"travel\":{travel:?}}}\n");
        std::fs::write(folder.join(format!("{name}.limits.json")), limits)?;
    }
    Ok(())
}
