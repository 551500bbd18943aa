//! The binary under test, and the examples.

use std::ffi::OsStr;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::thread;

/// Where it is.
pub const PATH: &str = env!("CARGO_BIN_EXE_bonewright");

/// The top of the tree.
pub fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .canonicalize()
        .unwrap()
}

/// Every example job that makes one saddle; of several see `split`.
pub fn examples() -> Vec<PathBuf> {
    let found = chosen(|text| text.contains("\n[slot]") && !text.contains("[[saddle]]"));
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

/// The command `bonewright`, and what it reads.
pub struct Bonewright {
    command: Command,
    input: Vec<u8>,
}

impl Bonewright {
    pub fn arg(&mut self, argument: impl AsRef<OsStr>) -> &mut Self {
        self.command.arg(argument);
        self
    }

    pub fn args<A: AsRef<OsStr>>(&mut self, arguments: impl IntoIterator<Item = A>) -> &mut Self {
        self.command.args(arguments);
        self
    }

    pub fn current_dir(&mut self, folder: impl AsRef<Path>) -> &mut Self {
        self.command.current_dir(folder);
        self
    }

    pub fn env(&mut self, name: &str, value: impl AsRef<OsStr>) -> &mut Self {
        self.command.env(name, value);
        self
    }

    /// What stands on standard input; else nothing does.
    pub fn write_stdin(&mut self, input: impl Into<Vec<u8>>) -> &mut Self {
        self.input = input.into();
        self
    }

    /// Runs it to its end.
    pub fn output(&mut self) -> std::io::Result<Output> {
        let mut child = self
            .command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()?;
        let mut stdin = child.stdin.take().unwrap();
        thread::scope(|scope| {
            // It may end before it has read all.
            scope.spawn(move || drop(stdin.write_all(&self.input)));
            child.wait_with_output()
        })
    }
}

/// The command `bonewright`.
pub fn bonewright() -> Bonewright {
    Bonewright {
        command: Command::new(PATH),
        input: Vec::new(),
    }
}

/// What a run gave: exit code, standard output, standard error.
pub struct Run {
    pub code: i32,
    pub out: String,
    pub err: String,
}

/// Runs the command; it must end by itself and not panic.
pub fn run(command: &mut Bonewright) -> Run {
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
