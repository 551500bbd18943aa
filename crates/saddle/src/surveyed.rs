//! A survey as evidence of what is there.

use crate::{SaddleSurvey, StringSurvey, TensionChange};
use instrument::{NutReading, Readings, SlotSurvey, StrungInstrument, SurveyedString, Uncertainty};
use known::{Evidence, Exit, KnownError, SlotSeen};

impl SaddleSurvey {
    /// The instrument with its strings on, as far as this survey tells it.
    #[must_use]
    pub fn instrument(&self) -> StrungInstrument {
        let last = self.strings.len().saturating_sub(1);
        let ends = match self.slot {
            SlotSurvey::Reference(ends) => Some(ends),
            SlotSurvey::Straightedge(_) => None,
        };
        let string = |(i, s): (usize, &StringSurvey)| {
            let open = match s.present_nut {
                Some(NutReading::Open { action_12, .. }) => Some(action_12),
                _ => None,
            };
            let end = ends.and_then(|ends| match i {
                0 => Some(ends[0].action_12),
                _ if i == last => Some(ends[1].action_12),
                _ => None,
            });
            SurveyedString {
                number: s.number,
                note: s.note.clone(),
                model: s.model,
                frequency: s.frequency,
                run: s.run,
                present_nut: s.present_nut,
                nut_x: s.nut_x,
                action_12: open.or(s.measured.map(|read| read.action_12)).or(end),
                contact_from_fret_12: s.measured.map(|read| read.contact_from_fret_12),
                cents_12: s.measured.map(|read| read.cents_12),
                stretch_found: s.stretch_found,
                known: s.known,
            }
        };
        StrungInstrument {
            board: self.board,
            strings: self.strings.iter().enumerate().map(string).collect(),
            press: self.press,
            left_handed: self.left_handed,
            ends: self.ends,
            stand_off: self.stand_off,
        }
    }

    /// Its slot at pitch.
    #[must_use]
    pub fn slot_seen(&self) -> SlotSeen {
        let mut slot = self.slot;
        if let SlotSurvey::Straightedge(ends) = &mut slot {
            for (end, rise) in ends.iter_mut().zip(self.under_tension.bridge_top) {
                end.bridge_top += rise;
            }
        }
        SlotSeen {
            slot,
            lean: self.lean + self.under_tension.lean,
            under: self.under,
            thickness: self.slot_width.unwrap_or(self.blank.thickness),
            exit: self.exit.map(|ends| {
                ends.map(|end| Exit {
                    behind_slot: end.behind_slot,
                    above_bridge_top: end.above_bridge_top,
                })
            }),
        }
    }

    /// What this survey alone says, with readings as sure as given.
    ///
    /// # Errors
    /// [`KnownError`].
    pub fn evidence(&self, unsure: &Uncertainty) -> Result<Evidence, KnownError> {
        let slot = Some(self.slot_seen());
        Evidence::of(self.instrument(), slot, Readings::default(), *unsure)
    }

    /// The same survey of the instrument as it likeliest is; itself where every reading stands as it was read.
    #[must_use]
    pub fn by(&self, evidence: &Evidence) -> Self {
        let (seen, known) = (evidence.seen(), &evidence.known);
        let pitch = self.strings.iter().any(|s| s.measured.is_some());
        if known.is_as_read() && !pitch {
            return self.clone();
        }
        let likeliest = known.instrument(&seen);
        let (slot, lean) = known.slot(&seen).unwrap_or((self.slot, self.lean));
        let strings = self.strings.iter().zip(&likeliest.strings).enumerate();
        let strings = strings.map(|(i, (s, there))| StringSurvey {
            model: there.model,
            present_nut: there.present_nut,
            nut_x: there.nut_x,
            measured: None,
            stretch_found: there.stretch_found,
            calibration: known.calibration(i),
            ..s.clone()
        });
        Self {
            board: likeliest.board,
            strings: strings.collect(),
            slot,
            lean,
            under_tension: TensionChange::default(),
            ends: likeliest.ends,
            stand_off: likeliest.stand_off,
            ..self.clone()
        }
    }
}
