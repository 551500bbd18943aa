//! The job file and its profiles: from text to a survey, with every problem reported.
//!
//! [`read()`] takes the text of a job file and the [`Profiles`] and gives a [`Checked`] job, or every [`Problem`] at once:
//! line, field, what was read, what is allowed, and how to mend it. The format is described in `examples/FORMAT.md`.
//! This crate reads no files; the caller does.

mod after_neck;
mod alone;
mod corrected;
mod cross;
mod limits;
mod node;
mod per_string;
mod problem;
mod profiles;
mod read;
mod readings;
mod schema;
mod sections;
mod string_spec;
mod table;

pub use after_neck::after_neck;
pub use corrected::{CorrectedError, corrected};
pub use problem::{Problem, Severity};
pub use profiles::{BlankMaterial, Dust, Profiles, StringSet};
pub use read::{FORMAT, read, read_work};
pub use readings::{read_strung, read_strung_over};
pub use string_spec::{StringKind, StringSpec};

/// A job as read.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// Title, for sheets and tables.
    pub title: String,
    /// Free notes; empty if none.
    pub notes: String,
    /// Unit of bare numbers; the millimetre if none is declared.
    pub unit: units::LengthUnit,
    /// Unit that is shown first.
    pub bench: units::BenchUnit,
    /// Paper of the drawing.
    pub paper: Paper,
    /// What was measured and what is wanted.
    pub survey: saddle::SaddleSurvey,
    /// Name of the string set, if one is named.
    pub set_name: Option<String>,
    /// How the strings leave the bridge, if read.
    pub string_exit: Option<StringExit>,
    /// Material of the blank, for cautions.
    pub blank_material: BlankMaterial,
    /// The nut, if one is to be made.
    pub nut: Option<NutJob>,
    /// The crown as it stands before the file touches it.
    pub filing: FilingSetup,
    /// Readings after stringing up, bass to treble, if the file holds them.
    pub strung: Option<Vec<saddle::StrungString>>,
    /// What counts as good, and how the sureness is worked out.
    pub tolerance: ToleranceSetup,
    /// Standard uncertainties of the readings and of making.
    pub uncertainty: saddle::tolerance::Uncertainty,
    /// Readings of bridge, neck and air, and limits, for the question whether a saddle is the remedy.
    pub assess: assess::Facts,
    /// How the blank is cut.
    pub cut: CutJob,
}

/// How the blank is cut: setup, stock, holding and tools. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct CutJob {
    /// What is cut.
    pub part: machining::PartKind,
    /// Setups wanted, in the order in which they are cut.
    pub kinds: Vec<machining::SetupKind>,
    /// Machine.
    pub machine: machining::Machine,
    /// Cutter that roughs, and cuts the outline when flat.
    pub rougher: machining::Cutter,
    /// Cutter that finishes the crown.
    pub finisher: machining::Cutter,
    /// How the material is cut; `None` if no profile knows.
    pub material: Option<machining::Material>,
    /// Wanted spindle speed, rev/min.
    pub spindle: f64,
    /// The stock; the blank itself where it was not measured.
    pub stock: machining::Stock,
    /// The job gives the stock's sizes.
    pub stock_measured: bool,
    /// The job gives the height of the jaws.
    pub jaws_measured: bool,
    /// Where Z is nought.
    pub zero: machining::Zero,
    /// Jaws, on edge.
    pub vise: machining::Holding,
    /// Tape and tabs, flat.
    pub tape: machining::Holding,
    /// Ends of the finished blank.
    pub ends: machining::Ends,
    /// Left on by roughing.
    pub rough_allowance: f64,
    /// Highest ridge left between finishing passes.
    pub scallop: f64,
    /// Rapid moves stay this far above stock and jaws.
    pub clearance: f64,
    /// Cutters and saws that start the slots of a nut; none for a saddle.
    pub groovers: Vec<machining::Cutter>,
    /// Grooves stop at least so far above the slots' floors.
    pub groove_leave: f64,
}

impl CutJob {
    /// All that a program of one setup is made for, or `None` if no profile knows how the material is cut.
    #[must_use]
    pub fn setup(&self, kind: machining::SetupKind) -> Option<machining::Setup> {
        Some(machining::Setup {
            part: self.part,
            kind,
            stock: self.stock,
            zero: self.zero,
            holding: match kind {
                machining::SetupKind::OnEdge | machining::SetupKind::OnEnd => self.vise,
                machining::SetupKind::Flat => self.tape,
            },
            ends: self.ends.clone(),
            rough_allowance: self.rough_allowance,
            scallop: self.scallop,
            clearance: self.clearance,
            rougher: self.rougher.clone(),
            finisher: self.finisher.clone(),
            groovers: self.groovers.clone(),
            groove_leave: self.groove_leave,
            material: self.material.clone()?,
            machine: self.machine.clone(),
            spindle: self.spindle,
        })
    }
}

/// What a job file makes.
#[derive(Debug, Clone, PartialEq)]
pub enum Work {
    /// A saddle, or a saddle and a nut.
    Saddle(Box<Job>),
    /// A nut alone: the saddle stays.
    NutAlone(Box<NutAlone>),
}

/// A job that makes a nut alone, for a saddle that stays.
#[derive(Debug, Clone, PartialEq)]
pub struct NutAlone {
    /// Title, for sheets and tables.
    pub title: String,
    /// Free notes; empty if none.
    pub notes: String,
    /// Unit of bare numbers; the millimetre if none is declared.
    pub unit: units::LengthUnit,
    /// Unit that is shown first.
    pub bench: units::BenchUnit,
    /// Paper of the drawing.
    pub paper: Paper,
    /// The strings over the saddle that stays.
    pub survey: nut::StandingSurvey,
    /// The nut.
    pub nut: NutJob,
    /// Readings after stringing up, bass to treble, if the file holds them.
    pub strung: Option<Vec<saddle::StrungString>>,
    /// What counts as good, and how sure it should be.
    pub tolerance: ToleranceSetup,
    /// Standard uncertainties of the readings and of making.
    pub uncertainty: saddle::tolerance::Uncertainty,
}

/// A nut to be made.
#[derive(Debug, Clone, PartialEq)]
pub struct NutJob {
    /// What was measured and is wanted there.
    pub survey: nut::NutSurvey,
    /// Material of its blank, for cautions.
    pub material: BlankMaterial,
    /// How it is cut.
    pub cut: CutJob,
}

/// The crown as it stands before the file touches it. One entry for each string, bass to treble.
#[derive(Debug, Clone, PartialEq)]
pub struct FilingSetup {
    /// Shape of the crown.
    pub crown: Vec<saddle::filing::PresentCrown>,
    /// Present contact, mm back from the front face; `None`: where the plan puts it, on a flat top its highest edge.
    pub back: Vec<Option<f64>>,
    /// Present action at fret 12, mm; `None`: the target.
    pub action_12: Vec<Option<f64>>,
    /// Action at fret 12, mm, that must not be gone under; `None`: the target less the tolerance.
    pub floor_12: Vec<Option<f64>>,
    /// The saddle is at its height and can no longer be left proud.
    pub at_height: bool,
}

impl FilingSetup {
    /// The planned crown, at the target, for so many strings.
    #[must_use]
    pub fn untouched(strings: usize) -> Self {
        Self {
            crown: vec![saddle::filing::PresentCrown::Planned; strings],
            back: vec![None; strings],
            action_12: vec![None; strings],
            floor_12: vec![None; strings],
            at_height: false,
        }
    }
}

/// What counts as good, and how the sureness is worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToleranceSetup {
    /// What counts as good.
    pub band: saddle::tolerance::Band,
    /// How to sample.
    pub sampling: saddle::tolerance::Sampling,
}

/// Paper size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Paper {
    /// ISO 216 A4, 210 by 297 mm.
    A4,
    /// US Letter, 8 1/2 by 11 in.
    Letter,
}

/// How the strings leave the bridge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StringExit {
    /// Through holes with pins.
    PinHoles,
    /// Through a tie block.
    TieBlock,
}

/// A job without errors.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// The job.
    pub job: Job,
    /// What is doubtful, in line order.
    pub warnings: Vec<Problem>,
}
