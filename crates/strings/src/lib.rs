//! Strings: tension, stiffness, the pitch of a fretted string, setbacks and calibration.
//!
//! The model is that of M. B. Anderson and R. G. Beausoleil, "Classical guitar intonation and compensation: the
//! well-tempered guitar", J. Acoust. Soc. Am. 156(1), 683 (2024): a string pinned at the saddle and clamped at the nut or
//! fret; how firmly the ends are held can be said otherwise ([`Ends`]). Lengths in mm, forces in N, frequencies in Hz, linear densities in g/m (the same number as mg/mm).

mod build;
mod ends;
mod fretted;
mod pitch;
mod rule;
mod setback;
mod stiffness;

pub use build::{BuildError, Core, CoreShape, Material, Winding, plain, wound};
pub use ends::Ends;
pub use fretted::{FRETS, FrettedString, Point, StringModel, rms};
pub use pitch::{PitchError, frequency};
pub use rule::{NYLON_GAUGES, on_nylon, steel_core};
pub use setback::{Criterion, NutPath, SaddleHeight, Setback, SetbackError, nut_setback, setback, shared_setback};
pub use stiffness::{Factors, Stiffness, Wrong};
