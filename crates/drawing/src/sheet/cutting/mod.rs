//! Sheets for cutting the blank by machine: how it is set up, and what the programs leave.

mod facts;
mod outcome;
mod outcome_sheet;
mod part;
mod setup;
mod setup_sheet;
mod setup_views;

pub use outcome_sheet::outcome_sheet;
pub use setup_sheet::cut_sheets;
