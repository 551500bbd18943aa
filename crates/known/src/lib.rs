//! What all readings of an instrument say together: the likeliest instrument, how sure each figure of it is, and which readings do not
//! fit.
//!
//! The survey gives each figure of the instrument a value to start from. The state is how far each of them is off, so that a survey
//! without a reading to spare stays as it is. [`Known::of`] adjusts; [`Scene`] is the instrument at any state.

mod ahead;
mod evidence;
mod expect;
mod figure;
mod given;
mod kinds;
mod lanes;
mod made;
mod rows;
mod scene;
mod seen;
mod slips;
mod string;
mod strung;

pub use ahead::{Ahead, Expected};
pub use evidence::Evidence;
pub use figure::Figure;
pub use given::{Known, KnownError};
pub use kinds::{Kind, Named};
pub use lanes::{LANES, Lanes};
pub use made::{Missed, OverMade};
pub use rows::{Row, What};
pub use scene::{MOST, Scene, There};
pub use seen::{Exit, Seen, SlotSeen};
pub use slips::{Doubt, FALSE_ALARM, LEAST_CHECKED, Slips, Standing, Suspect};
pub use string::StringThere;
pub use strung::{MadeString, Strung};
