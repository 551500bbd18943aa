//! The slot and the bridge: at pitch first, then with the strings off.

use crate::Heading::Slot;
use crate::question::{Choice, Kind, Question, SADDLE_MADE, Spread, Start, When};

const fn row(key: &'static str, kind: Kind, title: &'static str, how: &'static str) -> Question {
    Question::new(key, Slot, kind, title, how)
}

const STRAIGHTEDGE: When = When::Is("slot.read_by", "straightedge");
const REFERENCE: When = When::Is("slot.read_by", "reference saddle");
const SLACK: When = When::Is("slot.taken", "slack");
const EXIT: When = When::Given("bridge.string_exit");

pub(super) const ROWS: &[Question] = &[
    row(
        "slot.read_by",
        Kind::Choice(&[
            Choice {
                value: "straightedge",
                meaning: "laid on the frets, reaching over the bridge",
            },
            Choice {
                value: "reference saddle",
                meaning: "the old saddle or a dummy, strung up, then calipered",
            },
        ]),
        "Slot read by",
        "The reference saddle needs no straightedge, but the action now and the nut.",
    )
    .when(SADDLE_MADE)
    .start(Start::Text("straightedge")),
    row(
        "slot.taken",
        Kind::Choice(&[
            Choice {
                value: "at pitch",
                meaning: "strings on, the old saddle in place",
            },
            Choice {
                value: "slack",
                meaning: "strings off; you also say what tension changes",
            },
        ]),
        "Slot readings taken",
        "String tension tips the bridge and lifts the top. At pitch is better.",
    )
    .when(SADDLE_MADE)
    .start(Start::Text("at pitch")),
    row(
        "slot.edge_from_fret_12",
        Kind::Length,
        "Fret 12 to the slot's front edge",
        "Steel rule along the outer string's run, fret 12's crown to the edge. 0.3 mm.",
    )
    .spread(Spread::Ends)
    .when(STRAIGHTEDGE)
    .help(
        "The front edge is the one toward the nut, where the slot's front wall meets the bridge top. Measure under \
         the bass string, then under the treble string.",
    ),
    row(
        "slot.bridge_top",
        Kind::Length,
        "Bridge top above the straightedge",
        "Straightedge under the string on frets 1 and joint; below it is -. 0.1 mm.",
    )
    .spread(Spread::Ends)
    .when(STRAIGHTEDGE)
    .help(
        "Lay a true straightedge along the run of each outer string, touching the crowns of fret 1 and the body-joint \
         fret, and reach over the bridge. Read at the slot's front edge. If the straightedge passes above the bridge \
         top, the reading is negative; if the bridge top stands higher than its line, it is positive.",
    ),
    row(
        "slot.reference.contact_from_fret_12",
        Kind::Length,
        "Fret 12 to the contact of that saddle",
        "Steel rule along the string: fret 12's crown to where it bears. To 0.3 mm.",
    )
    .spread(Spread::Ends)
    .start(Start::Copy("present.contact_from_fret_12"))
    .when(REFERENCE),
    row(
        "slot.lean",
        Kind::Angle,
        "Lean of the slot",
        "Bevel gauge on the front wall or saddle; top toward the nut is +. Half a deg.",
    )
    .when(SADDLE_MADE)
    .help(
        "The angle between the slot's front wall and a square to the fret plane, looked at end-on. Degrees such as \
         `9 deg`, or rise over run such as `0.5 mm over 3.2 mm`. A slot that leans back is negative. An upright slot \
         is 0. Lean decides what filing the crown costs in height, so take it with care.",
    ),
    row(
        "slot.under_tension:bridge_top",
        Kind::Length,
        "Rise of the bridge top from slack to pitch",
        "Same reading at pitch less the one slack; up is +. To 0.1 mm.",
    )
    .spread(Spread::Ends)
    .when(When::All(&[SLACK, STRAIGHTEDGE])),
    row(
        "slot.under_tension:lean",
        Kind::Angle,
        "Change of lean from slack to pitch",
        "Lean at pitch less lean slack; further forward is +. To half a degree.",
    )
    .when(SLACK),
    row(
        "bridge.string_exit",
        Kind::Choice(&[
            Choice {
                value: "pin holes",
                meaning: "",
            },
            Choice {
                value: "tie block",
                meaning: "",
            },
        ]),
        "Where the strings leave the bridge",
        "Gives break angles and a check of the crown's back. Skip it if not read.",
    )
    .when(SADDLE_MADE)
    .optional(),
    row(
        "bridge.behind_slot",
        Kind::Length,
        "Slot's front edge back to the hole",
        "Rule or caliper along the outer string, to the front of the hole. 0.3 mm.",
    )
    .spread(Spread::Ends)
    .start(Start::Same)
    .when(EXIT),
    row(
        "bridge.above_bridge_top",
        Kind::Length,
        "Hole above the bridge top",
        "Where the string leaves it; 0 for a hole in the top, below is -.",
    )
    .spread(Spread::Ends)
    .start(Start::TextSame("0 mm"))
    .when(EXIT),
    row(
        "slot.depth",
        Kind::Length,
        "Depth of the slot",
        "Depth rod down the front wall, slot mouth to floor. To 0.05 mm.",
    )
    .when(SADDLE_MADE)
    .spread(Spread::Ends)
    .required(STRAIGHTEDGE)
    .strings_off()
    .help("Clean the floor first. Measure along the wall, under the place of each outer string."),
    row(
        "slot.width",
        Kind::Length,
        "Width of the slot",
        "Caliper jaws or feelers, both ends and middle; the narrowest. 0.02 mm.",
    )
    .when(SADDLE_MADE)
    .optional()
    .strings_off(),
    row(
        "slot.length",
        Kind::Length,
        "Length of the slot",
        "Caliper, end to end. To 0.1 mm. Skip it if the slot is open at the ends.",
    )
    .when(SADDLE_MADE)
    .optional()
    .strings_off(),
    row(
        "slot.reference.height",
        Kind::Length,
        "Height of that saddle at the contact",
        "Caliper, bottom edge to ridge under the outer string. To 0.02 mm.",
    )
    .spread(Spread::Ends)
    .when(REFERENCE)
    .strings_off(),
    row(
        "slot.reference.back",
        Kind::Length,
        "Contact back from its front face",
        "Caliper, front face to ridge under the outer string. To 0.05 mm.",
    )
    .spread(Spread::Ends)
    .start(Start::Same)
    .when(REFERENCE)
    .strings_off(),
    row(
        "slot.under",
        Kind::Length,
        "Anything under the new saddle",
        "Caliper on the shim or pickup that will lie under it; 0 for nothing.",
    )
    .when(SADDLE_MADE)
    .start(Start::Text("0 mm"))
    .strings_off(),
];
