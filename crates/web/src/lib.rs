//! The pages in a browser, without a server: one module that is given requests and gives replies.
//!
//! The jobs are a folder in memory; what changes in it comes back with every reply, for the browser to write down. Nothing here
//! knows of a browser: [`Bench`] answers bytes with bytes, and `abi` puts that behind a few functions.

mod abi;
mod archive;
mod bench;
mod clock;
mod home;
mod message;
mod print;

pub use bench::Bench;
