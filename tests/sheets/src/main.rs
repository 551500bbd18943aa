//! The sheets as a reader meets them: measured, read back by another program, and no text in the way.

#![allow(clippy::unwrap_used, clippy::panic, clippy::cast_possible_truncation)] // test code outside #[test] functions
#![allow(clippy::disallowed_methods)] // sines may be the platform's: what is held against ours does not come from the same source

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
