//! All that was read of an instrument, adjusted.

use crate::expect::{made_frame, on_made, plainly};
use crate::{Figure, Known, KnownError, OverMade, Scene, Seen, SlotSeen, Strung};
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
    /// What was read after stringing up, over a saddle that was made; none before.
    pub strung: Vec<Strung>,
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
            strung: &[],
        })?;
        Ok(Self {
            instrument,
            slot,
            readings,
            unsure,
            strung: Vec::new(),
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
            strung: &self.strung,
        }
    }

    /// The same with what was read after stringing up.
    ///
    /// # Errors
    /// [`KnownError`].
    pub fn strung(&self, strung: Vec<Strung>) -> Result<Self, KnownError> {
        let mut all = Self { strung, ..self.clone() };
        all.known = Known::of(&all.seen())?;
        Ok(all)
    }

    /// The instrument from which states are counted.
    #[must_use]
    pub fn scene(&self) -> Scene<'_> {
        Scene::of(&self.seen())
    }

    /// A string over the made saddle as it likeliest stands. `None` for one that was not read after stringing up.
    #[must_use]
    pub fn over_made(&self, string: usize) -> Option<OverMade<f64>> {
        let scene = self.scene();
        let lanes = self.known.lanes(string);
        let off = plainly(self.known.estimate.state.as_slice(), &lanes);
        let there = scene.there(&off, false).ok()?;
        let frame = made_frame(&scene, &there, &off)?;
        on_made(&scene, string, self.strung.get(string)?, &there, &frame, &off)
    }

    /// Likeliest share of the elastic stand-off by which strings pass over their ridges.
    #[must_use]
    pub fn known_stand_off(&self) -> f64 {
        self.instrument.stand_off + self.known.off(Figure::StandOff)
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
