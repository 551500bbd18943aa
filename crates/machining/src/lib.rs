//! Cutters, passes, feeds, simulation, verification and G-code for the blanks of saddle and nut.
//!
//! One way: a plan and a [`Setup`] give toolpaths, toolpaths give program text, and the text alone, read back as a machine
//! would read it, is simulated and judged. A program that fails is never handed out. This crate knows nothing of files.
//!
//! Program coordinates, mm:
//!
//! * on edge: X along the blank from the bass end of the stock, Y across with the front face at Y = 0 and the blank at
//!   negative Y (Y = -b), Z up with the seat (bottom edge) at Z = 0, or the raw top if the setup says so;
//! * on end, a nut for the saw: X up from the seat (v), Y = -b, Z falling from the upper end, which has X = 0 in the others;
//! * flat: X along from the bass end, Y up from the bottom edge (Y = v), Z = b from the front face, which lies down.
//!
//! A left-handed instrument's blank is mirrored: X counts from its treble end instead.

mod bed;
mod cutter;
mod emit;
mod end;
mod feeds;
mod grip;
mod heights;
mod jaws;
mod lie;
mod locate;
mod machine;
mod material;
mod motion;
mod outline;
mod outlined;
mod part;
mod passes;
mod prepare;
mod program;
mod setup;
mod simulate;
mod slots;
mod surface;
mod target;
#[doc(hidden)]
pub mod testbed;
mod time;
mod touch;
mod verify;

pub use bed::{Block, JAW_BEYOND, THROUGH};
pub use cutter::{Cutter, CutterError, CutterShape};
pub use emit::{EmitError, emit};
pub use feeds::{FeedError, FeedNote, Feeds, feeds};
pub use grip::held;
pub use heights::{HEIGHT_OFF, Height, heights};
pub use locate::{Contact, Feature, Location, Locator, locate, locate_all};
pub use machine::{LINE_MOST, Machine, ToolLengths, Words};
pub use material::Material;
pub use motion::{Motion, MotionKind, Plane};
pub use outline::{Outline, OutlineError};
pub use outlined::outlined;
pub use part::Part;
pub use passes::{CHORD, MOST_PASSES, Move, PassError, Toolpath, Toolpaths, finishing_passes, toolpaths};
pub use prepare::{PrepareError, Prepared, Program, Refused, prepare, target};
pub use program::{
    ArcFault, Blind, Disagreement, Event, EventKind, Header, HeaderError, Line, MarkFault, Marks, Replay, ReplayError,
    ReplayFault, TextError, TextFault, Word, agree, header, header_title, permitted, read, replay, replay_under,
    too_long,
};
pub use setup::{Ends, Holding, PartKind, Setup, SetupKind, Stock, Zero, setup_name};
pub use simulate::{ARC_CHORD, Grid, HeightMap, JOIN, Met, cells_visited, simulate};
pub use slots::{Groove, Grooved, LeftOut, Prism, SIDE, Why, grooves};
pub use surface::{Surface, SurfaceError};
pub use target::Target;
pub use time::durations;
pub use touch::{ToZ, ToolTouch, Touch, TouchOn, TouchWhen};
pub use verify::{Check, CutTolerance, CycleTime, Deviation, Fault, Finding, Report, WAIT_MOST, verify};
