//! Edits by hand of good programs, and what `bonewright replay` says to each: passed, or refused with these words.
//!
//! Two programs of the parlour guitar's saddle: its outline with arcs, for a router with one program for each tool, and its crown
//! with two tools, for a mill whose controller holds a table of their lengths.

use crate::binary::{bonewright, example, run};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

const MILL: &str = "small ballscrew mill";

/// Which program is edited.
#[derive(Clone, Copy, Debug)]
enum Base {
    /// The outline: one tool, arcs.
    Outline,
    /// The crown: two tools by the table.
    Crown,
}
use Base::{Crown, Outline};

/// What a hand does to a text.
#[derive(Clone, Copy, Debug)]
enum Edit {
    /// The first of these words becomes others; `\n` is the end of a line.
    First(&'static str, &'static str),
    /// The last of them.
    Last(&'static str, &'static str),
    /// All of them.
    All(&'static str, &'static str),
    /// Lines put in before the first line that begins so.
    Before(&'static str, &'static str),
    /// Figures behind a letter, in lines from a share of the cut on, raised by so much: so many of them.
    Raise(char, f64, f64, usize),
    /// Another text made of it.
    Other(fn(&str) -> String),
}
use Edit::{All, Before, First, Last, Other, Raise};

/// `Ok` where the program stays in order, else words of the refusal.
type Said = Result<(), &'static [&'static str]>;
const PASSES: Said = Ok(());

#[rustfmt::skip]
const EDITS: &[(&str, Base, Edit, Said)] = &[
    // What changes nothing that is cut.
    ("nothing", Outline, First("", ""), PASSES),
    ("nothing, two tools", Crown, First("", ""), PASSES),
    ("a comment more", Outline, Before("G1 ", "(mind the clamp)\n"), PASSES),
    ("a comment behind a semicolon", Outline, First("\nS12000 M3\n", "\nS12000 M3 ; mine runs hot\n"), PASSES),
    ("comments out of the body", Crown, Last("(finish the crown)\n", ""), PASSES),
    ("small letters", Outline, Other(small_letters), PASSES),
    ("no spaces", Outline, Other(no_spaces), PASSES),
    ("spaces and empty lines", Outline, All("\nX", "\n\n  X "), PASSES),
    ("line numbers", Outline, Other(numbered), PASSES),
    ("a percent sign at both ends", Outline, Other(|text| format!("%\n{text}%\n")), PASSES),
    ("figures without their last noughts", Outline, Other(short_figures), PASSES),
    ("words of a line in another order", Outline, First("G90 G17 G94", "G94 G17 G90"), PASSES),
    ("the motion word said again", Outline, Other(said_again), PASSES),
    ("slower cuts", Outline, All("F720.0", "F600.0"), PASSES),
    ("twice as fast, which bone bears", Outline, All("F720.0", "F1440.0"), PASSES),
    ("a slower plunge", Outline, All("F216.0", "F120.0"), PASSES),
    ("up once more before the end", Outline, Last("\nM5\n", "\nG0 Z12.0000\nM5\n"), PASSES),
    ("a longer wait", Outline, First("G4 P4.0", "G4 P8.5"), PASSES),
    ("M2 for M30", Outline, Last("M30", "M2"), PASSES),
    ("the same line twice, rapid", Outline, First("\nG0 Z8.2004\n", "\nG0 Z8.2004\nG0 Z8.2004\n"), PASSES),
    // Units, planes, steps.
    ("inches", Outline, First("G21", "G20"), Err(&["inches"])),
    ("inches, later", Outline, Before("G1 ", "G20\n"), Err(&["inches"])),
    ("another plane", Crown, First("G17", "G18"), Err(&["G17"])),
    ("steps", Outline, First("G90", "G91"), Err(&["G91"])),
    ("no G90", Outline, First("G90 ", ""), Err(&["G90"])),
    ("arcs without G91.1", Outline, First(" G91.1", ""), Err(&["G91.1"])),
    ("centres in places", Outline, First("G91.1", "G90.1"), Err(&["G90.1"])),
    ("no work offset", Outline, First(" G54", ""), Err(&["G54"])),
    ("another work offset, later", Crown, Last("(finish the crown)\n", "G55\n"), Err(&["G55"])),
    // Spindle and waits.
    ("no wait after M3", Outline, First("G4 P4.0\n", ""), Err(&["speed", "G4"])),
    ("a wait of nought", Outline, First("G4 P4.0", "G4 P0"), Err(&["speed", "G4"])),
    ("a wait in milliseconds", Outline, First("G4 P4.0", "G4 P4000"), Err(&["wait", "4000"])),
    ("a wait of a day", Outline, First("G4 P4.0", "G4 P100000"), Err(&["wait", "100000"])),
    ("no M3", Outline, First(" M3", ""), Err(&["spindle"])),
    ("backwards", Outline, First("M3", "M4"), Err(&["M4"])),
    ("a speed that the machine has not", Outline, First("S12000", "S30000"), Err(&["30000"])),
    ("too slow a spindle for its feed", Outline, Other(thick_chips), Err(&["chip"])),
    ("no M5", Outline, Last("M5\n", ""), Err(&["M5"])),
    ("no end", Outline, Last("M30\n", ""), Err(&["M30"])),
    ("a stop in the middle, down in the cut", Outline, First("\nG3 ", "\nM0\nG3 "), Err(&["wait"])),
    // Tools and lengths.
    ("no length", Crown, First("G43 H1\n", ""), Err(&["G43"])),
    ("no length for the second tool", Crown, First("G43 H3\n", ""), Err(&["length of tool 1", "G43"])),
    ("the other tool's length", Crown, First("G43 H3", "G43 H1"), Err(&["length of tool 1"])),
    ("a length without its number", Crown, First("G43 H3", "G43"), Err(&["H"])),
    ("length taken off before the cut", Crown, Last("\nG1 ", "\nG49\nG1 "), Err(&["length"])),
    ("length taken up where the machine has none", Outline, First("\nG0 Z", "\nG43 H1\nG0 Z"), Err(&["G43"])),
    ("another tool", Crown, First("T3 M6", "T1 M6"), Err(&["mm"])),
    ("a change where the machine makes none", Outline, First("\nG0 Z", "\nT1 M6\nG0 Z"), Err(&["M6"])),
    // Places.
    ("the first move names X and Y, where it is thought to stand", Outline, First("\nG0 Z", "\nG0 X0 Y0 Z"), Err(&["first move"])),
    ("the first move names X and Y", Outline, First("\nG0 Z", "\nG0 X5 Y-5 Z"), Err(&["first move"])),
    ("machine coordinates that the profile lacks", Outline, First("\nG0 Z", "\nG53 G0 Z0\nG0 Z"), Err(&["G53"])),
    ("home that the profile lacks", Outline, Last("\nM5\n", "\nM5\nG28\n"), Err(&["G28"])),
    ("down from the start", Outline, First("\nG0 Z8.2004", "\nG0 Z1.0"), Err(&["first move"])),
    ("a rapid for a cut", Outline, First("\nG1 Z2.7879 F216.0\n", "\nG0 Z1.0\nG1 F216.0\n"), Err(&["rapid"])),
    ("a lift left out", Outline, Other(no_lift), Err(&["rapid"])),
    ("one place 0.05 mm deeper", Crown, Raise('Z', 0.7, -0.05, 1), Err(&["into the finished part"])),
    ("the second tool 0.02 mm deeper", Crown, Raise('Z', 0.2, -0.02, 10_000), Err(&["into the finished part"])),
    ("the second tool 0.05 mm higher", Crown, Raise('Z', 0.2, 0.05, 10_000), Err(&["too much"])),
    ("the outline 0.1 mm to the side", Outline, Raise('X', 0.0, 0.1, 10_000), Err(&["into the finished part"])),
    ("below the tape", Outline, All("Z-0.1000", "Z-0.5000"), Err(&["below"])),
    ("an arc's centre off", Outline, Last("I-0.1228", "I-0.1428"), Err(&["centre"])),
    ("an arc the other way round", Outline, Last("\nG2 ", "\nG3 "), Err(&["mm"])),
    ("a figure that lost its point", Outline, Last("Y-2.5000", "Y-25000"), Err(&["mm"])),
    // Lines.
    ("a line left out of the cut", Outline, Other(line_out), Err(&["mm"])),
    ("two lines the wrong way round", Outline, Other(lines_swapped), Err(&["mm"])),
    ("half of it", Outline, Other(half_a_word), Err(&["stops early"])),
    ("half of its lines", Outline, Other(half), Err(&["M30"])),
    ("faster than the machine", Outline, First("F720.0", "F7200.0"), Err(&["7200"])),
    ("so slow that it rubs", Outline, All("F720.0", "F100.0"), Err(&["chip"])),
    ("no feed", Outline, Other(no_feed), Err(&["feed"])),
    ("a line longer than the machine takes", Outline, Before("G1 ", LONG), Err(&["characters"])),
    ("a word that nobody knows", Outline, First("G94", "G94 Q3"), Err(&["Q"])),
    ("coolant that the machine has not", Outline, First(" M3", " M3 M8"), Err(&["M8"])),
    ("a second end", Outline, Last("M30\n", "M30\nG0 X0\n"), Err(&["behind the end"])),
];

const LONG: &str =
    "(a note that goes on and on until it is longer than a small controller's line, of eighty characters or so)\n";

/// The words of a program without its comments.
fn words(text: &str, change: impl Fn(&str) -> String) -> String {
    text.lines()
        .map(|line| if line.starts_with('(') { line.to_owned() } else { change(line) } + "\n")
        .collect()
}

fn small_letters(text: &str) -> String {
    words(text, str::to_lowercase)
}

fn no_spaces(text: &str) -> String {
    words(text, |line| line.replace(' ', ""))
}

fn short_figures(text: &str) -> String {
    let short = |word: &str| match word.contains('.') && !word.starts_with('G') {
        true => word.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => word.to_owned(),
    };
    words(text, |line| line.split(' ').map(short).collect::<Vec<_>>().join(" "))
}

fn numbered(text: &str) -> String {
    let mut number = 0;
    let lines = text.lines().map(|line| {
        number += 10;
        if line.starts_with('(') {
            format!("{line}\n")
        } else {
            format!("N{number} {line}\n")
        }
    });
    lines.collect()
}

fn no_feed(text: &str) -> String {
    words(text, |line| {
        let kept: Vec<&str> = line.split(' ').filter(|word| !word.starts_with('F')).collect();
        kept.join(" ")
    })
}

/// Lines of the text, and the first in its second half that an arc or a cut along it stands on.
fn middle(text: &str) -> (Vec<&str>, usize) {
    let lines: Vec<&str> = text.lines().collect();
    let half = lines.len() / 2;
    let at = (half..lines.len()).find(|i| lines[*i].starts_with("G2 ")).unwrap();
    (lines, at)
}

fn half(text: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    lines[..lines.len() / 2].join("\n") + "\n"
}

fn thick_chips(text: &str) -> String {
    text.replace("S12000", "S8000").replace("F720.0", "F1800.0")
}

fn line_out(text: &str) -> String {
    let (mut lines, at) = middle(text);
    lines.remove(at);
    lines.join("\n") + "\n"
}

fn lines_swapped(text: &str) -> String {
    let (mut lines, at) = middle(text);
    lines.swap(at - 1, at);
    lines.join("\n") + "\n"
}

/// Without the second way up.
fn no_lift(text: &str) -> String {
    let mut lines: Vec<&str> = text.lines().collect();
    let lifts: Vec<usize> = (0..lines.len()).filter(|i| lines[*i].starts_with("G0 Z")).collect();
    lines[lifts[1]] = "G0";
    lines.retain(|line| *line != "G0");
    // The next line had its word from it.
    lines.insert(lifts[1], "G0 X-1.6500");
    lines.join("\n") + "\n"
}

fn raised(text: &str, letter: char, from: f64, by: f64, mut most: usize) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let from = (from * lines.len() as f64) as usize;
    let mut raise = |word: &str| match word.strip_prefix(letter).and_then(|figure| figure.parse::<f64>().ok()) {
        Some(figure) if most > 0 => {
            most -= 1;
            format!("{letter}{:.4}", figure + by)
        }
        _ => word.to_owned(),
    };
    let mut out = String::new();
    for (i, line) in lines.iter().enumerate() {
        // Ways up stay.
        let cuts = i >= from && !line.starts_with('(') && !line.starts_with("G0") && !line.starts_with("G90");
        let new: Vec<String> = line
            .split(' ')
            .map(|w| if cuts { raise(w) } else { w.to_owned() })
            .collect();
        out += &(new.join(" ") + "\n");
    }
    out
}

fn edited(text: &str, edit: Edit) -> String {
    match edit {
        First("", _) => text.to_owned(),
        First(old, new) => text.replacen(old, new, 1),
        Last(old, new) => match text.rfind(old) {
            Some(at) => format!("{}{new}{}", &text[..at], &text[at + old.len()..]),
            None => text.to_owned(),
        },
        All(old, new) => text.replace(old, new),
        Before(start, lines) => {
            let at = text.find(&format!("\n{start}")).map_or(text.len(), |at| at + 1);
            format!("{}{lines}{}", &text[..at], &text[at..])
        }
        Raise(letter, from, by, most) => raised(text, letter, from, by, most),
        Other(change) => change(text),
    }
}

/// The text up to a letter without its number, about half way.
fn half_a_word(text: &str) -> String {
    let half = text.len() / 2;
    let letter = text[half..].find('X').unwrap();
    text[..=half + letter].to_owned()
}

fn said_again(text: &str) -> String {
    let mut motion = "G0";
    words(text, |line| line.to_owned())
        .lines()
        .map(|line| {
            for word in ["G0", "G1", "G2", "G3"] {
                if line.starts_with(&format!("{word} ")) {
                    motion = word;
                }
            }
            let bare = line.starts_with(['X', 'Y', 'Z']);
            if bare {
                format!("{motion} {line}\n")
            } else {
                format!("{line}\n")
            }
        })
        .collect()
}

fn made(folder: &Path, more: &[&str], name: &str) -> String {
    let out = folder.join(name);
    let mut cut = bonewright();
    let done = run(cut
        .arg("cut")
        .arg(example("parlour.toml"))
        .arg("--out")
        .arg(&out)
        .args(more));
    assert_eq!(done.code, 0, "{}", done.err);
    std::fs::read_to_string(out.join(name)).unwrap()
}

/// What is wrong with the answer to one edit.
fn judged(path: PathBuf, text: &str, base: Base, said: Said) -> Option<String> {
    std::fs::write(&path, text).unwrap();
    let mut replay = bonewright();
    let job = example("parlour.toml");
    replay.arg("replay").arg(&path).arg("--job").arg(job);
    if matches!(base, Crown) {
        replay.args(["--machine", MILL]);
    }
    let done = run(&mut replay);
    let told = done.err.split_whitespace().collect::<Vec<_>>().join(" ");
    match said {
        Ok(()) if done.code == 0 => None,
        Ok(()) => Some(format!("should pass, and is refused ({}): {told}", done.code)),
        Err(_) if done.code != 4 => Some(format!("should be refused, and ends with {}: {told}", done.code)),
        Err(words) => words
            .iter()
            .find(|word| !told.contains(**word))
            .map(|word| format!("is refused, but not for \"{word}\": {told}")),
    }
}

#[test]
fn edits_by_hand() {
    assert!(EDITS.len() >= 50);
    let folder = tempfile::tempdir().unwrap();
    let outline = made(folder.path(), &["--setup", "flat"], "parlour-flat-1.ngc");
    let crown = made(
        folder.path(),
        &["--setup", "on-edge", "--machine", MILL],
        "parlour-on-edge-1.ngc",
    );
    let next = AtomicUsize::new(0);
    let work = || {
        let mut wrong = Vec::new();
        while let Some((name, base, edit, said)) = EDITS.get(next.fetch_add(1, Ordering::Relaxed)) {
            let text = match base {
                Outline => &outline,
                Crown => &crown,
            };
            let new = edited(text, *edit);
            if new == *text && !name.starts_with("nothing") {
                wrong.push(format!("{name}: changes nothing, {edit:?}"));
                continue;
            }
            let path = folder.path().join(format!(
                "{}.ngc",
                name.replace(|c: char| !c.is_ascii_alphanumeric(), "-")
            ));
            wrong.extend(judged(path, &new, *base, *said).map(|what| format!("{name}: {what}")));
        }
        wrong
    };
    let threads = std::thread::available_parallelism().map_or(2, usize::from);
    let wrong: Vec<String> = std::thread::scope(|scope| {
        let all: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        all.into_iter().flat_map(|one| one.join().unwrap()).collect()
    });
    assert!(
        wrong.is_empty(),
        "{} of {} edits:\n{}",
        wrong.len(),
        EDITS.len(),
        wrong.join("\n")
    );
}
