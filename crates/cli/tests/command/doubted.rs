//! Readings that do not fit the others: what every command says of them first.

use crate::binary::{bonewright, example};

/// Further readings of `examples/sound.toml` that agree with it, to what their tools show.
pub const AGAIN: &str = r#"
[[readings]]
with = "feelers"
held_at_3 = [0.146, 0.131, 0.117, 0.103, 0.090, 0.077]
action_at = [{ fret = 5, action = [1.40, 1.34, 1.28, 1.22, 1.16, 1.09] }]

[[readings]]
with = "caliper"
saddle_height = [9.17, 9.54, 9.63, 9.45, 8.99, 8.27]
over_bridge = [3.66, 4.03, 4.12, 3.94, 3.48, 2.76]
"#;

/// What `bonewright` says of the sound guitar read again, changed by this; one line, with its exit code.
fn said(arguments: &[&str], edits: &[(&str, &str)]) -> (Option<i32>, String) {
    let mut text = std::fs::read_to_string(example("sound.toml")).unwrap() + AGAIN;
    for (old, new) in edits {
        assert!(text.contains(old), "{old}");
        text = text.replace(old, new);
    }
    let mut command = bonewright();
    for argument in arguments {
        command.arg(argument);
    }
    let output = command.arg("-").write_stdin(text).output().unwrap();
    let said = [output.stdout, output.stderr].concat();
    let words = String::from_utf8(said).unwrap();
    let line = words.split_whitespace().collect::<Vec<_>>().join(" ");
    (output.status.code(), line)
}

const HEIGHT: (&str, &str) = ("9.63, 9.45", "10.28, 9.45");
const GAP: (&str, &str) = (
    "first_fret_clearance = { bass = 0.5",
    "first_fret_clearance = { bass = 0.85",
);
const REVERSED: (&str, &str) = (
    "saddle_height = [9.17, 9.54, 9.63, 9.45, 8.99, 8.27]",
    "saddle_height = [8.27, 8.99, 9.45, 9.63, 9.54, 9.17]",
);

/// A sound survey says what nothing checks, and accuses none.
#[test]
fn a_survey_that_agrees_tells_what_would_hide() {
    let (code, said) = said(&["check"], &[]);
    assert_eq!(code, Some(0));
    assert!(!said.contains("Before you make it"), "{said}");
    assert!(
        said.contains("No other reading would show a slip in: length from nut to fret 12"),
        "{said}"
    );
    assert!(
        said.contains("gap over fret 1, held at fret 3 with the feelers:"),
        "{said}"
    );
    let once = bonewright().arg("check").arg(example("sound.toml")).output().unwrap();
    assert!(!String::from_utf8(once.stdout).unwrap().contains("A slip up to"));
}

#[test]
fn a_reading_that_does_not_fit_is_named_before_anything_else() {
    for (edit, names) in [
        (HEIGHT, "The height of the present saddle at string 4, read as 10.28 mm"),
        (GAP, "String 6's gap over fret 1, read as 0.85 mm"),
    ] {
        let (code, checked) = said(&["check"], &[edit]);
        assert_eq!(code, Some(0), "{checked}");
        let before = format!("Before you make it: {names}");
        assert!(
            checked.contains(&before) && checked.contains("again before you cut."),
            "{checked}"
        );
        assert!(!checked.contains("would show a slip"), "{checked}");
        let (_, planned) = said(&["plan"], &[edit]);
        assert!(planned.contains(&format!("BEFORE YOU MAKE IT {names}")), "{planned}");
    }
}

/// So far from one another that no instrument is near: the slip is named all the same.
#[test]
fn a_list_from_the_wrong_end_is_named_as_one() {
    let (_, said) = said(&["check"], &[REVERSED]);
    assert!(
        said.contains("of the present saddle, strings 6 to 1, with the caliper"),
        "{said}"
    );
    assert!(
        said.contains("as if the list had been written from the wrong end"),
        "{said}"
    );
}
