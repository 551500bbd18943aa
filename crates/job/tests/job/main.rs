//! Job files and profiles: what is read, what is refused and how, and what is written.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // test code outside #[test] functions
#![allow(clippy::disallowed_methods)] // sines may be the platform's: what is held against ours does not come from the same source

mod after;
mod after_neck;
mod any_text;
mod assess;
mod corrected;
mod cut;
mod cutting;
mod edit;
mod examples;
mod format;
mod hands;
mod nut_blank;
mod old;
mod profiles;
mod readings;
mod refusals;
mod refused;
mod split;
mod strung;
mod values;
mod wishes;
mod zero_fret;
