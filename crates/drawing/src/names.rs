//! Names of the files that are drawn of a job; `stem` is the name of the job file without folder and ending.

use job::Job;
use machining::{PartKind, Program, SetupKind};

/// What the names of a job's files begin with: those of one of several saddles have its name behind the stem.
#[must_use]
pub fn job_stem(stem: &str, job: &Job) -> String {
    match &job.name {
        None => stem.to_owned(),
        Some(name) => format!("{stem}-{name}"),
    }
}

/// What the names of a part's files begin with: a nut's have `-nut` behind the stem.
#[must_use]
pub fn part_stem(stem: &str, part: PartKind) -> String {
    match part {
        PartKind::Saddle => stem.to_owned(),
        PartKind::Nut => format!("{stem}-nut"),
    }
}

/// A program's.
#[must_use]
pub fn program_name(stem: &str, program: &Program) -> String {
    format!("{stem}-{}", program.name)
}

/// That of a picture of what a setup leaves.
pub(crate) fn left_name(stem: &str, kind: SetupKind) -> String {
    format!("{stem}-{}-left.png", kind.name())
}

/// That of one whole thing: all sheets, a drawing, a solid.
pub(crate) fn whole_name(stem: &str, ending: &str) -> String {
    format!("{stem}.{ending}")
}

/// That of one sheet, numbered from 1.
pub(crate) fn sheet_name(stem: &str, number: usize, ending: &str) -> String {
    format!("{stem}-{number}.{ending}")
}
