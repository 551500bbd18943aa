//! What every page works with.

use std::sync::Mutex;

use job::Profiles;

use crate::checking::Checking;
use crate::desk::Desk;
use crate::jobs::Jobs;
use crate::kept::Kept;
use crate::sampled::Sampled;

/// What every page works with.
pub struct Bench {
    pub(crate) desk: Desk,
    /// What every form carries, so that its home knows the form for its own.
    token: String,
    /// Its home lists there which devices it lets in.
    devices: Option<&'static str>,
    pub(crate) programs: Mutex<Option<Kept>>,
    pub(crate) checking: Checking,
    pub(crate) sampled: Sampled,
}

impl Bench {
    /// A bench over these jobs, with these string sets and materials. Every form carries `token`; in a home that only this
    /// program's own pages can ask, it may be empty.
    #[must_use]
    pub fn new(store: Box<dyn Jobs>, profiles: Profiles, token: String) -> Self {
        Self {
            desk: Desk { store, profiles },
            token,
            devices: None,
            programs: Mutex::new(None),
            checking: Checking::default(),
            sampled: Sampled::default(),
        }
    }

    /// The same bench, whose first page leads to the list of devices that its home keeps at this address.
    #[must_use]
    pub fn with_devices(self, address: &'static str) -> Self {
        Self {
            devices: Some(address),
            ..self
        }
    }

    pub(crate) fn devices(&self) -> Option<&'static str> {
        self.devices
    }

    pub(crate) fn desk(&self) -> &Desk {
        &self.desk
    }

    pub(crate) fn token(&self) -> &str {
        &self.token
    }
}
