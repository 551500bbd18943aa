//! All that was read of an instrument, adjusted.

use crate::expect::plainly;
use crate::{Known, KnownError, Scene, Seen, SlotSeen};
use instrument::{Readings, StrungInstrument, Uncertainty};

/// All that was read of an instrument, and what is known by it.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// The instrument as its survey has it.
    pub instrument: StrungInstrument,
    /// Its slot, where one was read.
    pub slot: Option<SlotSeen>,
    /// What was read beside the survey.
    pub readings: Readings,
    /// How sure readings are.
    pub unsure: Uncertainty,
    /// What is known by them.
    pub known: Known,
}

impl Evidence {
    /// Adjusts all that was read.
    ///
    /// # Errors
    /// [`KnownError`].
    pub fn of(
        instrument: StrungInstrument,
        slot: Option<SlotSeen>,
        readings: Readings,
        unsure: Uncertainty,
    ) -> Result<Self, KnownError> {
        let known = Known::of(&Seen {
            instrument: &instrument,
            slot,
            readings: &readings,
            unsure: &unsure,
        })?;
        Ok(Self {
            instrument,
            slot,
            readings,
            unsure,
            known,
        })
    }

    /// As it comes in.
    #[must_use]
    pub fn seen(&self) -> Seen<'_> {
        Seen {
            instrument: &self.instrument,
            slot: self.slot,
            readings: &self.readings,
            unsure: &self.unsure,
        }
    }

    /// The instrument from which states are counted.
    #[must_use]
    pub fn scene(&self) -> Scene<'_> {
        Scene::of(&self.seen())
    }

    /// The instrument as it likeliest is.
    #[must_use]
    pub fn likeliest(&self) -> StrungInstrument {
        self.known.instrument(&self.seen())
    }

    /// How far each lane's figure of a string is off in a state.
    pub fn off<'s>(state: &'s [f64], lanes: &'s crate::Lanes) -> impl Fn(usize) -> f64 + 's {
        plainly(state, lanes)
    }
}
