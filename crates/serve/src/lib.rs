//! The server of the local page: addresses, limits, headers, who may ask, and the folder of jobs on disk.
//!
//! [`serve`] runs it. What is answered is made in `pages`.

mod connections;
mod doors;
mod folder;
mod front;
mod guard;
mod limits;
mod paced;
mod served;
mod server;
mod state;

pub use pages::code_lines;
pub use server::{Options, ServeError, serve};
