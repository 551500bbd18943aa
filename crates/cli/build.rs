//! What `bonewright --version` says: the version, the commit and the build. `dist/make` gives the commit (`BONEWRIGHT_COMMIT`); another
//! optimised build asks git. A debug build does not ask, so that a commit leaves the tests' programs as they are.

use std::env::var;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Signs of a commit's name.
const SHORT: usize = 12;

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rerun-if-env-changed=BONEWRIGHT_COMMIT");
    let told = |name: &str| var(name).unwrap_or_default();
    let optimised = told("PROFILE") != "debug";
    let commit = match var("BONEWRIGHT_COMMIT") {
        Ok(commit) if !commit.is_empty() => commit,
        // What was changed since is not looked for: it would have to be at every build.
        _ if optimised => match commit() {
            Some(commit) => format!("{commit}, or files changed since"),
            None => "unknown, built outside git".to_owned(),
        },
        _ => "not asked for".to_owned(),
    };
    let still = told("CARGO_CFG_TARGET_FEATURE")
        .split(',')
        .any(|feature| feature == "crt-static");
    let link = if still { ", statically linked" } else { "" };
    let profile = profile().unwrap_or_else(|| told("PROFILE"));
    println!("cargo::rustc-env=BONEWRIGHT_FROM={commit}");
    println!(
        "cargo::rustc-env=BONEWRIGHT_BUILD={profile} for {}{link}",
        told("TARGET")
    );
}

/// The profile's own name; cargo tells `release` for all that inherit from it. It is the folder above `build/PACKAGE/out`.
fn profile() -> Option<String> {
    let out = PathBuf::from(var("OUT_DIR").ok()?);
    let name = out.ancestors().nth(3)?.file_name()?;
    Some(name.to_string_lossy().into_owned())
}

/// The commit that is checked out, if this file is one of its files; and what changes with it.
fn commit() -> Option<String> {
    git(&["ls-files", "--error-unmatch", "build.rs"])?;
    let name = git(&["rev-parse", "HEAD"])?;
    let branch = git(&["symbolic-ref", "-q", "HEAD"]);
    for place in ["HEAD", "logs/HEAD", "packed-refs"]
        .into_iter()
        .chain(branch.as_deref())
    {
        let path = git(&["rev-parse", "--git-path", place])?;
        // A file that is not there would bring this back at every build.
        if Path::new(&path).exists() {
            println!("cargo::rerun-if-changed={path}");
        }
    }
    name.get(..SHORT).map(str::to_owned)
}

fn git(arguments: &[&str]) -> Option<String> {
    let done = Command::new("git").args(arguments).output().ok()?;
    let text = String::from_utf8(done.stdout).ok()?;
    done.status.success().then(|| text.trim().to_owned())
}
