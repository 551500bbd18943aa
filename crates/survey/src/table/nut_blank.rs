//! The nut to make: where it stands, and what it is made of.

use crate::Heading::NutBlank;
use crate::question::{Choice, Kind, List, NUT_MADE, Question, Spread, Start, When};

const fn row(key: &'static str, kind: Kind, title: &'static str, how: &'static str) -> Question {
    Question::new(key, NutBlank, kind, title, how).when(NUT_MADE)
}

const MARGIN: When = When::Is("ask.nut_places", "margin");
const POSTS: When = When::Is("ask.posts", "yes");

/// What is read with the strings on, or wanted.
pub(super) const STRINGS_ON: &[Question] = &[
    row(
        "nut_blank.board_width",
        Kind::Length,
        "Width of the board at the nut",
        "Caliper across the board just in front of the nut. To 0.1 mm.",
    )
    .help("The finished nut is as long as the board is wide there."),
    row(
        "nut_blank.margin",
        Kind::Length,
        "Edge of the board to the outer string",
        "As you want it, to the centre or the side of the string; that comes next.",
    )
    .spread(Spread::Ends)
    .start(Start::Same)
    .when(MARGIN)
    .help("About 3 mm on a guitar and 1.6 mm on a mandolin, to the side of the string (published). Less slips off the frets."),
    row(
        "nut_blank.margin_to",
        Kind::Choice(&[
            Choice {
                value: "side",
                meaning: "edge of the board to the side of the string",
            },
            Choice {
                value: "centre",
                meaning: "edge of the board to the middle of the string",
            },
        ]),
        "That margin goes to",
        "To the side both outer strings look alike, although one is thicker.",
    )
    .start(Start::Text("side"))
    .when(MARGIN),
    row(
        "nut_blank.headstock",
        Kind::Angle,
        "Angle of the headstock",
        "Bevel gauge: how far it falls back from the line of the frets; 0 for level.",
    )
    .start(Start::Text("0 deg")),
    row(
        "ask.posts",
        Kind::YesNo,
        "Have you read the posts",
        "Where each string leaves its post. The slots are then fanned toward them.",
    )
    .start(Start::Text("no")),
    row(
        "nut_blank.post_back",
        Kind::Length,
        "Nut back to the post",
        "Rule along the middle of the headstock, nut's front to the post. To 1 mm.",
    )
    .spread(Spread::Strings)
    .when(POSTS)
    .help("Give one for each string, bass to treble, with `;` between: `54 mm; 92 mm; 130 mm; 130 mm; 92 mm; 54 mm`."),
    row(
        "nut_blank.post_across",
        Kind::Length,
        "Centre line across to the post",
        "Rule, to where the string leaves it; the bass side is -. To 0.5 mm.",
    )
    .spread(Spread::Strings)
    .when(POSTS)
    .help("One for each string, bass to treble, with `;` between. Bass side negative, treble side positive."),
    row(
        "nut_blank.post_below",
        Kind::Length,
        "Post below the frets",
        "Straightedge on the frets, out over the headstock; down to the string there.",
    )
    .spread(Spread::Strings)
    .when(POSTS)
    .optional()
    .help("Skip it, and the angle of the headstock gives the bend."),
];

/// The rest.
pub(super) const ROWS: &[Question] = &[
    row(
        "nut_blank.fret_height",
        Kind::Length,
        "Height of a fret over the board",
        "Straightedge on frets 1 and 2, feelers under it down to the board. 0.02 mm.",
    )
    .strings_off()
    .help("The slots are gauged over the board in front of the nut, so the height of a fret there goes into every one."),
    row(
        "nut_blank.seat",
        Kind::Length,
        "Board down to the nut's seat",
        "Nut out: depth rod on the centre line, board to seat. To 0.05 mm.",
    )
    .strings_off()
    .help(
        "Score the finish around the old nut, tap it loose from the fret side over a block of wood, and clean the seat down to the \
         wood first. Measure from the surface of the board, not from a fret.",
    ),
    row(
        "nut_blank.fall",
        Kind::Angle,
        "Fall of the slots toward the tuners",
        "Skip it, and the slots fall by half of the bend over the nut.",
    )
    .optional(),
    row(
        "nut_blank.material",
        Kind::Name(List::Blanks),
        "Material of the nut",
        "It decides which caution on dust the sheets carry.",
    )
    .start(Start::Text("bone")),
    row(
        "nut_blank.thickness",
        Kind::Length,
        "Thickness of the nut's blank",
        "Caliper, front to back; with a shelf over the board this counts the shelf.",
    ),
    row(
        "nut_blank.height",
        Kind::Length,
        "Height of the nut's blank",
        "Caliper, bottom to raw top.",
    ),
    row(
        "nut_blank.length",
        Kind::Length,
        "Length of the nut's blank",
        "Caliper, end to end. Skip it if it is as long as the board is wide.",
    )
    .optional(),
    row(
        "nut_blank.shows",
        Kind::Number,
        "Share of each string above the top",
        "0.5 leaves half of each string showing (common practice, no source).",
    )
    .start(Start::Text("0.5")),
    row(
        "ask.top",
        Kind::Choice(&[
            Choice {
                value: "follow",
                meaning: "a smooth line on which every string shows alike",
            },
            Choice {
                value: "arc",
                meaning: "an arc of a radius that you give",
            },
        ]),
        "Top of the nut",
        "How the top runs across the strings.",
    )
    .start(Start::Text("follow")),
    row(
        "nut_blank.top",
        Kind::Length,
        "Radius of the top",
        "Radius of the arc across the strings, such as that of the board.",
    )
    .when(When::Is("ask.top", "arc")),
    row(
        "nut_blank.plain_allowance",
        Kind::Length,
        "Slot wider than a plain string by",
        "Too tight and it pings, too wide and it buzzes.",
    )
    .start(Start::Text("0.05 mm")),
    row(
        "nut_blank.wound_allowance",
        Kind::Length,
        "Slot wider than a wound string by",
        "A touch more, so that the winding passes.",
    )
    .start(Start::Text("0.08 mm")),
    row(
        "nut_blank.proud",
        Kind::Length,
        "Depth left to the final stroke",
        "The string beds in, so the last stroke waits until it has been at pitch.",
    )
    .start(Start::Text("0.05 mm")),
    row(
        "nut_blank.front",
        Kind::Choice(&[
            Choice {
                value: "shelf",
                meaning: "each string has an edge of its own",
            },
            Choice {
                value: "straight",
                meaning: "one shift of the whole front face",
            },
        ]),
        "Nut setbacks made as",
        "A shelf reaches over the board and can be taken off; a shift moves the face.",
    )
    .start(Start::Text("shelf"))
    .when(When::All(&[
        NUT_MADE,
        When::Any(&[
            When::Is("target.intonation", "best-fit-with-nut"),
            When::Is("ask.setbacks", "yes"),
        ]),
    ])),
];
