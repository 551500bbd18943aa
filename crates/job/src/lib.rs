//! The job file and its profiles: from text to a survey, with every problem reported.
//!
//! [`read()`] takes the text of a job file and the [`Profiles`] and gives a [`Checked`] job, or every [`Problem`] at once:
//! line, field, what was read, what is allowed, and how to mend it. The format is described in `examples/FORMAT.md`.
//! This crate reads no files; the caller does.

mod after_neck;
mod corrected;
mod cross;
mod cut_job;
mod head;
mod job;
mod layout;
mod limits;
mod made;
mod may;
mod mended_value;
mod mending;
mod node;
mod parse;
mod parts;
mod per_string;
mod problem;
mod profiles;
mod read;
mod readings;
mod schema;
mod sections;
mod spelling;
mod standing;
mod statements;
mod string_model;
mod string_spec;
mod table;
mod text_form;

pub use after_neck::after_neck;
pub use corrected::{CorrectedError, corrected};
pub use cut_job::{CutJob, outlined_among};
pub use head::FORMAT;
pub use job::{Checked, FilingSetup, Job, NutJob, Paper, SaddleJob, StringExit, ToleranceSetup};
pub use layout::{Layout, Slip};
pub use problem::{Problem, Severity, shown};
pub use profiles::{BlankMaterial, Dust, Profiles, StringSet};
pub use read::read;
pub use readings::read_strung;
pub use spelling::same_word;
pub use string_spec::{StringKind, StringSpec};
pub use text_form::TextForm;
