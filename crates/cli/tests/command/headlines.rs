//! Surveys with the headline that a master would give them, half of them sound. Each row names its rule: a limit with its source, or
//! `common practice, no source`. What is said first is alike in `check`, `plan`, `draw`, `cut`, `assess`, on the page and on the
//! owner's sheet, and so are the exit codes.

use crate::binary::{bonewright, example, run};
use job::Profiles;
use pages::{Bench, Fields, JobName, Jobs, MemoryJobs, Method, Reply, reply};
use serde_json::Value;

/// What a master would say first.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Says {
    /// Make the saddle; nothing speaks against it.
    Clear,
    /// Make it, and mind something.
    Watch,
    /// Make it once something else is put right.
    Once,
    /// Something else comes first.
    First,
    /// It will not play in tune in this slot.
    NotInTune,
    /// The neck comes first.
    Neck,
    /// It would stand too tall.
    Tall,
    /// It cannot be said.
    Open,
    /// No such saddle can be made.
    Impossible,
    /// It may split the bridge.
    Unsafe,
}

impl Says {
    /// Whether plan, draw and cut go ahead.
    fn goes(self) -> bool {
        !matches!(self, Self::Impossible | Self::Unsafe)
    }

    fn words(self) -> &'static str {
        match self {
            Self::Clear => "A saddle alone is the remedy. Nothing",
            Self::Watch => "A saddle alone is the remedy. Bear in mind",
            Self::Once => "A saddle alone is the remedy, once",
            Self::First => "First put",
            Self::NotInTune => "A saddle alone brings the action, but in this slot not the intonation.",
            Self::Neck => "A saddle is not the remedy: there is too little room",
            Self::Tall => "A saddle is not the remedy: it would stand too tall.",
            Self::Open => "Whether a saddle alone is the remedy cannot be said",
            Self::Impossible => "No: this saddle cannot be made.",
            Self::Unsafe => "No: the bridge would not bear this saddle safely.",
        }
    }
}

impl Says {
    /// Words of the owner's headline.
    fn to_the_owner(self) -> &'static str {
        match self {
            Self::Clear => "is the right repair, and nothing else is needed.",
            Self::Watch => "is the right repair. Some things are to be watched.",
            Self::Once => "is the right repair, once the points below are seen to.",
            Self::First => "must be put right and the instrument measured again",
            Self::NotInTune => "some would stay out of tune up the neck",
            Self::Neck => "the neck must be set",
            Self::Tall => "it would stand too tall",
            Self::Open => "cannot be said yet",
            Self::Impossible => "No new saddle can be made for this instrument as it stands",
            Self::Unsafe => "would put the bridge at risk",
        }
    }
}

/// One survey: its rule, the example it starts from, what is changed in it, and what is said.
struct Row {
    rule: &'static str,
    from: &'static str,
    edits: &'static [(&'static str, &'static str)],
    says: Says,
    /// Words that name the reason.
    why: &'static str,
}

impl Row {
    /// The headline's beginning; a saddle that counts on a new nut or on work on a zero fret is no saddle alone.
    fn words(&self, text: &str) -> String {
        let has = |words: &[&str]| words.iter().any(|word| text.contains(word));
        let remedy = if has(&["[nut_blank]", "new_clearance", "new_held_at_3"]) {
            "A saddle with the new nut"
        } else if has(&["zero_fret = \"dressed\"", "zero_fret = \"new wire\""]) {
            "A saddle, with the work on the zero fret,"
        } else {
            "A saddle alone"
        };
        let words = self.says.words();
        words
            .strip_prefix("A saddle alone")
            .map_or_else(|| words.to_owned(), |rest| remedy.to_owned() + rest)
    }
}

const fn row(
    rule: &'static str,
    from: &'static str,
    edits: &'static [(&'static str, &'static str)],
    says: Says,
    why: &'static str,
) -> Row {
    Row {
        rule,
        from,
        edits,
        says,
        why,
    }
}

const ACTION: &str = "action_12 = { bass = 2.4, treble = 1.8 }";
const GAP: &str = "first_fret_clearance = { bass = 0.5, treble = 0.35 }";
const TOP: &str = "bridge_top = { bass = 0.3, treble = 0.3 }";
const DEPTH: &str = "depth = { bass = 5.5, treble = 5.5 }";

#[rustfmt::skip]
const ROWS: &[Row] = &[
    // Impossible by geometry: no figure makes up for it.
    row("what lies under the saddle fills the slot", "sound", &[(DEPTH, "under = 5.5\ndepth = { bass = 5.5, treble = 5.5 }")], Says::Impossible, "Nothing of the saddle would stand in the slot"),
    row("what lies under the saddle is thicker than the slot is deep at the treble", "sound", &[(DEPTH, "under = 3\ndepth = { bass = 5.5, treble = 2.9 }")], Says::Impossible, "Nothing of the saddle would stand in the slot"),
    row("a string below the bridge top", "sound", &[(TOP, "bridge_top = { bass = 5, treble = 5 }")], Says::Impossible, "at or below the bridge top"),
    row("one string below the bridge top", "sound", &[(TOP, "bridge_top = { bass = 0.3, treble = 4.9 }")], Says::Impossible, "at or below the bridge top"),
    row("strings on fret 1", "sound", &[(GAP, "first_fret_clearance = { bass = 0.1, treble = 0.05 }"), (ACTION, "action_12 = { bass = 1.0, treble = 0.8 }")], Says::Impossible, "fret 1"),
    row("strings on the frets beyond the hand", "sound", &[(ACTION, "action_12 = { bass = 0.3, treble = 0.3 }")], Says::Impossible, "touches fret"),
    row("a crown over the blank", "sound", &[("height = 12", "height = 9")], Says::Impossible, "blank is too low"),
    row("a crown over the blank of another instrument", "parlour", &[("height = \"1/2\"", "height = \"5/16\"")], Says::Impossible, "blank is too low"),
    row("a bridge top far under the line, so that the blank is too low", "sound", &[(TOP, "bridge_top = { bass = -4, treble = -4 }")], Says::Impossible, "blank is too low"),
    row("a string that passes over the saddle", "sound", &[(TOP, "bridge_top = { bass = 3.9, treble = 3.9 }"), ("string_exit = \"pin holes\"", "string_exit = \"tie block\"\nabove_bridge_top = 6")], Says::Impossible, "press on the saddle"),
    row("strings on fret 1 over a worn zero fret", "sound", &[(GAP, "zero_fret = \"kept\"\nzero_fret_above = -0.5")], Says::Impossible, "fret 1"),
    // Unsafe by strength or share.
    row("the job's own limit of the share in the slot", "sound", &[("humidity = 47", "humidity = 47\nleast_in_slot = 0.7")], Says::Unsafe, "70 %"),
    row("a third of the saddle in the slot: common practice, no source", "sound", &[(DEPTH, "depth = { bass = 2, treble = 2 }")], Says::Unsafe, "third"),
    row("a third at the treble end alone", "sound", &[(DEPTH, "depth = { bass = 5.5, treble = 1.2 }")], Says::Unsafe, "third"),
    row("a pickup that lifts the saddle out of its slot", "sound", &[(DEPTH, "under = 3\ndepth = { bass = 4.9, treble = 4.9 }")], Says::Unsafe, "third"),
    row("the job's own limit of the pressure on the front wall", "sound", &[("humidity = 47", "humidity = 47\nmost_pressure = 0.1")], Says::Unsafe, "front wall"),
    // The same, accepted in so many words.
    row("accepted: the share in the slot", "sound", &[("humidity = 47", "humidity = 47\nleast_in_slot = 0.7\naccept = [\"slot\"]")], Says::Watch, "The job accepts too little of the saddle in its slot"),
    row("accepted: a third", "sound", &[(DEPTH, "depth = { bass = 2, treble = 2 }"), ("humidity = 47", "humidity = 47\naccept = [\"slot\"]")], Says::Watch, "The job accepts too little of the saddle in its slot"),
    row("accepted: the front wall", "sound", &[("humidity = 47", "humidity = 47\nmost_pressure = 0.1\naccept = [\"front wall\"]")], Says::Watch, "The job accepts an unsafe load on the front wall"),
    // Something else is the remedy.
    row("least exposure 1.6 mm: common practice, no source", "sound", &[(TOP, "bridge_top = { bass = 2.6, treble = 2.6 }")], Says::Neck, "neck"),
    row("most exposure 4.8 mm, magazine column 2013, and a quarter", "sound", &[(TOP, "bridge_top = { bass = -2.2, treble = -2.2 }"), ("height = 12", "height = 15")], Says::Tall, "tall"),
    row("relief 0 to 0.38 mm, a maker's table", "sound", &[("relief = 0.2", "relief = 0.55")], Says::First, "relief"),
    row("a back-bow", "sound", &[("relief = 0.2", "relief = -0.1")], Says::First, "relief"),
    row("gap over fret 1 at most 0.65 mm: common practice, no source", "sound", &[(GAP, "first_fret_clearance = { bass = 1.0, treble = 0.8 }")], Says::First, "nut"),
    row("gap over fret 1 at least 0.1 mm: common practice, no source", "sound", &[(GAP, "first_fret_clearance = { bass = 0.1, treble = 0.06 }")], Says::First, "nut"),
    row("a zero fret worn low: gap over fret 1 at least 0.1 mm", "sound", &[(GAP, "zero_fret = \"kept\"\nzero_fret_above = -0.15")], Says::First, "zero fret"),
    row("a zero fret too high: gap over fret 1 at most 0.65 mm", "sound", &[(GAP, "zero_fret = \"kept\"\nzero_fret_above = 0.6")], Says::First, "zero fret"),
    row("humidity 40 to 55 %: common practice, no source", "sound", &[("humidity = 47", "humidity = 70")], Says::First, "humidity"),
    row("dry", "sound", &[("humidity = 47", "humidity = 25")], Says::First, "humidity"),
    row("damp by the book, where nobody read it for the assessment", "sound", &[("[assess]\nhumidity = 47", "[book]\nhumidity_in = 70")], Says::First, "humidity"),
    row("error at fret 12 within 3 cents: common practice, no source", "parlour", &[], Says::NotInTune, "fret 12"),
    row("break angle at least 12 degrees: common practice, no source", "eight-string", &[], Says::Once, "bend"),
    row("the depth of the slot was not read", "nylon-drop-in", &[("depth = 5.2              # depth rod, both ends alike", "")], Says::Open, "depth of the slot"),
    row("a neck that is due", "neck-set-due", &[], Says::Neck, "neck"),
    // Sound.
    row("in order", "sound", &[], Says::Clear, ""),
    row("without humidity, which decides nothing here", "sound", &[("humidity = 47", "")], Says::Clear, ""),
    row("damp by the book, and in order as it was read", "sound", &[("[assess]\n", "[book]\nhumidity_in = 70\n\n[assess]\n")], Says::Clear, ""),
    row("in order by the book", "sound", &[("[assess]\nhumidity = 47", "[book]\nhumidity_in = 45\nhumidity_out = 70")], Says::Clear, ""),
    row("damp within reason", "sound", &[("humidity = 47", "humidity = 54")], Says::Clear, ""),
    row("dry within reason", "sound", &[("humidity = 47", "humidity = 41")], Says::Clear, ""),
    row("little relief", "sound", &[("relief = 0.2", "relief = 0.05")], Says::Clear, ""),
    row("much relief", "sound", &[("relief = 0.2", "relief = 0.35")], Says::Clear, ""),
    row("no wood named", "sound", &[("wood = \"Indian rosewood\"", "")], Says::Clear, ""),
    row("no front wall read", "sound", &[("front_wall = { bass = 7, treble = 9 }", "")], Says::Clear, ""),
    row("a softer wood bears it too", "sound", &[("wood = \"Indian rosewood\"", "wood = \"black walnut\"")], Says::Clear, ""),
    row("a higher action", "sound", &[(ACTION, "action_12 = { bass = 2.8, treble = 2.2 }")], Says::Clear, ""),
    row("a lower action", "sound", &[(ACTION, "action_12 = { bass = 2.3, treble = 1.7 }")], Says::Clear, ""),
    row("equal action", "sound", &[(ACTION, "action_12 = 2.1")], Says::Clear, ""),
    row("a tighter nut", "sound", &[(GAP, "first_fret_clearance = { bass = 0.35, treble = 0.25 }")], Says::Clear, ""),
    row("a fall that the plan chooses makes no finding", "sound", &[("back_fall = \"28 deg\"                   # steep enough that the strings bend at the ridge and not at the back edge", "")], Says::Clear, ""),
    row("a flat back fall that leaves enough bend at the ridge", "sound", &[("back_fall = \"28 deg\"", "back_fall = \"20 deg\"")], Says::Clear, ""),
    row("a thin pickup in a deep slot", "sound", &[(DEPTH, "under = 0.6\ndepth = { bass = 6.1, treble = 6.1 }")], Says::Clear, ""),
    row("another radius", "sound", &[("board_radius = 406", "board_radius = 305")], Says::Clear, ""),
    row("a shorter scale of the same bridge", "sound", &[("scale = 645", "scale = 644")], Says::Clear, ""),
    row("a synthetic blank", "sound", &[("material = \"bone\"", "material = \"paper phenolic\"")], Says::Clear, ""),
    row("a higher blank", "sound", &[("height = 12", "height = 14")], Says::Clear, ""),
    row("a slightly leaning slot", "sound", &[("lean = \"0 deg\"", "lean = \"2 deg\"")], Says::Clear, ""),
    row("heavier strings", "sound", &[("light bronze 12-53", "medium bronze 13-56")], Says::Clear, ""),
    row("lighter strings", "sound", &[("light bronze 12-53", "extra light bronze 11-52")], Says::Clear, ""),
    row("limits of the job that are the usual ones", "sound", &[("humidity = 47", "humidity = 47\nleast_exposure = 1.6\nmost_exposure = 4.8\nleast_in_slot = 0.45\nmost_pressure = 0.5")], Says::Clear, ""),
    row("accepting what is not there changes nothing", "sound", &[("humidity = 47", "humidity = 47\naccept = [\"front wall\", \"slot\"]")], Says::Clear, ""),
    row("a nut beside it", "parlour-both", &[], Says::Clear, ""),
    row("a level zero fret", "sound", &[(GAP, "zero_fret = \"kept\"\nzero_fret_above = 0")], Says::Clear, ""),
    row("a zero fret that is dressed", "sound", &[(GAP, "zero_fret = \"dressed\"\ndressed = 0.5\nzero_fret_above = 0.6")], Says::Clear, ""),
    row("new wire for a worn zero fret", "sound", &[(GAP, "zero_fret = \"new wire\"\nnew_wire = 0.2\nheld_at_3 = 0")], Says::Clear, ""),
    row("fanned frets with a new nut", "fanned-seven", &[], Says::Clear, ""),
    row("a zero fret of higher wire that is dressed", "zero-fret", &[], Says::Clear, ""),
    row("pairs over a fixed bridge", "mandolin", &[], Says::Clear, ""),
    row("four strings in line", "tenor-ukulele", &[], Says::Clear, ""),
    row("twelve strings", "twelve-string", &[], Says::Clear, ""),
    row("a tall saddle in a deep slot that the job allows", "nylon-drop-in", &[], Says::Watch, ""),
    row("nylon with a nut beside it", "nylon-nut", &[], Says::Watch, ""),
    row("a small instrument with little in the slot", "baritone-ukulele", &[], Says::Watch, ""),
];

fn survey(row: &Row) -> String {
    let mut text = std::fs::read_to_string(example(&format!("{}.toml", row.from))).unwrap();
    for (old, new) in row.edits {
        assert!(text.contains(old), "{}: {old} is not in {}", row.rule, row.from);
        text = text.replacen(old, new, 1);
    }
    text
}

/// What the owner is told first.
fn owner_says(text: &str) -> String {
    let done = work::planned(job::read(text, &Profiles::built_in()).unwrap().job);
    let saddle = done.saddle().unwrap();
    let (found, stops) = (saddle.assess(), saddle.stops());
    let of = report::Assessed::of(&saddle, &found, &stops, saddle.job.bench);
    report::owner_sheet(&of, &saddle.proposed(&found), saddle.hazards()).headline
}

/// Words of a text on one line.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn page(text: &str, page: &str) -> String {
    let jobs = MemoryJobs::default();
    jobs.create(&JobName::parse("a").unwrap(), text).unwrap();
    let bench = Bench::new(Box::new(jobs), Profiles::built_in(), String::new());
    match reply(&bench, Method::Get, &format!("/job/a/{page}"), Fields::default(), false) {
        Reply::Page(200, page) => page.into_string(),
        other => panic!("{page}: {other:?}"),
    }
}

#[test]
fn every_survey_has_its_headline_and_all_faces_agree() {
    let folder = tempfile::tempdir().unwrap();
    let mut wrong = Vec::new();
    for (number, row) in ROWS.iter().enumerate() {
        let text = survey(row);
        let path = folder.path().join(format!("j{number}.toml"));
        std::fs::write(&path, &text).unwrap();
        let of = |command: &str| run(bonewright().arg(command).arg(&path));
        let code = i32::from(!row.says.goes());
        let assessed = of("assess");
        let (_, headline) = assessed.out.split_once("\n\n").unwrap_or_default();
        let headline = flat(headline);
        if !headline.starts_with(&row.words(&text)) || assessed.code != code {
            wrong.push(format!(
                "{} ({}): {} {headline:.160} {}",
                row.rule, row.from, assessed.code, assessed.err
            ));
            continue;
        }
        let told = owner_says(&text);
        if !told.contains(row.says.to_the_owner()) {
            wrong.push(format!("{}: the owner is told {told}", row.rule));
        }
        let (plan, check) = (of("plan"), of("check"));
        let drawn = folder.path().join(format!("d{number}"));
        let draw = run(bonewright()
            .arg("draw")
            .arg(&path)
            .args(["--only", "dxf,txt", "--out"])
            .arg(&drawn));
        for (name, got) in [("plan", &plan), ("check", &check), ("draw", &draw)] {
            if got.code != code {
                wrong.push(format!("{}: {name} {} {}", row.rule, got.code, got.err));
            }
        }
        let files: Vec<String> = std::fs::read_dir(&drawn)
            .unwrap()
            .map(|file| file.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        let shown = page(&text, "plan");
        if row.says.goes() {
            assert!(
                !plan.out.contains("DO NOT MAKE") && plan.out.contains("TO MAKE\n"),
                "{}",
                row.rule
            );
            assert!(
                !shown.contains("Do not make") && shown.contains(">To make<"),
                "{}",
                row.rule
            );
            assert!(
                files.iter().any(|name| name.ends_with(".dxf")),
                "{}: {files:?}",
                row.rule
            );
            // Who reads the plan alone is told what speaks against it, in the same words and before every figure.
            let first = flat(plan.out.split("TO MAKE\n").next().unwrap());
            let shown_first = shown.split(">To make<").next().unwrap();
            let says = headline.split("FINDINGS").next().unwrap().trim();
            let not_yet = !matches!(row.says, Says::Clear | Says::Watch);
            let (check, draw) = (flat(&check.out), flat(&draw.out));
            for (face, first) in [
                ("plan", first.as_str()),
                ("page", shown_first),
                ("check", &check),
                ("draw", &draw),
            ] {
                if first.contains(says) != not_yet {
                    wrong.push(format!("{}: {face} begins {first:.400}", row.rule));
                }
            }
            let steps = flat(&of("steps").out);
            if steps.contains("is the remedy, or comes first") != not_yet {
                wrong.push(format!("{}: the work list: {steps:.600}", row.rule));
            }
            let told = flat(&(assessed.out.clone() + &plan.out));
            if !told.contains(row.why) {
                wrong.push(format!("{}: not {}", row.rule, row.why));
            }
        } else {
            assert_eq!(files, [format!("j{number}.txt")], "{}", row.rule);
            // Said first: before every figure.
            let at = |text: &str, what: &str| {
                text.find(what)
                    .unwrap_or_else(|| panic!("{}: {what}: {text:.600}", row.rule))
            };
            let first = flat(&plan.out);
            assert!(
                at(&first, "DO NOT MAKE THIS PART AS IT STANDS") < at(&first, "WHERE THE CONTACTS WOULD LIE"),
                "{}",
                row.rule
            );
            assert!(!first.contains("TO MAKE string"), "{}", row.rule);
            let reason = at(&first, row.why);
            assert!(reason < at(&first, "WHERE THE CONTACTS WOULD LIE"), "{}", row.rule);
            assert!(
                flat(&check.err).contains(row.why) && !check.out.contains("in order"),
                "{}",
                row.rule
            );
            assert!(
                at(&shown, "Do not make this part as it stands") < at(&shown, ">Where the contacts would lie<"),
                "{}",
                row.rule
            );
            assert!(
                page(&text, "sheets").contains("Do not make this part as it stands"),
                "{}",
                row.rule
            );
            assert!(
                page(&text, "programs").contains("Do not make this part as it stands"),
                "{}",
                row.rule
            );
            let cut = run(bonewright().arg("cut").arg(&path).arg("--dry-run"));
            assert_eq!(cut.code, 1, "{}", row.rule);
            let json = run(bonewright().arg("plan").arg(&path).args(["--part", "saddle", "--json"]));
            assert_eq!(json.code, 1);
            let json: Value = serde_json::from_str(&json.out).unwrap();
            let wanted = if row.says == Says::Unsafe { "unsafe" } else { "stop" };
            assert_eq!(json["notes"][0]["severity"], wanted, "{}", row.rule);
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let sound = ROWS
        .iter()
        .filter(|row| matches!(row.says, Says::Clear | Says::Watch))
        .count();
    assert!(2 * sound >= ROWS.len(), "{sound} of {}", ROWS.len());
}

/// What a job accepts stands on all that is drawn and printed.
#[test]
fn what_is_accepted_stands_on_every_sheet() {
    let row = ROWS.iter().find(|row| row.rule == "accepted: the front wall").unwrap();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.toml");
    std::fs::write(&path, survey(row)).unwrap();
    let words = "The job accepts an unsafe load on the front wall";
    let out = |name: &str| folder.path().join(name);
    for (command, more) in [
        ("draw", &["--only", "svg"][..]),
        ("cut", &["--part", "saddle"]),
        ("assess", &[]),
        ("filing", &["--forward", "0.2 mm"]),
        ("tolerance", &["--samples", "200"]),
    ] {
        let done = run(bonewright()
            .arg(command)
            .arg(&path)
            .args(more)
            .arg("--out")
            .arg(out(command)));
        assert_eq!(done.code, 0, "{command}: {}", done.err);
        let mut sheets = String::new();
        for file in std::fs::read_dir(out(command)).unwrap() {
            let file = file.unwrap().path();
            if file.extension().is_some_and(|ending| ending == "svg") {
                sheets += &std::fs::read_to_string(&file).unwrap();
            }
        }
        let plain: String = sheets.replace("</text>", " ");
        assert!(flat(&plain).contains("accepts an unsafe load"), "{command}");
    }
    for command in ["plan", "filing", "tolerance"] {
        let more: &[&str] = match command {
            "filing" => &["--forward", "0.2 mm"],
            "tolerance" => &["--samples", "200"],
            _ => &[],
        };
        let said = run(bonewright().arg(command).arg(&path).args(more));
        assert!(flat(&said.out).contains(words), "{command}");
    }
    assert!(page(&survey(row), "plan").contains(words));
}

/// One saddle after stringing up: its rule, the example it was made from, what is read over it against its plan, and what is said.
struct StrungRow {
    rule: &'static str,
    from: &'static str,
    /// What is changed in it.
    edits: &'static [(&'static str, &'static str)],
    /// Put behind it.
    more: &'static str,
    /// Action at fret 12 less the plan's, mm at bass and treble.
    off: [f64; 2],
    /// Cents at fret 12 less the plan's.
    cents: f64,
    /// Gap over fret 1 less what the plan's nut gives there, mm, if it is read.
    gap: Option<f64>,
    say: &'static str,
    /// Words of the headline.
    words: &'static [&'static str],
    /// Words that must not stand on the page.
    not: &'static [&'static str],
}

const PLAIN: StrungRow = StrungRow {
    rule: "",
    from: "sound",
    edits: &[],
    more: "",
    off: [0.0, 0.0],
    cents: 0.0,
    gap: None,
    say: "good",
    words: &[],
    not: &[],
};

const FLOOR: &str = "[filing]\nfloor_12 = { bass = \"2.0 mm\", treble = \"1.4 mm\" }\n";
const NOTHING: &[&str] = &["shim", "new saddle", "ile the strings"];

/// Common practice, no source, where a rule names none: what is filed off is gone, so that nothing is filed, shimmed or thrown away for
/// what a reading cannot tell.
#[rustfmt::skip]
const STRUNG: &[StrungRow] = &[
    StrungRow { rule: "as planned", words: &["every string is good"], not: NOTHING, ..PLAIN },
    StrungRow { rule: "within the job's tolerance of 0.1 mm", off: [-0.09, 0.08], words: &["every string is good"], not: NOTHING, ..PLAIN },
    StrungRow { rule: "a tenth of a cent is no stroke", cents: 0.1, words: &["every string is good"], not: NOTHING, ..PLAIN },
    StrungRow { rule: "2.5 cents are within the tolerance of 3", cents: 2.5, words: &["every string is good"], not: NOTHING, ..PLAIN },
    StrungRow { rule: "a string that the plan did not hold is not sent to its ways out", cents: 5.0, say: "as-near", words: &["past the land of this blank", "--write-job"], not: &["the plan's ways out still hold"], ..PLAIN },
    StrungRow { rule: "a cent beside what a string can show is still a reading", cents: -2.6, words: &["every string is good"], not: NOTHING, ..PLAIN },
    StrungRow { rule: "low by less than a reading of 0.1 mm tells from good", off: [-0.13, -0.13], say: "as-near", words: &["Leave strings 6, 5, 4, 3, 2 and 1: each is 0.13 mm", "under its target at fret 12, within what the reading can tell"], not: NOTHING, ..PLAIN },
    StrungRow { rule: "one end low by less than can be told", off: [-0.13, 0.0], say: "as-near", words: &["Leave strings 6 and 5: they are 0.13 mm and 0.10 mm under their targets at fret 12, within what the reading can tell"], not: NOTHING, ..PLAIN },
    StrungRow { rule: "low, but over the job's floor", more: FLOOR, off: [-0.25, -0.25], say: "as-near", words: &["each is 0.24 mm", "but over the job's floor of 2.00 mm", "or lower the target in the job"], not: NOTHING, ..PLAIN },
    StrungRow { rule: "the job's own reading: a dial tells 0.01 mm", more: "[uncertainty]\npresent_action = \"0.01 mm\"\n", off: [-0.13, -0.13], say: "shim", words: &["Too low", "0.13 mm (5.0 thou) under its target at fret 12"], ..PLAIN },
    StrungRow { rule: "the job's own reading: a worn rule", more: "[uncertainty]\npresent_action = \"0.2 mm\"\n", off: [-0.27, -0.27], say: "as-near", words: &["each is 0.24 mm", "under its target at fret 12, within what the reading can tell"], not: NOTHING, ..PLAIN },
    StrungRow { rule: "under the job's floor by more than a reading tells", more: "[filing]\nfloor_12 = { bass = \"2.35 mm\", treble = \"1.75 mm\" }\n", off: [-0.18, -0.18], say: "shim", words: &["Too low", "0.18 mm (7.0 thou) under its target at fret 12"], ..PLAIN },
    StrungRow { rule: "high", off: [0.3, 0.3], say: "file", words: &["File the strings that say so"], not: &["shim", "new saddle"], ..PLAIN },
    StrungRow { rule: "out of tune by more than the tolerance, with height to spare", off: [0.3, 0.3], cents: 6.0, say: "file", words: &["the move first"], ..PLAIN },
    StrungRow { rule: "too low, drop-in: a shim", off: [-0.4, -0.3], say: "shim", words: &["most of all string 6: it is 0.39 mm (15.0 thou) under its target at fret 12, which is 0.78", "at the saddle", "lay a shim"], not: &["new saddle"], ..PLAIN },
    StrungRow { rule: "too low, through: a shim before its ends are blended, and what it costs", from: "parlour", off: [-0.5, -0.4], say: "shim-or-new", words: &["under its target at fret 12, which is", "As long as its ends are not blended", "trace them again", "less of the saddle stands in its slot", "glued in with it", "then make a new saddle"], ..PLAIN },
    StrungRow { rule: "a shim that would lift it out of its slot is none: the job's own limit", edits: &[("humidity = 47", "humidity = 47\nleast_in_slot = 0.52")], off: [-0.6, -0.6], say: "new-saddle", words: &["A shim would have to be", "too far out of its slot", "Make a new saddle"], not: &["lay a shim"], ..PLAIN },
    StrungRow { rule: "the nut before the saddle", from: "nylon-nut", off: [0.4, 0.4], gap: Some(0.15), say: "slots-first", words: &["First the nut", "File nothing at the saddle yet"], not: &["file to these figures"], ..PLAIN },
    StrungRow { rule: "a slot under its gap that plays is left, and the saddle is not held up by it", from: "nylon-nut", off: [0.4, 0.4], gap: Some(-0.1), say: "file", words: &["File the strings that say so"], not: &["First the nut"], ..PLAIN },
    StrungRow { rule: "the nut at its gap, then the saddle", from: "nylon-nut", off: [0.4, 0.4], gap: Some(-0.045), say: "file", words: &["File the strings that say so"], ..PLAIN },
    StrungRow { rule: "what no string can show is read again", cents: 90.0, off: [0.3, 0.3], say: "read-again", words: &["File nothing yet"], not: &["file to these figures"], ..PLAIN },
];

#[test]
fn every_saddle_strung_up_has_its_headline() {
    let folder = tempfile::tempdir().unwrap();
    let mut wrong = Vec::new();
    for (number, row) in STRUNG.iter().enumerate() {
        let own = std::fs::read_to_string(example(&format!("{}.toml", row.from))).unwrap();
        let mut own = own.split("\n[strung]").next().unwrap().to_owned();
        for (old, new) in row.edits {
            assert!(own.contains(old), "{}", row.rule);
            own = own.replacen(old, new, 1);
        }
        let done = work::planned(job::read(&own, &Profiles::built_in()).unwrap().job);
        let plan = done.saddle().unwrap().plan;
        let last = (plan.strings.len() - 1) as f64;
        let list = |value: &dyn Fn(usize) -> f64, unit: &str| {
            let each = (0..plan.strings.len()).map(|i| match unit {
                "" => format!("{:.4}", value(i)),
                unit => format!("\"{:.5} {unit}\"", value(i)),
            });
            each.collect::<Vec<_>>().join(", ")
        };
        let action = list(
            &|i| plan.strings[i].action_12 + row.off[0] + (row.off[1] - row.off[0]) * i as f64 / last,
            "mm",
        );
        // What a string is raised by at fret 12 shows over fret 1 as well.
        let raised = |i: usize| {
            let (s, share) = (&plan.strings[i], i as f64 / last);
            let [first, .., at_12] = s.string.crowns;
            (row.off[0] + (row.off[1] - row.off[0]) * share) * (first.x - s.nut.x) / (at_12.x - s.nut.x)
        };
        let cents = list(&|i| plan.strings[i].cents[11] + row.cents, "");
        let gap = row.gap.map_or_else(String::new, |off| {
            format!(
                "first_fret_clearance = [{}]\n",
                list(&|i| plan.strings[i].action_1 + raised(i) + off, "mm")
            )
        });
        let text = format!(
            "{own}\n{}[strung]\nwith = \"recording\"\naction_12 = [{action}]\ncents_12 = [{cents}]\n{gap}",
            row.more
        );
        let path = folder.path().join(format!("s{number}.toml"));
        std::fs::write(&path, &text).unwrap();
        let said = run(bonewright().args(["fit", "--bench", "mm"]).arg(&path));
        let json = run(bonewright().args(["fit", "--json"]).arg(&path));
        assert_eq!((said.code, json.code), (0, 0), "{}: {}", row.rule, said.err);
        let json: Value = serde_json::from_str(&json.out).unwrap();
        let headline = flat(said.out.split_once("WHAT TO DO").unwrap().1);
        let missing: Vec<&&str> = row.words.iter().filter(|words| !headline.contains(**words)).collect();
        let body = flat(said.out.split("CAUTIONS").next().unwrap());
        let over: Vec<&&str> = row.not.iter().filter(|words| body.contains(**words)).collect();
        if json["whole"]["say"] != row.say || !missing.is_empty() || !over.is_empty() {
            wrong.push(format!(
                "{}: {} not {missing:?} but {over:?}: {headline:.700}",
                row.rule, json["whole"]["say"]
            ));
        }
        // The page and the work list say no other thing.
        let shown = page(&text, "strung");
        assert_eq!(shown.contains("ile the strings"), row.say == "file", "{}", row.rule);
        let steps = run(bonewright().arg("steps").arg(&path)).out;
        let asks = ["lower the contact", "move the ridge"]
            .iter()
            .any(|words| flat(&steps).contains(words));
        assert_eq!(asks, row.say == "file", "{}: {steps}", row.rule);
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Slots of a nut after stringing up: the rule, the gap read over fret 1 less the one wanted (mm), and what is said of it.
#[rustfmt::skip]
const SLOTS: &[(&str, &str, f64, &str, &[&str])] = &[
    ("a feeler's step: common practice, no source", "", -0.029, "good", &[]),
    ("low by less than a feeler tells from good", "", -0.05, "low", &["under the one wanted): within what the reading can tell"]),
    ("low, but over the least gap: common practice, no source", "", -0.1, "low", &["Leave string 6 (gap 0.69 mm, 0.10 mm under the one wanted)", "they will play, for the least gap is 0.10 mm (common practice, no source)", "Fill only a slot whose open string buzzes"]),
    ("under the job's own least gap", "[assess]\nleast_first_fret = \"0.75 mm\"\nmost_first_fret = \"1.5 mm\"\n", -0.15, "too-low", &["too low, under the least gap that plays (0.75 mm, set in the job)", "Fill the slot"]),
    ("under the least gap: common practice, no source", "", -0.75, "too-low", &["too low, under the least gap that plays (0.10 mm, common practice, no source)", "Fill the slot"]),
    ("high", "", 0.1, "file", &["strokes"]),
];

#[test]
fn every_slot_strung_up_has_its_word() {
    let folder = tempfile::tempdir().unwrap();
    let mut wrong = Vec::new();
    let own = std::fs::read_to_string(example("nylon-nut.toml")).unwrap();
    let done = work::planned(job::read(&own, &Profiles::built_in()).unwrap().job);
    let nut = done.nut().unwrap();
    for (number, (rule, more, off, say, words)) in SLOTS.iter().enumerate() {
        let each = |value: fn(&nut::OpenString) -> f64, off: f64| {
            let gaps = nut
                .plan
                .lines
                .iter()
                .map(|line| format!("\"{:.5} mm\"", (value(line) + off).max(0.05)));
            gaps.collect::<Vec<_>>().join(", ")
        };
        let text = format!(
            "{own}\n{more}[strung]\naction_12 = [{}]\nfirst_fret_clearance = [{}]\n",
            each(nut::OpenString::action_12, 0.0),
            each(nut::OpenString::action_1, *off)
        );
        let path = folder.path().join(format!("n{number}.toml"));
        std::fs::write(&path, &text).unwrap();
        let of = |flags: &[&str]| run(bonewright().arg("fit").args(flags).arg(&path));
        let (said, json) = (
            of(&["--part", "nut", "--bench", "mm"]),
            of(&["--part", "nut", "--json"]),
        );
        assert_eq!((said.code, json.code), (0, 0), "{rule}: {}", said.err);
        let json: Value = serde_json::from_str(&json.out).unwrap();
        let says = &json["strings"][0]["verdict"]["say"];
        let page = flat(&said.out);
        let missing: Vec<&&str> = words.iter().filter(|words| !page.contains(**words)).collect();
        let over = *say != "too-low" && page.to_lowercase().contains("too low");
        if says != say || !missing.is_empty() || over {
            wrong.push(format!("{rule}: {says} not {missing:?}: {page:.1800}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
