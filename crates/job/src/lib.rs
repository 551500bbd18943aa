//! The job file and its profiles: from text to a survey, with every problem reported.
//!
//! [`read`] takes the text of a job file and the [`Profiles`] and gives a [`Checked`] job, or every [`Problem`] at once:
//! line, field, what was read, what is allowed, and how to mend it. The format is described in `examples/FORMAT.md`.
//! This crate reads no files; the caller does.

mod cross;
mod limits;
mod node;
mod per_string;
mod problem;
mod profiles;
mod read;
mod schema;
mod sections;
mod string_spec;
mod table;

pub use problem::{Problem, Severity};
pub use profiles::{BlankMaterial, Dust, Profiles, StringSet};
pub use read::{FORMAT, read};
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
