//! What was read, as it comes in.

use crate::Strung;
use instrument::{Readings, SlotSurvey, StrungInstrument, Uncertainty};

/// A slot as its survey has it, at pitch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlotSeen {
    /// Its readings.
    pub slot: SlotSurvey,
    /// Lean, radians.
    pub lean: f64,
    /// Thickness of what lies under the new saddle, mm (by a saddle of known size: more than lay under that one).
    pub under: f64,
    /// Front to back of the saddle that stands in it, mm, so that a contact that was not read lies within.
    pub thickness: f64,
    /// Where strings leave the bridge, bass and treble, if read.
    pub exit: Option<[Exit; 2]>,
}

/// Where strings leave the bridge behind the saddle, at one end. mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exit {
    /// Behind the slot's front edge, along x.
    pub behind_slot: f64,
    /// Above (+) or below (-) the bridge top at the slot's front edge.
    pub above_bridge_top: f64,
}

/// All that was read of an instrument, and how sure it is.
#[derive(Debug, Clone, Copy)]
pub struct Seen<'a> {
    /// The instrument as its survey has it.
    pub instrument: &'a StrungInstrument,
    /// Its slot, where one was read.
    pub slot: Option<SlotSeen>,
    /// What was read beside the survey.
    pub readings: &'a Readings,
    /// How sure readings are.
    pub unsure: &'a Uncertainty,
    /// What was read after stringing up, over a saddle that was made.
    pub strung: &'a [Strung],
}
