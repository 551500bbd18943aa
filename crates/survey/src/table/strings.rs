//! The strings: what they are and where they lie.

use crate::Heading::Strings;
use crate::lists::SPELLED_OUT;
use crate::question::{Choice, Kind, List, NUT_MADE, Question, Spread, Start, When};

const fn row(key: &'static str, kind: Kind, title: &'static str, how: &'static str) -> Question {
    Question::new(key, Strings, kind, title, how)
}

const fn each(key: &'static str, kind: Kind, title: &'static str, how: &'static str) -> Question {
    row(key, kind, title, how).spread(Spread::EachString)
}

const PLAIN_BUILT: When = When::All(&[When::Is("string.kind", "plain"), BUILT_STRING]);
const WOUND_BUILT: When = When::All(&[When::Is("string.kind", "wound"), BUILT_STRING]);
const BUILT_STRING: When = When::Is("ask.string.data", "build");
const MEASURED_STRING: When = When::Is("ask.string.data", "measured");

const SPACING: Kind = Kind::Choice(&[
    Choice {
        value: "equal gaps",
        meaning: "the same clear space between neighbours",
    },
    Choice {
        value: "equal centres",
        meaning: "the same distance from centre to centre",
    },
]);

pub(super) const ROWS: &[Question] = &[
    row(
        "strings.set",
        Kind::Name(List::Sets),
        "String set",
        "The set that will be on the instrument: gauge tells the sets apart.",
    )
    .help(
        "If none is close, answer `spelled out` and give each string. You can also take the nearest set and change \
         single strings in the job file afterwards, by a [[string]] table.",
    ),
    row(
        "ask.count",
        Kind::Whole(1, 12),
        "How many strings",
        "Count every string, so a pair counts as two. 1 to 12.",
    )
    .when(When::Is("strings.set", SPELLED_OUT)),
    each(
        "string.note",
        Kind::Note,
        "Open note",
        "With its octave, such as E2, F#3 or Bb3. The tuning fork is A4.",
    ),
    each(
        "string.gauge",
        Kind::Length,
        "Gauge",
        "Micrometer across the string, or the packet. To 0.0005 in (0.01 mm).",
    ),
    each(
        "string.kind",
        Kind::Choice(&[
            Choice {
                value: "plain",
                meaning: "",
            },
            Choice {
                value: "wound",
                meaning: "",
            },
        ]),
        "Plain or wound",
        "Look at the string.",
    ),
    each(
        "ask.string.data",
        Kind::Choice(&[
            Choice {
                value: "build",
                meaning: "from what it is made of",
            },
            Choice {
                value: "measured",
                meaning: "you know its weight per length and stretch response",
            },
        ]),
        "How its stiffness is known",
        "Choose measured for strings with a nylon or silk core.",
    )
    .start(Start::Text("build")),
    each(
        "string.material",
        Kind::Name(List::StringMaterials),
        "Material",
        "From the packet; a magnet holds steel.",
    )
    .when(PLAIN_BUILT),
    each(
        "string.core",
        Kind::Length,
        "Core",
        "Micrometer on the bare end; a hexagonal core across its flats. To 0.0005 in.",
    )
    .when(WOUND_BUILT)
    .help("Unwind a little of an old string of the same set, by the ball or the cut end, and measure the core."),
    each(
        "string.core_shape",
        Kind::Choice(&[
            Choice {
                value: "round",
                meaning: "",
            },
            Choice {
                value: "hexagonal",
                meaning: "",
            },
        ]),
        "Shape of the core",
        "Turn the bare core in the light: flats flash.",
    )
    .start(Start::Text("round"))
    .when(WOUND_BUILT),
    each(
        "string.core_material",
        Kind::Name(List::StringMaterials),
        "Material of the core",
        "From the packet; a magnet holds steel.",
    )
    .when(WOUND_BUILT),
    each(
        "string.wrap",
        Kind::Name(List::WrapMetals),
        "Wrap metal",
        "From the packet.",
    )
    .when(WOUND_BUILT),
    each(
        "string.linear_density",
        Kind::Number,
        "Weight per length, g/m",
        "Weigh a measured length: grams divided by metres. To 1 in 100.",
    )
    .when(MEASURED_STRING),
    each(
        "string.stretch_response",
        Kind::Number,
        "Stretch response",
        "Part of pitch gained over part of length gained; no unit. To 1 in 20.",
    )
    .when(MEASURED_STRING)
    .help(
        "Stretch the string by a known small part of its length at the tuner and read the rise in pitch: the rise as a \
         part of the frequency, divided by the stretch as a part of the length. From 22 to 29 in \
         a published nylon set (J. Acoust. Soc. Am. 156, 683, 2024).",
    ),
    row(
        "strings.tuning",
        Kind::Notes,
        "Tuning, bass to treble",
        "Such as D2 A2 D3 G3 B3 E4. Skip it to take the set's own tuning.",
    )
    .when(When::SetChosen)
    .optional(),
    row(
        "strings.a4",
        Kind::Number,
        "A4 in Hz",
        "The pitch of the tuning fork or tuner.",
    )
    .start(Start::Text("440")),
    row(
        "strings.courses",
        Kind::Courses,
        "Courses",
        "single, pairs, or strings in each course bass to treble, such as 1 2 2 1.",
    )
    .start(Start::Text("single"))
    .when(When::All(&[When::Is("strings.set", SPELLED_OUT), When::ManyStrings])),
    row(
        "ask.nut_places",
        Kind::Choice(&[
            Choice {
                value: "margin",
                meaning: "from the edges of the board to the outer strings",
            },
            Choice {
                value: "spread",
                meaning: "centre to centre of the outer strings, set in the middle",
            },
        ]),
        "Outer strings at the new nut placed by",
        "By margin you choose each edge; the margins are asked with the nut's blank.",
    )
    .start(Start::Text("margin"))
    .when(When::All(&[When::ManyStrings, NUT_MADE])),
    row(
        "strings.nut_spread",
        Kind::Length,
        "String spread at the nut",
        "Rule, centre to centre of the outer strings, just before the nut. To 0.3 mm.",
    )
    .when(When::All(&[
        When::ManyStrings,
        When::Any(&[When::Is("ask.part", "saddle"), When::Is("ask.nut_places", "spread")]),
    ])),
    row(
        "strings.nut_spacing",
        SPACING,
        "Spacing at the nut",
        "Compare the gaps beside the thick strings with the thin ones.",
    )
    .start(Start::Text("equal gaps"))
    .when(When::ManyStrings),
    row(
        "strings.nut_pair",
        Kind::Length,
        "Pair spacing at the nut",
        "Centre to centre of the two strings of a pair, at the nut. To 0.2 mm.",
    )
    .when(When::Pairs),
    row(
        "strings.saddle_spread",
        Kind::Length,
        "String spread at the saddle",
        "Rule, centre to centre of the outer strings, over the saddle. To 0.3 mm.",
    )
    .when(When::ManyStrings),
    row(
        "strings.saddle_spacing",
        SPACING,
        "Spacing at the saddle",
        "Holes at even centres give equal centres.",
    )
    .start(Start::Text("equal centres"))
    .when(When::ManyStrings),
    row(
        "strings.saddle_pair",
        Kind::Length,
        "Pair spacing at the saddle",
        "Centre to centre of the two strings of a pair, at the saddle. To 0.2 mm.",
    )
    .when(When::Pairs),
    row(
        "strings.press",
        Kind::Length,
        "Finger behind the fret",
        "How far behind the crown the player presses. 0 leaves it out.",
    )
    .start(Start::Text("0 mm")),
];
