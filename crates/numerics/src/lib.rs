//! Root finding, monotone interpolation, strips and marks of contents: what knows nothing of guitars.
//!
//! Every solver states its tolerance; nothing here allocates during evaluation.

mod mark;
mod pchip;
mod root;
mod strip;

pub use mark::{ContentMark, MarkError};
pub use pchip::{Pchip, PchipError};
pub use root::{RootError, find_root};
pub use strip::{Strip, narrowest_strip};
