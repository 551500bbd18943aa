//! The nut in words and figures: its page, notes, JSON, and what a stroke in a slot does.

mod filing;
mod json;
mod notes;
mod page;
#[cfg(test)]
mod tests;
mod tolerance;

pub use filing::{nut_filing_page, nut_fit_page};
pub use json::{NUT_JSON_VERSION, nut_json};
pub use notes::nut_notes;
pub use page::{NutPage, both_page};
pub use tolerance::nut_tolerance_page;

use nut::{NutPlan, NutString};
use saddle::{Plan, StringPlan};

/// Slots beside their strings, bass to treble.
fn pairs<'a>(nut: &'a NutPlan, saddle: &'a Plan) -> impl Iterator<Item = (&'a NutString, &'a StringPlan)> + Clone {
    nut.strings.iter().zip(&saddle.strings)
}
