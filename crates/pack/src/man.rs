//! Man pages.

use clap::Command;
use clap_mangen::Man;
use std::fs;
use std::path::Path;

/// Foot of every page: what it is of, and the manual that it belongs to.
const SOURCE: &str = concat!("bonewright ", env!("CARGO_PKG_VERSION"));
const MANUAL: &str = "Saddles and nuts";

/// Writes one page a command and one of all.
pub fn pages(command: Command, folder: &Path) -> anyhow::Result<()> {
    let mut all = command.disable_help_subcommand(true);
    all.build();
    page(&all, folder)
}

/// The page of a command and of all below it.
fn page(command: &Command, folder: &Path) -> anyhow::Result<()> {
    let man = Man::new(command.clone()).source(SOURCE).manual(MANUAL);
    let mut text = Vec::new();
    man.render(&mut text)?;
    // What stands after the help is the exit codes, which have a heading of their own in a manual.
    let text = String::from_utf8(text)?.replace(".SH EXTRA\n", ".SH \"EXIT STATUS\"\n");
    fs::write(folder.join(man.get_filename()), text)?;
    command.get_subcommands().try_for_each(|below| page(below, folder))
}
