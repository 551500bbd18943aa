//! Every class of refusal and doubt: a good job with one change, and where and how it is reported.

use job::{Problem, ProblemKind, Profiles, Severity, read};
use std::sync::LazyLock;

/// A job without a problem, in millimetres.
const GOOD: &str = include_str!("good.toml");

/// Built once: they are read from text.
static PROFILES: LazyLock<Profiles> = LazyLock::new(Profiles::built_in);

fn problems(text: &str) -> Vec<Problem> {
    match read(text, &PROFILES) {
        Ok(checked) => checked.warnings,
        Err(problems) => {
            assert!(problems.iter().any(|p| p.severity == Severity::Error));
            problems
        }
    }
}

/// `GOOD` with the line that is `old` changed to `new`, and that line's number.
fn changed(old: &str, new: &str) -> (String, usize) {
    let at = GOOD
        .lines()
        .position(|line| line == old)
        .unwrap_or_else(|| panic!("no line {old}"));
    let lines: Vec<&str> = GOOD
        .lines()
        .enumerate()
        .map(|(i, line)| if i == at { new } else { line })
        .collect();
    (lines.join("\n"), at + 1)
}

const E: Severity = Severity::Error;
const W: Severity = Severity::Warning;

/// Line as it is, line as changed, field, severity, the kind of the problem, which stands on that line.
type Row = (&'static str, &'static str, &'static str, Severity, &'static str);

#[rustfmt::skip] // one row a line
const TABLE: &[Row] = &[
    // The top.
    ("format = 1", "format = 2", "format", E, "OtherFormat"),
    ("format = 1", "format = \"1\"", "format", E, "NoWholeNumber"),
    ("title = \"Good\"", "title = \" \"", "title", E, "NoTitle"),
    ("title = \"Good\"", "title = \"a\\nb\"", "title", E, "LineBreak"),
    ("title = \"Good\"", "title = 3", "title", E, "NoText"),
    ("unit = \"mm\"", "unit = \"cm\"", "unit", E, "NoSuchWord"),
    ("unit = \"mm\"", "unit = \"mm\"\nbench = \"feet\"", "bench", E, "NoSuchWord"),
    // Instrument.
    ("scale = 645", "scale = 100", "instrument.scale", E, "Outside"),
    ("scale = 645", "scale = \"645,0\"", "instrument.scale", E, "Unreadable"),
    ("scale = 645", "scale = \"some 645\"", "instrument.scale", E, "Unreadable"),
    ("scale = 645", "scale = \"1/0 in\"", "instrument.scale", E, "Unreadable"),
    ("scale = 645", "scale = nan", "instrument.scale", E, "Unreadable"),
    ("scale = 645", "scale = -inf", "instrument.scale", E, "Unreadable"),
    ("scale = 645", "scale = true", "instrument.scale", E, "Expected"),
    ("scale = 645", "scale = 0x285", "instrument.scale", E, "Expected"),
    ("scale = 645", "scale = 645\nnut_to_12 = 322.5", "instrument.nut_to_12", E, "TwoScales"),
    ("scale = 645", "scale = { bass = 660, treble = 645 }", "instrument.scale.square", E, "Missing"),
    ("scale = 645", "scale = { bass = 660, treble = 645, square = 40 }", "instrument.scale.square", E, "Outside"),
    ("scale = 645", "scale = { bass = 660, tremble = 645, square = 8 }", "instrument.scale.tremble", E, "Unknown"),
    ("scale = 645", "scale = 645\nfrets = 36.2", "instrument.frets", E, "Expected"),
    ("scale = 645", "scale = 645\nfrets = [36.2, 70.4]", "instrument.frets", E, "FretCount"),
    ("scale = 645", "scale = 645\nfrets = [36.2, 70.4, 102.6, 133.1, 188.9, 161.8, 214.5, 238.7, 261.5, 283.0, 303.3, 322.5]", "instrument.frets[6]", E, "FretOrder"),
    ("scale = 645", "scale = 645\nfrets = [70.4, 102.6, 133.1, 161.8, 188.9, 214.5, 238.7, 261.5, 283.0, 303.3, 322.5, 340.6]", "instrument.frets[1]", W, "FretFar"),
    ("scale = 645", "scale = { bass = 660, treble = 645, square = 8 }\nfrets = [36.2, 70.4, 102.6, 133.1, 161.8, 188.9, 214.5, 238.7, 261.5, 283.0, 303.3, 322.5]", "instrument.frets", E, "OneListForTwoScales"),
    ("scale = 645", "scale = 645\nfret_wear = 0.1", "instrument.fret_wear", E, "Expected"),
    ("scale = 645", "scale = 645\nfret_wear = [0.1, 3]", "instrument.fret_wear[2]", E, "Outside"),
    ("scale = 645", "scale = 645\nfret_wear = [0.5]", "instrument.fret_wear[1]", W, "Doubtful"),
    ("scale = 645", "lenght = 645", "instrument.lenght", E, "Unknown"),
    ("scale = 645", "scael = 645", "instrument.scael", E, "Unknown"),
    ("joint_fret = 14", "joint_fret = 14.5", "instrument.joint_fret", E, "NoWholeNumber"),
    ("joint_fret = 14", "joint_fret = 1", "instrument.joint_fret", E, "Outside"),
    ("joint_fret = 14", "joint_fret = 24", "instrument.joint_fret", W, "Doubtful"),
    ("relief = { gap = 0.2, fret = 7 }", "relief = { gap = 0.2, fret = 14 }", "instrument.relief.fret", E, "ReliefOutsideSpan"),
    ("relief = { gap = 0.2, fret = 7 }", "relief = { gap = 0.2 }", "instrument.relief.fret", E, "Missing"),
    ("relief = { gap = 0.2, fret = 7 }", "relief = -0.1", "instrument.relief", W, "Doubtful"),
    ("relief = { gap = 0.2, fret = 7 }", "relief = { gap = 0.9, fret = 7 }", "instrument.relief.gap", W, "Doubtful"),
    ("board_radius = { nut = 300, fret_12 = 400 }", "board_radius = \"flta\"", "instrument.board_radius", E, "Expected"),
    ("board_radius = { nut = 300, fret_12 = 400 }", "board_radius = 20", "instrument.board_radius", E, "Outside"),
    ("board_radius = { nut = 300, fret_12 = 400 }", "board_radius = { nut = 400, fret_12 = 300 }", "instrument.board_radius", W, "RounderAtTwelve"),
    ("board_radius = { nut = 300, fret_12 = 400 }", "board_radius = { nut = 1000, fret_12 = 31 }", "instrument.board_radius", E, "RadiusUnderSpread"),
    // Strings.
    ("set = \"light bronze 12-53\"", "set = \"light bronze 12-35\"", "strings.set", E, "NoSuchName"),
    ("tuning = [\"E2\", \"A2\", \"D3\", \"G3\", \"B3\", \"E4\"]", "tuning = [\"E2\", \"A2\", \"D3\", \"G3\", \"E4\"]", "strings.tuning", E, "Count"),
    ("tuning = [\"E2\", \"A2\", \"D3\", \"G3\", \"B3\", \"E4\"]", "tuning = [\"E2\", \"A2\", \"D3\", \"G3\", \"H3\", \"E4\"]", "strings.tuning[5]", E, "NoNote"),
    ("tuning = [\"E2\", \"A2\", \"D3\", \"G3\", \"B3\", \"E4\"]", "tuning = [\"E3\", \"A2\", \"D3\", \"G3\", \"B3\", \"E4\"]", "strings.tuning[1]", E, "TensionOutside"),
    ("tuning = [\"E2\", \"A2\", \"D3\", \"G3\", \"B3\", \"E4\"]", "tuning = [\"E2\", \"A2\", \"D3\", \"G3\", \"E2\", \"E4\"]", "strings.tuning[5]", W, "TensionDoubtful"),
    ("tuning = [\"E2\", \"A2\", \"D3\", \"G3\", \"B3\", \"E4\"]", "tuning = \"EADGBE\"", "strings.tuning", E, "Expected"),
    ("a4 = 440", "a4 = 44", "strings.a4", E, "Outside"),
    ("a4 = 440", "a4 = 380", "strings.a4", W, "Doubtful"),
    ("a4 = 440", "a4 = \"440 Hz\"", "strings.a4", E, "NoNumber"),
    ("courses = \"single\"", "courses = [1, 2, 2]", "strings.courses", E, "CoursesHold"),
    ("courses = \"single\"", "courses = [3, 3]", "strings.courses[1]", E, "Outside"),
    ("courses = \"single\"", "courses = \"double\"", "strings.courses", E, "Expected"),
    ("courses = \"single\"", "nut_pair = 2", "strings.nut_pair", W, "NoPairs"),
    ("nut_spread = 36.5", "nut_spread = 3", "strings.nut_spread", E, "Outside"),
    ("nut_spread = 36.5", "nut_spread = 5", "strings.nut_spread", W, "Doubtful"),
    ("nut_spread = 36.5", "nut_spread = \"0.2 in\"", "strings.nut_spread", W, "Doubtful"),
    ("saddle_spread = 55", "saddle_spread = 80", "blank.bass_end", E, "StringOffBlank"),
    ("nut_spacing = \"equal gaps\"", "nut_spacing = \"equal gap\"", "strings.nut_spacing", E, "NoSuchWord"),
    ("press = 0", "press = -1", "strings.press", E, "Outside"),
    // Nut and present.
    ("first_fret_clearance = { bass = 0.5, treble = 0.35 }", "first_fret_clearance = { bass = 0.5, trebel = 0.35 }", "nut.first_fret_clearance.trebel", E, "Unknown"),
    ("first_fret_clearance = { bass = 0.5, treble = 0.35 }", "first_fret_clearance = [0.5, 0.4]", "nut.first_fret_clearance", E, "Count"),
    ("first_fret_clearance = { bass = 0.5, treble = 0.35 }", "first_fret_clearance = 3", "nut.first_fret_clearance", E, "Outside"),
    ("first_fret_clearance = { bass = 0.5, treble = 0.35 }", "first_fret_clearance = -0.1", "nut.first_fret_clearance", E, "Outside"),
    ("first_fret_clearance = { bass = 0.5, treble = 0.35 }", "first_fret_clearance = 1.5", "nut.first_fret_clearance", W, "Doubtful"),
    ("setback = 0", "held_at_3 = 0.1", "nut.held_at_3", E, "NutReadTwice"),
    ("setback = 0", "zero_fret_above = 0", "nut.zero_fret_above", E, "NoZeroFret"),
    ("setback = 0", "dressed = 0.1", "nut.dressed", E, "NoZeroFret"),
    ("setback = 0", "new_wire = 0.1", "nut.new_wire", E, "NoZeroFret"),
    ("setback = 0", "setback = 0\nzero_fret = \"kept\"", "nut.setback", E, "ZeroFretNotSetBack"),
    ("setback = 0", "new_clearance = 0.4\nzero_fret = \"kept\"", "nut.new_clearance", E, "ZeroFretNoNewGap"),
    ("setback = 0", "new_held_at_3 = 0.1\nzero_fret = \"kept\"", "nut.new_held_at_3", E, "ZeroFretNoNewGap"),
    ("setback = 0", "new_wire = 0.1\nzero_fret = \"dressed\"\ndressed = 0.1", "nut.new_wire", E, "ZeroFretOtherWork"),
    ("setback = 0", "dressed = 0.1\nzero_fret = \"kept\"", "nut.dressed", E, "ZeroFretOtherWork"),
    ("setback = 0", "zero_fret_above = 0\nzero_fret = \"kept\"", "nut.zero_fret_above", E, "ZeroFretReadTwice"),
    ("setback = 0", "zero_fret = \"sawn off\"", "nut.zero_fret", E, "NoSuchWord"),
    ("setback = 0", "dressed = -0.1\nzero_fret = \"dressed\"", "nut.dressed", E, "Outside"),
    ("setback = 0", "dressed = 0.5\nzero_fret = \"dressed\"", "nut.dressed", W, "Doubtful"),
    ("setback = 0", "setback = -20", "nut.setback", E, "Outside"),
    ("action_12 = { bass = 2.8, treble = 2.2 }", "action_12 = { bass = 2.8, treble = \"2.2 deg\" }", "present.action_12.treble", E, "Unreadable"),
    ("cents_12 = [3, 2, \"-\", 1, 3, 1]", "cents_12 = [3, 2, 1]", "present.cents_12", E, "Count"),
    ("cents_12 = [3, 2, \"-\", 1, 3, 1]", "cents_12 = 3", "present.cents_12", E, "Expected"),
    ("cents_12 = [3, 2, \"-\", 1, 3, 1]", "cents_12 = [3, 2, \"x\", 1, 3, 1]", "present.cents_12[3]", E, "Unreadable"),
    ("cents_12 = [3, 2, \"-\", 1, 3, 1]", "cents_12 = [3, 2, 45, 1, 3, 1]", "present.cents_12[3]", W, "Doubtful"),
    ("contact_from_fret_12 = { bass = 326.5, treble = 324.5 }", "contact_from_fret_12 = 440", "present.contact_from_fret_12", E, "OutOfReach"),
    // Target.
    ("action_12 = { bass = 2.4, treble = 1.8 }", "action_12 = { bass = 12, treble = 1.8 }", "target.action_12.bass", W, "Doubtful"),
    ("action_12 = { bass = 2.4, treble = 1.8 }", "action_12 = { bass = 5, treble = 1.8 }", "target.action_12.bass", W, "HighForSteel"),
    ("action_12 = { bass = 2.4, treble = 1.8 }", "action_12 = { bass = 24, treble = 1.8 }", "target.action_12.bass", E, "Outside"),
    ("action_12 = { bass = 2.4, treble = 1.8 }", "action_12 = -2", "target.action_12", E, "Outside"),
    ("intonation = \"octave\"", "intonation = \"octaves\"", "target.intonation", E, "NoSuchWord"),
    ("intonation = \"octave\"", "intonation = \"octave\"\noffsets = 3", "target.offsets", E, "OffsetsUnused"),
    // Slot.
    ("read_by = \"straightedge\"", "read_by = \"ruler\"", "slot.read_by", E, "NoSuchWord"),
    ("edge_from_fret_12 = { bass = 324.5, treble = 323 }", "edge_from_fret_12 = { bass = 647, treble = 323 }", "slot.edge_from_fret_12.bass", E, "OutOfReach"),
    ("edge_from_fret_12 = { bass = 324.5, treble = 323 }", "edge_from_fret_12 = { bass = 335, treble = 333 }", "slot.edge_from_fret_12.bass", W, "FarFromScale"),
    ("edge_from_fret_12 = { bass = 324.5, treble = 323 }", "edge_from_fret_12 = { bass = 323, treble = 324.5 }", "slot.edge_from_fret_12.treble", W, "TrebleBehind"),
    ("edge_from_fret_12 = { bass = 324.5, treble = 323 }", "edge_from_fret_12 = { bass = 329, treble = 319 }", "slot.edge_from_fret_12.treble", W, "Skewed"),
    ("bridge_top = { bass = 0.4, treble = 0.5 }", "bridge_top = 9", "slot.bridge_top", W, "Doubtful"),
    ("depth = { bass = 5.5, treble = 5.3 }", "depth = { bass = 55, treble = 5.3 }", "slot.depth.bass", E, "Outside"),
    ("depth = { bass = 5.5, treble = 5.3 }", "depth = { bass = 5.5 }", "slot.depth.treble", E, "Missing"),
    ("depth = { bass = 5.5, treble = 5.3 }", "depth = [5.5, 5.3]", "slot.depth", E, "Expected"),
    ("lean = 2", "lean = 40", "slot.lean", W, "Doubtful"),
    ("lean = 2", "lean = 50", "slot.lean", E, "Outside"),
    ("lean = 2", "lean = \"2 mm\"", "slot.lean", E, "Unreadable"),
    ("bridge_top = { bass = 0.4, treble = 0.5 }", "bridge_top = 6.9", "slot.bridge_top", W, "BridgeAgainstString"),
    ("taken = \"at pitch\"", "bridge_side = \"under\"", "slot.bridge_side", E, "NoSuchWord"),
    ("taken = \"at pitch\"", "taken = \"slack\"", "slot.taken", W, "SlackWithoutChange"),
    ("taken = \"at pitch\"", "under_tension = { lean = 1 }", "slot.under_tension", E, "ChangeWithoutSlack"),
    ("taken = \"at pitch\"", "reference = {}", "slot.reference", W, "ReferenceUnused"),
    ("under = 0", "under = -1", "slot.under", E, "Outside"),
    ("length = 73", "length = 70", "blank.length", E, "BlankTooLong"),
    // Bridge.
    ("string_exit = \"pin holes\"", "string_exit = \"pins\"", "bridge.string_exit", E, "NoSuchWord"),
    ("behind_slot = 12", "behind_slot = 3", "bridge.behind_slot", E, "ExitInSlot"),
    // Blank.
    ("kind = \"drop-in\"", "kind = \"dropin\"", "blank.kind", E, "NoSuchWord"),
    ("material = \"bone\"", "material = \"bonne\"", "blank.material", E, "NoSuchName"),
    ("thickness = 3.2", "thickness = 3.3", "blank.thickness", E, "BlankTooThick"),
    ("thickness = 3.2", "thickness = 3.0", "blank.thickness", W, "BlankLoose"),
    ("thickness = 3.2", "thickness = 32", "blank.thickness", E, "Outside"),
    ("height = 12", "height = 5.4", "blank.height", E, "BlankSunk"),
    ("length = 72.8", "length = 60", "blank.bass_end", E, "StringOffBlank"),
    ("length = 72.8", "length = 71", "blank.length", W, "GapShows"),
    ("bass_end = 9", "bass_end = 17", "blank.bass_end", W, "StringNearEnd"),
    ("land = 0.4", "land = 1.6", "blank.land", E, "NoRoomForRidge"),
    ("land = 0.4", "end_radius = 2\nland = 0.4", "blank.end_radius", E, "EndRadiusOverHalf"),
    ("kind = \"drop-in\"", "end_radius = 1\nkind = \"through\"", "blank.end_radius", E, "RadiusOfThrough"),
    ("kind = \"drop-in\"", "wings = { bass = \"0: 5; 4: 8\", treble = \"0: 5; 4: 8\" }\nkind = \"drop-in\"", "blank.wings", E, "WingsOfDropIn"),
    ("kind = \"drop-in\"", "wings = { bass = \"0: 5; 4 8\", treble = \"0: 5; 4: 8\" }\nkind = \"through\"", "blank.wings.bass", E, "Expected"),
    ("kind = \"drop-in\"", "wings = { bass = \"0: 5; 4: 8\", treble = \"0: 5; 4: 4 8ths\" }\nkind = \"through\"", "blank.wings.treble", E, "Unreadable"),
    ("kind = \"drop-in\"", "wings = { bass = \"0: 5; 4: 4\", treble = \"0: 5; 4: 8\" }\nkind = \"through\"", "blank.wings.bass", E, "WingFalls"),
    ("kind = \"drop-in\"", "wings = { bass = \"0: 5; 4: 90\", treble = \"0: 5; 4: 8\" }\nkind = \"through\"", "blank.wings.bass", E, "Outside"),
    ("kind = \"drop-in\"", "wings = { bass = [[0, 5], [40, 8]], treble = [[0, 5], [40, 8]] }\nkind = \"through\"", "blank.wings", E, "WingsOverlap"),
    ("kind = \"drop-in\"", "glued = \"yes\"\nkind = \"through\"", "blank.glued", E, "Expected"),
    // Crown.
    ("ridge = \"smooth\"", "ridge = \"steped\"", "crown.ridge", E, "NoSuchWord"),
    ("rounding = 0.5", "rounding = -0.5", "crown.rounding", E, "Outside"),
    ("front_fall = 8", "front_fall = \"9°°\"", "crown.front_fall", E, "Unreadable"),
    // Filing.
    ("crown = \"planned\"", "crown = \"round\"", "filing.crown", E, "NoSuchWord"),
    ("crown = \"planned\"", "crown = [\"flat\", \"planned\"]", "filing.crown", E, "Count"),
    ("crown = \"planned\"", "crown = [\"flat\", \"flat\", \"plan\", \"flat\", \"flat\", \"flat\"]", "filing.crown[3]", E, "NoSuchWord"),
    ("crown = \"planned\"", "crown = [\"flat\", \"flat\", \"rounded\", \"flat\", \"flat\", \"flat\"]\nradius = [2, 2, \"-\", 2, 2, 2]", "filing.crown[3]", E, "CrownWithoutFigure"),
    ("crown = \"planned\"", "crown = \"rounded\"\nradius = 0", "filing.radius", E, "Outside"),
    ("crown = \"planned\"", "crown = \"rounded\"\nradius = 50", "filing.radius", W, "Doubtful"),
    ("crown = \"planned\"", "fall = 5", "filing.fall", W, "NoSuchCrown"),
    ("crown = \"planned\"", "crown = \"facet\"\nfall = \"5 mm\"", "filing.fall", E, "Unreadable"),
    ("contact_back = 1.6", "contact_back = 3.3", "filing.contact_back", E, "ContactBehindBlank"),
    ("contact_back = 1.6", "contact_back = -1", "filing.contact_back", E, "Outside"),
    ("contact_back = 1.6", "contact_back = [1, 1, 1]", "filing.contact_back", E, "Count"),
    ("floor_12 = { bass = 2.2, treble = 1.6 }", "floor_12 = 2.4", "filing.floor_12", W, "FloorOverTarget"),
    ("floor_12 = { bass = 2.2, treble = 1.6 }", "flor_12 = 2", "filing.flor_12", E, "Unknown"),
    ("at_height = false", "at_height = 0", "filing.at_height", E, "Expected"),
    // Strung.
    ("action_12 = { bass = 2.5, treble = 1.9 }", "action_12 = 2.5", "strung.action_12", E, "WhichStrings"),
    ("action_12 = { bass = 2.5, treble = 1.9 }", "action_12 = { bass = 2.5 }", "strung.action_12.treble", E, "Missing"),
    ("action_12 = { bass = 2.5, treble = 1.9 }", "action_12 = { bass = 25, treble = 1.9 }", "strung.action_12.bass", E, "Outside"),
    ("action_12 = { bass = 2.5, treble = 1.9 }", "action_12 = [2.5, \"-\", 1.9]", "strung.action_12", E, "Count"),
    ("action_12 = { bass = 2.5, treble = 1.9 }", "action_12 = [\"-\", \"-\", \"-\", \"-\", \"-\", \"-\"]", "strung.action_12", E, "NoActionRead"),
    ("action_12 = { bass = 2.5, treble = 1.9 }", "action_12 = [2.5, \"x\", \"-\", \"-\", \"-\", 1.9]", "strung.action_12[2]", E, "Unreadable"),
    ("first_fret_clearance = { bass = 0.5, treble = 0.36 }", "first_fret_clearance = { bass = 0.5, treble = \"36 deg\" }", "strung.first_fret_clearance.treble", E, "Unreadable"),
    ("first_fret_clearance = { bass = 0.5, treble = 0.36 }", "clearance = [0.5]", "strung.clearance", E, "Unknown"),
    ("cents_12 = [2, 1, 0, \"-\", 3, 1]", "cents_12 = [2, 1, 0, \"-\", 3, 200]", "strung.cents_12[6]", E, "Outside"),
    ("cents_12 = [2, 1, 0, \"-\", 3, 1]", "cents_12 = 2", "strung.cents_12", E, "WhichStrings"),
    ("cents_at = [{ fret = 5, cents = [1, 1, 0, 0, 2, 1] }]", "cents_at = 5", "strung.cents_at", E, "Expected"),
    ("cents_at = [{ fret = 5, cents = [1, 1, 0, 0, 2, 1] }]", "cents_at = [{ fret = 12, cents = { bass = 1, treble = 1 } }]", "strung.cents_at[1].fret", E, "Outside"),
    ("cents_at = [{ fret = 5, cents = [1, 1, 0, 0, 2, 1] }]", "cents_at = [{ fret = 5, cents = { bass = 1, treble = 1 } }, { fret = 5, cents = { bass = 1, treble = 1 } }]", "strung.cents_at[2].fret", E, "FretTwice"),
    ("cents_at = [{ fret = 5, cents = [1, 1, 0, 0, 2, 1] }]", "cents_at = [{ fret = 5 }]", "strung.cents_at[1].cents", E, "Missing"),
    // Tolerance.
    ("action = 0.1", "action = 0", "tolerance.action", E, "Outside"),
    ("action = 0.1", "action = 1", "tolerance.action", W, "Doubtful"),
    ("cents = 3", "cents = 0", "tolerance.cents", E, "Outside"),
    ("confidence = 0.95", "confidence = 95", "tolerance.confidence", E, "Outside"),
    ("confidence = 0.95", "confidence = \"95 %\"", "tolerance.confidence", E, "NoNumber"),
    ("samples = 20000", "samples = 10", "tolerance.samples", E, "Outside"),
    ("samples = 20000", "sample = 10", "tolerance.sample", E, "Unknown"),
    ("seed = 1", "seed = -1", "tolerance.seed", E, "NoWholeNumber"),
    // Uncertainty.
    ("seating = 0.03", "seating = -0.03", "uncertainty.seating", E, "Outside"),
    ("seating = 0.03", "made_height = 1", "uncertainty.made_height", W, "Doubtful"),
    ("seating = 0.03", "relief = 9", "uncertainty.relief", E, "Outside"),
    ("seating = 0.03", "stretch = 15", "uncertainty.stretch", E, "Outside"),
    ("seating = 0.03", "board_radius = \"5 %\"", "uncertainty.board_radius", E, "NoNumber"),
    ("seating = 0.03", "lean = 20", "uncertainty.lean", E, "Outside"),
    ("seating = 0.03", "lean = \"1 mm\"", "uncertainty.lean", E, "Unreadable"),
    ("slot_edge = { total = 0.3, correlation = 0.5 }", "slot_edge = { total = 0.3, correlation = 1.5 }", "uncertainty.slot_edge.correlation", E, "Outside"),
    ("slot_edge = { total = 0.3, correlation = 0.5 }", "slot_edge = { correlation = 0.5 }", "uncertainty.slot_edge.total", E, "Missing"),
    ("slot_edge = { total = 0.3, correlation = 0.5 }", "slot_edge = { bass = 0.5 }", "uncertainty.slot_edge.bass", E, "Unknown"),
    ("slot_edge = { total = 0.3, correlation = 0.5 }", "slot_edge = 6", "uncertainty.slot_edge", E, "Outside"),
    ("slot_edge = { total = 0.3, correlation = 0.5 }", "slot_egde = 0.3", "uncertainty.slot_egde", E, "Unknown"),
    // The layout.
    ("[crown]", "[crwon]", "crwon", E, "Unknown"),
    ("[crown]", "[blank]", "blank", E, "Layout"),
    ("land = 0.4", "kind = \"through\"", "kind", E, "Layout"),
    ("land = 0.4", "land = = 3", "", E, "Layout"),
];

#[test]
fn the_good_job_has_no_problem() {
    assert_eq!(problems(GOOD), []);
    assert!(read(GOOD, &PROFILES).is_ok());
}

#[test]
fn each_change_is_reported_in_its_place() {
    let failures: Vec<String> = TABLE.iter().filter_map(|row| misreported(row).err()).collect();
    assert!(failures.is_empty(), "\n{}", failures.join("\n"));
}

fn misreported((old, new, field, severity, word): &Row) -> Result<(), String> {
    let (text, at) = changed(old, new);
    let found = problems(&text);
    let list = found.iter().map(|p| format!("\n  {p}")).collect::<String>();
    let hit = found
        .iter()
        .find(|p| p.field == *field && p.severity == *severity && p.name() == *word)
        .ok_or_else(|| format!("`{new}`: no {severity:?} of {field} of kind {word} in{list}"))?;
    let line = hit.line.ok_or_else(|| format!("no line: {hit}"))?;
    // A check across tables may blame the other table's line; it still names its key there.
    let text_line = text.lines().nth(line - 1).unwrap_or_default();
    let key = field.split('[').next().unwrap_or_default();
    let key = key.trim_end_matches(".bass").trim_end_matches(".treble");
    let key = key.rsplit('.').next().unwrap_or_default();
    if !(text_line.contains(key) || hit.name() == "Missing") {
        return Err(format!("`{new}`: line {line} is `{text_line}`"));
    }
    let changed_lines = at..=at + new.matches('\n').count();
    if !changed_lines.contains(&line) && !field.starts_with("blank") {
        return Err(format!("`{new}`: reported on line {line}, not {at}"));
    }
    if *severity == W && found.iter().any(|p| p.severity == E) {
        return Err(format!("`{new}`: an error beside the warning:{list}"));
    }
    Ok(())
}

/// Lines that must be there: with one left out, its table says so.
#[test]
fn each_missing_key_is_named() {
    for (line, field) in [
        ("format = 1", "format"),
        ("title = \"Good\"", "title"),
        ("scale = 645", "instrument.scale"),
        ("joint_fret = 14", "instrument.joint_fret"),
        ("relief = { gap = 0.2, fret = 7 }", "instrument.relief"),
        ("board_radius = { nut = 300, fret_12 = 400 }", "instrument.board_radius"),
        ("set = \"light bronze 12-53\"", "strings.set"),
        ("nut_spread = 36.5", "strings.nut_spread"),
        ("saddle_spread = 55", "strings.saddle_spread"),
        (
            "first_fret_clearance = { bass = 0.5, treble = 0.35 }",
            "nut.first_fret_clearance",
        ),
        ("action_12 = { bass = 2.8, treble = 2.2 }", "present.action_12"),
        (
            "contact_from_fret_12 = { bass = 326.5, treble = 324.5 }",
            "present.contact_from_fret_12",
        ),
        ("action_12 = { bass = 2.4, treble = 1.8 }", "target.action_12"),
        ("intonation = \"octave\"", "target.intonation"),
        ("read_by = \"straightedge\"", "slot.read_by"),
        (
            "edge_from_fret_12 = { bass = 324.5, treble = 323 }",
            "slot.edge_from_fret_12",
        ),
        ("bridge_top = { bass = 0.4, treble = 0.5 }", "slot.bridge_top"),
        ("depth = { bass = 5.5, treble = 5.3 }", "slot.depth"),
        ("lean = 2", "slot.lean"),
        ("string_exit = \"pin holes\"", "bridge.string_exit"),
        ("behind_slot = 12", "bridge.behind_slot"),
        ("kind = \"drop-in\"", "blank.kind"),
        ("material = \"bone\"", "blank.material"),
        ("thickness = 3.2", "blank.thickness"),
        ("height = 12", "blank.height"),
        ("length = 72.8", "blank.length"),
        ("action_12 = { bass = 2.5, treble = 1.9 }", "strung.action_12"),
    ] {
        let (text, _) = changed(line, "");
        let found = problems(&text);
        let hit = found.iter().find(|p| p.field == field && p.severity == E);
        let hit = hit.unwrap_or_else(|| panic!("{field}: {found:?}"));
        assert!(hit.name() == "Missing", "{hit}");
        if let Some((table, _)) = field.split_once('.') {
            let line = text.lines().nth(hit.line.unwrap() - 1).unwrap();
            assert_eq!(line, format!("[{table}]"), "{hit}");
        }
    }
}

/// A shape of the crown asks for its figure.
#[test]
fn a_facet_needs_its_fall_and_a_rounded_crown_its_radius() {
    for (word, field) in [("facet", "filing.fall"), ("rounded", "filing.radius")] {
        let (text, at) = changed("crown = \"planned\"", &format!("crown = \"{word}\""));
        let found = problems(&text);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!((found[0].field.as_str(), found[0].line), (field, Some(at - 1)));
        assert!(
            found[0].what().contains(word) && found[0].name() == "Missing",
            "{}",
            found[0]
        );
    }
}

#[test]
fn each_missing_table_is_named_and_optional_ones_are_not() {
    let tables: Vec<&str> = GOOD.split("\n[").collect();
    for (i, table) in tables.iter().enumerate().skip(1) {
        let name = table.split(']').next().unwrap();
        let rest: Vec<&str> = tables
            .iter()
            .enumerate()
            .filter(|(j, _)| *j != i)
            .map(|(_, t)| *t)
            .collect();
        let found = problems(&rest.join("\n["));
        let missing = found
            .iter()
            .any(|p| p.field == name && p.name() == "Missing" && p.line.is_none());
        let free = ["bridge", "crown", "filing", "strung", "tolerance", "uncertainty"];
        let optional = name == "present" || free.contains(&name);
        assert_eq!(missing, !optional, "{name}: {found:?}");
        // The present action is needed here, and the reading that needs it says so.
        assert_eq!(found.is_empty(), free.contains(&name), "{name}: {found:?}");
    }
}

#[test]
fn all_problems_come_at_once_in_line_order() {
    let text = GOOD
        .replace("scale = 645", "scale = 6")
        .replace("depth = { bass = 5.5,", "depth = { bass = \"5,5\",")
        .replace("lean = 2", "lean = 20")
        .replace("rounding", "roundign")
        .replace("title = \"Good\"\n", "");
    let found = problems(&text);
    let fields: Vec<&str> = found.iter().map(|p| p.field.as_str()).collect();
    assert_eq!(
        fields,
        [
            "title",
            "instrument.scale",
            "slot.depth.bass",
            "slot.lean",
            "crown.roundign"
        ]
    );
    assert!(found.is_sorted_by_key(|p| p.line));
}

#[test]
fn one_message_as_a_whole() {
    let (text, _) = changed("thickness = 3.2", "thickness = 3.3");
    assert_eq!(
        problems(&text)[0].display("job.toml").to_string(),
        "error: job.toml, line 54, blank.thickness: read 3.3: The blank is 0.050 mm thicker than the slot, which is \
         3.250 mm wide. It would not go in, or would split the bridge. Thin the blank, or look at slot.width."
    );
}

/// The same in the bench unit.
#[test]
fn messages_speak_the_bench_unit() {
    for (bench, shown) in [
        ("thou", "2.0 thou thicker"),
        ("imperial", "2.0 thou thicker"),
        ("metric", "0.050 mm thicker"),
    ] {
        let text = GOOD
            .replace("unit = \"mm\"", &format!("unit = \"mm\"\nbench = \"{bench}\""))
            .replace("thickness = 3.2", "thickness = 3.3");
        let found = problems(&text);
        assert!(found[0].what().contains(shown), "{}", found[0]);
    }
}

#[test]
fn without_a_unit_every_length_carries_its_own() {
    let text = GOOD.replace("unit = \"mm\"\n", "");
    let line_of = |key: &str| text.lines().position(|line| line.starts_with(key)).unwrap() + 1;
    // So many are one problem, which names their lines.
    let found = problems(&text);
    let lines: Vec<usize> = match &found[..] {
        [
            Problem {
                severity: E,
                kind: ProblemKind::NoUnits { lines },
                ..
            },
        ] => lines.split([',', ' ']).filter_map(|word| word.parse().ok()).collect(),
        other => panic!("{other:?}"),
    };
    assert!(
        lines.len() > 20 && lines.is_sorted() && lines.contains(&line_of("scale")),
        "{lines:?}"
    );
    // A nought is the same in every unit, and angles, cents and Hz are no lengths.
    for key in ["press", "lean", "a4", "cents_12"] {
        assert!(!lines.contains(&line_of(key)), "{key}");
    }
    // A fraction needs one too.
    let fraction = problems(&text.replace("scale = 645", "scale = \"25 3/8\""));
    assert_eq!(fraction.len(), 1);
    assert_eq!(fraction[0].field, "instrument.scale");
    let slope = GOOD
        .replace("unit = \"mm\"\n", "")
        .replace("lean = 2", "lean = \"1 mm over 6\"");
    assert!(problems(&slope).iter().any(|p| p.field == "slot.lean"));
    // A message never says that a bare number would be read.
    let comma = text.replace("scale = 645", "scale = \"645,5 mm\"");
    assert!(problems(&comma).iter().all(|p| !p.what().contains("bare number")));
}

#[test]
fn dependent_readings_are_asked_for() {
    let by_reference = |extra: &str| {
        GOOD.replace("read_by = \"straightedge\"", "read_by = \"reference saddle\"")
            .replace("edge_from_fret_12 = { bass = 324.5, treble = 323 }\n", "")
            .replace("bridge_top = { bass = 0.4, treble = 0.5 }\n", "")
            .replace("[bridge]", &format!("{extra}\n[bridge]"))
    };
    let whole = by_reference("[slot.reference]\ncontact_from_fret_12 = 325.5\nheight = 9\nback = 1.6");
    assert_eq!(problems(&whole), []);
    let none = problems(&by_reference(""));
    assert!(
        none.iter()
            .any(|p| p.field == "slot.reference" && p.name() == "Missing"),
        "{none:?}"
    );
    let half = problems(&by_reference("[slot.reference]\nheight = 9"));
    for key in ["contact_from_fret_12", "back"] {
        assert!(
            half.iter().any(|p| p.field == format!("slot.reference.{key}")),
            "{half:?}"
        );
    }
    // A new nut alone tells nothing of the present one.
    let new_nut = whole.replace("first_fret_clearance = {", "new_clearance = {");
    let found = problems(&new_nut);
    for field in ["slot.read_by", "present.cents_12"] {
        assert!(
            found
                .iter()
                .any(|p| p.field == field && p.what().contains("present nut")),
            "{found:?}"
        );
    }
    // No depth: a warning, no refusal.
    let no_depth = whole.replace("depth = { bass = 5.5, treble = 5.3 }\n", "");
    assert!(
        problems(&no_depth)
            .iter()
            .all(|p| p.severity == W && p.what().contains("depth"))
    );
    // No present action.
    let no_action = whole.replace("action_12 = { bass = 2.8, treble = 2.2 }\n", "");
    let found = problems(&no_action);
    assert!(
        found
            .iter()
            .any(|p| p.field == "present.action_12" && p.name() == "Missing"),
        "{found:?}"
    );
    // Offsets.
    let offsets = GOOD.replace("intonation = \"octave\"", "intonation = \"offsets\"");
    let found = problems(&offsets);
    assert!(
        found
            .iter()
            .any(|p| p.field == "target.offsets" && p.name() == "Missing"),
        "{found:?}"
    );
}

fn with_strings(extra: &str) -> Vec<Problem> {
    problems(&format!("{GOOD}\n{extra}"))
}

#[test]
fn spelled_out_strings_are_checked() {
    for (extra, field, severity, word) in [
        ("[[string]]\nnumber = 7\n", "string[1].number", E, "NotInSet"),
        (
            "[[string]]\nnumber = 1\n[[string]]\nnumber = 1\n",
            "string[2].number",
            E,
            "StringTwice",
        ),
        ("[[string]]\nnumber = 0\n", "string[1].number", E, "Outside"),
        ("[[string]]\ngauge = 1\n", "string[1].number", E, "Missing"),
        ("[[string]]\nnumber = 6\ncore = 1.6\n", "string[1].core", E, "NoString"),
        (
            "[[string]]\nnumber = 6\ncore = 0.3\n",
            "string[1].core",
            W,
            "DoubtfulCore",
        ),
        (
            "[[string]]\nnumber = 6\ngauge = 1.4\n",
            "string[1].gauge",
            W,
            "CoreOfSet",
        ),
        (
            "[[string]]\nnumber = 6\nwrap = \"bronze\"\n",
            "string[1].wrap",
            E,
            "NoSuchName",
        ),
        (
            "[[string]]\nnumber = 6\nmaterial = \"steel\"\n",
            "string[1].material",
            E,
            "NotOfWound",
        ),
        (
            "[[string]]\nnumber = 1\ncore = 0.2\n",
            "string[1].core",
            E,
            "NotOfPlain",
        ),
        (
            "[[string]]\nnumber = 1\nkind = \"wound\"\n",
            "string[1]",
            E,
            "NameMissing",
        ),
        (
            "[[string]]\nnumber = 1\nkind = \"wound\"\ncore_material = \"gut\"\nwrap = \"silver-plated copper\"\n",
            "string[1]",
            E,
            "CoreMissing",
        ),
        (
            "[[string]]\nnumber = 1\nkind = \"wound\"\ngauge = 0.3\ncore_material = \"nylon\"\nwrap = \"silver-plated copper\"\n",
            "string[1]",
            E,
            "CoreMissing",
        ),
        (
            "[[string]]\nnumber = 1\nkind = \"wound\"\ngauge = 0.6\ncore_material = \"steel\"\nwrap = \"nickel\"\n",
            "string[1]",
            W,
            "CoreByRule",
        ),
        (
            "[[string]]\nnumber = 1\nkind = \"wound\"\ngauge = 0.7\ncore_material = \"nylon\"\nwrap = \"silver-plated copper\"\n",
            "string[1]",
            W,
            "StringByRule",
        ),
        (
            "[[string]]\nnumber = 1\nmaterial = \"stel\"\n",
            "string[1].material",
            E,
            "NoSuchName",
        ),
        (
            "[[string]]\nnumber = 1\nnote = \"D4\"\n",
            "string[1].note",
            E,
            "TwoNotes",
        ),
        ("[[string]]\nnumber = 1\nnote = \"Q4\"\n", "string[1].note", E, "NoNote"),
        ("[[string]]\nnumber = 1\nguage = 0.3\n", "string[1].guage", E, "Unknown"),
        (
            "[[string]]\nnumber = 1\nlinear_density = 0\n",
            "string[1].linear_density",
            E,
            "Outside",
        ),
        (
            "[[string]]\nnumber = 1\nlinear_density = 0.56\nstretch_response = 80\nmaterial = \"steel\"\n",
            "string[1].material",
            W,
            "ConstructionUnused",
        ),
        (
            "[[string]]\nnumber = 4\nstretch_factor = 4\n",
            "string[1].stretch_factor",
            E,
            "Outside",
        ),
        (
            "[[string]]\nnumber = 4\nstretch_factor = 2.5\n",
            "string[1].stretch_factor",
            W,
            "Doubtful",
        ),
        (
            "[[string]]\nnumber = 4\nstretch_factor = \"1.1\"\n",
            "string[1].stretch_factor",
            E,
            "NoNumber",
        ),
        (
            "[[string]]\nnumber = 6\nstretch_factor = 1.1\n",
            "string[1].stretch_factor",
            E,
            "StretchTwice",
        ),
    ] {
        let found = with_strings(extra);
        let hit = found
            .iter()
            .find(|p| p.field == field && p.severity == severity && p.name() == word);
        assert!(hit.is_some(), "{extra}: {found:?}");
        assert!(hit.unwrap().line.unwrap() > GOOD.lines().count(), "{extra}");
    }
    // A measured string keeps no mass under another gauge.
    let nylon = GOOD.replace("light bronze 12-53", "nylon normal tension");
    let found = problems(&format!("{nylon}\n[[string]]\nnumber = 3\ngauge = 1.0\n"));
    assert!(
        found.iter().any(|p| p.field == "string[1].gauge" && p.severity == E),
        "{found:?}"
    );
    // Without a set, the strings that are not spelled out are missed.
    let found = problems(&format!(
        "{}\n[[string]]\nnumber = 2\n",
        GOOD.replace("set = \"light bronze 12-53\"\n", "")
    ));
    assert!(
        found.iter().any(|p| p.what().contains("String 1 of 2 is missing")),
        "{found:?}"
    );
}

#[test]
fn pairs_need_their_distances_and_room() {
    let pairs = GOOD.replace("courses = \"single\"", "courses = [1, 2, 2, 1]");
    let found = problems(&pairs);
    for field in ["strings.nut_pair", "strings.saddle_pair"] {
        assert!(
            found.iter().any(|p| p.field == field && p.name() == "Missing"),
            "{found:?}"
        );
    }
    let given = pairs.replace("a4 = 440", "nut_pair = 2\nsaddle_pair = 3");
    assert_eq!(problems(&given), []);
    let tight = given.replace("nut_pair = 2", "nut_pair = 0.8");
    assert!(
        problems(&tight)
            .iter()
            .any(|p| p.field == "strings.nut_spread" && p.what().contains("do not fit"))
    );
}

/// What would cost minutes is refused by a figure, at its line, before it is begun.
#[test]
fn what_takes_too_long_is_refused_at_its_line() {
    let mut profiles = Profiles::built_in();
    let ball = "[[cutter]]\nname = \"hair\"\nnumber = 7\nshape = \"ball\"\ndiameter = \"0.05 mm\"\nflutes = 2\ncutting_length = \"0.5 mm\"\nstick_out = \"15 mm\"\nshank = \"3.175 mm\"\ncollet = \"12 mm\"\nsource = \"invented\"\n";
    profiles.add_text("own", ball).unwrap();
    for (cut, line) in [
        ("[cut]\nfinisher = \"hair\"\nscallop = \"0.0005 mm\"\n", 3),
        ("[cut]\nfinisher = \"hair\"\n", 2),
    ] {
        let text = format!("{GOOD}\n{cut}");
        let refused = read(&text, &profiles).unwrap_err();
        let found = refused
            .iter()
            .find(|p| p.what().contains("goes over the crown"))
            .unwrap();
        assert_eq!(found.line, Some(GOOD.lines().count() + 1 + line), "{found}");
        assert!(
            found.what().contains("1000 is the most") && found.severity == Severity::Error,
            "{found}"
        );
    }
    // A fine finish with a usual ball is taken.
    let fine = format!("{GOOD}\n[cut]\nscallop = \"0.0005 mm\"\n");
    assert!(read(&fine, &profiles).is_ok());
}

#[test]
fn long_titles_and_names_are_refused() {
    let title = |n: usize| changed("title = \"Good\"", &format!("title = \"{}\"", "é".repeat(n)));
    assert!(problems(&title(200).0).iter().all(|p| p.severity == Severity::Warning));
    let (text, line) = title(201);
    let found = problems(&text).into_iter().find(|p| p.field == "title").unwrap();
    assert!(
        found.line == Some(line) && found.what().contains("201 characters"),
        "{found}"
    );
    let name = |n: usize| {
        format!(
            "# a wrap\n[[wrap]]\nname = \"{}\"\ndensity = 8\nsource = \"invented\"\n",
            "w".repeat(n)
        )
    };
    let mut profiles = Profiles::built_in();
    assert_eq!(profiles.add_text("own", &name(80)), Ok(()));
    let refused = profiles.add_text("own", &name(81)).unwrap_err();
    assert!(
        refused[0].line == Some(2) && refused[0].what().contains("80 is the most"),
        "{refused:?}"
    );
    assert!(refused[0].to_string().len() < 300, "{refused:?}");
}

/// Of very many problems fifty are shown, errors first, and the rest is counted.
#[test]
fn very_many_problems_are_counted() {
    let unknown: String = (0..2000).map(|n| format!("k{n} = 1\n")).collect();
    let (doubtful, _) = changed("title = \"Good\"", "title = \"x\"");
    let found = problems(&format!("{unknown}{doubtful}"));
    assert!(found.len() >= 2000);
    let (shown, more) = job::shown(&found);
    assert_eq!((shown.len(), shown.len() + more), (50, found.len()));
    assert!(shown.iter().all(|p| p.severity == Severity::Error));
    assert!(shown.windows(2).all(|pair| pair[0].line <= pair[1].line));
    let (all, none) = job::shown(&found[..50]);
    assert_eq!((all.len(), none), (50, 0));
    let long = format!("{} = 1\n{GOOD}", "k".repeat(50_000));
    assert!(problems(&long).iter().all(|p| p.to_string().len() < 1000));
}
