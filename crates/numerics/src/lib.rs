//! Elementary functions, roots, fixed points, monotone interpolation, strips, decimals and marks of contents: what knows nothing of guitars.
//!
//! Every solver states its tolerance, and none allocates.

mod decimal;
mod mark;
pub mod math;
mod normal;
mod pchip;
mod real;
mod root;
mod settle;
mod strip;

pub use decimal::{fixed, signed, trimmed};
pub use mark::{ContentMark, MarkError};
pub use normal::Normal;
pub use num_dual::{DualNum, DualStruct};
pub use pchip::{Pchip, PchipError};
pub use real::{Real, Slope};
pub use root::{RootError, find_root, halve};
pub use settle::{NotSettled, Round, UNCHANGED, settle};
pub use strip::{Strip, narrowest_strip};
