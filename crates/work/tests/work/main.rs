//! What a job's plans come to: remarks, the fork, what is left after stringing up, and the steps.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // test code outside #[test] functions
#![allow(clippy::disallowed_methods)] // sines may be the platform's: what is held against ours does not come from the same source

mod after;
mod done;
mod doubted;
mod filed;
mod fork;
mod heights;
mod next;
mod remarks;
mod rounds;
mod sound;
mod steps;
