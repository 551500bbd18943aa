//! Every command has its man page and stands in every shell's completions.

#![allow(clippy::unwrap_used)] // test code

use clap::Command;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// Names of the pages of a command and of all below it.
fn pages(command: &Command, above: &str, found: &mut BTreeSet<String>) {
    let name = format!("{above}{}", command.get_name());
    found.insert(format!("{name}.1"));
    for below in command.get_subcommands() {
        pages(below, &format!("{name}-"), found);
    }
}

#[test]
fn every_command_has_a_page_and_is_completed() {
    let folder = tempfile::tempdir().unwrap();
    let done = std::process::Command::new(env!("CARGO_BIN_EXE_bonewright-pack"))
        .arg(folder.path())
        .output()
        .unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let command = cli::command("0");
    let mut wanted = BTreeSet::new();
    pages(&command, "", &mut wanted);
    assert!(wanted.len() > 10, "{wanted:?}");
    let man = folder.path().join("man");
    let names = fs::read_dir(&man).unwrap();
    let found: BTreeSet<String> = names
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(found, wanted);
    for name in &found {
        let page = fs::read_to_string(man.join(name)).unwrap();
        assert!(page.contains(".TH") && page.contains(".SH DESCRIPTION"), "{name}");
    }
    let first = fs::read_to_string(man.join("bonewright.1")).unwrap();
    assert!(
        first.contains("EXIT STATUS") && !first.contains("EXTRA"),
        "exit codes have their heading"
    );
    let read = |name: &str| fs::read_to_string(Path::new(folder.path()).join("completions").join(name)).unwrap();
    for shell in ["bonewright.bash", "_bonewright", "bonewright.fish"] {
        let text = read(shell);
        for below in command.get_subcommands() {
            assert!(text.contains(below.get_name()), "{shell}: {}", below.get_name());
        }
        assert!(text.contains("no-open"), "{shell}: flags");
    }
}
