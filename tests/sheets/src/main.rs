//! The sheets as a reader meets them: measured, read back by another program, and no text in the way.

#![allow(clippy::unwrap_used, clippy::panic, clippy::cast_possible_truncation)] // test code outside #[test] functions

mod assess_sheet;
mod cautions;
mod every;
mod files;
mod invented;
mod nut;
mod pictures;
mod placement;
mod read;
mod read_back;
mod solids;
mod texts;
mod worked;
