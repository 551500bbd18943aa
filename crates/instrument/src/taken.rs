//! Readings beyond those that a survey must have: each is evidence of what is there.

use std::ops::Range;

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

impl Of {
    /// Name of the tool that a survey reads it with where none is named.
    #[must_use]
    pub fn usual_tool(self) -> &'static str {
        match self {
            Self::NutTo12 | Self::Action { .. } | Self::SlotEdge | Self::Contact => "steel rule",
            Self::Relief | Self::Clearance | Self::HeldAtThree | Self::ZeroFret => "feelers",
            Self::RadiusAtNut | Self::RadiusAt12 => "radius gauges",
            Self::BridgeTop => "straightedge and feelers",
            Self::SlotDepth | Self::Exposure => "depth rod",
            Self::Lean => "eye",
            Self::SaddleHeight | Self::SaddleBack | Self::OverBridge => "caliper",
            Self::Cents { .. } => "tuner",
            Self::Inharmonicity => "recording",
        }
    }

    /// How sure a figure is that nobody read, where what is usual stands in its place; `None` where nothing is usual. Relief: published
    /// settings have 0 to 0.38 mm, anywhere alike, which makes 0.11 mm. Board radius: steel-string guitars have 305 to 508 mm (12 to 20 in),
    /// anywhere alike, which makes 15 % of 400 mm (common practice, no source; both derived here).
    #[must_use]
    pub fn assumed(self, value: f64) -> Option<Paired> {
        const RELIEF: f64 = 0.11;
        const RADIUS: f64 = 0.15;
        match self {
            Self::Relief => Some(Paired {
                shared: 0.0,
                each: RELIEF,
            }),
            // One board has both.
            Self::RadiusAtNut | Self::RadiusAt12 => Some(Paired::correlated(RADIUS * value.abs(), 1.0)),
            _ => None,
        }
    }

    /// Whether both are read alike, with the same tools: the action at one fret and at another, the radius at the nut and at fret 12.
    #[must_use]
    pub fn is_like(self, other: Self) -> bool {
        let one = |of| match of {
            Self::RadiusAt12 => Self::RadiusAtNut,
            Self::Action { .. } => Self::Action { fret: 12 },
            Self::Cents { .. } => Self::Cents { fret: 12 },
            of => of,
        };
        one(self) == one(other)
    }
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
    /// How sure it is, in the same unit: what it shares with the readings of its kind by the same tool, and its own part.
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
    /// Figures of the survey that nobody read: what is usual stands in their place, and counts as little as [`Of::assumed`] says.
    pub assumed: Vec<(Of, At)>,
    /// Whether the inner strings' figures were put between those of the outer strings and not read.
    pub between: Between,
}

impl Readings {
    /// What of it is of these strings of `count`, counted from the bass, and of the instrument as a whole; the strings are counted anew from
    /// the first of them. What was read at the ends of a slot is left out where `ends` is false.
    #[must_use]
    pub fn of_strings(&self, strings: Range<usize>, count: usize, ends: bool) -> Self {
        let place = |at: At| match at {
            At::Whole => Some(at),
            At::End(_) => ends.then_some(at),
            At::String(i) if strings.contains(&i) => Some(At::String(i - strings.start)),
            At::String(_) => None,
        };
        let taken = self.taken.iter().filter_map(|taken| {
            let at = place(taken.at)?;
            Some(Taken { at, ..taken.clone() })
        });
        let assumed = self.assumed.iter().filter_map(|(of, at)| Some((*of, place(*at)?)));
        let struck = self.struck.iter().filter_map(|(of, at)| Some((*of, place(*at)?)));
        Self {
            taken: taken.collect(),
            struck: struck.collect(),
            assumed: assumed.collect(),
            between: Between {
                outer: [strings.start > 0, strings.end < count],
                ..self.between
            },
        }
    }
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
    /// Of the outer strings here, bass and treble, which are inner ones of the instrument: theirs were put between others, too.
    pub outer: [bool; 2],
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn some_strings_are_counted_anew() {
        let taken = |of, at| Taken {
            of,
            at,
            value: 1.0,
            unsure: Paired { shared: 0.1, each: 0.1 },
            tool: "caliper".to_owned(),
            visit: 2,
            doubted: false,
        };
        let all = Readings {
            taken: vec![
                taken(Of::Relief, At::Whole),
                taken(Of::SlotDepth, At::End(0)),
                taken(Of::Exposure, At::String(1)),
                taken(Of::Exposure, At::String(4)),
            ],
            struck: vec![(Of::Lean, At::Whole), (Of::Clearance, At::String(5))],
            assumed: vec![(Of::Relief, At::Whole)],
            between: Between {
                nut: true,
                ..Between::default()
            },
        };
        let treble = all.of_strings(4..6, 6, false);
        let want = Readings {
            taken: vec![taken(Of::Relief, At::Whole), taken(Of::Exposure, At::String(0))],
            struck: vec![(Of::Lean, At::Whole), (Of::Clearance, At::String(1))],
            assumed: vec![(Of::Relief, At::Whole)],
            between: Between {
                outer: [true, false],
                ..all.between
            },
        };
        assert_eq!(treble, want);
        assert_eq!(all.of_strings(0..6, 6, true), all);
    }

    #[test]
    fn what_is_read_with_the_same_tools_is_alike() {
        assert!(Of::Action { fret: 5 }.is_like(Of::Action { fret: 12 }));
        assert!(Of::RadiusAt12.is_like(Of::RadiusAtNut));
        assert!(!Of::Clearance.is_like(Of::HeldAtThree));
        assert!(!Of::SaddleHeight.is_like(Of::Exposure));
    }
}
