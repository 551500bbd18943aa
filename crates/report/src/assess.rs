//! Whether a saddle is the right remedy: told as a page, as JSON, and as words for the owner's sheet.

mod advice;
mod assessed;
mod figures;
mod fork;
mod json;
mod owner;
mod page;
mod topic;

pub use assessed::Assessed;
pub(crate) use fork::fork_words;
pub use json::assess_json;
pub use owner::{OwnerSheet, owner_sheet};
pub use page::{assess_page, assess_pages};

#[cfg(test)]
mod tests;
