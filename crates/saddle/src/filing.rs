//! What it costs to move a contact by filing.

mod cost;
mod standing;

pub(crate) use cost::facet_drop;
pub use cost::{FilingCost, action_loss};
pub use standing::{FilingError, Limit, Move, PresentCrown, Proud, Standing, Start, Stroke};
