//! The instrument at a state.

use crate::lanes::*;
use crate::{Seen, SlotSeen};
use instrument::{
    Board, BoardRadius, Frame, NutReading, ReferenceEnd, Slot, SlotEnd, SlotError, SlotSurvey, StrungInstrument,
    SurveyedString,
};
use numerics::{Real, math};
use strings::Ends;

/// A bridge's floor is lifted in its middle by its bow, in its hollow by nothing: a saddle on either is lifted by half of it.
pub(crate) const LIFTED_BY_BOW: f64 = 0.5;
/// Depth of a slot that was read by a saddle and whose depth nobody read, mm; where it matters a reading says what it is.
const USUAL_DEPTH: f64 = 8.0;
/// Action at fret 12 where none was read, mm; where it matters a reading says what it is.
const USUAL_ACTION: f64 = 2.4;

/// The instrument as its survey has it, from which every state is counted.
#[derive(Debug, Clone, Copy)]
pub struct Scene<'a> {
    pub(crate) instrument: &'a StrungInstrument,
    pub(crate) slot: Option<SlotSeen>,
    /// By how much each string's line passes over its ridge by elastic theory, mm.
    stand_offs: [f64; MOST],
}

/// Most strings of an instrument.
pub const MOST: usize = 12;

/// The instrument at a state, without its strings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct There<R> {
    /// The board.
    pub board: Board<R>,
    /// The slot, with the present saddle's floor.
    pub slot: Option<Slot<R>>,
    /// How string ends hold.
    pub ends: Ends<R>,
    /// Share of the elastic stand-off.
    pub stand_off: R,
    /// The same board and slot as they were on the first visit.
    pub(crate) first: First<R>,
}

/// What later visits are counted from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct First<R> {
    pub(crate) board: Board<R>,
    /// By how much the bridge top has risen since, mm.
    pub(crate) risen: Option<R>,
}

impl<'a> Scene<'a> {
    /// The instrument as this survey has it.
    #[must_use]
    pub fn of(seen: &Seen<'a>) -> Self {
        let mut scene = Self {
            instrument: seen.instrument,
            slot: seen.slot,
            stand_offs: [0.0; MOST],
        };
        // The bend is taken from the survey as it is: what it is off by is far less than what is known of the stand-off.
        let as_read = |_: usize| 0.0;
        let there = scene.there(&as_read, false).ok();
        let offs: Vec<f64> = (0..seen.instrument.strings.len().min(MOST))
            .map(|i| scene.elastic(i, there.as_ref()))
            .collect();
        for (place, off) in scene.stand_offs.iter_mut().zip(offs) {
            *place = off;
        }
        scene
    }

    /// Distance of the finger from the fret crown toward the nut, mm.
    #[must_use]
    pub fn press(&self) -> f64 {
        self.instrument.press
    }

    /// By how much a string's line passes over its ridge by elastic theory alone, mm.
    pub(crate) fn stand_off(&self, string: usize) -> f64 {
        self.stand_offs.get(string).copied().unwrap_or(0.0)
    }

    /// Runs of the outer strings, bass and treble.
    pub(crate) fn outer(&self) -> Option<[&'a SurveyedString; 2]> {
        let strings = &self.instrument.strings;
        Some([strings.first()?, strings.last()?])
    }

    /// A string's share of the way from the bass string (0) to the treble string (1), at the saddle.
    pub(crate) fn share(&self, string: usize) -> f64 {
        let board = &self.instrument.board;
        let y = |i: usize| {
            let run = self.instrument.strings.get(i).map(|s| s.run);
            run.map_or(0.0, |run| run.y(board.scale_end(&run)))
        };
        let (bass, treble) = (y(0), y(self.instrument.strings.len().saturating_sub(1)));
        if treble == bass {
            0.0
        } else {
            (y(string) - bass) / (treble - bass)
        }
    }

    /// Its board at a state.
    fn board<R: Real>(&self, off: &impl Fn(usize) -> R) -> Board<R> {
        let board = &self.instrument.board;
        let radius = match board.radius() {
            BoardRadius::Flat => BoardRadius::Flat,
            BoardRadius::Conical { nut, fret_12 } => BoardRadius::Conical {
                nut: math::exp(off(RADIUS_AT_NUT)) * nut,
                fret_12: math::exp(off(RADIUS_AT_12)) * fret_12,
            },
        };
        board.reshaped(math::exp(off(STRETCH)), off(RELIEF) + board.relief(), radius)
    }

    /// The instrument at a state; `off` says how far the figure of each lane is off, `later` whether it is that of a later visit.
    ///
    /// # Errors
    /// [`SlotError`] where the state makes no slot.
    pub fn there<R: Real>(&self, off: &impl Fn(usize) -> R, later: bool) -> Result<There<R>, SlotError> {
        let mut there = self.without_slot(off);
        let first = there.board;
        there.slot = self
            .slot
            .map(|seen| self.slot_at(&seen, &first, off, R::from(present_under(&seen))))
            .transpose()?;
        if later {
            let risen = off(TOP_DRIFT);
            there.first.risen = Some(risen);
            there.board = first.reshaped_to(first.relief() + off(NECK_DRIFT));
            if let Some(slot) = &mut there.slot {
                slot.frame.origin.z += risen;
                for mouth in slot.mouth.iter_mut().flatten() {
                    mouth.z += risen;
                }
            }
        }
        Ok(there)
    }

    /// The same as on the first visit, without the slot.
    #[must_use]
    pub fn without_slot<R: Real>(&self, off: &impl Fn(usize) -> R) -> There<R> {
        let board = self.board(off);
        There {
            board,
            slot: None,
            ends: Ends::of_sum(off(ENDS) + self.instrument.ends.sum()),
            stand_off: off(STAND_OFF) + self.instrument.stand_off,
            first: First { board, risen: None },
        }
    }

    /// The slot with a saddle that stands on `under` mm over its floor.
    ///
    /// # Errors
    /// [`SlotError`] where the state makes no slot.
    pub fn slot_at<R: Real>(
        &self,
        seen: &SlotSeen,
        board: &Board<R>,
        off: &impl Fn(usize) -> R,
        under: R,
    ) -> Result<Slot<R>, SlotError> {
        let Some(outer) = self.outer() else {
            return Err(SlotError::NoDirection);
        };
        let nuts = self.outer_nuts(outer, board, off);
        let slot = self.slot_readings(seen, outer, board, off);
        let lift = match seen.slot {
            SlotSurvey::Straightedge(_) => under + off(BOW) * LIFTED_BY_BOW,
            SlotSurvey::Reference(_) => under,
        };
        slot.slot(board, outer.map(|s| s.run), nuts, off(LEAN) + seen.lean, lift)
    }

    /// Nut contacts of the outer strings; nought where they were not read.
    fn outer_nuts<R: Real>(
        &self,
        outer: [&SurveyedString; 2],
        board: &Board<R>,
        off: &impl Fn(usize) -> R,
    ) -> [(R, R); 2] {
        [0, 1].map(|e| {
            let x = self.nut_x(outer[e], off);
            let z = outer[e].present_nut.map_or(R::from(0.0), |reading| {
                nut_reading(reading, off(OUTER_NUT[e]), off(OUTER_ACTION[e])).height(board, &outer[e].run, x)
            });
            (x, z)
        })
    }

    /// The slot's readings as they would be without error, of a ridge that stands under the strings' lines.
    pub(crate) fn slot_readings<R: Real>(
        &self,
        seen: &SlotSeen,
        outer: [&SurveyedString; 2],
        board: &Board<R>,
        off: &impl Fn(usize) -> R,
    ) -> SlotSurvey<R> {
        let last = self.instrument.strings.len().saturating_sub(1);
        match seen.slot {
            SlotSurvey::Straightedge(ends) => SlotSurvey::Straightedge([0, 1].map(|e| SlotEnd {
                edge_from_fret_12: off(PLACE[e]) + ends[e].edge_from_fret_12,
                bridge_top: off(HEIGHT[e]) + ends[e].bridge_top,
                depth: off(THIRD[e]) + ends[e].depth,
            })),
            SlotSurvey::Reference(ends) => SlotSurvey::Reference([0, 1].map(|e| {
                let (end, s) = (ends[e], outer[e]);
                let contact = off(PLACE[e]) + end.contact_from_fret_12;
                // The ridge stands lower than the string's line by the stand-off, which shows at fret 12 by its share of the way.
                let x_12 = board.fret_x(12, &s.run) - self.nut_x(s, off);
                let stand_off = self.stand_off(if e == 0 { 0 } else { last });
                let lower = (off(STAND_OFF) + self.instrument.stand_off) * stand_off;
                ReferenceEnd {
                    contact_from_fret_12: contact,
                    action_12: off(OUTER_ACTION[e]) + end.action_12 - lower * x_12 / (x_12 + contact),
                    height: off(HEIGHT[e]) + off(SEAT[e]) + end.height,
                    back: off(THIRD[e]) + end.back,
                    depth: Some(off(DEPTH[e]) + end.depth.unwrap_or(USUAL_DEPTH)),
                }
            })),
        }
    }

    /// Frame of the made saddle as it stands.
    pub(crate) fn made_frame<R: Real>(
        &self,
        seen: &SlotSeen,
        board: &Board<R>,
        off: &impl Fn(usize) -> R,
    ) -> Result<Frame<R>, SlotError> {
        let mut frame = self.slot_at(seen, board, off, R::from(seen.under))?.frame;
        frame.origin.z += off(RISEN);
        Ok(frame)
    }

    /// x of a string's present nut contact, mm.
    pub(crate) fn nut_x<R: Real>(&self, s: &SurveyedString, off: &impl Fn(usize) -> R) -> R {
        math::exp(off(STRETCH)) * s.nut_x
    }
}

/// What lies under the present saddle, mm: what will lie under the new one, but for a shim under that alone; by a saddle of known size
/// that is counted from it.
fn present_under(seen: &SlotSeen) -> f64 {
    match seen.slot {
        SlotSurvey::Straightedge(_) => seen.under,
        SlotSurvey::Reference(_) => 0.0,
    }
}

/// A reading of the nut, off by `gap` and by `action` where it goes with that.
pub(crate) fn nut_reading<R: Real>(reading: NutReading, gap: R, action: R) -> NutReading<R> {
    match reading {
        NutReading::Open { clearance, action_12 } => NutReading::Open {
            clearance: gap + clearance,
            action_12: action + action_12,
        },
        NutReading::New { clearance, action_12 } => NutReading::New {
            clearance: gap + clearance,
            action_12: R::from(action_12),
        },
        NutReading::HeldAtThree { gap: read } => NutReading::HeldAtThree { gap: gap + read },
        NutReading::ZeroFret { above } => NutReading::ZeroFret { above: gap + above },
    }
}

/// Action at fret 12 to start from, mm.
pub(crate) fn action_to_start(read: Option<f64>) -> f64 {
    read.unwrap_or(USUAL_ACTION)
}
