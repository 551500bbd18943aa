//! The sheets as a reader meets them: measured, read back by another program, and no text in the way.

#![allow(clippy::unwrap_used, clippy::panic, clippy::cast_possible_truncation)] // test code outside #[test] functions

mod cautions;
mod every;
mod files;
mod invented;
mod nut;
mod owner_sheet;
mod pictures;
mod placement;
mod read;
mod read_back;
mod readings;
mod setup;
mod solids;
mod texts;
mod wings;
mod worked;
