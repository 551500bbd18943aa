//! The command as a user runs it, from outside.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::cast_possible_truncation
)] // test code outside #[test] functions
#![allow(clippy::disallowed_methods)] // sines may be the platform's: what is held against ours does not come from the same source

mod ask;
mod assess;
mod binary;
mod cut;
mod doubted;
mod draw;
mod edits;
mod faces;
mod faults;
mod filing;
mod fit;
mod headlines;
mod hear;
mod jobs;
mod measure;
mod new_survey;
mod nut;
mod nut_alone;
mod pictures;
mod plan;
mod profiles;
mod split;
mod tolerance;
mod version;
mod zero_fret;
