//! The nut, the instrument as it stands, and what is wanted.

use crate::Heading::{Nut, Present, Target};
use crate::question::{Choice, Kind, NUT_MADE, Question, SADDLE_MADE, SADDLE_STAYS, Spread, Start, When};

const CENTS: When = When::Is("ask.cents", "yes");
const REFERENCE: When = When::Is("slot.read_by", "reference saddle");
/// A new nut shall give a gap of its own.
const NEW: When = When::Any(&[When::Is("ask.nut", "new"), NUT_MADE]);
const NEW_HELD: When = When::Is("ask.new_nut_reading", "held at 3");

/// Whether the present nut has to be read: a nut that stays, and one on which something else is read.
const NUT_NEEDED: When = When::Any(&[When::Is("ask.nut", "kept"), CENTS, REFERENCE, SADDLE_STAYS]);
const OPEN: When = When::Is("ask.nut_reading", "open");

/// The two ways to read a nut, or to say what it shall give.
const READ_BY: Kind = Kind::Choice(&[
    Choice {
        value: "open",
        meaning: "gap over fret 1, string open",
    },
    Choice {
        value: "held at 3",
        meaning: "gap over fret 1, string held down at fret 3",
    },
]);

pub(super) const ROWS: &[Question] = &[
    Question::new(
        "present.action_12",
        Present,
        Kind::Length,
        "Action at fret 12 now",
        "Rule on edge on fret 12, to the underside of the open string. To half a 64th.",
    )
    .spread(Spread::Strings)
    .required(When::Any(&[OPEN, CENTS, REFERENCE, SADDLE_STAYS]))
    .help(
        "Use a rule whose scale starts at its very end, and look level with the string. The saddle has to change by \
         about twice what you read here, so an error here counts double.",
    ),
    Question::new(
        "ask.nut",
        Nut,
        Kind::Choice(&[
            Choice {
                value: "kept",
                meaning: "the nut stays as it is",
            },
            Choice {
                value: "new",
                meaning: "you will make or recut the nut too",
            },
        ]),
        "Nut",
        "A change at the nut changes the action at fret 12 by about half of itself.",
    )
    .start(Start::Text("kept"))
    .when(When::Is("ask.part", "saddle")),
    Question::new(
        "ask.nut_reading",
        Nut,
        READ_BY,
        "How you read the nut that is there",
        "Either will do. Open needs the present action at fret 12 as well.",
    )
    .start(Start::Text("open"))
    .when(NUT_NEEDED),
    Question::new(
        "nut.first_fret_clearance",
        Nut,
        Kind::Length,
        "First-fret clearance now",
        "String open: feelers between fret 1 and the underside. To 1 thou (0.025 mm).",
    )
    .spread(Spread::Strings)
    .when(OPEN)
    .help("Slide feelers in until the next one lifts the string. Do not press the string behind or before."),
    Question::new(
        "nut.held_at_3",
        Nut,
        Kind::Length,
        "Gap over fret 1, string held at 3",
        "Hold it down at fret 3, feelers over fret 1. To 1 thou (0.025 mm).",
    )
    .spread(Spread::Strings)
    .when(When::Is("ask.nut_reading", "held at 3"))
    .help("Hold the string firmly on the crown of fret 3, and feel for the thickest leaf that passes over fret 1."),
    Question::new(
        "ask.new_nut_reading",
        Nut,
        READ_BY,
        "How you say the height of the new slots",
        "Either will do. Open is with the action at fret 12 as it will then be.",
    )
    .start(Start::Text("open"))
    .when(NEW),
    Question::new(
        "nut.new_clearance",
        Nut,
        Kind::Length,
        "First-fret clearance wanted",
        "Open gap over fret 1 with the new nut and the action as it will then be.",
    )
    .spread(Spread::Strings)
    .when(When::Is("ask.new_nut_reading", "open")),
    Question::new(
        "nut.new_held_at_3",
        Nut,
        Kind::Length,
        "Gap wanted over fret 1, string held at 3",
        "What the new nut shall leave over fret 1 with the string held at fret 3.",
    )
    .spread(Spread::Strings)
    .when(NEW_HELD),
    Question::new(
        "nut.setback",
        Nut,
        Kind::Length,
        "Nut contact behind fret 0",
        "0 on most. A nut moved toward the bridge is negative. Caliper, to 0.1 mm.",
    )
    .spread(Spread::Strings)
    .start(Start::TextSame("0 mm"))
    .help("Fret 0 is where the scale starts. A nut set forward, as -0.5 mm, shortens the way to fret 1."),
    Question::new(
        "ask.cents",
        Present,
        Kind::YesNo,
        "Have you read cents at fret 12",
        "They tell how stiff your strings really are. Needs the place of the contacts.",
    )
    .start(Start::Text("no"))
    .when(When::Given("present.action_12")),
    Question::new(
        "present.cents_12",
        Present,
        Kind::Cents,
        "Cents at fret 12, bass to treble",
        "Tuner: fretted at 12 against the harmonic, sharp is +. Such as 3 2 - 1 4 1.",
    )
    .when(CENTS)
    .help(
        "Tune the open string, sound the harmonic at 12, then fret at 12 with the pressure of the player. Write what \
         the fretted note is above (+) or below (-) the harmonic, one number a string with spaces between, and a \
         single `-` where you did not read. Read each twice.",
    ),
    Question::new(
        "present.contact_from_fret_12",
        Present,
        Kind::Length,
        "Fret 12 to the contact now",
        "Steel rule along the string: fret 12's crown to where it bears. To 0.3 mm.",
    )
    .spread(Spread::Strings)
    .when(When::Any(&[CENTS, SADDLE_STAYS]))
    .help("The string bears on the saddle where it starts to bend down. Slip paper under it to find the place."),
    Question::new(
        "target.action_12",
        Target,
        Kind::Length,
        "Action wanted at fret 12",
        "Gap from fret 12's crown to the underside of the open string.",
    )
    .spread(Spread::Strings)
    .when(SADDLE_MADE)
    .help(
        "Common practice, no source: steel strings about 2.4 mm bass and 1.6 to 2 mm treble, nylon about 4 mm and \
         3 mm. A hard player wants more.",
    ),
    Question::new(
        "target.intonation",
        Target,
        Kind::Choice(&[
            Choice {
                value: "octave",
                meaning: "fret 12 in tune with the open string",
            },
            Choice {
                value: "best-fit",
                meaning: "least error over frets 1 to 12, saddle alone",
            },
            Choice {
                value: "best-fit-with-nut",
                meaning: "least error over frets 1 to 12, nut moved too",
            },
            Choice {
                value: "offsets",
                meaning: "you give each string's setback yourself",
            },
        ]),
        "Intonation",
        "What decides how far back each string's contact goes.",
    )
    .start(Start::Text("octave"))
    .when(SADDLE_MADE),
    Question::new(
        "ask.setbacks",
        Target,
        Kind::YesNo,
        "Nut setbacks for intonation",
        "Each string's edge moved a little for the least error over frets 1 to 12.",
    )
    .start(Start::Text("no"))
    .when(SADDLE_STAYS)
    .help(
        "The saddle holds, so only the nut can do something for the intonation. The plan shows what it would be worth.",
    ),
    Question::new(
        "target.offsets",
        Target,
        Kind::Length,
        "Setback at the saddle",
        "How far behind the scale length the contact goes; negative is toward the nut.",
    )
    .spread(Spread::Strings)
    .when(When::Is("target.intonation", "offsets")),
];
