//! What to read next: the readings that would make a plan surest.

mod found;
mod offered;
mod search;
mod told;

pub use told::{LEAST_WORTH, MOST_KINDS, MOST_SINGLES, Next, NextAsk, NextStep, Shop, WISHED};
