//! Words for the sheets that the owner gets, before the work and after it: for a person who plays and does not repair.

mod after;
mod before;
mod book;
mod plain;
mod sheet;
#[cfg(test)]
mod tests;

pub use after::handed_back_sheet;
pub use before::owner_sheet;
pub use sheet::{OwnerPart, OwnerSheet, OwnerTable};
