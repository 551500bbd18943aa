//! What it costs to move a contact by filing.

mod cost;
mod standing;

pub use cost::{FilingCost, action_loss, facet_drop};
pub use standing::{FilingError, Limit, Move, PresentCrown, Proud, Standing, Start, Stroke};
