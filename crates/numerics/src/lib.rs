//! Root finding, monotone interpolation and strips: mathematics that knows nothing of guitars.
//!
//! Every solver states its tolerance; nothing here allocates during evaluation.

mod pchip;
mod root;
mod strip;

pub use pchip::{Pchip, PchipError};
pub use root::{RootError, find_root};
pub use strip::{Strip, narrowest_strip};
