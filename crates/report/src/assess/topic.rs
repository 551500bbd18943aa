//! Names of what is judged.

use assess::Topic;

/// Name of a topic.
pub(super) fn name(topic: Topic) -> &'static str {
    match topic {
        Topic::Humidity => "Humidity",
        Topic::Relief => "Relief",
        Topic::Nut => "Nut: gap over fret 1",
        Topic::ZeroFret => "Zero fret: gap over fret 1",
        Topic::Saddle => "Saddle: mean exposure",
        Topic::Fit => "Play in the slot",
        Topic::InSlot => "Share in the slot",
        Topic::BreakAngle => "Break angle",
        Topic::BackFall => "Bend at the ridge",
        Topic::Slot => "Slot: error left at fret 12",
        Topic::WoodUnder => "Wood under the slot",
        Topic::FrontWall => "Wood in front of the slot",
        Topic::ToHoles => "Wood from slot to holes",
        Topic::Load => "Pressure on the front wall",
        Topic::Neck => "Neck: least exposure",
        Topic::Bridge => "Bridge: mean exposure",
    }
}

/// A topic that is to be put in order, inside a sentence.
pub(super) fn subject(topic: Topic) -> String {
    match topic {
        Topic::Nut => "the nut".to_owned(),
        Topic::ZeroFret => "the zero fret".to_owned(),
        other => name(other).to_lowercase(),
    }
}
