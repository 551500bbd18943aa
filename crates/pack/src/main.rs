//! `bonewright-pack DIR` writes what packages carry beside the command: `man/`, one page a command and one of all, and
//! `completions/`, by the names that each shell looks for. They are made from the command's own flags and help (`cli::command`).

mod man;

use anyhow::{Context, bail};
use clap_complete::Shell;
use std::fs;
use std::path::PathBuf;

const NAME: &str = "bonewright";

fn main() -> anyhow::Result<()> {
    let mut arguments = std::env::args_os().skip(1);
    let (Some(folder), None) = (arguments.next().map(PathBuf::from), arguments.next()) else {
        bail!("use: bonewright-pack DIR");
    };
    let command = || cli::command(env!("CARGO_PKG_VERSION"));
    let man = folder.join("man");
    let completions = folder.join("completions");
    for folder in [&man, &completions] {
        fs::create_dir_all(folder).with_context(|| folder.display().to_string())?;
    }
    man::pages(command(), &man).context("man pages")?;
    for shell in [Shell::Bash, Shell::Zsh, Shell::Fish] {
        clap_complete::generate_to(shell, &mut command(), NAME, &completions)
            .with_context(|| format!("completions of {shell}"))?;
    }
    Ok(())
}
