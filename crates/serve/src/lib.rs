//! The server of the local page: addresses, limits, headers, who may ask, and the folder of jobs on disk.
//!
//! [`serve`] runs it. What is answered is made in `pages`.

mod folder;
mod guard;
mod served;
mod server;

pub use server::{Options, ServeError, serve};
