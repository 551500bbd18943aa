//! The job file and its profiles: from text to a survey, with every problem reported.
//!
//! [`read()`] takes the text of a job file and the [`Profiles`] and gives a [`Checked`] job, or every [`Problem`] at once:
//! line, field, what was read, what is allowed, and how to mend it. The format is described in `examples/FORMAT.md`.
//! This crate reads no files; the caller does.

mod after_neck;
mod as_typed;
mod corrected;
mod cross;
mod cut_job;
mod edit;
mod entry;
mod fields;
mod form;
mod format_table;
mod head;
mod heard_round;
mod job;
mod judged;
mod layout;
mod made;
mod may;
mod mended_value;
mod mending;
mod node;
mod over_zero_fret;
mod parse;
mod parts;
mod per_string;
mod problem;
mod profiles;
mod read;
mod readings;
mod said;
mod sections;
mod shop;
mod some_strings;
mod source;
mod spelling;
mod split;
mod standing;
mod statements;
mod string_model;
mod string_spec;
mod table;
mod text_form;
mod unreadable;

pub use after_neck::after_neck;
pub use as_typed::as_typed;
pub use corrected::{CorrectedError, corrected};
pub use cut_job::{CutJob, outlined_among};
pub use edit::{Edit, EditError};
pub use entry::{
    EntryAbout, EntryFault, EntryKept, EntryKind, EntryPlace, entries, entry_fields, entry_question, kept_entry,
    reading_key, without_entry,
};
pub use fields::{
    Field, Kind, List, NUT_MADE, Range, SADDLE_MADE, SADDLE_STAYS, SPELLED_OUT, Spread, Start, Station, Tool, When,
    fields,
};
pub use form::{FormFault, FormField, FormTake, FormTyped};
pub use format_table::format_table;
pub use head::FORMAT;
pub use heard_round::{HeardKey, with_heard};
pub use job::{Book, Checked, FilingSetup, Job, NutJob, Paper, SaddleJob, StringExit, StrungReadings, ToleranceSetup};
pub use judged::judged;
pub use layout::{Layout, Slip};
pub use problem::{Beside, Problem, ProblemKind, Quantity, Severity, Values, Wanted, Why, shown};
pub use profiles::kind::{OWN_PROFILES, ShopKind};
pub use profiles::{BenchTool, BlankMaterial, Dust, Profiles, StringSet, SureTo, reading_word};
pub use read::read;
pub use readings::read_strung;
pub use sections::contour::contour_places;
pub use shop::{ShopFile, shop_entry, shop_fields, shop_names};
pub use spelling::same_word;
pub use string_spec::{StringKind, StringSpec};
pub use text_form::TextForm;
/// A value as it is put into a job file's text.
pub use toml_edit::Value;
pub use unreadable::unreadable;
