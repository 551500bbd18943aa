//! What the solver is held against.

#![allow(clippy::unwrap_used)] // in helpers of tests

mod guards;
mod net;
mod properties;
mod reference;
mod scipy;
mod straight;
