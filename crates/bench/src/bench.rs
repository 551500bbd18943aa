//! What every page works with.

use std::sync::Mutex;

use crate::desk::Desk;
use crate::guard::Guard;
use crate::kept::Kept;

/// What every page works with.
pub(crate) struct Bench {
    pub(crate) desk: Desk,
    pub(crate) guard: Guard,
    pub(crate) address: String,
    pub(crate) tell: Box<dyn Fn(&str) + Send + Sync>,
    pub(crate) programs: Mutex<Option<Kept>>,
}

impl Bench {
    pub(crate) fn desk(&self) -> &Desk {
        &self.desk
    }

    pub(crate) fn token(&self) -> &str {
        self.guard.token()
    }

    /// Tells the address to open, with the key that works now if one is needed.
    pub(crate) fn tell_address(&self) {
        match self.guard.key() {
            Some(key) => (self.tell)(&format!("{}?key={key}", self.address)),
            None => (self.tell)(&self.address),
        }
    }
}
