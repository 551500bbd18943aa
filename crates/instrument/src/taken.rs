//! Readings beyond those that a survey must have: each is evidence of what is there.

use crate::Paired;

/// What a reading is of. Lengths in mm, angles in radians.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Of {
    /// From the nut's front (fret 0) to the middle of fret 12's crown, along the centre line.
    NutTo12,
    /// Relief at mid-span, back-bow negative.
    Relief,
    /// Fingerboard radius at fret 0.
    RadiusAtNut,
    /// Fingerboard radius at fret 12.
    RadiusAt12,
    /// Gap of the open string over fret 1.
    Clearance,
    /// Gap over fret 1 of the string held down at fret 3.
    HeldAtThree,
    /// A zero fret's crown above (+) or below (-) the plane of the other crowns.
    ZeroFret,
    /// Gap of the open string over a fret.
    Action {
        /// Fret, 1 to 24.
        fret: u32,
    },
    /// From fret 12 to the slot's front edge, along x.
    SlotEdge,
    /// Bridge top above (+) or below (-) a straightedge on frets 1 and joint.
    BridgeTop,
    /// Depth of the slot along its front wall.
    SlotDepth,
    /// Lean of the front wall, positive with the top forward.
    Lean,
    /// From fret 12 to the present contact, along x.
    Contact,
    /// Height of the present saddle under a string: bottom edge to ridge, along its front face.
    SaddleHeight,
    /// The present contact's distance back from the saddle's front face.
    SaddleBack,
    /// Exposure of the present saddle: up its front face from the bridge top to the ridge.
    Exposure,
    /// Underside of the string over the bridge top at the slot's front edge, along z.
    OverBridge,
    /// Fretted note against equal temperament over the open string, cents, sharp positive.
    Cents {
        /// Fret, 1 to 12.
        fret: u32,
    },
    /// Inharmonicity B of the open string: partial n stands at `n f0 sqrt(1 + B n^2)`; no unit.
    Inharmonicity,
}

/// Where a reading was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum At {
    /// On the instrument as a whole.
    Whole,
    /// At an end of the slot, under an outer string: 0 bass, 1 treble.
    End(usize),
    /// On a string, counted from the bass-most, which is 0.
    String(usize),
}

/// One reading, with how it was taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// What it is of.
    pub of: Of,
    /// Where.
    pub at: At,
    /// What was read, in its own unit.
    pub value: f64,
    /// How sure it is: what it shares with the readings of its kind by the same tool, and its own part.
    pub unsure: Paired,
    /// Name of the tool.
    pub tool: String,
    /// The visit on which it was taken, from 1: one sitting with the instrument in one climate.
    pub visit: u32,
    /// It is doubted, and not counted.
    pub doubted: bool,
}

/// All that was read of an instrument beside what a survey must have.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Readings {
    /// Further readings.
    pub taken: Vec<Taken>,
    /// Readings of the survey itself that are doubted, and not counted.
    pub struck: Vec<(Of, At)>,
    /// Whether the inner strings' figures were put between those of the outer strings and not read.
    pub between: Between,
}

/// Figures of which the outer strings alone were read: those of the inner strings are put between them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Between {
    /// The gap over fret 1, the gap held at fret 3 or the zero fret's height, by which the present nut was read.
    pub nut: bool,
    /// Present action at fret 12.
    pub action_12: bool,
    /// Place of the present contact.
    pub contact: bool,
}
