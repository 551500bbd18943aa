//! A plan in words and figures: tables, notes, cautions, JSON and CSV. Nothing here reads or writes a file.
//!
//! [`Page`] is what `bonewright plan` prints: the [`table`], the [`notes`] and the [`cautions`], at most [`WIDTH`] columns
//! wide. [`json`] (described key by key in `JSON.md`) and [`csv()`] carry the same plan to other programs at full precision.

mod cautions;
mod csv;
mod figures;
#[cfg(test)]
mod fixture;
mod grid;
mod held;
mod json;
mod notes;
mod page;
mod table;

pub use cautions::{Hazards, cautions};
pub use csv::csv;
pub use json::{JSON_VERSION, json};
pub use notes::{
    CLEAN_UP, FAR_CALIBRATION, LEAST_BREAK_ANGLE, LEAST_EXPOSURE, LEAST_FIRST_FRET, LOW_EXPOSURE, MOST_EXPOSURE, Note,
    Topic, notes,
};
pub use page::{Page, WIDTH, wrapped};
pub use table::table;
