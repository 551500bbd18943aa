//! Kinds of readings and places in bench words.

use instrument::Of;
use work::NextStep;

/// What is read.
pub(super) fn name(of: Of) -> String {
    match of {
        Of::NutTo12 => "nut to fret 12".to_owned(),
        Of::Relief => "relief".to_owned(),
        Of::RadiusAtNut => "board radius at the nut".to_owned(),
        Of::RadiusAt12 => "board radius at fret 12".to_owned(),
        Of::Clearance => "gap over fret 1, string open".to_owned(),
        Of::HeldAtThree => "gap over fret 1, string held at fret 3".to_owned(),
        Of::ZeroFret => "zero fret above the other crowns".to_owned(),
        Of::Action { fret } => format!("present action at fret {fret}"),
        Of::SlotEdge => "fret 12 to the slot's front edge".to_owned(),
        Of::BridgeTop => "bridge top against the straightedge".to_owned(),
        Of::SlotDepth => "slot depth".to_owned(),
        Of::Lean => "lean".to_owned(),
        Of::Contact => "fret 12 to the present contact".to_owned(),
        Of::SaddleHeight => "height of the present saddle".to_owned(),
        Of::SaddleBack => "present contact, back from the saddle's face".to_owned(),
        Of::Exposure => "exposure of the present saddle".to_owned(),
        Of::OverBridge => "string over the bridge at the slot's front edge".to_owned(),
        Of::Cents { fret } => format!("cents at fret {fret}"),
        Of::Inharmonicity => "inharmonicity of the open string".to_owned(),
    }
}

/// What a step reads: of the radius at both ends in one.
pub(super) fn what(step: &NextStep) -> String {
    if matches!(step.of, Of::RadiusAtNut | Of::RadiusAt12) && step.places.len() > 1 {
        return "board radius at the nut and at fret 12".to_owned();
    }
    name(step.of)
}
