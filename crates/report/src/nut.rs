//! The nut in words and figures: its page, notes, JSON, and what a stroke in a slot does.

mod after;
mod filing;
mod json;
mod lines;
mod notes;
mod page;
#[cfg(test)]
mod tests;
mod tolerance;

pub use after::{nut_filing_json, nut_fit_json, nut_tolerance_json};
pub use filing::{nut_filing_page, nut_fit_page, slots_left};
pub use json::nut_json;
pub use notes::nut_notes;
pub use page::{NutPage, both_page};
pub use tolerance::nut_tolerance_page;
