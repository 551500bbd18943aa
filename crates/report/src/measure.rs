//! What to read next: as a page, in short, and as JSON.

mod json;
mod page;
mod words;

pub use json::measure_json;
pub use page::{measure_page, next_steps, now_words};

#[cfg(test)]
mod tests;
