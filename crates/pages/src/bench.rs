//! What every page works with.

use std::sync::Mutex;

use job::Profiles;
use maud::Markup;

use crate::checking::Checking;
use crate::desk::Desk;
use crate::jobs::Jobs;
use crate::kept::Kept;
use crate::name::JobName;
use crate::notice::Notices;
use crate::sampled::Sampled;
use crate::summary::Summaries;

/// The way for a phone to come in.
pub enum Phone {
    /// There is no telling.
    Unknown,
    /// This machine alone is answered.
    Alone,
    /// The address to open on it, as it is now: each lets in one.
    At(Box<dyn Fn() -> String + Send + Sync>),
}

/// What a home that is no folder of this machine's says of itself.
pub struct Home {
    /// At the foot of the first page, in place of the folder's path.
    pub foot: Markup,
    /// On the page of what can be done with a job.
    pub of_job: fn(&JobName) -> Markup,
}

/// What every page works with.
pub struct Bench {
    pub(crate) desk: Desk,
    /// What every form carries, so that its home knows the form for its own.
    token: String,
    /// Its home lists there which devices it lets in.
    devices: Option<&'static str>,
    phone: Phone,
    /// What its home says of itself, if it is no folder.
    home: Option<Home>,
    pub(crate) programs: Mutex<Option<Kept>>,
    pub(crate) checking: Checking,
    pub(crate) sampled: Sampled,
    pub(crate) summaries: Summaries,
    pub(crate) notices: Notices,
}

impl Bench {
    /// A bench over these jobs, with these profiles under the shop's own, which are kept with the jobs. Every form carries `token`; in a home that only this
    /// program's own pages can ask, it may be empty.
    #[must_use]
    pub fn new(store: Box<dyn Jobs>, profiles: Profiles, token: String) -> Self {
        Self {
            desk: Desk::new(store, profiles),
            token,
            devices: None,
            phone: Phone::Unknown,
            home: None,
            programs: Mutex::new(None),
            checking: Checking::default(),
            sampled: Sampled::default(),
            summaries: Summaries::default(),
            notices: Notices::default(),
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

    /// The same bench, whose first page says how a phone comes in.
    #[must_use]
    pub fn with_phone(self, phone: Phone) -> Self {
        Self { phone, ..self }
    }

    /// The same bench, whose home is no folder and says so.
    #[must_use]
    pub fn with_home(self, home: Home) -> Self {
        Self {
            home: Some(home),
            ..self
        }
    }

    /// The same bench, which tells how far a check of programs is, in words, before each setup: a home that answers one request
    /// after the other cannot be asked meanwhile. Of how many setups how many are done, and the words.
    #[must_use]
    pub fn with_progress(self, told: fn(usize, usize, &str)) -> Self {
        Self {
            checking: Checking::telling(told),
            ..self
        }
    }

    pub(crate) fn home(&self) -> Option<&Home> {
        self.home.as_ref()
    }

    /// How a phone comes in.
    #[must_use]
    pub fn phone(&self) -> &Phone {
        &self.phone
    }

    /// Looks how every job stands, so that the first page has it at hand. It takes its time; where it is stopped, nothing is lost.
    pub fn look_round(&self) {
        for name in self.desk.store.names() {
            let _ = self.summaries.of(&self.desk, &name);
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
