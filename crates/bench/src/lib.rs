//! The local page: the same job files, checks, plans and sheets as the command, for a browser on the bench.
//!
//! [`serve`] runs it. Pages are plain HTML made here; a small script redraws while a value changes. No formula lives in
//! this crate or in its script: figures come from the libraries, and pictures only scale what the plan holds.

mod answers;
mod beside;
mod desk;
mod examples;
mod figures;
mod guard;
mod name;
mod pages;
mod patch;
mod pictures;
mod server;
mod store;
mod talk;

pub use server::{Options, ServeError, serve};

use std::sync::Mutex;

use desk::Desk;
use guard::Guard;

/// What every page works with.
pub(crate) struct Bench {
    desk: Desk,
    guard: Guard,
    address: String,
    tell: Box<dyn Fn(&str) + Send + Sync>,
    programs: Mutex<Option<pages::programs::Kept>>,
}

impl Bench {
    fn desk(&self) -> &Desk {
        &self.desk
    }

    fn token(&self) -> &str {
        self.guard.token()
    }

    /// Tells the address to open, with the key that works now if one is needed.
    fn tell_address(&self) {
        match self.guard.key() {
            Some(key) => (self.tell)(&format!("{}?key={key}", self.address)),
            None => (self.tell)(&self.address),
        }
    }
}
