//! The blank and its crown.

use crate::Heading::{Blank, Crown};
use crate::question::{Choice, Kind, List, Question, SADDLE_MADE, Start};

pub(super) const ROWS: &[Question] = &[
    Question::new(
        "blank.kind",
        Blank,
        Kind::Choice(&[
            Choice {
                value: "through",
                meaning: "the slot is open at both ends",
            },
            Choice {
                value: "drop-in",
                meaning: "the slot is closed at both ends",
            },
        ]),
        "Kind of saddle",
        "Look at the ends of the slot.",
    )
    .when(SADDLE_MADE),
    Question::new(
        "blank.material",
        Blank,
        Kind::Name(List::Blanks),
        "Material",
        "Dust harms lungs: extract it and wear a mask rated for fine dust.",
    )
    .when(SADDLE_MADE),
    Question::new(
        "blank.thickness",
        Blank,
        Kind::Length,
        "Thickness",
        "Caliper, front face to back, as it fits the slot. To 0.02 mm.",
    )
    .when(SADDLE_MADE)
    .start(Start::Copy("slot.width"))
    .help("The thickness when it is fitted. Measure every blank; the packet is only a hint."),
    Question::new(
        "blank.height",
        Blank,
        Kind::Length,
        "Height of the raw blank",
        "Caliper, bottom edge to top. To 0.1 mm.",
    )
    .when(SADDLE_MADE),
    Question::new(
        "blank.length",
        Blank,
        Kind::Length,
        "Length",
        "Caliper, end to end. To 0.1 mm.",
    )
    .when(SADDLE_MADE)
    .start(Start::Copy("slot.length")),
    Question::new(
        "blank.bass_end",
        Blank,
        Kind::Length,
        "Bass end to the bass string",
        "Along the blank. Skip it to centre the strings on the blank.",
    )
    .when(SADDLE_MADE)
    .optional(),
    Question::new(
        "blank.land",
        Blank,
        Kind::Length,
        "Land",
        "Least material to leave between the ridge and a face.",
    )
    .when(SADDLE_MADE)
    .start(Start::Text("0.5 mm")),
    Question::new(
        "crown.ridge",
        Crown,
        Kind::Choice(&[
            Choice {
                value: "smooth",
                meaning: "one flowing line through all contacts",
            },
            Choice {
                value: "stepped",
                meaning: "square under each string, a ramp between",
            },
        ]),
        "Ridge",
        "The line on which the strings bear.",
    )
    .when(SADDLE_MADE)
    .start(Start::Text("smooth")),
    Question::new(
        "crown.rounding",
        Crown,
        Kind::Length,
        "Rounding of the ridge",
        "The radius you file it to.",
    )
    .when(SADDLE_MADE)
    .start(Start::Text("0.5 mm")),
    Question::new(
        "crown.front_fall",
        Crown,
        Kind::Angle,
        "Fall in front of the ridge",
        "Downward toward the front face. Skip it to let the plan choose.",
    )
    .when(SADDLE_MADE)
    .optional(),
    Question::new(
        "crown.back_fall",
        Crown,
        Kind::Angle,
        "Fall behind the ridge",
        "Downward toward the back face. Skip it to let the plan choose.",
    )
    .when(SADDLE_MADE)
    .optional(),
];
