//! What can be wrong with a program, in plain words.

use std::fmt;

use thiserror::Error;

use crate::program::{Disagreement, ReplayFault, TextFault};

/// Most cells that the simulation may have to look at: ten times as many as for the longest of the programs in `tests/jobs` and
/// `examples`, and about four seconds of one core at 1e9 a second (measured).
pub const MOST_CELLS: f64 = 4e9;

/// What is wrong, and what to change. Lengths in mm.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Fault {
    /// The text does not read.
    #[error("{0}")]
    Text(TextFault),
    /// Two readers differ.
    #[error("{0}")]
    Readers(Disagreement),
    /// A line cannot be carried out.
    #[error("{0}")]
    Replay(ReplayFault),
    /// Nothing moves.
    #[error("the program moves nothing")]
    NoMotions,
    /// Modes that the program does not set before it moves.
    #[error("before the first move the program does not set {0}; write it, or the machine keeps what was set last")]
    MissingMode(String),
    /// Units that the machine is not set to.
    #[error("the program is in {program}, the machine in {machine}; make it again for this machine")]
    Units {
        /// Units of the program.
        program: &'static str,
        /// Units of the machine.
        machine: &'static str,
    },
    /// G91.
    #[error("moves are written in steps (G91), where one lost line shifts all that follow; write places (G90)")]
    Steps,
    /// A work offset other than the first one set.
    #[error("the work offset changes within the program; the cut would jump to another zero")]
    OffsetChanges,
    /// Spindle speed out of range.
    #[error("the spindle is set to {speed:.0} rev/min; the machine runs from {least:.0} to {most:.0}")]
    SpindleRange {
        /// Speed, rev/min.
        speed: f64,
        /// Slowest, rev/min.
        least: f64,
        /// Fastest, rev/min.
        most: f64,
    },
    /// M4.
    #[error("the spindle is started backwards (M4); cutters cut with M3")]
    SpindleReverse,
    /// Feed move without spindle.
    #[error("a cutting move runs with the spindle standing; start it with M3 and S before")]
    SpindleStill,
    /// Spindle still on at the end.
    #[error("the program does not stop the spindle before it ends; write M5 before M30")]
    SpindleLeftOn,
    /// No M2 or M30.
    #[error("the program does not end with M30 or M2; its last lines may be lost")]
    NoEnd,
    /// A tool that the setup does not have.
    #[error("tool {0} is none of this setup's cutters")]
    ToolUnknown(u32),
    /// A tool other than the one that is in.
    #[error(
        "the program calls for tool {wanted}, but tool {loaded} is in the spindle and this machine does not change it"
    )]
    ToolNotLoaded {
        /// Called for.
        wanted: u32,
        /// In the spindle.
        loaded: u32,
    },
    /// A change of tool on a machine without.
    #[error("this machine does not change tools within a program; use one program for each tool")]
    ToolChange,
    /// Another tool cuts at the length of the one before.
    #[error(
        "tool {tool} moves with {}; its own must come first: {}",
        length_in_force(*.have), if *.touched { "M0 with a comment \"Tool N: ..\", where it is touched off" } else { "G43 H and its number" }
    )]
    LengthNotTaken {
        /// Tool in the spindle.
        tool: u32,
        /// Whose length is in force.
        have: Option<u32>,
        /// The machine's tools are touched off.
        touched: bool,
    },
    /// A length on top of what was touched off.
    #[error(
        "the length of tool {tool} is taken up (G43), but this machine's tools are touched off: both would add up. Take G43 out"
    )]
    LengthAdded {
        /// Whose length.
        tool: u32,
    },
    /// The first move is not straight up.
    #[error(
        "the first move, at the start and after a change of tool, names Z alone, as G0, and goes to {safe:.3} mm or more, because nobody knows where the tool stands"
    )]
    StartNotUp {
        /// Safe height.
        safe: f64,
    },
    /// A move that counts on a place that nobody named.
    #[error(
        "the tool comes down or cuts, and nobody has said where it stands in {axis}; write X and Y first, as G0 at the safe height"
    )]
    PlaceUnknown {
        /// Axis.
        axis: char,
    },
    /// A move in machine coordinates to somewhere that is not known to be clear.
    #[error("{word} goes to a place of the machine that nobody knows to be clear: {why}")]
    MachinePlace {
        /// Word.
        word: &'static str,
        /// Why.
        why: String,
    },
    /// Cutting before the spindle is at speed.
    #[error(
        "a cut begins {waited:.1} s after the spindle was started, and it takes {needed:.1} s to come to speed; write G4 P{needed:.1} behind M3"
    )]
    NoWait {
        /// Waited, s.
        waited: f64,
        /// Needed, s.
        needed: f64,
    },
    /// A wait that nobody wants.
    #[error(
        "the program waits for {seconds:.0} s (G4); no spindle needs more than {most:.0} s. Mind that P counts seconds"
    )]
    LongWait {
        /// Waited, s.
        seconds: f64,
        /// Most, s.
        most: f64,
    },
    /// Something runs while a hand is in the machine.
    #[error(
        "the {what} runs while the program waits for a hand; write {word} before M0 or M1, and start it again behind"
    )]
    RunsAtPause {
        /// What runs.
        what: &'static str,
        /// What stops it.
        word: &'static str,
    },
    /// Corners rounded by more than the machine's profile says, or by nobody knows how much.
    #[error("G64 lets the controller round corners by {}; the machine's profile has {most:.4} mm. Write G64 P{most:.4} or less, or G61", rounding(*.by))]
    Rounding {
        /// How much, mm.
        by: Option<f64>,
        /// The machine's own, mm.
        most: f64,
    },
    /// Program end or tool change down in the work.
    #[error("the tool stands at Z {z:.3} mm when {what}; lift it to {safe:.3} mm or more before")]
    StandsLow {
        /// Height of the tip.
        z: f64,
        /// Safe height.
        safe: f64,
        /// When.
        what: &'static str,
    },
    /// Rapid to the side, too low.
    #[error("a rapid move goes sideways at Z {z:.3} mm; the safe height is {safe:.3} mm")]
    RapidLow {
        /// Lowest of the move.
        z: f64,
        /// Safe height.
        safe: f64,
    },
    /// Rapid into material.
    #[error("a rapid move cuts {depth:.3} mm into the material; lift the tool first or use G1")]
    RapidInMaterial {
        /// How deep.
        depth: f64,
    },
    /// Tool meets a jaw.
    #[error("the tool comes {by:.3} mm into {what}; lower the jaws, raise the blank or keep the path away from them")]
    Jaw {
        /// Which jaw.
        what: &'static str,
        /// How far.
        by: f64,
    },
    /// Tool below the seat.
    #[error("the tip goes {by:.3} mm below what the blank stands on")]
    Table {
        /// How far.
        by: f64,
    },
    /// More than is simulated.
    #[error(
        "with this line its {motions} motions come to more than {:.0e} cells of the simulation, which no saddle or nut needs; simulated no further. Divide the program, or make it with longer moves and fewer arcs",
        MOST_CELLS
    )]
    Long {
        /// Motions of the program.
        motions: usize,
    },
    /// Material above the cutting edges.
    #[error("material stands {by:.3} mm above the cutting edges and meets the shank; use a cutter with longer edges")]
    Shank {
        /// How far.
        by: f64,
    },
    /// Material at the collet.
    #[error("the collet comes {by:.3} mm into the material; let the cutter stick out farther")]
    Collet {
        /// How far.
        by: f64,
    },
    /// More travel than the machine has.
    #[error("the program needs {needed:.1} mm in {axis}; the machine travels {travel:.1} mm")]
    Travel {
        /// Axis.
        axis: char,
        /// Extent of the program.
        needed: f64,
        /// Travel of the machine.
        travel: f64,
    },
    /// Feed beyond an axis.
    #[error("the feed asks {feed:.0} mm/min of {axis}; it runs at most {most:.0} mm/min")]
    FeedLimit {
        /// Axis.
        axis: char,
        /// Feed along it, mm/min.
        feed: f64,
        /// Highest, mm/min.
        most: f64,
    },
    /// Chip too thick.
    #[error("the chip is {chip:.4} mm thick; over {most:.4} mm the material breaks. Feed slower or turn faster")]
    ChipThick {
        /// Chip per tooth.
        chip: f64,
        /// Thickest allowed.
        most: f64,
    },
    /// Chip too thin.
    #[error(
        "the chip is {chip:.4} mm thick; under {least:.4} mm the cutter rubs and burns. Feed faster or turn slower"
    )]
    ChipThin {
        /// Chip per tooth.
        chip: f64,
        /// Thinnest that is cut.
        least: f64,
    },
    /// Too deep in one pass.
    #[error("one pass takes {depth:.3} mm; this cutter takes at most {most:.3} mm in this material")]
    StepDown {
        /// Depth met.
        depth: f64,
        /// Deepest allowed.
        most: f64,
    },
    /// Deep and narrow, but too much.
    #[error("one pass takes a section of {section:.3} mm2; this cutter takes at most {most:.3} mm2 in this material")]
    Engagement {
        /// Section of the cut, mm2.
        section: f64,
        /// Largest allowed, mm2.
        most: f64,
    },
    /// Cut into the part.
    #[error("it cuts {depth:.3} mm into the finished part; at most {limit:.3} mm is allowed")]
    Gouge {
        /// Deepest.
        depth: f64,
        /// Limit.
        limit: f64,
    },
    /// Material left.
    #[error("it leaves {height:.3} mm too much; at most {limit:.3} mm is allowed")]
    Excess {
        /// Highest.
        height: f64,
        /// Limit.
        limit: f64,
    },
    /// Material not touched.
    #[error("{area:.3} mm2 of the part are not cut at all")]
    Uncut {
        /// Area, mm2.
        area: f64,
    },
    /// Stock smaller than the part.
    #[error("the stock is {by:.3} mm too low for the part; measure it again or use another blank")]
    StockLow {
        /// How much is missing.
        by: f64,
    },
}

fn length_in_force(have: Option<u32>) -> String {
    have.map_or_else(
        || "no tool's length taken up".to_owned(),
        |tool| format!("the length of tool {tool}"),
    )
}

fn rounding(by: Option<f64>) -> String {
    by.map_or_else(|| "as much as it likes".to_owned(), |by| format!("{by:.4} mm"))
}

impl Fault {
    /// The greater, the worse, among faults of one kind.
    fn weight(&self) -> f64 {
        match self {
            Self::RapidLow { z, safe } | Self::StandsLow { z, safe, .. } => safe - z,
            Self::RapidInMaterial { depth } | Self::StepDown { depth, .. } | Self::Gouge { depth, .. } => *depth,
            Self::Jaw { by, .. }
            | Self::Table { by }
            | Self::Shank { by }
            | Self::Collet { by }
            | Self::StockLow { by } => *by,
            Self::FeedLimit { feed, .. } => *feed,
            Self::ChipThick { chip, .. } => *chip,
            Self::ChipThin { chip, .. } => -chip,
            Self::Engagement { section, .. } => *section,
            Self::Excess { height, .. } => *height,
            Self::NoWait { waited, needed } => needed - waited,
            Self::LongWait { seconds, .. } => *seconds,
            _ => 0.0,
        }
    }
}

/// A fault with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Line of the program, from 1.
    pub line: u32,
    /// Where the tip is, or where the surface is wrong, mm.
    pub place: Option<[f64; 3]>,
    /// What is wrong.
    pub fault: Fault,
    /// How many more of this kind there are; this one is the worst.
    pub more: usize,
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}", self.line)?;
        if let Some([x, y, z]) = self.place {
            write!(f, " (X {x:.3}, Y {y:.3}, Z {z:.3} mm)")?;
        }
        write!(f, ": {}", self.fault)?;
        match self.more {
            0 => Ok(()),
            1 => write!(f, " (and one more place)"),
            more => write!(f, " (and {more} more places)"),
        }
    }
}

/// Most faults of a text that are told one by one.
const MOST_TEXTS: usize = 50;

/// Findings as they come.
#[derive(Debug, Default)]
pub(super) struct Findings(Vec<Finding>);

impl Findings {
    /// Adds one; of one kind only the worst is kept, but for faults of the text, which are all told.
    pub fn add(&mut self, line: u32, place: Option<[f64; 3]>, fault: Fault) {
        let kind = std::mem::discriminant(&fault);
        let texts = if matches!(fault, Fault::Text(_)) {
            self.0.len()
        } else {
            0
        };
        let known = self.0.iter_mut().find(|f| std::mem::discriminant(&f.fault) == kind);
        match known {
            Some(_) if matches!(fault, Fault::Text(_)) && texts >= MOST_TEXTS => {
                if let Some(last) = self.0.iter_mut().rfind(|f| matches!(f.fault, Fault::Text(_))) {
                    last.more += 1;
                }
            }
            Some(known) if !matches!(fault, Fault::Text(_)) => {
                known.more += 1;
                if fault.weight() > known.fault.weight() {
                    (known.line, known.place, known.fault) = (line, place, fault);
                }
            }
            _ => self.0.push(Finding {
                line,
                place,
                fault,
                more: 0,
            }),
        }
    }

    /// All of them, in order of lines.
    pub fn sorted(mut self) -> Vec<Finding> {
        self.0.sort_by_key(|f| f.line);
        self.0
    }
}
