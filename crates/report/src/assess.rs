//! Whether a saddle is the right remedy: told as a page and as JSON.

mod advice;
mod assessed;
mod figures;
mod fork;
mod json;
mod page;
mod told;
mod topic;

pub use assessed::Assessed;
pub(crate) use fork::fork_words;
pub use json::assess_json;
pub use page::{assess_page, assess_pages};
pub use told::{FindingWords, SoundWords};

#[cfg(test)]
mod tests;
