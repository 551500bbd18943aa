//! What only this question needs beside the survey. Everything may be absent.

use crate::{Limits, Wood};

/// Readings of bridge, neck and air, and limits. Lengths in mm.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Facts {
    /// Thickness of the bridge at the slot's front edge, bass and treble.
    pub bridge_thickness: Option<[f64; 2]>,
    /// Wood left under the slot, bass and treble, if it was read; else it follows from the thickness.
    pub wood_under: Option<[f64; 2]>,
    /// Wood in front of the slot at the bridge top, from its front edge to the front of the bridge, bass and treble.
    pub front_wall: Option<[f64; 2]>,
    /// Wood of the bridge.
    pub wood: Option<Wood>,
    /// The ramp or slot that leads the string into its hole; `None`: it bends over the hole's front edge.
    pub ramp: Option<Ramp>,
    /// Whether each string, bass to treble, is wound; unknown strings take the larger friction.
    pub wound: Vec<Option<bool>>,
    /// Height of the heel from the top edge of the body, where the taper ends, to its lowest point.
    pub heel_height: Option<f64>,
    /// From the fret plane at the joint down to the top edge of the body, about which a neck set turns; `None` takes
    /// [`crate::PIVOT_BELOW`].
    pub pivot_below: Option<f64>,
    /// Number of the last fret on the board.
    pub last_fret: Option<u32>,
    /// Relative humidity at the survey, share of 1.
    pub humidity: Option<f64>,
    /// What findings are measured against.
    pub limits: Limits,
    /// What is accepted although it is unsafe.
    pub accept: Vec<Accept>,
}

/// Something unsafe that a job may accept in so many words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Accept {
    /// More pressure on the front wall of the slot than [`Limits::unsafe_pressure`].
    FrontWall,
    /// Less of the saddle in the slot than [`Limits::unsafe_in_slot`].
    InSlot,
}

impl Accept {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::FrontWall, Self::InSlot];

    /// Name in a job file.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::FrontWall => "front wall",
            Self::InSlot => "slot",
        }
    }
}

/// A ramp filed or cut from a hole toward the saddle. mm, 0 or more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ramp {
    /// From the front of the hole forward to where the ramp meets the bridge top.
    pub length: f64,
    /// Depth of the ramp below the bridge top at the front of the hole.
    pub depth: f64,
}
