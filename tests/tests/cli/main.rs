//! The command as a user runs it, from outside.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // test code outside #[test] functions

mod binary;
mod draw;
mod faults;
mod plan;
mod profiles;
