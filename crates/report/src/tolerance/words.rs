//! Readings and chances in bench words.

use crate::figures::{degrees, fixed};
use instrument::Reading;
use units::BenchUnit;

/// The reading as a repairer calls it.
pub(super) fn name(reading: Reading) -> &'static str {
    match reading {
        Reading::Relief => "relief",
        Reading::BoardRadius => "board radius",
        Reading::Clearance => "first-fret clearance",
        Reading::PresentAction => "present action",
        Reading::SlotEdge => "slot edge from fret 12",
        Reading::BridgeTop => "bridge top",
        Reading::SlotDepth => "slot depth",
        Reading::Lean => "lean",
        Reading::ReferenceContact => "reference contact",
        Reading::ReferenceHeight => "reference height",
        Reading::ReferenceBack => "reference ridge, back",
        Reading::Stretch => "string's stretch",
        Reading::Seating => "seating",
        Reading::MadeHeight => "height as made",
        Reading::MadeRidge => "ridge as made",
        Reading::NutTo12 => "nut to fret 12",
        Reading::Straightedge => "straightedge",
        Reading::FloorBow => "bow of the slot's floor",
        Reading::OldSeat => "seat of the present saddle",
        Reading::Between => "inner strings",
        Reading::Exposure => "exposure",
        Reading::OverBridge => "string over the bridge",
        Reading::Pitch => "pitch at a fret",
        Reading::Inharmonicity => "inharmonicity",
        Reading::Mass => "string's mass",
        Reading::Ends => "how string ends hold",
        Reading::StandOff => "stand-off over the ridge",
        Reading::Drift => "change between visits",
    }
}

/// The reading's name in JSON.
pub(super) fn key(reading: Reading) -> &'static str {
    match reading {
        Reading::Relief => "relief",
        Reading::BoardRadius => "board-radius",
        Reading::Clearance => "first-fret-clearance",
        Reading::PresentAction => "present-action",
        Reading::SlotEdge => "slot-edge",
        Reading::BridgeTop => "bridge-top",
        Reading::SlotDepth => "slot-depth",
        Reading::Lean => "lean",
        Reading::ReferenceContact => "reference-contact",
        Reading::ReferenceHeight => "reference-height",
        Reading::ReferenceBack => "reference-back",
        Reading::Stretch => "stretch",
        Reading::Seating => "seating",
        Reading::MadeHeight => "made-height",
        Reading::MadeRidge => "made-ridge",
        Reading::NutTo12 => "nut-to-12",
        Reading::Straightedge => "straightedge",
        Reading::FloorBow => "floor-bow",
        Reading::OldSeat => "old-seat",
        Reading::Between => "between",
        Reading::Exposure => "exposure",
        Reading::OverBridge => "over-bridge",
        Reading::Pitch => "pitch",
        Reading::Inharmonicity => "inharmonicity",
        Reading::Mass => "mass",
        Reading::Ends => "ends",
        Reading::StandOff => "stand-off",
        Reading::Drift => "drift",
    }
}

/// Unit of a reading's uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum In {
    Length,
    Angle,
    Share,
    Cents,
    Number,
}

pub(super) fn unit(reading: Reading) -> In {
    match reading {
        Reading::Lean => In::Angle,
        Reading::BoardRadius | Reading::Stretch | Reading::Mass | Reading::Inharmonicity | Reading::StandOff => {
            In::Share
        }
        Reading::Pitch => In::Cents,
        Reading::Ends => In::Number,
        _ => In::Length,
    }
}

/// An uncertainty with its unit.
pub(super) fn sure_to(reading: Reading, sigma: f64, bench: BenchUnit) -> String {
    match unit(reading) {
        In::Length => bench.show(sigma),
        In::Angle => degrees(sigma),
        In::Share => format!("{} %", fixed(100.0 * sigma, 0)),
        In::Cents => format!("{} cents", fixed(sigma, 1)),
        In::Number => fixed(sigma, 1),
    }
}

/// How a reading comes by its uncertainty: `read to`, or what else for a step of making.
pub(super) fn how(reading: Reading) -> &'static str {
    match reading {
        Reading::Stretch | Reading::Mass | Reading::Ends | Reading::StandOff => "known to",
        Reading::Between
        | Reading::Drift
        | Reading::FloorBow
        | Reading::OldSeat
        | Reading::Straightedge
        | Reading::Seating
        | Reading::MadeHeight
        | Reading::MadeRidge => "true to",
        _ => "read to",
    }
}

/// How to make a reading surer.
pub(super) fn mend(reading: Reading) -> &'static str {
    match reading {
        Reading::Relief => "take it again with feelers",
        Reading::BoardRadius => "take it again with radius gauges, at the nut and at fret 12",
        Reading::Clearance => "take it again with feelers",
        Reading::PresentAction => "take it again with feelers or a dial, not by the rule",
        Reading::SlotEdge => "take it again, with a long steel rule or calipers",
        Reading::BridgeTop => "take it again: straightedge on two equal shims, feelers under it, less the shims",
        Reading::SlotDepth => "take it again with a depth rod, at both ends",
        Reading::Lean => "take it again, with a close blank in the slot against a square",
        Reading::ReferenceContact => "take it again, with a long steel rule or calipers",
        Reading::ReferenceHeight => "take it again with the caliper",
        Reading::ReferenceBack => "take it again on a saddle filed to a sharp ridge",
        Reading::Stretch => "read cents at fret 12 on the present saddle ([present] cents_12)",
        Reading::Seating => "clean the slot's floor and try the blank's bottom on it with chalk",
        Reading::MadeHeight => "measure the height often and stop early",
        Reading::MadeRidge => "scribe the ridge line before you file",
        Reading::NutTo12 => "take it again with a long steel rule, or measure fret by fret",
        Reading::Straightedge => "turn it end for end and take the bridge top again",
        Reading::FloorBow => "try the floor with a straight slip, and level it",
        Reading::OldSeat => "press it home and feel for a gap under it",
        Reading::Between => "read every string by itself",
        Reading::Exposure => "take it again with a depth rod",
        Reading::OverBridge => "take it again with the caliper",
        Reading::Pitch => "tune, and read each note again",
        Reading::Inharmonicity => "record it again",
        Reading::Mass => "weigh a length of the string",
        Reading::Ends => "read cents at fret 12 on the present saddle, string by string",
        Reading::StandOff => "read the present saddle's heights under every string",
        Reading::Drift => "take the readings in one sitting",
    }
}

/// A chance from 0 to 1 in percent; what is rare but happens is not called 0.
pub fn percent(chance: f64) -> String {
    let hundred = 100.0 * chance;
    if chance > 0.0 && hundred < 0.1 {
        "under 0.1 %".to_owned()
    } else if chance < 1.0 && hundred > 99.9 {
        "over 99.9 %".to_owned()
    } else if (10.0..=90.0).contains(&hundred) {
        format!("{} %", fixed(hundred, 0))
    } else {
        let shown = fixed(hundred, 1);
        format!("{} %", shown.strip_suffix(".0").unwrap_or(&shown))
    }
}
