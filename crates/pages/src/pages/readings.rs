//! What readings are called on the pages, and where they stand.

use ::survey::{Step, ValueAt};

/// The readings that are taken on each string: key in the file, name in the form, heading.
pub(super) const KINDS: [(&str, &str, &str); 3] = [
    ("action_12", "a", "Action at 12"),
    ("first_fret_clearance", "g", "Gap at fret 1"),
    ("cents_12", "c", "Cents at 12"),
];

/// What a field of the readings is called here, with its string where it is of one.
pub(super) fn name_of(field: &str) -> Option<String> {
    let name = field.strip_prefix("strung.")?;
    if name == "humidity" {
        return Some("Humidity".to_owned());
    }
    KINDS
        .iter()
        .find(|(key, ..)| name.starts_with(key))
        .map(|(_, _, title)| (*title).to_owned())
}

/// Key of the first step of the block that a step stands in.
pub(super) fn block_key(step: &Step) -> String {
    let part = match step.part {
        ValueAt::Treble => ValueAt::Bass,
        ValueAt::Common => ValueAt::Whole,
        part => part,
    };
    Step { part, ..*step }.key()
}
