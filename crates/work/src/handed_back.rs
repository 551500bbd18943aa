//! What the owner is told after the work: every string before it, as wanted and as read now, the air, and whether the work is done.

use instrument::StrungString;
use job::StrungReadings;
use saddle::FitError;

use crate::owner::{Stood, outer};
use crate::{Beside, SaddleWork, Whole};

/// Relative humidity that differs by less between two readings explains nothing, a share. Common practice, no source.
pub const AIR_DIFFERS: f64 = 0.1;

/// The air at both readings: relative humidity, 0 to 1; `None` where it was not read.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Air {
    /// When the instrument came.
    pub then: Option<f64>,
    /// When it was read after the work.
    pub now: Option<f64>,
}

/// How the air changed between two readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AirChange {
    /// One of them was not read.
    Unknown,
    /// By nothing that matters.
    Alike,
    /// It is damper now.
    Damper,
    /// It is drier now.
    Drier,
}

impl Air {
    /// How it changed.
    #[must_use]
    pub fn change(self) -> AirChange {
        let (Some(then), Some(now)) = (self.then, self.now) else {
            return AirChange::Unknown;
        };
        if (now - then).abs() < AIR_DIFFERS {
            AirChange::Alike
        } else if now > then {
            AirChange::Damper
        } else {
            AirChange::Drier
        }
    }
}

/// One string before and after the work, at fret 12. mm and cents.
#[derive(Debug, Clone, PartialEq)]
pub struct HandedString {
    /// String number.
    pub number: u32,
    /// Its note.
    pub note: String,
    /// Before.
    pub before: Stood,
    /// The action that was wanted.
    pub wanted: f64,
    /// As read after stringing up.
    pub after: Stood,
}

/// An instrument that is handed back.
#[derive(Debug, Clone, PartialEq)]
pub struct HandedBack {
    /// Strings, bass to treble.
    pub strings: Vec<HandedString>,
    /// What is left to do on the saddle.
    pub whole: Whole,
    /// Strings that are left lower than they are good, or out of tune.
    pub off: Vec<u32>,
    /// What was done beside the saddle.
    pub beside: Beside,
    /// What the new saddle is made of.
    pub material: String,
    /// The air.
    pub air: Air,
    /// Readings are good within this of what is wanted, mm.
    pub good: f64,
}

impl HandedBack {
    /// Whether the work is done: nothing is left for the bench.
    #[must_use]
    pub fn is_done(&self) -> bool {
        matches!(self.whole, Whole::Good | Whole::AsNear)
    }

    /// The outer strings, bass first; one where there is one.
    #[must_use]
    pub fn outer(&self) -> Vec<&HandedString> {
        outer(&self.strings)
    }
}

impl SaddleWork<'_> {
    /// The instrument as it is handed back, by these readings after stringing up.
    ///
    /// # Errors
    /// [`FitError`].
    pub fn handed_back(&self, read: &StrungReadings) -> Result<HandedBack, FitError> {
        let fitted = self.fit(read)?;
        let off = fitted.strings().iter().filter(|s| s.is_off()).map(|s| s.number);
        let off = off.collect();
        let each = self.plan.strings.iter().zip(self.stood()).zip(read.iter());
        let strings = each.map(|((s, before), read): (_, &StrungString)| HandedString {
            number: s.number,
            note: s.note.clone(),
            before,
            wanted: s.action_12,
            after: Stood {
                action: read.action_12,
                cents: read.cents_12,
            },
        });
        Ok(HandedBack {
            strings: strings.collect(),
            whole: fitted.whole(),
            off,
            beside: self.beside(),
            material: self.made.material.name.clone(),
            air: Air {
                then: self.air().map(|air| air.share),
                now: read.humidity,
            },
            good: fitted.limits.action,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn air_that_differs_by_a_tenth_matters() {
        for (then, now, change) in [
            (Some(0.45), Some(0.45), AirChange::Alike),
            (Some(0.45), Some(0.54), AirChange::Alike),
            (Some(0.45), Some(0.56), AirChange::Damper),
            (Some(0.45), Some(0.34), AirChange::Drier),
            (None, Some(0.34), AirChange::Unknown),
            (Some(0.45), None, AirChange::Unknown),
        ] {
            assert_eq!(Air { then, now }.change(), change, "{then:?} {now:?}");
        }
    }
}
