//! What people write and what they are told: sixty wrong inputs, each a line put into a sound job, with the message as it once was and as
//! it is. `BONEWRIGHT_BLESS=1` writes the messages anew and still fails; what was said before is never written again.

use std::fmt::Write as _;
use std::path::PathBuf;
use std::sync::LazyLock;

use job::{Profiles, read};

/// A job without a problem, in millimetres.
const GOOD: &str = include_str!("good.toml");

const ROWS: &str = include_str!("hands.txt");

/// Built once: they are read from text.
static PROFILES: LazyLock<Profiles> = LazyLock::new(Profiles::built_in);

/// One slip, as it stands in the table.
struct Row<'a> {
    /// The line of the sound job.
    line: &'a str,
    /// What is written in its place; `⏎` parts lines.
    hand: String,
    before: &'a str,
    after: &'a str,
}

/// The rows of the table; the head of the file goes before them.
fn rows() -> (&'static str, Vec<Row<'static>>) {
    let (head, rest) = ROWS.split_once("\n\n").unwrap();
    let row = |text: &'static str| {
        let part = |mark: &str| {
            let line = text.lines().find_map(|line| line.strip_prefix(mark));
            line.unwrap_or_else(|| panic!("no {mark}in {text}"))
        };
        Row {
            line: part("line:   "),
            hand: part("hand:   ").replace('⏎', "\n"),
            before: part("before: "),
            after: part("after:  "),
        }
    };
    (head, rest.trim().split("\n\n").map(row).collect())
}

/// The sound job with a line changed.
fn with(line: &str, hand: &str) -> String {
    assert_eq!(GOOD.lines().filter(|l| *l == line).count(), 1, "{line}");
    let lines: Vec<&str> = GOOD.lines().map(|l| if l == line { hand } else { l }).collect();
    lines.join("\n")
}

/// What is said to it, in one line.
fn said(text: &str) -> String {
    let problems = match read(text, &PROFILES) {
        Ok(checked) => checked.warnings,
        Err(problems) => problems,
    };
    match problems.as_slice() {
        [] => "(understood)".to_owned(),
        all => all.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ⏎ "),
    }
}

#[test]
fn sixty_slips_are_answered_as_they_were_last_looked_at() {
    let (head, rows) = rows();
    assert!(rows.len() >= 60, "{}", rows.len());
    let mut file = head.to_owned();
    let mut changed = Vec::new();
    for row in rows {
        let now = said(&with(row.line, &row.hand));
        if now != row.after {
            changed.push(format!("{}\n  was {}\n  is  {now}", row.hand, row.after));
        }
        let hand = row.hand.replace('\n', "⏎");
        let _ = write!(
            file,
            "\n\nline:   {}\nhand:   {hand}\nbefore: {}\nafter:  {now}",
            row.line, row.before
        );
    }
    if std::env::var_os("BONEWRIGHT_BLESS").is_some() {
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/job/hands.txt");
        std::fs::write(path, file + "\n").unwrap();
    }
    assert!(changed.is_empty(), "{}", changed.join("\n"));
}

/// What a message says to write can be written: in the place of the line it leaves nothing to say of the layout.
#[test]
fn every_mend_that_is_offered_mends() {
    let mut mends = 0;
    for row in rows().1 {
        let text = with(row.line, &row.hand);
        let Err(found) = read(&text, &PROFILES) else { continue };
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        let mut mended = 0;
        for problem in found.iter().filter(|p| p.field.is_empty()) {
            let what = problem.what();
            let offered = what.split_once(" Write `").map(|(_, rest)| rest);
            if let (Some(offered), Some(line)) = (offered.and_then(|rest| rest.strip_suffix("`.")), problem.line) {
                lines[line - 1] = offered.replace("` and below it `", "\n");
                mended += 1;
            }
        }
        if mended > 0 {
            let again = read(&lines.join("\n"), &PROFILES).err().unwrap_or_default();
            assert!(again.iter().all(|p| !p.field.is_empty()), "{}: {again:?}", row.hand);
        }
        mends += mended;
    }
    assert!(mends >= 40, "{mends}");
}
