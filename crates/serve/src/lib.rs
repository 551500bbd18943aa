//! The server of the local page: addresses, limits, headers, who may ask, and the folder of jobs on disk.
//!
//! [`serve`] runs it. What is answered is made in `pages`.

mod doors;
mod folder;
mod guard;
mod served;
mod server;
mod state;

pub use server::{Options, ServeError, serve};
