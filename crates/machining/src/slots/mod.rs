//! The nut: what its outline leaves, and the grooves that start its slots.

mod front;
mod groove;
mod prism;
mod target;

pub(crate) use front::front;
pub(crate) use groove::told;
pub use groove::{Groove, LeftOut, SIDE, Why, grooves};
pub use prism::Prism;
pub use target::Grooved;
