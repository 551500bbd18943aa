//! How sure the readings are, and what is made by them.

use crate::{Of, Paired, StretchKnown};

/// Correlation of two readings by one tool where nothing else is said: the parts of the tool and of the hand are taken alike (common
/// practice, no source).
const USUAL_CORRELATION: f64 = 0.5;

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
    /// From the nut to fret 12.
    NutTo12,
    /// The straightedge's own error at the saddle.
    Straightedge,
    /// Bow of the slot's floor.
    FloorBow,
    /// Seat of the present saddle.
    OldSeat,
    /// Inner strings against what is put between the outer ones.
    Between,
    /// Exposure of the present saddle.
    Exposure,
    /// String over the bridge top.
    OverBridge,
    /// Pitch of a fretted note.
    Pitch,
    /// Inharmonicity of an open string.
    Inharmonicity,
    /// Linear density of the string.
    Mass,
    /// How string ends hold.
    Ends,
    /// Stand-off of the string over its ridge.
    StandOff,
    /// What moved between visits.
    Drift,
}

impl Reading {
    /// Whether it is read of the instrument, and so can be read again; the others are steps of making.
    #[must_use]
    pub fn is_read(self) -> bool {
        !matches!(
            self,
            Self::Seating
                | Self::MadeHeight
                | Self::MadeRidge
                | Self::FloorBow
                | Self::OldSeat
                | Self::Between
                | Self::Mass
                | Self::Ends
                | Self::StandOff
                | Self::Drift
        )
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
    /// From the nut's front to fret 12. Default 0.2: long steel rule, both ends in sight at once (common practice, no source).
    pub nut_to_12: f64,
    /// The straightedge's own error where it reaches the saddle, the same at both ends. Default 0.05: a true one, well seated on two
    /// crowns (common practice, no source).
    pub straightedge: f64,
    /// How far the middle of the slot's floor stands off the line through its ends, up or down. Default 0.03: as routed or chiselled
    /// (common practice, no source).
    pub floor_bow: f64,
    /// How far the present or the reference saddle stands off the slot's floor, each end. Default 0.03: as `seating` (common practice,
    /// no source).
    pub old_seat: f64,
    /// Linear density of each string, as a share of itself. Default 0.02: gauge and wrap of one string against the next (common
    /// practice, no source).
    pub mass: f64,
    /// How the ends of the strings hold: `2 c_fret + c_saddle - c_nut`, where c is 0 for a pinned and 1 for a clamped end; no unit, the
    /// same for all strings. Default 0.3 about the 1.0 of the published model (derived here, no source: half clamped ends make 1.1, a
    /// fret clamped by the finger 2.0).
    pub ends: f64,
    /// Share of the elastic stand-off, the string's bend over the ridge, that the straight line passes over it; 0 to 1, the same for
    /// all strings. Default 0.25 (derived here, no source: strings that took a set show less than elastic theory; a plan takes 0).
    pub stand_off: f64,
    /// Pitch of a fretted note, cents. Default 3 in all, correlation 0.8: a tuner's fretted 12 against the harmonic; the shared part is
    /// the body's pull on one string, which reading again does not lessen (derived here, no source).
    pub cents: Paired,
    /// Exposure of the present saddle. Default 0.05, correlation 0.5: depth rod (common practice, no source).
    pub exposure: Paired,
    /// String over the bridge top. Default 0.05, correlation 0.5: caliper (common practice, no source).
    pub over_bridge: Paired,
    /// Inharmonicity of an open string, as a share of itself. Default 0.05: recordings of steel strings repeat to 0.01 to 0.05 (derived
    /// here from published recordings of two guitars).
    pub inharmonicity: f64,
    /// How far an inner string's action at fret 12 lies off what is put between the outer strings'. Default 0.05: file and radius of a
    /// saddle made by hand (common practice, no source).
    pub between_action: f64,
    /// The same of its gap at the nut. Default 0.03: slots filed by hand (common practice, no source).
    pub between_nut: f64,
    /// How far relief moves from one visit to another. Default 0.05: air of a few per cent more or less damp (common practice, no
    /// source).
    pub drift_neck: f64,
    /// How far the bridge top moves from one visit to another. Default 0.1: the same (common practice, no source).
    pub drift_top: f64,
}

impl Default for Uncertainty {
    fn default() -> Self {
        let half = |total| Paired::correlated(total, USUAL_CORRELATION);
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
            nut_to_12: 0.2,
            straightedge: 0.05,
            floor_bow: 0.03,
            old_seat: 0.03,
            mass: 0.02,
            ends: 0.3,
            stand_off: 0.25,
            cents: Paired::correlated(3.0, Self::CENTS_CORRELATION),
            exposure: half(0.05),
            over_bridge: half(0.05),
            inharmonicity: 0.05,
            between_action: 0.05,
            between_nut: 0.03,
            drift_neck: 0.05,
            drift_top: 0.1,
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
            nut_to_12: 0.0,
            straightedge: 0.0,
            floor_bow: 0.0,
            old_seat: 0.0,
            mass: 0.0,
            ends: 0.0,
            stand_off: 0.0,
            cents: nothing,
            exposure: nothing,
            over_bridge: nothing,
            inharmonicity: 0.0,
            between_action: 0.0,
            between_nut: 0.0,
            drift_neck: 0.0,
            drift_top: 0.0,
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

    /// Correlation of two readings of cents on one string: most of what is wrong with them is the body's pull (derived here, no source).
    pub const CENTS_CORRELATION: f64 = 0.8;

    /// How sure a reading of this kind that came to `value` is by the tool that is usual for it ([`Of::usual_tool`]), in the reading's own
    /// unit: what is known as a share is of `value`.
    #[must_use]
    pub fn taken(&self, of: Of, value: f64) -> Paired {
        let alone = |total| Paired::correlated(total, USUAL_CORRELATION);
        match of {
            Of::NutTo12 => alone(self.nut_to_12),
            Of::Relief => alone(self.relief),
            Of::RadiusAtNut | Of::RadiusAt12 => alone(self.board_radius * value.abs()),
            Of::Clearance | Of::HeldAtThree | Of::ZeroFret => self.clearance,
            Of::Action { .. } => self.present_action,
            Of::SlotEdge => self.slot_edge,
            Of::BridgeTop => self.bridge_top,
            Of::SlotDepth => self.slot_depth,
            Of::Lean => alone(self.lean),
            Of::Contact => self.reference_contact,
            Of::SaddleHeight => self.reference_height,
            Of::SaddleBack => self.reference_back,
            Of::Exposure => self.exposure,
            Of::OverBridge => self.over_bridge,
            Of::Cents { .. } => self.cents,
            Of::Inharmonicity => alone(self.inharmonicity * value.abs()),
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
            Reading::NutTo12 => self.nut_to_12,
            Reading::Straightedge => self.straightedge,
            Reading::FloorBow => self.floor_bow,
            Reading::OldSeat => self.old_seat,
            Reading::Between => self.between_action.max(self.between_nut),
            Reading::Exposure => self.exposure.total(),
            Reading::OverBridge => self.over_bridge.total(),
            Reading::Pitch => self.cents.total(),
            Reading::Inharmonicity => self.inharmonicity,
            Reading::Mass => self.mass,
            Reading::Ends => self.ends,
            Reading::StandOff => self.stand_off,
            Reading::Drift => self.drift_top,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_is_as_sure_as_its_row() {
        let usual = Uncertainty::default();
        let total = |of, value| usual.taken(of, value).total();
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} {b}");
        near(total(Of::NutTo12, 322.0), 0.2);
        near(total(Of::Lean, 0.1), 1f64.to_radians());
        // Shares are of what was read, whatever its sign.
        near(total(Of::RadiusAtNut, 400.0), 20.0);
        near(total(Of::Inharmonicity, 4e-5), 2e-6);
        for fret in [5, 12] {
            assert_eq!(usual.taken(Of::Action { fret }, 2.0), usual.present_action);
            let cents = usual.taken(Of::Cents { fret }, -2.0);
            near(cents.total(), 3.0);
            near(cents.shared * cents.shared / 9.0, Uncertainty::CENTS_CORRELATION);
        }
        assert_eq!(usual.taken(Of::HeldAtThree, 0.1), usual.clearance);
        let none = Uncertainty::none();
        assert_eq!(none.taken(Of::Exposure, 3.0).total(), 0.0);
        assert_eq!(none.taken(Of::Cents { fret: 12 }, 3.0).total(), 0.0);
    }
}
