//! Readings of a round: their keys, and the questions of the survey that ask for the same.

use instrument::Of;

use super::kind::EntryKind;
use crate::fields::{Field, Station, f, fields};

/// The key of a round in which a reading of this kind stands.
#[must_use]
pub fn reading_key(of: Of) -> &'static str {
    let row = match of {
        Of::NutTo12 => f!("readings.nut_to_12"),
        Of::Relief => f!("readings.relief"),
        Of::RadiusAtNut => f!("readings.radius_at_nut"),
        Of::RadiusAt12 => f!("readings.radius_at_12"),
        Of::Clearance => f!("readings.first_fret_clearance"),
        Of::HeldAtThree => f!("readings.held_at_3"),
        Of::ZeroFret => f!("readings.zero_fret_above"),
        Of::Action { fret: 12 } => f!("readings.action_12"),
        Of::Action { .. } => f!("readings.action_at"),
        Of::SlotEdge => f!("readings.edge_from_fret_12"),
        Of::BridgeTop => f!("readings.bridge_top"),
        Of::SlotDepth => f!("readings.depth"),
        Of::Lean => f!("readings.lean"),
        Of::Contact => f!("readings.contact_from_fret_12"),
        Of::SaddleHeight => f!("readings.saddle_height"),
        Of::SaddleBack => f!("readings.saddle_back"),
        Of::Exposure => f!("readings.exposure"),
        Of::OverBridge => f!("readings.over_bridge"),
        Of::Cents { fret: 12 } => f!("readings.cents_12"),
        Of::Cents { .. } => f!("readings.cents_at"),
        Of::Inharmonicity => f!("readings.inharmonicity"),
    };
    row.name()
}

/// The question of the survey that asks for the same reading, which has its title, how it is taken, and its drawing.
pub(super) fn asked(row: &'static Field) -> Option<&'static Field> {
    Some(match row.name() {
        "nut_to_12" => f!("instrument.nut_to_12"),
        "relief" => f!("instrument.relief:gap"),
        "board_radius" => f!("instrument.board_radius"),
        "first_fret_clearance" => f!("nut.first_fret_clearance"),
        "held_at_3" => f!("nut.held_at_3"),
        "zero_fret_above" => f!("nut.zero_fret_above"),
        "action_12" => f!("present.action_12"),
        "edge_from_fret_12" => f!("slot.edge_from_fret_12"),
        "bridge_top" => f!("slot.bridge_top"),
        "depth" => f!("slot.depth"),
        "lean" => f!("slot.lean"),
        "contact_from_fret_12" => f!("present.contact_from_fret_12"),
        "saddle_height" => f!("present.saddle_height"),
        "saddle_back" => f!("present.saddle_back"),
        "exposure" => f!("present.exposure"),
        "over_bridge" => f!("present.over_bridge"),
        "cents_12" => f!("present.cents_12"),
        "reference_contact" => f!("slot.reference.contact_from_fret_12"),
        "reference_height" => f!("slot.reference.height"),
        "reference_back" => f!("slot.reference.back"),
        _ => return None,
    })
}

/// The question of the survey that asks for what a field of this name is: a reading of a round, or what of one does not count.
#[must_use]
pub fn entry_question(kind: EntryKind, name: &str) -> Option<&'static Field> {
    let key = format!("{}.{name}", kind.key());
    fields()
        .find(|row| row.key == key)
        .and_then(asked)
        .filter(|row| row.station != Station::Unasked)
}
