//! Forms: their fields, and what is typed into them.

mod field;
mod typed;

pub use field::{FormField, FormTake};
pub use typed::{FormFault, FormTyped};
