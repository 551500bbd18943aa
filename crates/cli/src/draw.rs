//! `bonewright draw`: the sheets, patterns and models of a plan, as files.

use crate::failure::Failure;
use crate::files::{self, NewFile};
use crate::part::{Chosen, PartArgs, WhichPart};
use crate::source::{self, AnyPlanned, JobArgs, Planned};
use crate::speak;
use clap::{Args, ValueEnum};
use drawing::{Sheet, SheetOptions};
use nut::NutPlan;
use std::fmt::Display;
use std::path::{Path, PathBuf};
use units::BenchUnit;

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
    let stem = stem(path);
    let folder = args.out.clone().unwrap_or_else(|| Path::new("output").join(&stem));
    let files = match source::any_planned(&args.job)? {
        AnyPlanned::Saddle(done) => {
            let chosen = args.part.chosen(done.nut.as_ref(), WhichPart::Both)?;
            drawn(args, &done, &chosen, &stem)?
        }
        AnyPlanned::NutAlone(done) => {
            args.part.nut_alone()?;
            let job = &done.job;
            let mut files = nut_files(args, &done.nut, (&job.title, job.paper, job.bench), &stem)?;
            files.extend(text_file(args, &stem, false, || done.page(job.bench)));
            written(files)?
        }
    };
    files::write_all(&folder, &files, args.force)?;
    let old = [stem.clone(), format!("{stem}-nut")].map(|stem| left_over(&folder, &stem, &files));
    for old in old.into_iter().flatten() {
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
    speak::result(&text)
}

/// Name of the job file without its ending.
fn stem(path: &Path) -> String {
    path.file_stem()
        .map_or_else(|| "saddle".to_owned(), |stem| stem.to_string_lossy().into_owned())
}

/// Every file that was asked for; those of the nut have `-nut` in their names.
fn drawn(args: &Draw, done: &Planned, chosen: &Chosen, stem: &str) -> Result<Vec<NewFile>, Failure> {
    let wants = |kind: Kind| args.only.is_empty() || args.only.contains(&kind);
    let (job, plan) = (&done.job, &done.plan);
    let mut files = Vec::new();
    if chosen.saddle {
        if on_sheets(args) {
            let notes = report::notes(plan, &done.survey, job.bench);
            let options = options(args, (&job.title, job.paper, job.bench), &notes);
            let sheets = drawing::saddle_sheets(plan, &options).map_err(undrawn)?;
            add_sheets(&mut files, args, stem, &sheets)?;
        }
        let mut add = |name: String, content: Vec<u8>| files.push(NewFile { name, content });
        if wants(Kind::Dxf) {
            add(format!("{stem}.dxf"), drawing::dxf(plan).map_err(undrawn)?.into_bytes());
        }
        if wants(Kind::Stl) {
            add(format!("{stem}.stl"), drawing::stl(plan).map_err(undrawn)?);
        }
    }
    if let Some(nut) = chosen.nut {
        files.extend(nut_files(args, nut, (&job.title, job.paper, job.bench), stem)?);
    }
    files.extend(text_file(args, stem, chosen.saddle, || done.pages(chosen, job.bench)));
    written(files)
}

/// Title, paper and first unit of a job.
type Style<'a> = (&'a str, job::Paper, BenchUnit);

fn options(args: &Draw, (title, own, bench): Style, notes: &[report::Note]) -> SheetOptions {
    SheetOptions {
        paper: paper(args, own),
        bench,
        title: title.to_owned(),
        notes: notes.iter().flat_map(paragraphs).collect(),
    }
}

/// Whether anything wanted is drawn on sheets.
fn on_sheets(args: &Draw) -> bool {
    let kinds = [Kind::Pdf, Kind::Svg, Kind::Png];
    args.only.is_empty() || kinds.iter().any(|kind| args.only.contains(kind))
}

/// The sheets and the DXF of a nut.
fn nut_files(args: &Draw, nut: &NutPlan, style: Style, stem: &str) -> Result<Vec<NewFile>, Failure> {
    let mut files = Vec::new();
    if on_sheets(args) {
        // The sheets have their own order of work.
        let mut notes = report::nut_notes(nut, style.2);
        notes.retain(|note| note.topic != report::NoteTopic::OrderOfWork);
        let names: Vec<String> = nut.lines.iter().map(|s| s.note.clone()).collect();
        let sheets = drawing::nut_sheets(nut, &names, &options(args, style, &notes)).map_err(undrawn)?;
        add_sheets(&mut files, args, &format!("{stem}-nut"), &sheets)?;
    }
    if args.only.is_empty() || args.only.contains(&Kind::Dxf) {
        files.push(NewFile {
            name: format!("{stem}-nut.dxf"),
            content: drawing::nut_dxf(nut).map_err(undrawn)?.into_bytes(),
        });
    }
    Ok(files)
}

/// The page that `plan` prints, if it is wanted.
fn text_file(args: &Draw, stem: &str, saddle: bool, page: impl FnOnce() -> String) -> Option<NewFile> {
    let wanted = args.only.is_empty() || args.only.contains(&Kind::Txt);
    wanted.then(|| NewFile {
        name: if saddle {
            format!("{stem}.txt")
        } else {
            format!("{stem}-nut.txt")
        },
        content: page().into_bytes(),
    })
}

/// The files, unless none is left of what was asked for.
fn written(files: Vec<NewFile>) -> Result<Vec<NewFile>, Failure> {
    if files.is_empty() {
        return Err(Failure::Use(
            "--only: there is no STL of a nut. Ask for another kind of file, or leave --part out.".to_owned(),
        ));
    }
    Ok(files)
}

/// Sheets as the kinds of file that are wanted.
fn add_sheets(files: &mut Vec<NewFile>, args: &Draw, stem: &str, sheets: &[Sheet]) -> Result<(), Failure> {
    let wants = |kind: Kind| args.only.is_empty() || args.only.contains(&kind);
    let mut add = |name: String, content: Vec<u8>| files.push(NewFile { name, content });
    if wants(Kind::Pdf) {
        add(format!("{stem}.pdf"), drawing::pdf(sheets).map_err(undrawn)?);
    }
    if wants(Kind::Svg) {
        for (name, sheet) in numbered(stem, sheets, "svg") {
            add(name, sheet.svg().into_bytes());
        }
    }
    if wants(Kind::Png) {
        for (name, sheet) in numbered(stem, sheets, "png") {
            add(name, drawing::png(sheet, f64::from(args.dpi)).map_err(undrawn)?);
        }
    }
    Ok(())
}

fn paper(args: &Draw, own: job::Paper) -> drawing::Paper {
    match (args.paper, own) {
        (Some(PaperName::A4), _) | (None, job::Paper::A4) => drawing::Paper::A4,
        (Some(PaperName::Letter), _) | (None, job::Paper::Letter) => drawing::Paper::Letter,
    }
}

/// A note as paragraphs of a sheet.
fn paragraphs(note: &report::Note) -> Vec<String> {
    let points = note.points.iter().enumerate();
    std::iter::once(note.text.clone())
        .chain(points.map(|(i, point)| format!("{}. {point}", i + 1)))
        .collect()
}

/// Sheets with their file names, numbered from 1.
fn numbered<'a>(stem: &str, sheets: &'a [Sheet], ending: &str) -> impl Iterator<Item = (String, &'a Sheet)> {
    sheets
        .iter()
        .enumerate()
        .map(move |(i, sheet)| (format!("{stem}-{}.{ending}", i + 1), sheet))
}

/// The plan is sound but cannot be drawn as it is.
fn undrawn(why: impl Display) -> Failure {
    speak::error(&format!("error: {why}. Nothing was written."));
    Failure::Job
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
