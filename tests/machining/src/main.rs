//! Programs from outside the crate: what they leave of the stock, and that a spoilt one is found out.

#![allow(clippy::disallowed_methods)] // sines may be the platform's: what is held against ours does not come from the same source

mod emit;
mod faults;
mod flat;
mod locate;
mod nut;
mod passes;
mod prepare;
mod replay;
mod simulate;
mod sound;
mod steep;
mod time;
mod walls;
