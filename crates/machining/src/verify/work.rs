//! How much a program gives the simulation to do, reckoned before it is begun.

use super::finding::MOST_CELLS;
use super::moves::lowest;
use crate::simulate::TOUCH;
use crate::{ARC_CHORD, Cutter, HeightMap, Motion};
use numerics::math;

/// The motion with which a program takes more than [`MOST_CELLS`]; `None` if none does.
pub(super) fn too_much(map: &HeightMap, motions: &[Motion], tools: &[&Cutter]) -> Option<usize> {
    let top = map.heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut cells = 0.0;
    motions.iter().position(|motion| {
        cells += of(map, top, motion, tools);
        cells > MOST_CELLS
    })
}

/// At most so many cells are looked at for a motion: all that lie under any part of the tool that is below the top of the material,
/// for every chord that the motion is taken in.
fn of(map: &HeightMap, top: f64, motion: &Motion, tools: &[&Cutter]) -> f64 {
    let Some(tool) = tools.iter().find(|tool| tool.number == motion.tool) else {
        return 0.0;
    };
    let grid = &map.grid;
    let chords = f64::from(motion.chord_count(ARC_CHORD));
    let low = lowest(motion);
    let size = [0, 1].map(|axis| grid.count[axis] as f64 * grid.cell);
    let long = (motion.length() / chords).min(math::hypot(size[0], size[1]));
    let shank = tool.shank_diameter.max(tool.diameter);
    let parts = [
        (0.0, tool.diameter),
        (tool.cutting_length, shank),
        (tool.stick_out, tool.collet_diameter),
    ];
    let plan: f64 = parts
        .iter()
        .filter(|(above, _)| low + above < top - TOUCH)
        .map(|(_, wide)| ((long + wide) * wide).min(size[0] * size[1]))
        .sum();
    chords * plan / (grid.cell * grid.cell)
}
