//! What is served, and who may ask for it.

use std::sync::Arc;

use pages::Bench;

use crate::guard::Guard;
use crate::limits::Limits;

/// What is served, and who may ask for it.
pub(crate) struct Served {
    pub(crate) bench: Bench,
    pub(crate) guard: Arc<Guard>,
    pub(crate) limits: Limits,
    pub(crate) address: String,
    pub(crate) tell: Box<dyn Fn(&str) + Send + Sync>,
}

impl Served {
    /// Tells the address to open, with the key that works now if one is needed.
    pub(crate) fn tell_address(&self) {
        (self.tell)(&self.guard.way_in(&self.address));
    }
}
