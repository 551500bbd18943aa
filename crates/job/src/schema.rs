//! Every key of the job file, with what is expected there. Unknown keys are refused against these lists, and
//! `examples/FORMAT.md` must name them all.

/// The keys of one table: `(key, what is expected)`.
pub(crate) struct Keys {
    /// Name of the table for messages, such as `[slot]`.
    pub(crate) table: &'static str,
    /// Keys and what is expected of each.
    pub(crate) keys: &'static [(&'static str, &'static str)],
}

const LENGTH: &str = "a length such as \"3.2 mm\" or \"1/8 in\"";
const PER_STRING: &str =
    "one length for all strings, { bass = \"2.4 mm\", treble = \"1.9 mm\" }, or a list from bass to treble";
const END: &str = "one length, or { bass = \"5.5 mm\", treble = \"5.3 mm\" }";
const ANGLE: &str = "an angle such as \"9 deg\" or \"0.5 mm over 3.2 mm\"";

pub(crate) const TOP: Keys = Keys {
    table: "the top of the file",
    keys: &[
        ("format", "format = 1"),
        (
            "title",
            "a title in quotes, such as title = \"Parlour guitar: new saddle\"",
        ),
        ("notes", "text in quotes"),
        ("unit", "\"mm\", \"in\" or \"thou\""),
        ("bench", "\"thou\", \"64ths\" or \"mm\""),
        ("left_handed", "true or false"),
        ("paper", "\"A4\" or \"Letter\""),
        ("instrument", "a table [instrument]"),
        ("strings", "a table [strings]"),
        ("string", "tables [[string]]"),
        ("nut", "a table [nut]"),
        ("nut_blank", "a table [nut_blank]"),
        ("present", "a table [present]"),
        ("target", "a table [target]"),
        ("slot", "a table [slot]"),
        ("bridge", "a table [bridge]"),
        ("blank", "a table [blank]"),
        ("crown", "a table [crown]"),
        ("filing", "a table [filing]"),
        ("strung", "a table [strung]"),
        ("tolerance", "a table [tolerance]"),
        ("uncertainty", "a table [uncertainty]"),
        ("neck", "a table [neck]"),
        ("assess", "a table [assess]"),
        ("cut", "a table [cut]"),
        ("nut_cut", "a table [nut_cut]"),
    ],
};

pub(crate) const INSTRUMENT: Keys = Keys {
    table: "[instrument]",
    keys: &[
        ("scale", "the scale length, such as \"25 1/2 in\""),
        ("nut_to_12", "the length from nut to fret 12, such as \"325 mm\""),
        ("joint_fret", "the number of the fret at the body joint, such as 14"),
        (
            "relief",
            "the gap at mid-span such as \"0.2 mm\", or { gap = \"0.2 mm\", fret = 7 }",
        ),
        (
            "board_radius",
            "\"flat\", a length such as \"16 in\", or { nut = \"12 in\", fret_12 = \"16 in\" }",
        ),
    ],
};

pub(crate) const RELIEF: Keys = Keys {
    table: "relief",
    keys: &[
        ("gap", "the gap read, such as \"0.2 mm\""),
        ("fret", "the number of the fret where it was read"),
    ],
};

pub(crate) const RADIUS: Keys = Keys {
    table: "board_radius",
    keys: &[("nut", "the radius at the nut"), ("fret_12", "the radius at fret 12")],
};

pub(crate) const STRINGS: Keys = Keys {
    table: "[strings]",
    keys: &[
        ("set", "the name of a string set, such as \"light bronze 12-53\""),
        (
            "tuning",
            "note names from bass to treble, such as [\"E2\", \"A2\", \"D3\", \"G3\", \"B3\", \"E4\"]",
        ),
        ("a4", "the pitch of A4 in Hz, such as 440"),
        (
            "courses",
            "\"single\", \"pairs\", or a list such as [1, 2, 2, 1] from bass to treble",
        ),
        (
            "nut_spread",
            "centre to centre of the outer strings at the nut, such as \"36.5 mm\"",
        ),
        ("nut_spacing", "\"equal gaps\" or \"equal centres\""),
        (
            "nut_pair",
            "centre to centre within a pair at the nut, such as \"2.3 mm\"",
        ),
        (
            "saddle_spread",
            "centre to centre of the outer strings at the saddle, such as \"55 mm\"",
        ),
        ("saddle_spacing", "\"equal gaps\" or \"equal centres\""),
        (
            "saddle_pair",
            "centre to centre within a pair at the saddle, such as \"3 mm\"",
        ),
        ("press", "how far behind the fret the finger presses, such as \"0 mm\""),
    ],
};

pub(crate) const STRING: Keys = Keys {
    table: "[[string]]",
    keys: &[
        ("number", "the string's number; 1 is the treble-most"),
        ("note", "a note name such as \"E2\""),
        ("gauge", "the outer diameter, such as \"0.053 in\""),
        ("kind", "\"wound\" or \"plain\""),
        (
            "core",
            "the core's diameter, or its width across the flats, such as \"0.018 in\"",
        ),
        ("core_shape", "\"round\" or \"hexagonal\""),
        ("core_material", "the material of the core, such as \"steel\""),
        (
            "material",
            "the material of a plain string, such as \"steel\" or \"nylon\"",
        ),
        ("wrap", "the metal of the wrap, such as \"phosphor bronze\""),
        ("linear_density", "grams per metre, such as 10.04"),
        ("stretch_response", "the measured stretch response R, such as 23.6"),
        ("stretch_factor", "a factor on the stretch stiffness, such as 1.12"),
    ],
};

pub(crate) const NUT: Keys = Keys {
    table: "[nut]",
    keys: &[
        ("first_fret_clearance", PER_STRING),
        ("held_at_3", PER_STRING),
        ("new_clearance", PER_STRING),
        ("new_held_at_3", PER_STRING),
        ("setback", PER_STRING),
    ],
};

pub(crate) const NUT_BLANK: Keys = Keys {
    table: "[nut_blank]",
    keys: &[
        (
            "board_width",
            "the width of the board at the nut, such as \"1 11/16 in\"",
        ),
        ("margin", "one length, or { bass = \"3.2 mm\", treble = \"3.0 mm\" }"),
        ("margin_to", "\"centre\" or \"side\" of the outer strings"),
        ("fret_height", "the height of a fret over the board, such as \"1.0 mm\""),
        (
            "seat",
            "from the board's surface down to the nut's seat, such as \"3 mm\"",
        ),
        ("material", "the name of a blank material, such as \"bone\""),
        ("thickness", LENGTH),
        ("height", LENGTH),
        ("length", LENGTH),
        ("headstock", "the angle of the headstock, such as \"14 deg\""),
        ("fall", ANGLE),
        ("post_back", PER_STRING),
        ("post_across", PER_STRING),
        ("post_below", PER_STRING),
        ("plain_allowance", LENGTH),
        ("wound_allowance", LENGTH),
        ("shows", "a share such as 0.5"),
        ("top", "\"follow\", or the radius of an arc such as \"12 in\""),
        ("proud", LENGTH),
        ("front", "\"shelf\" or \"straight\""),
    ],
};

pub(crate) const PRESENT: Keys = Keys {
    table: "[present]",
    keys: &[
        ("action_12", PER_STRING),
        (
            "cents_12",
            "a list of cents from bass to treble, such as [3, 2, \"-\", 1, 4, 1]",
        ),
        ("contact_from_fret_12", PER_STRING),
    ],
};

pub(crate) const TARGET: Keys = Keys {
    table: "[target]",
    keys: &[
        ("action_12", PER_STRING),
        (
            "intonation",
            "\"octave\", \"best-fit\", \"best-fit-with-nut\" or \"offsets\"",
        ),
        ("offsets", PER_STRING),
    ],
};

pub(crate) const SLOT: Keys = Keys {
    table: "[slot]",
    keys: &[
        ("read_by", "\"straightedge\" or \"reference saddle\""),
        ("edge_from_fret_12", END),
        ("bridge_top", END),
        ("depth", END),
        (
            "lean",
            "an angle, positive with the top toward the nut, such as \"9 deg\" or \"0.5 mm over 3.2 mm\"",
        ),
        ("width", LENGTH),
        ("length", LENGTH),
        ("under", LENGTH),
        ("taken", "\"at pitch\" or \"slack\""),
        ("under_tension", "{ bridge_top = \"0.3 mm\", lean = \"1 deg\" }"),
        ("reference", "a table [slot.reference]"),
    ],
};

pub(crate) const UNDER_TENSION: Keys = Keys {
    table: "under_tension",
    keys: &[("bridge_top", END), ("lean", ANGLE)],
};

pub(crate) const REFERENCE: Keys = Keys {
    table: "[slot.reference]",
    keys: &[
        ("contact_from_fret_12", END),
        ("height", END),
        ("back", END),
        ("action_12", END),
    ],
};

pub(crate) const BRIDGE: Keys = Keys {
    table: "[bridge]",
    keys: &[
        ("string_exit", "\"pin holes\" or \"tie block\""),
        ("behind_slot", END),
        ("above_bridge_top", END),
        ("ramp_length", LENGTH),
        ("ramp_depth", LENGTH),
        ("thickness", END),
        ("wood_under_slot", END),
        ("front_wall", END),
        ("wood", "the name of a wood, such as \"Indian rosewood\""),
    ],
};

pub(crate) const NECK: Keys = Keys {
    table: "[neck]",
    keys: &[
        ("heel_height", LENGTH),
        ("board_thickness", LENGTH),
        ("last_fret", "the number of the last fret, such as 19"),
    ],
};

pub(crate) const ASSESS: Keys = Keys {
    table: "[assess]",
    keys: &[
        ("humidity", "relative humidity in per cent, such as 45"),
        (
            "accept",
            "a list of what is accepted although it is unsafe: \"front wall\", \"slot\"",
        ),
        ("wanted_exposure", LENGTH),
        ("least_exposure", LENGTH),
        ("most_exposure", LENGTH),
        ("least_in_slot", "a share such as 0.5"),
        ("least_wood_under", LENGTH),
        ("most_clearance", LENGTH),
        ("least_break_angle", ANGLE),
        ("most_break_angle", ANGLE),
        ("least_relief", LENGTH),
        ("most_relief", LENGTH),
        ("least_first_fret", LENGTH),
        ("most_first_fret", LENGTH),
        ("most_cents", "cents such as 3"),
        ("most_pressure", "a share such as 0.5"),
        ("least_front_wall", LENGTH),
        ("least_to_holes", LENGTH),
    ],
};

pub(crate) const BLANK: Keys = Keys {
    table: "[blank]",
    keys: &[
        ("kind", "\"through\" or \"drop-in\""),
        ("material", "the name of a blank material, such as \"bone\""),
        ("thickness", LENGTH),
        ("height", LENGTH),
        ("length", LENGTH),
        ("bass_end", LENGTH),
        ("land", LENGTH),
    ],
};

pub(crate) const CROWN: Keys = Keys {
    table: "[crown]",
    keys: &[
        ("ridge", "\"smooth\" or \"stepped\""),
        ("rounding", LENGTH),
        ("front_fall", ANGLE),
        ("back_fall", ANGLE),
    ],
};

/// A second file that holds readings after stringing up and nothing else.
pub(crate) const READINGS: Keys = Keys {
    table: "a file of readings after stringing up",
    keys: &[
        ("format", "format = 1"),
        ("unit", "\"mm\", \"in\" or \"thou\""),
        ("strung", "a table [strung]"),
    ],
};

pub(crate) const FILING: Keys = Keys {
    table: "[filing]",
    keys: &[
        (
            "crown",
            "\"planned\", \"flat\", \"facet\" or \"rounded\", or a list of these from bass to treble",
        ),
        (
            "fall",
            "an angle such as \"5 deg\", or a list from bass to treble, \"-\" where the crown is no facet",
        ),
        (
            "radius",
            "a length such as \"2 mm\", or a list from bass to treble, \"-\" where the crown is not rounded",
        ),
        ("contact_back", PER_STRING),
        ("action_12", PER_STRING),
        ("floor_12", PER_STRING),
        ("at_height", "true or false"),
    ],
};

const STRUNG_LENGTH: &str = "{ bass = \"2.5 mm\", treble = \"2.1 mm\" } for the outer strings, or a list from bass to treble, \"-\" where none was read";
const STRUNG_CENTS: &str =
    "a list of cents from bass to treble, such as [2, 1, 0, \"-\", 3, 1], or { bass = 2, treble = 1 }";

pub(crate) const STRUNG: Keys = Keys {
    table: "[strung]",
    keys: &[
        ("action_12", STRUNG_LENGTH),
        ("first_fret_clearance", STRUNG_LENGTH),
        ("cents_12", STRUNG_CENTS),
        (
            "cents_at",
            "a list such as [{ fret = 5, cents = [1, 1, 0, \"-\", 2, 1] }]",
        ),
    ],
};

pub(crate) const CENTS_AT: Keys = Keys {
    table: "cents_at",
    keys: &[("fret", "the number of the fret, 1 to 11"), ("cents", STRUNG_CENTS)],
};

pub(crate) const TOLERANCE: Keys = Keys {
    table: "[tolerance]",
    keys: &[
        ("action", LENGTH),
        ("cents", "cents such as 3"),
        ("confidence", "a share such as 0.95"),
        ("samples", "a whole number such as 20000"),
        ("seed", "a whole number such as 1"),
    ],
};

const SHARE: &str = "a share such as 0.05";
const PAIRED: &str = "a length such as \"0.1 mm\", or { total = \"0.1 mm\", correlation = 0.5 }";

pub(crate) const UNCERTAINTY: Keys = Keys {
    table: "[uncertainty]",
    keys: &[
        ("relief", LENGTH),
        ("board_radius", SHARE),
        ("first_fret_clearance", PAIRED),
        ("present_action", PAIRED),
        ("slot_edge", PAIRED),
        ("bridge_top", PAIRED),
        ("slot_depth", PAIRED),
        ("lean", "an angle such as \"1 deg\""),
        ("reference_contact", PAIRED),
        ("reference_height", PAIRED),
        ("reference_back", PAIRED),
        ("stretch", SHARE),
        ("stretch_calibrated", SHARE),
        ("seating", LENGTH),
        ("made_height", LENGTH),
        ("made_ridge", LENGTH),
    ],
};

pub(crate) const CUT: Keys = Keys {
    table: "[cut]",
    keys: &[
        ("setup", "\"on edge\", \"flat\" or \"both\""),
        ("machine", "the name of a machine, such as \"small belt router\""),
        ("rougher", "the name of a flat cutter, such as \"flat 3 mm\""),
        ("finisher", "the name of a ball cutter, such as \"ball 3 mm\""),
        (
            "material",
            "the name of a material whose cutting is known, such as \"bone\"",
        ),
        ("spindle", "turns per minute, such as 12000"),
        ("stock", "a table such as { height = \"14 mm\" }"),
        ("zero", "\"seat\" or \"raw top\""),
        ("vise", "a table such as { jaw_height = \"5 mm\" }"),
        ("tape", "a table such as { tabs = 2 }"),
        ("ends", "\"square\", \"round\" or \"winged\""),
        ("wings", "a table with the contours { bass = .., treble = .. }"),
        ("rough_allowance", LENGTH),
        ("scallop", "a length such as \"0.005 mm\""),
        ("clearance", LENGTH),
    ],
};

pub(crate) const NUT_CUT: Keys = Keys {
    table: "[nut_cut]",
    keys: &[
        (
            "setup",
            "\"flat\", \"on edge\", \"both\", \"on end\" or \"flat and on end\"",
        ),
        ("machine", "the name of a machine, such as \"small ballscrew mill\""),
        ("rougher", "the name of a flat cutter, such as \"flat 3 mm\""),
        ("slot_cutters", "names of fine cutters, such as [\"V 60 degrees\"]"),
        ("saws", "names of saws, such as [\"saw 0.3 mm\"]"),
        ("slot_leave", "a length such as \"0.1 mm\""),
        (
            "material",
            "the name of a material whose cutting is known, such as \"bone\"",
        ),
        ("spindle", "turns per minute, such as 12000"),
        ("stock", "a table such as { height = \"9 mm\" }"),
        ("zero", "\"seat\" or \"raw top\""),
        ("vise", "a table such as { jaw_height = \"2 mm\" }"),
        ("tape", "a table such as { tabs = 2 }"),
        ("rough_allowance", LENGTH),
        ("clearance", LENGTH),
    ],
};

pub(crate) const STOCK: Keys = Keys {
    table: "cut.stock",
    keys: &[
        ("thickness", LENGTH),
        ("height", LENGTH),
        ("length", LENGTH),
        ("bass_margin", LENGTH),
    ],
};

pub(crate) const VISE: Keys = Keys {
    table: "cut.vise",
    keys: &[
        ("jaw_height", LENGTH),
        ("jaw_thickness", LENGTH),
        ("jaw_from", LENGTH),
        ("jaw_to", LENGTH),
    ],
};

pub(crate) const TAPE: Keys = Keys {
    table: "cut.tape",
    keys: &[
        ("tabs", "a whole number, such as 2"),
        ("tab_length", LENGTH),
        ("tab_height", LENGTH),
    ],
};

pub(crate) const WINGS: Keys = Keys {
    table: "cut.wings",
    keys: &[
        ("bass", "pairs such as [[\"0 mm\", \"5 mm\"], [\"8 mm\", \"7 mm\"]]"),
        ("treble", "pairs such as [[\"0 mm\", \"5 mm\"], [\"8 mm\", \"7 mm\"]]"),
    ],
};

pub(crate) const PAIRED_READING: Keys = Keys {
    table: "the uncertainty of a reading",
    keys: &[
        ("total", "the standard uncertainty, such as \"0.1 mm\""),
        (
            "correlation",
            "the share that all readings have in common, 0 to 1, such as 0.5",
        ),
    ],
};

pub(crate) const ENDS: Keys = Keys {
    table: "the pair of ends",
    keys: &[
        ("bass", "the value at the bass string"),
        ("treble", "the value at the treble string"),
    ],
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Profiles, read};

    /// Every table of the job file.
    const ALL: [&Keys; 32] = [
        &TOP,
        &INSTRUMENT,
        &RELIEF,
        &RADIUS,
        &STRINGS,
        &STRING,
        &NUT,
        &NUT_BLANK,
        &PRESENT,
        &TARGET,
        &SLOT,
        &UNDER_TENSION,
        &REFERENCE,
        &BRIDGE,
        &BLANK,
        &CROWN,
        &READINGS,
        &FILING,
        &STRUNG,
        &CENTS_AT,
        &TOLERANCE,
        &UNCERTAINTY,
        &NECK,
        &ASSESS,
        &CUT,
        &NUT_CUT,
        &STOCK,
        &VISE,
        &TAPE,
        &WINGS,
        &PAIRED_READING,
        &ENDS,
    ];

    const PAGE: &str = include_str!("../../../examples/FORMAT.md");

    #[test]
    fn the_page_names_every_key() {
        for keys in ALL {
            for (key, _) in keys.keys {
                let named = [format!("`{key}`"), format!(".{key}`")]
                    .iter()
                    .any(|name| PAGE.contains(name));
                assert!(named, "`{key}` of {} is not on the page", keys.table);
            }
        }
    }

    /// Every key in the first column of the page's tables is read by the program.
    #[test]
    fn the_page_names_no_other_key() {
        let rows = PAGE
            .lines()
            .filter_map(|line| line.strip_prefix("| `")?.split_once('`'));
        let mut seen = 0;
        for (name, _) in rows {
            let key = name.rsplit('.').next().unwrap();
            assert!(
                ALL.iter().any(|keys| keys.keys.iter().any(|(known, _)| *known == key)),
                "{name}"
            );
            seen += 1;
        }
        assert!(seen > 50, "{seen}");
    }

    #[test]
    fn the_blocks_of_the_page_are_read() {
        let mut whole = 0;
        for block in PAGE.split("```toml\n").skip(1) {
            let text = block.split("```").next().unwrap();
            assert!(text.parse::<toml::Table>().is_ok(), "{text}");
            if text.starts_with("format = ") {
                let checked = read(text, &Profiles::built_in()).unwrap();
                assert_eq!(checked.warnings, []);
                whole += 1;
            } else {
                // A piece of a job: it may lack tables, but what it holds is known and allowed.
                let problems = read(text, &Profiles::built_in()).unwrap_err();
                for problem in problems {
                    assert!(problem.line.is_none(), "{problem}\n{text}");
                }
            }
        }
        assert_eq!(whole, 1);
    }
}
