//! `bonewright draw`: the sheets, patterns and models of a plan, as files.

use crate::failure::Failure;
use crate::files::{self, NewFile};
use crate::part::PartArgs;
use crate::source::{self, JobArgs};
use crate::speak;
use clap::{Args, ValueEnum};
use drawing::{FileKind, PartWork};
use machining::PartKind;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use work::Planned;

/// Least and most dots per inch of a picture; `drawing::png` allows no others.
const DPI: std::ops::RangeInclusive<u16> = 30..=1200;

/// Draw the saddle, and the nut, at true scale and write the files
///
/// Files are written whole or not at all, and none is replaced unless --force is given.
#[derive(Args)]
pub struct Draw {
    #[command(flatten)]
    job: JobArgs,
    #[command(flatten)]
    part: PartArgs,
    /// Folder for the files [default: output/ and the name of the job file]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Paper, instead of the job's own
    #[arg(long)]
    paper: Option<PaperName>,
    /// Only these files, separated by commas [default: all]
    #[arg(long, value_name = "KINDS", value_delimiter = ',')]
    only: Vec<Kind>,
    /// Dots per inch of the PNG pictures
    #[arg(long, value_name = "N", default_value_t = 150, value_parser = dpi)]
    dpi: u16,
    /// Replace files of the same name
    #[arg(long)]
    force: bool,
}

#[derive(Clone, Copy, ValueEnum)]
enum PaperName {
    /// 210 by 297 mm
    A4,
    /// 8 1/2 by 11 in
    Letter,
}

/// A kind of file.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Kind {
    /// The sheets, one file each
    Svg,
    /// The sheets in one file, for printing
    Pdf,
    /// Pictures of the sheets
    Png,
    /// Outline, ridge and stations on layers, mm
    Dxf,
    /// The finished saddle as a solid, mm, for a trial piece
    Stl,
    /// The page that "plan" prints
    Txt,
}

impl Kind {
    /// Those that are drawn.
    const DRAWN: [(Self, FileKind); 5] = [
        (Self::Pdf, FileKind::Pdf),
        (Self::Svg, FileKind::Svg),
        (Self::Png, FileKind::Png),
        (Self::Dxf, FileKind::Dxf),
        (Self::Stl, FileKind::Stl),
    ];
}

impl From<PaperName> for job::Paper {
    fn from(name: PaperName) -> Self {
        match name {
            PaperName::A4 => Self::A4,
            PaperName::Letter => Self::Letter,
        }
    }
}

fn dpi(text: &str) -> Result<u16, String> {
    text.parse()
        .ok()
        .filter(|n| DPI.contains(n))
        .ok_or_else(|| format!("expected a whole number from {} to {}", DPI.start(), DPI.end()))
}

/// # Errors
/// As [`source::any_planned`]; [`Failure::Job`] if the plan does not fit the paper; [`Failure::File`] if files are in the way.
pub fn run(args: &Draw) -> Result<(), Failure> {
    let path = &args.job.path;
    if files::is_stdin(path) {
        return Err(Failure::Use(
            "draw names its files after the job file, so it cannot read standard input. Save the job as a file first."
                .to_owned(),
        ));
    }
    let stem = source::stem(path);
    let folder = args.out.clone().unwrap_or_else(|| Path::new("output").join(&stem));
    let planned = source::planned(&args.job)?.planned;
    let chosen = args.part.chosen(&planned, &PartKind::ALL)?;
    let (done, parts) = (chosen.done, &chosen.parts);
    let may_be = source::may_be_made(path, done, parts);
    let files = if may_be {
        drawn(args, done, parts, &stem)?
    } else {
        vec![text(done, parts, &stem)]
    };
    files::write_all(&folder, &files, args.force)?;
    let mut stems = vec![stem.clone(), format!("{stem}-nut")];
    stems.extend(planned.saddles().map(|one| drawing::job_stem(&stem, &one.job)));
    stems.dedup();
    let old = stems.iter().map(|stem| left_over(&folder, stem, &files));
    for old in old.flatten().collect::<BTreeSet<_>>() {
        speak::error(&format!(
            "warning: {} is left from an earlier run and is no sheet of this plan. Delete it.",
            folder.join(old).display()
        ));
    }
    let mut text = format!("Written to {}:\n", folder.display());
    for file in &files {
        text += &format!("  {}\n", file.name);
    }
    if files.iter().any(|file| file.name.ends_with(".pdf")) {
        text += "Print the PDF at 100 %, and check both bars on the paper before you use it.\n";
    }
    text += &report::first_words(done, parts, done.job.bench);
    if !may_be {
        text += "Nothing was drawn: this is not to be made as it stands.\n";
    }
    speak::result(&text)?;
    source::made(may_be)
}

/// Every file that was asked for; those of the nut have `-nut` in their names, those of one of several saddles its name.
fn drawn(args: &Draw, done: &Planned, parts: &[PartKind], stem: &str) -> Result<Vec<NewFile>, Failure> {
    let wants = |kind: Kind| args.only.is_empty() || args.only.contains(&kind);
    let kinds: Vec<FileKind> = Kind::DRAWN
        .into_iter()
        .filter(|(kind, _)| wants(*kind))
        .map(|(_, kind)| kind)
        .collect();
    let bench = done.job.bench;
    let mut files = Vec::new();
    for part in parts.iter().flat_map(|part| PartWork::all(done, *part)) {
        let mut options = part.options(bench);
        options.paper = args.paper.map_or(options.paper, job::Paper::from);
        let stem = drawing::job_stem(stem, part.job());
        let drawn = drawing::part_files(&part, &stem, &options, &kinds, f64::from(args.dpi)).map_err(speak::undrawn)?;
        files.extend(drawn.into_iter().map(NewFile::from));
    }
    if wants(Kind::Txt) {
        files.push(text(done, parts, stem));
    }
    if files.is_empty() {
        return Err(Failure::Use(
            "--only: there is no STL of a nut. Ask for another kind of file, or leave --part out.".to_owned(),
        ));
    }
    Ok(files)
}

/// The page that `plan` prints.
fn text(done: &Planned, parts: &[PartKind], stem: &str) -> NewFile {
    let of = parts.first().copied().unwrap_or(PartKind::Saddle);
    NewFile {
        name: format!("{}.txt", drawing::part_stem(&drawing::job_stem(stem, &done.job), of)),
        content: report::plan_page(done, parts, done.job.bench).into_bytes(),
    }
}

/// Numbered sheets in the folder that an earlier run wrote and this one did not, of the kinds that this one wrote.
fn left_over(folder: &Path, stem: &str, files: &[NewFile]) -> Vec<String> {
    let mut old = Vec::new();
    for ending in ["svg", "png"] {
        let number = |name: &str| -> Option<u32> {
            let digits = name
                .strip_prefix(stem)?
                .strip_prefix('-')?
                .strip_suffix(ending)?
                .strip_suffix('.')?;
            digits.parse().ok()
        };
        if !files.iter().any(|file| number(&file.name).is_some()) {
            continue;
        }
        let Ok(entries) = std::fs::read_dir(folder) else {
            continue;
        };
        for entry in entries.flatten() {
            let name = entry.file_name().to_string_lossy().into_owned();
            if number(&name).is_some() && !files.iter().any(|file| file.name == name) {
                old.push(name);
            }
        }
    }
    old.sort();
    old
}
