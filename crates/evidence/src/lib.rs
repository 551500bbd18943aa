//! Readings that say more than is needed, adjusted together by least squares: the likeliest state, how sure it is, which readings do
//! not fit the others, and what a further one would gain. It knows nothing of guitars.
//!
//! A state is a list of figures. A [`Reading`] is a value with its standard uncertainty; a [`Model`] says what it would be at a state, and
//! how it changes with each figure of it. What is known beforehand is a reading of a figure. What readings share (a tool's own error) is
//! a figure of the state with a reading of nought, so that the uncertainty of each reading is its own.
//!
//! A reading is left out by adjusting again without it, from the state found with it: a fifth of a millisecond, and what is told of the others
//! then holds at the state that they make.

mod adjust;
mod ask;
mod estimate;
mod further;
mod normal;
mod reading;
mod slips;
mod solve;
mod weighed;

pub use adjust::{AdjustError, adjust, straight};
pub use ask::AskError;
pub use estimate::Estimate;
pub use further::Further;
pub use normal::{quantile, threshold, two_sided};
pub use reading::{Model, Reading};
pub use slips::{Slip, TOGETHER, Test};
