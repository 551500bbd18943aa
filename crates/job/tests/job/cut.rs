//! `[cut]` and the profiles that it names: what is read, what is refused, and the defaults.

use job::{CutJob, Problem, Profiles, Severity, read};
use machining::{CutterShape, Ends, Holding, SetupKind, Zero};
use std::sync::LazyLock;

static PROFILES: LazyLock<Profiles> = LazyLock::new(Profiles::built_in);

const GOOD: &str = include_str!("good.toml");

fn with(lines: &str) -> String {
    format!("{GOOD}\n[cut]\n{lines}\n")
}

fn cut(text: &str) -> CutJob {
    let checked = read(text, &PROFILES).unwrap_or_else(|problems| {
        panic!("{}", problems.iter().map(|p| format!("{p}\n")).collect::<String>());
    });
    assert_eq!(checked.warnings, []);
    checked.job.saddle.unwrap().cut
}

fn problems(text: &str) -> Vec<Problem> {
    match read(text, &PROFILES) {
        Ok(checked) => checked.warnings,
        Err(problems) => problems,
    }
}

#[test]
fn without_the_table_the_blank_is_the_stock() {
    let cut = cut(GOOD);
    assert_eq!(cut.kinds, [SetupKind::OnEdge]);
    let stock = cut.stock;
    assert_eq!(
        (stock.thickness, stock.height, stock.length, stock.bass_margin),
        (3.2, 12.0, 72.8, 0.0)
    );
    assert!(!cut.stock_measured && !cut.jaws_measured);
    assert_eq!(cut.ends, Ends::Round); // a drop-in saddle
    let setup = cut.setup(SetupKind::OnEdge).unwrap();
    assert_eq!(setup.material.name, "bone");
    assert_eq!(setup.rougher.shape, CutterShape::Flat);
    assert_eq!(setup.finisher.shape, CutterShape::Ball);
    assert!(matches!(setup.holding, Holding::Vise { jaw_height, .. } if (jaw_height - 4.8).abs() < 1e-9));
    // A real vise is longer than the saddle.
    assert_eq!(setup.jaw_x(), Some((-10.0, 82.8)));
    assert!(matches!(
        cut.setup(SetupKind::Flat).unwrap().holding,
        Holding::Tape { tabs: 2, .. }
    ));
}

#[test]
fn everything_given_is_kept() {
    let cut = cut(&with(
        "setup = \"both\"\nmachine = \"small ballscrew mill\"\nrougher = \"flat 2 mm\"\nfinisher = \"ball 1.5 mm\"\n\
         material = \"brass\"\nspindle = 9000\nstock = { height = 14, length = 80, bass_margin = 3 }\nzero = \"raw top\"\n\
         vise = { jaw_height = 6, jaw_thickness = 15, jaw_from = 5, jaw_to = 75 }\n\
         tape = { tabs = 0, tab_height = 0.2 }\nrough_allowance = 0.1\nscallop = 0.003\nclearance = 4\n\
         wings = { bass = [[0, 5], [4, 6]], treble = [[1, 5]] }",
    ));
    assert_eq!(cut.kinds, [SetupKind::Flat, SetupKind::OnEdge]);
    assert!(cut.outlined(SetupKind::OnEdge) && !cut.outlined(SetupKind::Flat));
    let setup = cut.setup(SetupKind::OnEdge).unwrap();
    assert_eq!(
        (setup.machine.name.as_str(), setup.machine.tool_lengths),
        ("small ballscrew mill", machining::ToolLengths::Table)
    );
    assert_eq!((setup.rougher.diameter, setup.finisher.diameter), (2.0, 1.5));
    assert_eq!((setup.material.name.as_str(), setup.spindle), ("brass", 9000.0));
    assert_eq!(
        (setup.stock.height, setup.stock.length, setup.stock.bass_margin),
        (14.0, 80.0, 3.0)
    );
    assert_eq!(setup.zero, Zero::RawTop);
    assert_eq!(
        setup.holding,
        Holding::Vise {
            jaw_height: 6.0,
            jaw_thickness: 15.0,
            jaw_x: (5.0, 75.0)
        }
    );
    assert_eq!(
        (setup.rough_allowance, setup.scallop, setup.clearance),
        (0.1, 0.003, 4.0)
    );
    assert_eq!(
        setup.ends,
        Ends::Winged {
            bass: vec![(0.0, 5.0), (4.0, 6.0)],
            treble: vec![(1.0, 5.0)]
        }
    );
}

/// Line in `[cut]`, field, severity, kind of the problem.
#[rustfmt::skip] // one row a line
const TABLE: &[(&str, &str, Severity, &str)] = &[
    ("setup = \"on its edge\"", "cut.setup", Severity::Error, "NoSuchWord"),
    ("machine = \"small belt ruoter\"", "cut.machine", Severity::Error, "NoSuchName"),
    ("rougher = 3", "cut.rougher", Severity::Error, "NoText"),
    ("finisher = \"ball\"", "cut.finisher", Severity::Error, "NoSuchName"),
    ("material = \"moon rock\"", "cut.material", Severity::Error, "NoSuchName"),
    ("spindle = \"12000\"", "cut.spindle", Severity::Error, "NoNumber"),
    ("spindle = 12", "cut.spindle", Severity::Error, "Outside"),
    ("spindle = 500", "cut.spindle", Severity::Warning, "Doubtful"),
    ("stock = 14", "cut.stock", Severity::Error, "NoTable"),
    ("stock = { heigth = 14 }", "cut.stock.heigth", Severity::Error, "Unknown"),
    ("stock = { thickness = 3.4 }", "cut.stock.thickness", Severity::Error, "OtherThickness"),
    ("stock = { bass_margin = 3 }", "cut.stock.bass_margin", Severity::Error, "StockTooShort"),
    ("stock = { length = 60 }", "cut.stock.length", Severity::Error, "StockTooShort"),
    ("stock = { height = 200 }", "cut.stock.height", Severity::Error, "Outside"),
    ("zero = \"top\"", "cut.zero", Severity::Error, "NoSuchWord"),
    ("vise = { jaw_height = 12 }", "cut.vise.jaw_height", Severity::Error, "JawsAsHighAsStock"),
    ("vise = { jaw_from = 50, jaw_to = 40 }", "cut.vise", Severity::Error, "JawsReversed"),
    ("tape = { tabs = 1.5 }", "cut.tape.tabs", Severity::Error, "NoWholeNumber"),
    ("tape = { tab_height = 3.5 }", "cut.tape.tab_height", Severity::Error, "TabsAsHighAsStock"),
    ("tape = { tab_length = 20 }", "cut.tape.tab_length", Severity::Warning, "Doubtful"),
    ("ends = \"winged\"", "cut.wings", Severity::Error, "Missing"),
    ("ends = \"square\"\nwings = { bass = [[0, 5]], treble = [[0, 5]] }", "cut.wings", Severity::Error, "WingsUnused"),
    ("wings = { bass = [[0, 5]] }", "cut.wings.treble", Severity::Error, "Missing"),
    ("wings = { bass = [], treble = [[0, 5]] }", "cut.wings.bass", Severity::Error, "Expected"),
    ("wings = { bass = [[0, 5], [2, 4]], treble = [[0, 5]] }", "cut.wings.bass[2]", Severity::Error, "WingFalls"),
    ("wings = { bass = [[0, 5, 6]], treble = [[0, 5]] }", "cut.wings.bass[1]", Severity::Error, "Expected"),
    ("rough_allowance = 5", "cut.rough_allowance", Severity::Error, "Outside"),
    ("scallop = \"5 mil\"", "cut.scallop", Severity::Error, "Unreadable"),
    ("clearance = 0", "cut.clearance", Severity::Error, "Outside"),
];

#[test]
fn what_is_wrong_is_told_where_it_stands() {
    for (line, field, severity, word) in TABLE {
        let found = problems(&with(line));
        assert!(
            found
                .iter()
                .any(|p| p.field == *field && p.severity == *severity && p.name() == *word),
            "{line}: {found:?}"
        );
        assert!(
            found.iter().all(|p| p.line.unwrap() > GOOD.lines().count()),
            "{line}: {found:?}"
        );
    }
}

#[test]
fn all_at_once() {
    let found = problems(&with(
        "spindle = 12\nzero = \"x\"\nclearance = 0\nstock = { height = 200 }",
    ));
    assert_eq!(found.len(), 4, "{found:?}");
}

const CUTTER: &str = "[[cutter]]\nname = \"mine\"\nnumber = 9\nshape = \"ball\"\ndiameter = \"2 mm\"\nflutes = 2\n\
                      cutting_length = \"6 mm\"\nstick_out = \"20 mm\"\nshank = \"3 mm\"\ncollet = \"16 mm\"\nsource = \"measured\"\n";

/// A built-in profile file with one text replaced, and what is said of it.
#[rustfmt::skip] // one row a line
const PROFILE_TABLE: &[(&str, &str, &str, &str)] = &[
    (CUTTER, "number = 9", "number = 0", "1 to 99"),
    (CUTTER, "\"2 mm\"", "\"2\"", "no unit"),
    (CUTTER, "\"2 mm\"", "\"-2 mm\"", "positive"),
    (CUTTER, "\"20 mm\"", "\"5 mm\"", "sticks out"),
    (CUTTER, "\"ball\"", "\"tapered ball\"", "`tip_radius` is missing"),
    (CUTTER, "flutes = 2", "flutes = 2\nside_angle = 5", "has none"),
    (CUTTER, "shape = \"ball\"", "shape = \"V\"\nside_angle = 95", "less than 90"),
    (CUTTER, "flutes", "edges", "edges"),
    (include_str!("../../../../profiles/machines.toml"), "\"M3\"", "\"G3\"", "no M word"),
    (include_str!("../../../../profiles/machines.toml"), "[8000, 24000]", "[24000, 8000]", "slowest speed comes first"),
    (include_str!("../../../../profiles/machines.toml"), "[3000, 3000, 800]", "[3000, 0, 800]", "above 0"),
    (include_str!("../../../../profiles/machines.toml"), "\"XYZFSP\"", "\"xyz\"", "capital letters"),
    (include_str!("../../../../profiles/machines.toml"), "spindle_up = 3", "spindle_up = 300", "0 to 60 s"),
    (include_str!("../../../../profiles/machines.toml"), "\"table\"\n", "\"tables\"\n", "It is one of \"table\""),
    (include_str!("../../../../profiles/machines.toml"), "\"table\"\n", "\"table\"\ntool_change = true\n", "Leave `tool_change` out"),
    (include_str!("../../../../profiles/machines.toml"), "\"G43\", ", "", "needs G43, M6, T and H"),
    (include_str!("../../../../profiles/machines.toml"), "\"one-program-a-tool\"\nline_most = 80\ng = [\"G0\", \"G1\", \"G4\"", "\"touch-off\"\ng = [\"G0\", \"G1\", \"G4\"", "needs M0"),
    (include_str!("../../../../profiles/machines.toml"), "top_z = \"0 mm\"\n", "", "`top_z` is needed"),
    (include_str!("../../../../profiles/machines.toml"), "line_most = 256", "line_most = 20", "60 to 256"),
    (include_str!("../../../../profiles/cutting.toml"), "chip = \"0.03 mm\"", "chip = \"0.3 mm\"", "then comes the wanted one"),
    (include_str!("../../../../profiles/cutting.toml"), "step_over = 0.3", "step_over = 3", "share of the cutter"),
    (include_str!("../../../../profiles/cutting.toml"), "speed_most = 150", "speed_most = -1", "m/min"),
];

#[test]
fn profiles_are_checked() {
    for (text, old, new, word) in PROFILE_TABLE {
        let mut profiles = PROFILES.clone();
        assert_eq!(profiles.add_text("f.toml", text), Ok(()));
        assert!(text.contains(old), "{old}");
        let found = profiles.add_text("f.toml", &text.replacen(old, new, 1)).unwrap_err();
        assert!(
            found.iter().any(|p| p.what().contains(word) && p.line.is_some()),
            "{new}: {found:?}"
        );
    }
}

/// What a profile says of tool lengths; one that only says that tools are changed says nothing of them, and is taken so.
#[test]
fn what_is_said_of_tool_lengths() {
    use machining::ToolLengths;
    let machines = include_str!("../../../../profiles/machines.toml");
    let lengths = |text: &str, name: &str| {
        let mut profiles = PROFILES.clone();
        assert_eq!(profiles.add_text("f.toml", text), Ok(()));
        let found = profiles.machines().iter().find(|m| m.name == name).unwrap();
        (found.tool_lengths, found.line_most)
    };
    assert_eq!(lengths(machines, "small belt router"), (ToolLengths::OneProgram, 80));
    assert_eq!(lengths(machines, "small screw router"), (ToolLengths::TouchOff, 80));
    assert_eq!(lengths(machines, "small ballscrew mill"), (ToolLengths::Table, 256));
    let older = machines
        .replace("tool_lengths = \"table\"", "tool_change = true")
        .replace("line_most = 256\n", "");
    assert_eq!(lengths(&older, "small ballscrew mill"), (ToolLengths::OneProgram, 80));
}

#[test]
fn a_cutter_of_ones_own_is_found() {
    let mut profiles = PROFILES.clone();
    profiles.add_text("mine.toml", CUTTER).unwrap();
    let job = read(&with("finisher = \"mine\""), &profiles).unwrap().job;
    assert_eq!(
        (
            job.saddle.as_ref().unwrap().cut.finisher.number,
            job.saddle.as_ref().unwrap().cut.finisher.collet_diameter
        ),
        (9, 16.0)
    );
    // The same number twice in one job is refused: the program could not tell them apart.
    profiles
        .add_text("mine.toml", &CUTTER.replace("number = 9", "number = 1"))
        .unwrap();
    let found = read(&with("finisher = \"mine\""), &profiles).unwrap_err();
    assert!(
        found
            .iter()
            .any(|p| p.field == "cut.finisher" && p.what().contains("tool number 1")),
        "{found:?}"
    );
}

const PARLOUR: &str = include_str!("../../../../examples/parlour.toml");
const DROP_IN: &str = include_str!("../../../../examples/nylon-drop-in.toml");
/// The parlour's ends as they could be traced, in inches.
const WINGS: &str = "wings = { bass = \"0: 0.170; 1/8: 0.195; 1/4: 0.250; 3/8: 0.340\", treble = \"0: 0.165; 1/8: 0.185; 1/4: 0.235; 3/8: 0.300\" }";

/// Ends as the cut makes them, or the kinds of what is wrong with it.
fn ends(job: &str, blank: &str, cut: &str) -> Result<Ends, Vec<&'static str>> {
    let text = job.replace("\n[blank]\n", &format!("\n[blank]\n{blank}\n")) + "\n[cut]\n" + cut;
    match read(&text, &Profiles::built_in()) {
        Ok(checked) => Ok(checked.job.saddle.unwrap().cut.ends),
        Err(problems) => Err(problems
            .iter()
            .filter(|problem| problem.severity == Severity::Error)
            .map(job::Problem::name)
            .collect()),
    }
}

/// The ends are said once, with the blank; a cut follows them, may leave them to the file, and does not say otherwise.
#[test]
fn the_ends_of_the_blank_are_those_of_the_cut() {
    let as_blank = ends(PARLOUR, WINGS, "").unwrap();
    let Ends::Winged { bass, treble } = &as_blank else {
        panic!("{as_blank:?}");
    };
    assert_eq!((bass.len(), treble.len()), (4, 4));
    assert!((bass[3].0 - 9.525).abs() < 1e-9 && (bass[3].1 - 8.636).abs() < 1e-9);
    assert_eq!(ends(PARLOUR, WINGS, "ends = \"winged\"").unwrap(), as_blank);
    assert_eq!(ends(PARLOUR, WINGS, "ends = \"square\""), Ok(Ends::Square));
    // Said again, as a list and in another unit, and otherwise.
    let same = "wings = { bass = [[0, \"4.318 mm\"], [\"1/8\", 0.195], [\"1/4\", 0.25], [\"3/8\", 0.34]], treble = [[0, 0.165], [0.125, 0.185], [0.25, 0.235], [0.375, 0.3]] }";
    let Ok(Ends::Winged { bass: again, .. }) = ends(PARLOUR, WINGS, same) else {
        panic!("{same}");
    };
    assert!(again.iter().zip(bass).all(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1) < 1e-9));
    assert_eq!(
        ends(PARLOUR, WINGS, &same.replace("0.34]", "0.36]")),
        Err(vec!["WingsTwice"])
    );
    assert_eq!(
        ends(PARLOUR, WINGS, &same.replace(", [0.375, 0.3]", "")),
        Err(vec!["WingsTwice"])
    );
    // A drop-in: round from face to face, or left to the file.
    assert_eq!(ends(DROP_IN, "", ""), Ok(Ends::Round));
    assert_eq!(ends(DROP_IN, "end_radius = \"0.5 mm\"", ""), Ok(Ends::Square));
    assert_eq!(
        ends(DROP_IN, "end_radius = \"0.5 mm\"", "ends = \"round\""),
        Err(vec!["RoundOtherwise"])
    );
}

/// What lies under the saddle lifts it off the floor from which the contour was read.
#[test]
fn a_contour_counts_from_the_floor_and_not_from_the_blank() {
    let traced = PARLOUR.replace("\n[blank]\n", &format!("\n[blank]\n{WINGS}\n"));
    let under = traced.replace("\n[slot]\n", "\n[slot]\nunder = \"1 mm\"\n");
    let wings = |text: &str| {
        let job = read(text, &Profiles::built_in()).unwrap().job;
        job.saddle.unwrap().survey.blank.wings.unwrap()
    };
    let (plain, lifted) = (wings(&traced), wings(&under));
    for (a, b) in plain.bass().iter().zip(lifted.bass()) {
        assert!(a.0 == b.0 && (a.1 - b.1 - 1.0).abs() < 1e-12);
    }
}
