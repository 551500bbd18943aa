//! What the readings after stringing up say: as a page and as JSON.

mod json;
mod page;
mod words;

pub use json::fit_json;
pub use page::fit_page;
pub use words::{left as left_words, weighed as weighed_words, whole as whole_words, whole_short};

#[cfg(test)]
mod tests;
