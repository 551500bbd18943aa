//! What the solver is held against.

#![allow(clippy::unwrap_used)] // in helpers of tests
#![allow(clippy::disallowed_methods)] // sines may be the platform's: what is held against ours does not come from the same source

mod guards;
mod net;
mod properties;
mod reference;
mod scipy;
mod straight;
