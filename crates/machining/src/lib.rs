//! Cutters, passes, feeds, simulation, verification and G-code for the saddle's blank.
//!
//! One way: a plan and a [`Setup`] give toolpaths, toolpaths give program text, and the text alone, read back as a machine
//! would read it, is simulated and judged. A program that fails is never handed out. This crate knows nothing of files.
//!
//! Program coordinates, mm:
//!
//! * on edge: X along the blank from the bass end of the stock, Y across with the front face at Y = 0 and the blank at
//!   negative Y (Y = -b), Z up with the seat (bottom edge) at Z = 0, or the raw top if the setup says so;
//! * flat: X along from the bass end, Y up from the bottom edge (Y = v), Z = b from the front face, which lies down.
//!
//! A left-handed instrument's blank is mirrored: X counts from its treble end instead.

mod bed;
mod cutter;
mod emit;
mod feeds;
mod locate;
mod machine;
mod material;
mod motion;
mod outline;
mod passes;
mod prepare;
mod program;
mod setup;
mod simulate;
mod surface;
mod target;
#[doc(hidden)]
pub mod testbed;
mod time;
mod verify;

pub use bed::{Block, THROUGH};
pub use cutter::{Cutter, CutterError, CutterShape};
pub use emit::{EmitError, emit};
pub use feeds::{FeedError, FeedNote, Feeds, chip_share, feeds};
pub use locate::{Contact, Feature, Location, Locator, locate, locate_all};
pub use machine::{Machine, Words};
pub use material::Material;
pub use motion::{Motion, MotionKind, Plane};
pub use outline::{ARC_FIT, Outline, OutlineError};
pub use passes::{CHORD, Move, PassError, Toolpath, Toolpaths, toolpaths};
pub use prepare::{PrepareError, Prepared, Program, Refused, prepare, target};
pub use program::{
    ArcFault, Disagreement, Event, EventKind, Header, HeaderError, Line, Replay, ReplayError, ReplayFault, TextError,
    TextFault, Word, agree, header, header_title, permitted, read, replay,
};
pub use setup::{Ends, Holding, Setup, SetupKind, Stock, Zero};
pub use simulate::{ARC_CHORD, Grid, HeightMap, JOIN, Met, cells_visited, simulate};
pub use surface::{Surface, SurfaceError};
pub use target::Target;
pub use time::durations;
pub use verify::{Check, CycleTime, Deviation, EXCESS, Fault, Finding, GOUGE, Limits, Report, verify};
