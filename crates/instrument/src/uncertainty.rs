//! How sure the readings are, and what is made by them.

use crate::StretchKnown;

/// Uncertainty of a reading that is taken at bass and treble, or on every string, with one tool. Standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paired {
    /// Part that all readings share, because one tool and one hand took them.
    pub shared: f64,
    /// Part of each reading alone.
    pub each: f64,
}

impl Paired {
    /// Split a total standard uncertainty so that two readings have the given correlation, 0 to 1.
    #[must_use]
    pub fn correlated(total: f64, correlation: f64) -> Self {
        let correlation = correlation.clamp(0.0, 1.0);
        Self {
            shared: total * correlation.sqrt(),
            each: total * (1.0 - correlation).sqrt(),
        }
    }

    /// Total standard uncertainty of one reading.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.shared.hypot(self.each)
    }
}

/// A reading, or a step of making, in the words of the survey.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Reading {
    /// Relief.
    Relief,
    /// Fingerboard radius.
    BoardRadius,
    /// First-fret clearance, or the gap held at fret 3, or the clearance a new nut is cut to.
    Clearance,
    /// Present action at fret 12.
    PresentAction,
    /// Slot edge from fret 12.
    SlotEdge,
    /// Bridge top against the straightedge.
    BridgeTop,
    /// Slot depth.
    SlotDepth,
    /// Lean.
    Lean,
    /// Place of the reference saddle's contact.
    ReferenceContact,
    /// Height of the reference saddle.
    ReferenceHeight,
    /// The reference contact's distance back from the face.
    ReferenceBack,
    /// Stretch stiffness of the string.
    Stretch,
    /// How well the saddle seats on the slot's floor.
    Seating,
    /// Height as made.
    MadeHeight,
    /// Ridge as made, front to back.
    MadeRidge,
}

impl Reading {
    /// Whether it is read of the instrument, and so can be read again; the others are steps of making.
    #[must_use]
    pub fn is_read(self) -> bool {
        !matches!(self, Self::Seating | Self::MadeHeight | Self::MadeRidge)
    }
}

/// Standard uncertainties of readings and of making. Lengths in mm, angles in radians; 0 leaves one out.
///
/// The defaults are half-ranges of the bench practice named beside each, taken as standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertainty {
    /// Relief. Default 0.025: one step of a feeler (common practice, no source).
    pub relief: f64,
    /// Board radius, as a share of itself. Default 0.05: 14 and 16 in are hard to tell apart (published on gauge pages).
    pub board_radius: f64,
    /// First-fret clearance. Default 0.025 in all, correlation 0.5: feeler or dial (common practice, no source).
    pub clearance: Paired,
    /// Present action. Default 0.1, correlation 0.5: a rule read to a quarter of its 1/64 in division (common practice, no source).
    pub present_action: Paired,
    /// Slot edge from fret 12. Default 0.3, correlation 0.5: rule, 0.3 to 0.5 (common practice, no source).
    pub slot_edge: Paired,
    /// Bridge top against the straightedge. Default 0.15, correlation 0.5: 0.1 to 0.2 by depth rod (common practice, no source).
    pub bridge_top: Paired,
    /// Slot depth. Default 0.05, correlation 0.5: depth rod (common practice, no source).
    pub slot_depth: Paired,
    /// Lean. Default 1 degree by eye (common practice, no source).
    pub lean: f64,
    /// Contact of the reference saddle. Default 0.3, correlation 0.5: rule (common practice, no source).
    pub reference_contact: Paired,
    /// Height of the reference saddle. Default 0.02, correlation 0.5: caliper (common practice, no source).
    pub reference_height: Paired,
    /// The reference contact's distance back. Default 0.1, correlation 0.5: by eye on a rounded ridge (common practice, no source).
    pub reference_back: Paired,
    /// Stretch stiffness of every string, as a share of itself; by default what is known of each says it ([`StretchKnown::sigma`]).
    pub stretch: Option<f64>,
    /// The same for a string calibrated by a cents reading. Default 0.08: about 1 cent of a tuner (common practice, no source).
    pub stretch_calibrated: f64,
    /// Seating on the floor. Default 0.03: dust, burrs, a floor not quite flat (common practice, no source).
    pub seating: f64,
    /// Height as made, each string. Default 0.025: 1 thou of file and caliper (common practice, no source).
    pub made_height: f64,
    /// Ridge as made, each string. Default 0.1 (common practice, no source).
    pub made_ridge: f64,
}

impl Default for Uncertainty {
    fn default() -> Self {
        let half = |total| Paired::correlated(total, 0.5);
        Self {
            relief: 0.025,
            board_radius: 0.05,
            clearance: half(0.025),
            present_action: half(0.1),
            slot_edge: half(0.3),
            bridge_top: half(0.15),
            slot_depth: half(0.05),
            lean: std::f64::consts::PI / 180.0,
            reference_contact: half(0.3),
            reference_height: half(0.02),
            reference_back: half(0.1),
            stretch: None,
            stretch_calibrated: 0.08,
            seating: 0.03,
            made_height: 0.025,
            made_ridge: 0.1,
        }
    }
}

impl Uncertainty {
    /// Nothing uncertain: a start for looking at one reading alone.
    #[must_use]
    pub fn none() -> Self {
        let nothing = Paired { shared: 0.0, each: 0.0 };
        Self {
            relief: 0.0,
            board_radius: 0.0,
            clearance: nothing,
            present_action: nothing,
            slot_edge: nothing,
            bridge_top: nothing,
            slot_depth: nothing,
            lean: 0.0,
            reference_contact: nothing,
            reference_height: nothing,
            reference_back: nothing,
            stretch: Some(0.0),
            stretch_calibrated: 0.0,
            seating: 0.0,
            made_height: 0.0,
            made_ridge: 0.0,
        }
    }
}

impl Uncertainty {
    /// Standard uncertainty of the stretch stiffness of a string of which this is known, as a share of itself; `calibrated`: it comes
    /// from a pitch reading.
    #[must_use]
    pub fn stretch_of(&self, known: StretchKnown, calibrated: bool) -> f64 {
        if calibrated {
            self.stretch_calibrated
        } else {
            self.stretch.unwrap_or_else(|| known.sigma())
        }
    }

    /// Total standard uncertainty of a reading, in its own unit; `stretch` is what it is of the stretch, which differs from string to string.
    #[must_use]
    pub fn of(&self, reading: Reading, stretch: f64) -> f64 {
        match reading {
            Reading::Relief => self.relief,
            Reading::BoardRadius => self.board_radius,
            Reading::Clearance => self.clearance.total(),
            Reading::PresentAction => self.present_action.total(),
            Reading::SlotEdge => self.slot_edge.total(),
            Reading::BridgeTop => self.bridge_top.total(),
            Reading::SlotDepth => self.slot_depth.total(),
            Reading::Lean => self.lean,
            Reading::ReferenceContact => self.reference_contact.total(),
            Reading::ReferenceHeight => self.reference_height.total(),
            Reading::ReferenceBack => self.reference_back.total(),
            Reading::Stretch => stretch,
            Reading::Seating => self.seating,
            Reading::MadeHeight => self.made_height,
            Reading::MadeRidge => self.made_ridge,
        }
    }
}
