//! What the command says of itself.

use crate::binary::{bonewright, run};

#[test]
fn the_version_says_from_what_it_was_built_and_how() {
    let long = run(bonewright().arg("--version"));
    assert_eq!((long.code, long.err.as_str()), (0, ""));
    let lines: Vec<&str> = long.out.lines().collect();
    let [version, commit, build] = lines[..] else {
        panic!("three lines: {}", long.out)
    };
    assert_eq!(version, concat!("bonewright ", env!("CARGO_PKG_VERSION")));
    // A debug build does not ask git, so that a commit leaves these tests as they are.
    let told = commit.strip_prefix("commit: ").unwrap();
    assert_eq!(told == "not asked for", cfg!(debug_assertions), "{commit}");
    assert!(build.starts_with("build: ") && build.contains(" for "), "{build}");
    assert!(build.contains(std::env::consts::ARCH), "{build}");
    let short = run(bonewright().arg("-V"));
    assert_eq!(short.out, format!("{version}\n"));
}
