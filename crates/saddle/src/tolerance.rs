//! How sure a plan is: the spread of action and pitch that the readings' uncertainty leaves, and which readings make it.
//!
//! The saddle is made to the plan of what is known. The instrument is not quite so: its figures are drawn from what the readings leave,
//! and making errs by itself. [`tolerance`] stands the made saddle in many such instruments and measures; it solves
//! nothing again. [`first_order()`] does the same by derivatives; so does [`Endings`], for weighing further readings by the chance they leave.

mod chance;
mod first_order;
mod ranked;
mod sample;
mod spread;
mod tally;
mod world;

pub use chance::{Endings, POINTS};
pub use first_order::{FirstOrder, Share, first_order};
pub use sample::{CONFIDENCE, LEAST_SAMPLES, MOST_SAMPLES, Sampling, Tolerance, ToleranceError, tolerance};
pub use spread::Spread;
pub use tally::{Band, StringSpread};
pub use world::{Shown, shown};
