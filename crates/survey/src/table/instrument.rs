//! The job, its units, the neck.

use crate::Heading::Instrument;
use crate::question::{Choice, Kind, Question, Start, When};

const fn row(key: &'static str, kind: Kind, title: &'static str, how: &'static str) -> Question {
    Question::new(key, Instrument, kind, title, how)
}

pub(super) const ROWS: &[Question] = &[
    row(
        "title",
        Kind::Text,
        "Name of the job",
        "A few words for the sheets: the instrument and the part.",
    ),
    row(
        "notes",
        Kind::Text,
        "Notes",
        "Anything to remember, such as season, humidity, how hard it is played.",
    )
    .optional(),
    row(
        "ask.part",
        Kind::Choice(&[
            Choice {
                value: "saddle",
                meaning: "a saddle; the nut stays, or is cut to a gap you name",
            },
            Choice {
                value: "nut",
                meaning: "a nut alone; the saddle is good and stays",
            },
            Choice {
                value: "both",
                meaning: "saddle and nut, solved together",
            },
        ]),
        "Part to make",
        "What you will make. It decides which readings are needed.",
    )
    .start(Start::Text("saddle"))
    .help(
        "Nut and saddle are the two ends of one line, so a new nut changes the action at fret 12 by about half of itself. \
         For a nut alone nothing is read in the slot; the plan then says what the nut does to the action.",
    ),
    row(
        "unit",
        Kind::Choice(&[
            Choice {
                value: "mm",
                meaning: "",
            },
            Choice {
                value: "in",
                meaning: "",
            },
            Choice {
                value: "thou",
                meaning: "thousandths of an inch",
            },
        ]),
        "Unit of numbers without one",
        "Any length may carry its own unit. This one is for bare numbers.",
    )
    .help(
        "You may mix units as your tools do: `25 3/8 in`, `5/64 in`, `0.010 in`, `10 thou`, `3.2 mm`. \
         A number without a unit takes the one chosen here.",
    ),
    row(
        "bench",
        Kind::Choice(&[
            Choice {
                value: "thou",
                meaning: "thousandths of an inch",
            },
            Choice {
                value: "64ths",
                meaning: "64ths of an inch",
            },
            Choice {
                value: "mm",
                meaning: "",
            },
        ]),
        "Unit shown first",
        "Tables and sheets show this unit first and another beside it.",
    )
    .start(Start::Bench),
    row(
        "left_handed",
        Kind::YesNo,
        "Left-handed instrument",
        "Sheets are mirrored for it. Bass and treble keep their names.",
    )
    .start(Start::Text("no")),
    row(
        "paper",
        Kind::Choice(&[
            Choice {
                value: "A4",
                meaning: "",
            },
            Choice {
                value: "Letter",
                meaning: "",
            },
        ]),
        "Paper",
        "The sheets are drawn at true size for this paper.",
    )
    .start(Start::Text("A4")),
    row(
        "ask.scale",
        Kind::Choice(&[
            Choice {
                value: "nut to 12",
                meaning: "you measure from the nut to fret 12; it is doubled",
            },
            Choice {
                value: "scale",
                meaning: "you know the length the frets were laid out for",
            },
        ]),
        "Scale length known by",
        "Measuring nut to fret 12 is the surer way.",
    )
    .start(Start::Text("nut to 12")),
    row(
        "instrument.nut_to_12",
        Kind::Length,
        "Nut to fret 12",
        "Steel rule: front of the nut to the middle of fret 12's crown. To 0.3 mm.",
    )
    .when(When::Is("ask.scale", "nut to 12"))
    .help(
        "Lay the rule along the centre of the board. 0.3 mm here is 0.6 mm of scale. If the nut was moved forward on \
         purpose, measure from where fret 0 would be and give the shift later as the nut's setback.",
    ),
    row(
        "instrument.scale",
        Kind::Length,
        "Scale length",
        "The length the frets were laid out for, not nut to saddle. To 0.5 mm.",
    )
    .when(When::Is("ask.scale", "scale"))
    .help("It is twice nut to fret 12. Nut to saddle is longer, because saddles are set back."),
    row(
        "instrument.joint_fret",
        Kind::Whole(1, 36),
        "Fret at the body joint",
        "Count to the fret that stands where neck meets body. Often 12 or 14.",
    ),
    row(
        "ask.board",
        Kind::Choice(&[
            Choice {
                value: "flat",
                meaning: "as on most nylon-string guitars",
            },
            Choice {
                value: "one radius",
                meaning: "the same all along",
            },
            Choice {
                value: "two radii",
                meaning: "flatter toward the body",
            },
        ]),
        "Fingerboard",
        "Radius gauges on the fret crowns between the strings, at the nut and at 12.",
    ),
    row(
        "instrument.board_radius",
        Kind::Length,
        "Board radius",
        "The radius gauge that rocks least on the fret crowns. To the nearest gauge.",
    )
    .when(When::Is("ask.board", "one radius")),
    row(
        "instrument.board_radius:nut",
        Kind::Length,
        "Board radius at the nut",
        "Radius gauge on fret 1's crown: the one that rocks least.",
    )
    .when(When::Is("ask.board", "two radii")),
    row(
        "instrument.board_radius:fret_12",
        Kind::Length,
        "Board radius at fret 12",
        "Radius gauge on fret 12's crown: the one that rocks least.",
    )
    .when(When::Is("ask.board", "two radii")),
    row(
        "instrument.relief:gap",
        Kind::Length,
        "Relief",
        "A string held at fret 1 and the joint fret, feeler in the gap. To 1 thou.",
    )
    .help(
        "At pitch. Hold a string down at fret 1 and at the body-joint fret: it is your straightedge. Put feelers \
         between its underside and the fret where the gap is widest. A back-bow is negative: measure it over the hump, \
         with a straightedge shimmed level.",
    ),
    row(
        "instrument.relief:fret",
        Kind::Whole(2, 35),
        "Fret where relief was read",
        "The fret under the feeler. Skip it if you read midway from 1 to the joint.",
    )
    .optional(),
];
