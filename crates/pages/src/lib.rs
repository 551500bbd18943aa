//! The pages of the local page, from request to reply: the same job files, checks, plans and sheets as the command, for a browser on
//! the bench.
//!
//! [`reply`] answers one request over a [`Bench`]. No server, disk or thread is needed here: a home of jobs is a [`Jobs`], and who
//! may ask is for the server to know. Pages are plain HTML made here; a small script redraws while a value changes. No formula
//! lives in this crate or in its script: figures come from the libraries, and pictures only scale what the plan holds.

mod ago;
mod answers;
mod bench;
mod beside;
mod checking;
mod code;
#[cfg(test)]
mod contract;
mod desk;
mod differs;
mod examples;
mod figures;
mod jobs;
mod kept;
mod last_blank;
mod memory;
mod name;
mod naming;
mod notice;
mod pages;
mod patch;
mod pictures;
mod plain;
mod plucks;
mod route;
mod said;
mod sampled;
mod summary;
mod talk;

pub use ::work::microphone::MOST_SOUND;
pub use ago::ago;
pub use bench::{Bench, Home, Phone};
pub use code::{code_lines, code_picture};
pub use jobs::{
    Binned, Jobs, KEPT, LeftOut, MOST_BYTES, OWN_PROFILES, Old, OldVersion, Stamp, StoreError, Version, WhyNot,
};
pub use memory::{Change, MemoryJobs, Record};
pub use name::JobName;
pub use naming::free;
pub use pages::{head, own, phone};
pub use plain::on_page;
pub use route::{listens, methods, reply, reply_to_sound, takes_sound};
pub use talk::{Fields, Method, Reply};
