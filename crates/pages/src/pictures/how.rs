//! Small drawings of how each reading is taken, one file each in `assets/readings`, drawn by hand. They are not to scale.
//!
//! A file stands alone: it has a title, a style and groups with names. The page has the title as the drawing's label, styles of its own
//! by class, and many drawings beside each other, so that the file's style and names are left out.

use survey::{Interview, Question, ValueAt, When};

/// The drawings by the name of their file, in their order.
macro_rules! drawings {
    ($($name:literal,)*) => {
        &[$(($name, include_str!(concat!("../../assets/readings/", $name, ".svg")))),*]
    };
}

/// Each drawing: the key of its question, with a dot for a colon, and after another dot its variant.
const DRAWINGS: &[(&str, &str)] = drawings![
    "assess.humidity",
    "blank.bass_end",
    "blank.bass_end.drop-in",
    "blank.end_radius",
    "blank.height",
    "blank.kind",
    "blank.land",
    "blank.length",
    "blank.length.drop-in",
    "blank.thickness",
    "blank.wings.bass",
    "blank.wings.treble",
    "book.humidity_in",
    "book.humidity_out",
    "bridge.above_bridge_top",
    "bridge.above_bridge_top.tie-block",
    "bridge.behind_slot",
    "bridge.behind_slot.tie-block",
    "bridge.front_wall",
    "bridge.string_exit",
    "bridge.thickness",
    "crown.back_fall",
    "crown.front_fall",
    "crown.ridge",
    "crown.rounding",
    "instrument.board_radius",
    "instrument.board_radius.fret_12",
    "instrument.board_radius.nut",
    "instrument.joint_fret",
    "instrument.nut_to_12",
    "instrument.relief.fret",
    "instrument.relief.gap",
    "instrument.scale",
    "instrument.scale.bass",
    "instrument.scale.square",
    "instrument.scale.treble",
    "neck.heel_height",
    "neck.last_fret",
    "nut.dressed",
    "nut.first_fret_clearance",
    "nut.first_fret_clearance.zero-fret",
    "nut.held_at_3",
    "nut.held_at_3.zero-fret",
    "nut.new_clearance",
    "nut.new_held_at_3",
    "nut.new_wire",
    "nut.setback",
    "nut.zero_fret_above",
    "nut_blank.board_width",
    "nut_blank.fall",
    "nut_blank.fret_height",
    "nut_blank.headstock",
    "nut_blank.height",
    "nut_blank.length",
    "nut_blank.margin",
    "nut_blank.margin.centre",
    "nut_blank.margin_to",
    "nut_blank.plain_allowance",
    "nut_blank.post_across",
    "nut_blank.post_back",
    "nut_blank.post_below",
    "nut_blank.proud",
    "nut_blank.seat",
    "nut_blank.shows",
    "nut_blank.thickness",
    "nut_blank.thickness.shelf",
    "nut_blank.top",
    "nut_blank.wound_allowance",
    "present.action_12",
    "present.cents_12",
    "present.contact_from_fret_12",
    "present.exposure",
    "present.over_bridge",
    "present.saddle_back",
    "present.saddle_height",
    "slot.bridge_side",
    "slot.bridge_top",
    "slot.bridge_top.above",
    "slot.depth",
    "slot.edge_from_fret_12",
    "slot.lean",
    "slot.length",
    "slot.reference.back",
    "slot.reference.contact_from_fret_12",
    "slot.reference.height",
    "slot.under",
    "slot.under_tension.bridge_top",
    "slot.under_tension.lean",
    "slot.width",
    "string.core",
    "string.core_shape",
    "string.gauge",
    "string.linear_density",
    "string.stretch_response",
    "strings.nut_pair",
    "strings.nut_spacing",
    "strings.nut_spread",
    "strings.press",
    "strings.saddle_pair",
    "strings.saddle_spacing",
    "strings.saddle_spread",
    "target.action_12",
    "target.offsets",
];

/// Where a reading looks different on another instrument: the question, the variant, and the answers that choose it.
const VARIANTS: &[(&str, &str, When)] = &[
    ("blank.bass_end", "drop-in", When::Is("blank.kind", "drop-in")),
    ("blank.length", "drop-in", When::Is("blank.kind", "drop-in")),
    ("bridge.above_bridge_top", "tie-block", TIE_BLOCK),
    ("bridge.behind_slot", "tie-block", TIE_BLOCK),
    ("nut.first_fret_clearance", "zero-fret", ZERO_FRET),
    ("nut.held_at_3", "zero-fret", ZERO_FRET),
    ("nut_blank.margin", "centre", When::Is("nut_blank.margin_to", "centre")),
    ("nut_blank.thickness", "shelf", When::Is("nut_blank.front", "shelf")),
    ("slot.bridge_top", "above", When::Is("slot.bridge_side", "above")),
];

const TIE_BLOCK: When = When::Is("bridge.string_exit", "tie block");
const ZERO_FRET: When = When::Is("ask.nut", "zero fret");

/// The drawing for a question, on the instrument that the answers so far tell of; `None` where there is nothing to see.
#[must_use]
pub fn how(question: &Question, interview: &Interview) -> Option<String> {
    let variant = VARIANTS
        .iter()
        .find(|(key, _, when)| *key == question.key && interview.holds(*when, ValueAt::Whole));
    let own = question.key.replace(':', ".");
    let name = variant.map_or_else(|| own.clone(), |(_, variant, _)| format!("{own}.{variant}"));
    file(&name).and_then(inline)
}

/// The text of a drawing's file.
fn file(name: &str) -> Option<&'static str> {
    DRAWINGS.iter().find(|(of, _)| *of == name).map(|(_, svg)| *svg)
}

/// A drawing to stand in a page: its title is its label, and what only the file alone needs is left out.
fn inline(svg: &str) -> Option<String> {
    let label = title(svg)?;
    let (_, shapes) = svg.split_once("</style>")?;
    let mut out = format!(
        "<svg class=\"how-picture\" viewBox=\"{VIEW}\" role=\"img\" aria-label=\"{label}\" xmlns=\"http://www.w3.org/2000/svg\">"
    );
    // Two drawings on one page have groups of the same name.
    let mut parts = shapes.split(" id=\"");
    out.push_str(parts.next()?.trim_start());
    for part in parts {
        out.push_str(part.split_once('"')?.1);
    }
    Some(out)
}

/// The part of the plane that every drawing shows, user units.
const VIEW: &str = "0 0 240 120";

/// What a drawing says that it shows, as it stands in its file.
fn title(svg: &str) -> Option<&str> {
    let (_, rest) = svg.split_once("<title>")?;
    rest.split_once("</title>").map(|(title, _)| title)
}

#[cfg(test)]
mod tests;
