//! The local page: the same job files, checks, plans and sheets as the command, for a browser on the bench.
//!
//! [`serve`] runs it. Pages are plain HTML made here; a small script redraws while a value changes. No formula lives in
//! this crate or in its script: figures come from the libraries, and pictures only scale what the plan holds.

mod answers;
mod bench;
mod beside;
mod desk;
mod examples;
mod figures;
mod guard;
mod kept;
mod name;
mod pages;
mod patch;
mod pictures;
mod server;
mod store;
mod talk;

pub use server::{Options, ServeError, serve};
