//! The binary under test, and the examples.

use assert_cmd::Command;
use std::path::{Path, PathBuf};

/// Where it is.
pub const PATH: &str = env!("CARGO_BIN_EXE_bonewright");

/// The top of the tree.
pub fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .canonicalize()
        .unwrap()
}

/// Every example job that makes a saddle.
pub fn examples() -> Vec<PathBuf> {
    let found = chosen(|text| text.contains("\n[slot]"));
    assert!(found.len() >= 4, "{found:?}");
    found
}

/// Every example job that makes a nut alone.
pub fn nut_alone_examples() -> Vec<PathBuf> {
    let found = chosen(|text| !text.contains("\n[slot]"));
    assert!(!found.is_empty());
    found
}

fn chosen(wanted: impl Fn(&str) -> bool) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = std::fs::read_dir(top().join("examples"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .filter(|path| wanted(&std::fs::read_to_string(path).unwrap()))
        .collect();
    found.sort();
    found
}

/// One example by its name.
pub fn example(name: &str) -> PathBuf {
    top().join("examples").join(name)
}

/// The command `bonewright`.
pub fn bonewright() -> Command {
    Command::new(PATH)
}

/// What a run gave: exit code, standard output, standard error.
pub struct Run {
    pub code: i32,
    pub out: String,
    pub err: String,
}

/// Runs the command; it must end by itself and not panic.
pub fn run(command: &mut Command) -> Run {
    let output = command.output().unwrap();
    let run = Run {
        code: output.status.code().expect("ends with a code"),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    };
    assert!(!run.err.contains("panicked"), "{}", run.err);
    run
}

/// A page must be as it was last looked at and found good, in `tests/golden`. `BONEWRIGHT_BLESS=1` writes it anew and still
/// fails, so that no one blesses unawares.
pub fn golden(name: &str, page: &str) {
    let golden = top().join("tests/golden").join(name);
    if std::env::var_os("BONEWRIGHT_BLESS").is_some() {
        std::fs::write(&golden, page).unwrap();
        panic!("written anew: look at {} and run the test again", golden.display());
    }
    let want = std::fs::read_to_string(&golden).unwrap();
    assert!(
        page == want,
        "the page has changed; BONEWRIGHT_BLESS=1 writes {} anew\n{page}",
        golden.display()
    );
}
