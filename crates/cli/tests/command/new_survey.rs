//! `bonewright new`, driven by lines on standard input as a repairer would type them. The instrument is invented.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::time::{Duration, Instant};

use crate::binary::{Run, bonewright, run};
use proptest::prelude::*;
use tempfile::TempDir;

/// Every answer of a whole survey in order. An empty line takes what the question offers.
const WHOLE: &[&str] = &[
    "Parlour guitar: new bone saddle",
    "",   // notes
    "",   // no kind
    "",   // the saddle is made
    "mm", // unit
    "",   // bench
    "no", // left-handed
    "A4", // paper
    "",   // the book: eight lines that nothing depends on
    "",
    "",
    "",
    "",
    "",
    "",
    "",
    "light bronze 12-53",
    "",     // tuning
    "",     // A4
    "",     // press
    "kept", // nut
    "",     // no more readings than it needs
    "2.4",  // target, bass
    "1.9",  // treble
    "octave",
    "",     // no question whether a saddle is the remedy
    "",     // by nut to 12
    "305",  // nut to fret 12
    "12",   // joint
    "36.5", // spread at the nut
    "",     // equal gaps
    "55",   // spread at the saddle
    "",     // equal centres
    "straightedge",
    "306.9", // edge, bass
    "304.6", // treble
    "two",   // radii
    "300",   // nut
    "350",   // fret 12
    "0.18",  // relief
    "6",     // its fret
    "2.9",   // action now, bass
    "2.2",   // treble
    "open",  // reading of the nut
    "0.55",  // clearance, bass
    "0.36",  // treble
    "",      // setback, bass
    "",      // treble
    "",      // the old saddle is not glued
    "at pitch",
    "",     // bridge top: the sign says the side
    "1.2",  // bridge top, bass
    "1.4",  // treble
    "9",    // lean
    "",     // where the strings leave
    "5.5",  // depth, bass
    "5.3",  // treble
    "3.25", // width
    "",     // length
    "",     // under
    "through",
    "bone",
    "3.2",  // thickness
    "12",   // height
    "76",   // length
    "",     // bass end
    "0.35", // land
    "",     // ends are not traced yet
    "",     // glued in at the end
    "smooth",
    "", // rounding
    "", // front fall
    "", // back fall
];

/// Place of the action now, bass, among them.
const ACTION: usize = 41;
/// As many lines as the bench's book has, none of them filled in.
const NO_BOOK: &[&str] = &[""; 8];

struct Bench {
    folder: TempDir,
}

impl Bench {
    /// A survey that goes on, and what it reads from.
    fn begun(&self) -> (Child, ChildStdin) {
        let mut child = Command::new(crate::binary::PATH)
            .current_dir(self.folder.path())
            .args(["new", "job.toml", "--all"])
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        let input = child.stdin.take().unwrap();
        (child, input)
    }

    fn new() -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
        }
    }

    fn file(&self) -> PathBuf {
        self.folder.path().join("job.toml")
    }

    fn draft(&self) -> PathBuf {
        self.folder.path().join("job.toml.draft")
    }

    /// Runs `bonewright new job.toml` with these lines, then the end of input.
    fn talk(&self, options: &[&str], lines: &[&str]) -> Run {
        let mut input = lines.join("\n");
        input.push('\n');
        if lines.is_empty() {
            input.clear();
        }
        let mut command = bonewright();
        command
            .current_dir(self.folder.path())
            .args(["new", "job.toml", "--all"])
            .args(options);
        run(command.write_stdin(input))
    }

    fn text(&self) -> String {
        std::fs::read_to_string(self.file()).unwrap()
    }
}

/// The answers, then Enter to write the file.
fn whole() -> Vec<&'static str> {
    let mut lines = WHOLE.to_vec();
    lines.push("");
    lines
}

fn whole_text() -> String {
    let bench = Bench::new();
    let done = bench.talk(&[], &whole());
    assert_eq!(done.code, 0, "{}{}", done.out, done.err);
    bench.text()
}

#[test]
fn a_whole_survey_checks_clean_and_plans() {
    let bench = Bench::new();
    let done = bench.talk(&[], &whole());
    assert_eq!(done.code, 0, "{}{}", done.out, done.err);
    assert!(done.out.contains("The check finds no problem."), "{}", done.out);
    assert!(done.out.contains("bonewright plan job.toml"), "{}", done.out);
    assert!(!bench.draft().exists());
    for command in ["check", "plan"] {
        let done = run(bonewright().arg(command).arg(bench.file()));
        assert_eq!((done.code, done.err.as_str()), (0, ""), "{command}: {}", done.out);
    }
    // Explained, aligned, and only what was answered.
    let text = bench.text();
    assert!(
        text.contains("# Depth of the slot:\n# Depth rod down the front wall"),
        "{text}"
    );
    assert!(
        text.contains("\ndepth             = { bass = \"5.5 mm\", treble = \"5.3 mm\" }\n"),
        "{text}"
    );
    assert!(
        !text.contains("notes") && !text.contains("bass_end") && !text.contains("[bridge]"),
        "{text}"
    );
}

#[test]
fn a_spelled_out_set_and_a_reference_saddle_check_and_plan() {
    let strings = [
        &["D3", "0.030", "wound", "measured", "1.9", "22.5"][..],
        &[
            "G3",
            "0.026",
            "wound",
            "",
            "0.015",
            "hexagonal",
            "steel",
            "phosphor bronze",
        ],
        &["B3", "0.018", "plain", "", "steel"],
        &["E4", "0.013", "plain", "", "steel"],
    ];
    let lines = [
        &["Four strings", "", "", "saddle", "in", "64ths", "", ""][..],
        NO_BOOK,
        &["spelled out", "4", "", "single", "", "kept", ""],
        &["0.090", "0.075", "offsets", "3 mm; 2.6 mm; 2.4 mm; 1.8 mm", ""],
        &strings.concat(),
        &[
            "scale",
            "20",
            "14",
            "1 3/16",
            "",
            "1 5/8",
            "",
            "reference",
            "257 mm",
            "255.8 mm",
        ],
        // Action, nut held at 3 with a value for each string.
        &[
            "one",
            "12",
            "4 thou",
            "",
            "3/32",
            "5/64",
            "held",
            "0.004; 0.004; 0.003; 0.003",
            "",
            "",
        ],
        &["", "at pitch", "0", "pin", "1/2", "", "", ""],
        // Strings off.
        &["5 mm", "same", "1/8", "2 1/2", "", "8.4 mm", "7.6 mm", "1.6 mm", ""],
        &["drop-in", "bone", "3.1 mm", "12 mm", "", "", "", "", "", "", "", "", ""],
    ]
    .concat();
    let bench = Bench::new();
    let done = bench.talk(&[], &lines);
    assert_eq!(done.code, 0, "{}{}", done.out, done.err);
    assert!(done.out.contains("The check finds no problem."), "{}", done.out);
    let text = bench.text();
    assert!(
        text.contains("action_12 = { bass = \"3/32 in\", treble = \"5/64 in\" }"),
        "{text}"
    );
    assert!(
        text.contains("offsets    = [\"3 mm\", \"2.6 mm\", \"2.4 mm\", \"1.8 mm\"]"),
        "{text}"
    );
    for command in ["check", "plan"] {
        let done = run(bonewright().arg(command).arg(bench.file()));
        assert_eq!((done.code, done.err.as_str()), (0, ""), "{command}: {}", done.out);
    }
}

/// A nut alone: nothing is asked of slot, blank and crown, and the job says what the nut does to the action.
#[test]
fn a_nut_for_a_saddle_that_stays_checks_and_plans() {
    let lines = [
        &["A worn nut", "", "", "nut", "mm", "", "", ""][..],
        NO_BOOK,
        // The gap wanted, no more readings, setbacks for intonation.
        &["light bronze 12-53", "", "", "", "open", "0.5", "0.36", "", "yes"],
        // Strings at the nut are placed by margin.
        &["", "322", "14", "", "", "55", "", "325.2", "323.3"],
        // Action and gap now, setback.
        &["one", "400", "0.15", "", "2.2", "1.7", "open", "0.3", "0.2", "", ""],
        // Board, margins, no posts, headstock; then with the strings off fret, seat and blank.
        &["43.5", "3.1", "2.9", "side", "no", "14"],
        &["1.05", "3.1", "", "", "5", "9", "46", "", "", "", "", "", ""],
        &[""],
    ]
    .concat();
    let bench = Bench::new();
    let done = bench.talk(&[], &lines);
    assert_eq!(done.code, 0, "{}{}", done.out, done.err);
    assert!(done.out.contains("The check finds no problem."), "{}", done.out);
    assert!(done.out.contains("take the nut out"), "{}", done.out);
    assert!(
        !done.out.contains("THE SLOT") && !done.out.contains("THE NEW SADDLE") && done.out.contains("THE NEW NUT"),
        "{}",
        done.out
    );
    let text = bench.text();
    for line in [
        "\n[nut_blank]\n",
        "# Caliper across the board just in front of the nut",
        "margin          = { bass = \"3.1 mm\", treble = \"2.9 mm\" }",
        "intonation = \"best-fit-with-nut\"",
        "front           = \"shelf\"",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    assert!(
        !text.contains("[slot]") && !text.contains("[blank]") && !text.contains("nut_spread"),
        "{text}"
    );
    let checked = run(bonewright().arg("check").arg(bench.file()));
    assert_eq!((checked.code, checked.err.as_str()), (0, ""));
    assert!(checked.out.contains("the saddle stays"), "{}", checked.out);
    let plan = run(bonewright().arg("plan").arg(bench.file()));
    assert!(
        plan.code == 0 && plan.out.contains("THE SADDLE STAYS"),
        "{}{}",
        plan.out,
        plan.err
    );
    // What the job refuses, the survey refuses with the same words.
    let at = lines.iter().position(|line| *line == "1.05").unwrap();
    let again = Bench::new();
    let done = again.talk(&[], &[&lines[..at], &["10.5"], &lines[at..]].concat());
    assert_eq!(again.text(), text);
    let wrong = text.replace("fret_height     = \"1.05 mm\"", "fret_height     = \"10.5 mm\"");
    assert_ne!(wrong, text);
    std::fs::write(again.file(), wrong).unwrap();
    let refused = run(bonewright().arg("check").arg(again.file()));
    let reason = refused.err.split("10.5 mm\": ").nth(1).unwrap();
    let reason = reason.split('.').next().unwrap();
    let flat = done.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains(&format!("Not taken: {reason}")), "{reason}: {}", done.out);
}

/// Saddle and nut: the parlour's survey with a nut by spread.
#[test]
fn both_parts_check_and_plan() {
    let mut lines = WHOLE.to_vec();
    lines[3] = "both";
    // The nut is new, so it is not asked whether it stays, and the old one need not be read.
    let kept = lines.iter().position(|line| *line == "kept").unwrap();
    lines.splice(kept..=kept, ["open", "0.5", "0.4"]);
    let spread = lines.iter().position(|line| *line == "36.5").unwrap();
    lines.insert(spread, "spread");
    let read = lines.iter().position(|line| *line == "0.55").unwrap();
    lines.splice(read - 1..read + 2, []);
    let glued = lines.iter().position(|line| *line == "at pitch").unwrap() - 1;
    lines.splice(glued..glued, ["44", "no", "13"]);
    let blank = lines.iter().position(|line| *line == "through").unwrap();
    lines.splice(blank..blank, ["1.0", "3.2", "", "", "5", "9", "", "", "", "", "", ""]);
    lines.push("");
    let bench = Bench::new();
    let done = bench.talk(&[], &lines);
    assert_eq!(done.code, 0, "{}{}", done.out, done.err);
    assert!(
        done.out.contains("take the saddle and the nut out") || done.out.contains("the saddle and the"),
        "{}",
        done.out
    );
    assert!(done.out.contains("The check finds no problem."), "{}", done.out);
    let plan = run(bonewright().arg("plan").arg(bench.file()));
    assert_eq!((plan.code, plan.err.as_str()), (0, ""));
    assert!(
        plan.out.contains("TO MAKE") && plan.out.contains("NUT: SLOTS"),
        "{}",
        plan.out
    );
}

/// The barest saddle: what is usual is not asked, and what is assumed is told as such.
#[test]
fn what_is_usual_is_not_asked() {
    let lines = [
        // Name, no notes are asked; the kind, the part, the unit.
        &["Flat-top", "flat-top", "", "in"][..],
        // The set, the action and the fret at the joint are usual; they are answered already.
        &["12.7", "1 7/16", "2 1/8", "12 25/32", "12 23/32"],
        &["assume", "", "6 thou", "4 thou"],
        &["", "-10 thou", "-14 thou", "2"],
        &["0.22", "0.21", "0.126", "2.98"],
        &["bone", "", "0.5", ""],
        &[""],
    ]
    .concat();
    let bench = Bench::new();
    let mut command = bonewright();
    command.current_dir(bench.folder.path()).args(["new", "job.toml"]);
    let done = run(command.write_stdin(lines.join("\n") + "\n"));
    assert_eq!(done.code, 0, "{}{}", done.out, done.err);
    let text = bench.text();
    for line in ["board_radius = true", "relief       = true"] {
        assert!(text.contains(line), "{line}: {text}");
    }
    assert!(
        !done.out.contains("Rounding of the ridge [") && !done.out.contains("Paper ["),
        "{}",
        done.out
    );
    let plan = run(bonewright().arg("plan").arg(bench.file()));
    assert!(
        plan.code == 0 && plan.out.contains("Assumed, not read: the relief is"),
        "{}{}",
        plan.out,
        plan.err
    );
    let flat = plan.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("the board's radius is"), "{}", plan.out);
}

#[test]
fn no_line_is_wider_than_a_terminal() {
    let bench = Bench::new();
    let mut lines: Vec<&str> = WHOLE.iter().flat_map(|line| ["?", line]).collect();
    lines.push("");
    let done = bench.talk(&[], &lines);
    assert_eq!(done.code, 0);
    for line in done.out.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

#[test]
fn leaving_and_going_on_gives_the_same_bytes() {
    let expected = whole_text();
    let lines = whole();
    for (i, stop) in (1..WHOLE.len()).step_by(6).enumerate() {
        let bench = Bench::new();
        let leave = if i % 2 == 0 { vec![] } else { vec!["quit"] };
        let first = bench.talk(&[], &[&lines[..stop], &leave].concat());
        assert_eq!(first.code, 0, "{}", first.err);
        assert!(
            first.out.contains("Your answers are kept in job.toml.draft."),
            "{}",
            first.out
        );
        assert!(first.out.contains("bonewright new job.toml --resume"), "{}", first.out);
        assert!(!bench.file().exists());
        let second = if i % 2 == 0 {
            bench.talk(&["--resume"], &lines[stop..])
        } else {
            bench.talk(&[], &[&["yes"], &lines[stop..]].concat())
        };
        assert_eq!(second.code, 0, "{}", second.err);
        assert_eq!(bench.text(), expected, "left after {stop} answers");
        assert!(!bench.draft().exists());
    }
}

#[test]
fn wrong_text_is_refused_with_the_reason_and_asked_again() {
    let bench = Bench::new();
    let wrong = [
        "1,305",
        "",
        "-305",
        "under 305",
        "nan",
        "1/0 in",
        "305 deg",
        "3 mm",
        "5/64",
        "305 mm mm",
        "\u{1b}[2J",
    ];
    let lines = whole();
    let at = 19;
    let done = bench.talk(&[], &[&lines[..at], &wrong, &lines[at..]].concat());
    assert_eq!(done.code, 0, "{}", done.err);
    assert_eq!(done.out.matches("Not taken: ").count(), wrong.len(), "{}", done.out);
    assert!(
        done.out
            .contains("read `1,305`: A comma may mean a decimal point or thousands"),
        "{}",
        done.out
    );
    assert!(!done.out.contains('\u{1b}'));
    assert_eq!(bench.text(), whole_text());
}

#[test]
fn a_doubtful_value_needs_a_yes() {
    let lines = whole();
    let bench = Bench::new();
    let done = bench.talk(&[], &[&lines[..ACTION], &["8", "no"], &lines[ACTION..]].concat());
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(done.out.contains("Doubtful: 8.000 mm"), "{}", done.out);
    assert_eq!(bench.text(), whole_text());

    let bench = Bench::new();
    // With such an action the reading of the bridge top is doubtful in its turn.
    let top = lines.iter().position(|line| *line == "1.2").unwrap() + 1;
    let done = bench.talk(
        &[],
        &[
            &lines[..ACTION],
            &["8", "perhaps", "yes"],
            &lines[ACTION + 1..top],
            &["yes"],
            &lines[top..],
        ]
        .concat(),
    );
    assert_eq!(done.code, 0, "{}", done.err);
    assert_eq!(bench.text(), whole_text().replace("2.9 mm", "8 mm"));
    // Kept as read; what follows from it is told when it is checked.
    let checked = run(bonewright().arg("check").arg(bench.file()));
    assert!(checked.err.contains("present.action_12.bass"), "{}", checked.err);
    assert_eq!(checked.code, 1, "{}", checked.err);
    assert!(checked.err.contains("fret"), "{}", checked.err);
}

#[test]
fn back_changes_an_answer() {
    let lines = whole();
    let changed = whole_text().replace("2.2 mm", "2 mm");
    // From the next question by one step, from a later one by number, and at the last look by number.
    let bench = Bench::new();
    let done = bench.talk(
        &[],
        &[&lines[..ACTION + 2], &["back", "2"], &lines[ACTION + 2..]].concat(),
    );
    assert_eq!(done.code, 0, "{}", done.err);
    assert_eq!(bench.text(), changed);

    let bench = Bench::new();
    let number = format!("back {}", ACTION + 2);
    let done = bench.talk(
        &[],
        &[&lines[..56], &["list", number.as_str(), "2"], &lines[56..]].concat(),
    );
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(
        done.out.contains("43. Action at fret 12 now, treble string: 2.2 mm"),
        "{}",
        done.out
    );
    assert_eq!(bench.text(), changed);

    let bench = Bench::new();
    let done = bench.talk(&[], &[WHOLE, &["43", "2", ""]].concat());
    assert_eq!(done.code, 0, "{}", done.err);
    assert_eq!(bench.text(), changed);
}

#[test]
fn a_reading_that_a_later_answer_needs_is_asked_for() {
    // The present action is skipped; the open reading of the nut needs it.
    let lines = whole();
    let bench = Bench::new();
    let asked_again = ["2.9", "2.2"];
    let parts = [
        &lines[..ACTION],
        &["skip"],
        &lines[ACTION + 2..ACTION + 3],
        &asked_again,
        &lines[ACTION + 3..],
    ];
    let done = bench.talk(&[], &parts.concat());
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(
        done.out.contains("That answer needs an earlier one too"),
        "{}",
        done.out
    );
    assert_eq!(bench.text(), whole_text());
}

#[test]
fn a_problem_across_answers_leads_back_to_one_of_them() {
    // The slot is made narrower than the blank by going back, so only the last look sees it.
    let bench = Bench::new();
    let done = bench.talk(&[], &[WHOLE, &["58", "3.0", "", "63", "2.9", ""]].concat());
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(
        done.out
            .contains("Error, Thickness (answer 63): The blank is 0.200 mm thicker"),
        "{}",
        done.out
    );
    assert!(bench.text().contains("thickness = \"2.9 mm\""), "{}", bench.text());
    assert_eq!(run(bonewright().arg("check").arg(bench.file())).code, 0);
}

#[test]
fn the_end_of_input_keeps_the_draft_and_is_no_failure() {
    let bench = Bench::new();
    let done = bench.talk(&[], &WHOLE[..17]);
    assert_eq!((done.code, done.err.as_str()), (0, ""));
    assert!(bench.draft().exists() && !bench.file().exists());
    // Also at the last look, with every question answered.
    let done = bench.talk(&["--resume"], &WHOLE[17..]);
    assert_eq!(done.code, 0);
    assert!(bench.draft().exists() && !bench.file().exists());
    let done = bench.talk(&["--resume"], &[""]);
    assert_eq!(done.code, 0);
    assert_eq!(bench.text(), whole_text());
    // With nothing answered nothing is left behind.
    let bench = Bench::new();
    let done = bench.talk(&[], &[]);
    assert_eq!(done.code, 0);
    assert_eq!(std::fs::read_dir(bench.folder.path()).unwrap().count(), 0);
}

#[test]
fn a_finished_file_is_not_replaced() {
    let bench = Bench::new();
    std::fs::write(bench.file(), "mine").unwrap();
    let done = bench.talk(&[], &whole());
    assert_eq!(done.code, 3);
    assert!(
        done.err.contains("job.toml exists already") && done.err.contains("--force"),
        "{}",
        done.err
    );
    assert_eq!(bench.text(), "mine");
    assert!(!bench.draft().exists());
    // With --force it stays until the new one is whole.
    bench.talk(&["--force"], &WHOLE[..28]);
    assert_eq!(bench.text(), "mine");
    let done = bench.talk(&["--force", "--resume"], &whole()[28..]);
    assert_eq!(done.code, 0, "{}", done.err);
    assert_eq!(bench.text(), whole_text());
    // Without a name on the command line another name is asked for.
    std::fs::write(bench.file(), "mine").unwrap();
    let mut command = bonewright();
    let input = [&["", "job.toml", "other.toml"], whole().as_slice(), &[""]]
        .concat()
        .join("\n");
    let done = run(command
        .current_dir(bench.folder.path())
        .args(["new", "--all"])
        .write_stdin(input));
    assert_eq!(done.code, 0, "{}", done.err);
    assert_eq!(bench.text(), "mine");
    assert_eq!(
        std::fs::read_to_string(bench.folder.path().join("other.toml")).unwrap(),
        whole_text()
    );
}

#[test]
fn an_old_draft_may_be_dropped_but_not_by_accident() {
    let bench = Bench::new();
    bench.talk(&[], &["Another guitar", "notes", "", "", "in"]);
    let kept = std::fs::read_to_string(bench.draft()).unwrap();
    for leave in [&[][..], &["quit"], &["what"]] {
        assert_eq!(bench.talk(&[], leave).code, 0);
        assert_eq!(std::fs::read_to_string(bench.draft()).unwrap(), kept);
    }
    let done = bench.talk(&[], &[&["no"], whole().as_slice()].concat());
    assert_eq!(done.code, 0, "{}", done.err);
    assert_eq!(bench.text(), whole_text());
}

#[test]
fn a_draft_that_cannot_be_read_is_told_and_left_alone() {
    let bench = Bench::new();
    assert_eq!(bench.talk(&["--resume"], &[]).code, 3);
    for text in ["draft = 7\n", "not a draft", "draft = 1\n[answers]\ntitle = 5\n"] {
        std::fs::write(bench.draft(), text).unwrap();
        let done = bench.talk(&[], &whole());
        assert_eq!(done.code, 3, "{}", done.out);
        assert!(done.err.contains("job.toml.draft"), "{}", done.err);
        assert_eq!(std::fs::read_to_string(bench.draft()).unwrap(), text);
    }
}

#[test]
fn a_kill_loses_at_most_the_answer_being_typed() {
    let bench = Bench::new();
    let stop = 48;
    let (mut child, mut input) = bench.begun();
    let lines = whole();
    // The last one is half typed.
    write!(input, "{}\nn", lines[..stop].join("\n")).unwrap();
    input.flush().unwrap();
    wait_until(&bench.draft(), "\"nut.setback.treble\"");
    child.kill().unwrap();
    child.wait().unwrap();
    let done = bench.talk(&["--resume"], &lines[stop..]);
    assert_eq!(done.code, 0, "{}", done.err);
    assert_eq!(bench.text(), whole_text());
    let left: Vec<_> = std::fs::read_dir(bench.folder.path()).unwrap().collect();
    assert_eq!(left.len(), 1, "{left:?}");
}

/// Two surveys into one draft: the second to answer is told, and the first one's answers stand.
#[test]
fn two_surveys_do_not_write_over_each_other() {
    let bench = Bench::new();
    let (mut child, mut input) = bench.begun();
    writeln!(input, "The first").unwrap();
    wait_until(&bench.draft(), "The first");
    let second = bench.talk(&["--resume"], &["notes of the second"]);
    assert_eq!(second.code, 0, "{}", second.err);
    writeln!(input, "notes of the first").unwrap();
    drop(input);
    assert_eq!(child.wait().unwrap().code(), Some(3));
    let kept = std::fs::read_to_string(bench.draft()).unwrap();
    assert!(
        kept.contains("notes of the second") && !kept.contains("notes of the first"),
        "{kept}"
    );
}

/// Waits until a file holds a text.
fn wait_until(path: &Path, text: &str) {
    let start = Instant::now();
    while !std::fs::read_to_string(path).is_ok_and(|found| found.contains(text)) {
        assert!(
            start.elapsed() < Duration::from_secs(60),
            "{} never held {text}",
            path.display()
        );
        std::thread::sleep(Duration::from_millis(5));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whatever is typed, the talk ends by itself, without a panic and without a half file.
    #[test]
    fn any_lines_are_taken_calmly(
        start in 0..WHOLE.len(),
        lines in proptest::collection::vec(
            prop_oneof![
                Just("back".to_owned()),
                Just("list".to_owned()),
                Just("?".to_owned()),
                Just("yes".to_owned()),
                Just(String::new()),
                "[0-9]{1,3}",
                "[0-9./; -]{0,8}(mm|in|thou|deg)?",
                "[^\\n]{0,20}",
            ],
            0..48,
        ),
    ) {
        let bench = Bench::new();
        let lines: Vec<&str> = WHOLE[..start].iter().copied().chain(lines.iter().map(String::as_str)).collect();
        let done = bench.talk(&[], &lines);
        prop_assert_eq!(done.code, 0, "{}", done.err);
        if !bench.file().exists() && bench.draft().exists() {
            prop_assert_eq!(bench.talk(&["--resume"], &[]).code, 0);
        }
    }
}
