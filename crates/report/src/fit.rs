//! What the readings after stringing up say: as a page and as JSON.

mod fitted;
mod json;
mod page;
mod words;

pub use fitted::Fitted;
pub use json::fit_json;
pub use page::fit_page;

#[cfg(test)]
mod tests;
