//! `bonewright cut`: programs that cut the blanks of saddle and nut, each simulated from its own text before it is written.

mod drawn;
mod made;
mod parts;
mod told;

use crate::failure::Failure;
use crate::files::{self, NewFile};
use crate::part::PartArgs;
use crate::source::{self, AnyPlanned, JobArgs};
use crate::speak;
use clap::{Args, ValueEnum};
use drawing::{CutPart, SheetOptions};
use job::{CutJob, outlined_among};
use machining::{Part, PartKind, PrepareError, Prepared, Setup, SetupKind, prepare};
use std::path::{Path, PathBuf};

use made::{Made, is_nut, name};
pub use parts::{Cuttable, Parts};
pub use told::findings;

/// Dots per inch of the pictures.
const DPI: f64 = 150.0;

/// Write programs that cut the blank on a small machine
///
/// Every program is read back from its own text and simulated. If one is not in order, nothing is written and the exit code
/// is 4. [cut] in the job says how a saddle's blank is held and with what it is cut, [nut_cut] the same for a nut.
#[derive(Args)]
pub struct CutArgs {
    #[command(flatten)]
    job: JobArgs,
    #[command(flatten)]
    part: PartArgs,
    /// Which way the blank lies [default: of the job; else on-edge for a saddle, both for a nut]
    #[arg(long, value_name = "WAY")]
    setup: Option<Way>,
    /// The machine, by the name of its profile [default: of the job]
    #[arg(long, value_name = "NAME")]
    machine: Option<String>,
    /// Folder for the files [default: output/ and the name of the job file]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Verify and tell, but write nothing
    #[arg(long)]
    dry_run: bool,
    /// Replace files of the same name
    #[arg(long)]
    force: bool,
}

/// Which way the blank lies.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Way {
    /// Standing in a vise, for a saddle's crown or the slots of a nut
    OnEdge,
    /// Lying on its front face, for the outline
    Flat,
    /// Flat, then on edge
    Both,
    /// A nut standing on its end, for a saw on an arbor
    OnEnd,
}

/// # Errors
/// As [`source::any_planned`]; [`Failure::Refused`] if a program is not in order; [`Failure::File`] if files are in the way.
pub fn run(args: &CutArgs) -> Result<(), Failure> {
    let path = &args.job.path;
    if files::is_stdin(path) {
        return Err(Failure::Use(
            "cut names its files after the job file, so it cannot read standard input. Save the job as a file first."
                .to_owned(),
        ));
    }
    let stem = path
        .file_stem()
        .map_or_else(|| "saddle".to_owned(), |stem| stem.to_string_lossy().into_owned());
    let folder = args.out.clone().unwrap_or_else(|| Path::new("output").join(&stem));
    let done = source::any_planned(&args.job)?;
    let parts = Parts::from(&done);
    let work = works(args, &done, &parts)?;
    // All setups are tried, so that all that is wrong is told at once.
    let tried: Vec<_> = work.iter().map(|one| (one, attempt(parts.title, one))).collect();
    let refused = tried.iter().filter(|(_, one)| one.is_err()).count();
    let mut made = Vec::new();
    for (work, one) in tried {
        match one {
            Ok((setup, prepared)) => made.push(Made {
                part: work.part,
                setup,
                prepared,
                measured: work.cut.stock_measured,
                jaws_measured: work.cut.jaws_measured,
            }),
            Err(text) => speak::error(&format!("{}:\n{text}", name(work.part, work.kind))),
        }
    }
    if refused > 0 {
        speak::error("Nothing was written.");
        return Err(Failure::Refused);
    }
    let mut text = String::new();
    for one in &made {
        text += &told::summary(one);
    }
    if args.dry_run {
        text += "Nothing was written (--dry-run).\n";
        return speak::result(&text);
    }
    let files = drawn_files(&parts, &made, &stem)?;
    files::write_all(&folder, &files, args.force)?;
    text += &format!("Written to {}:\n", folder.display());
    for file in &files {
        text += &format!("  {}\n", file.name);
    }
    text += "Read the setup sheet first.\n";
    text += "AIR-CUT FIRST: run each program above the stock, a hand on the stop.\n";
    speak::result(&text)
}

/// The job's cutting with the machine of that name, if one is named.
///
/// # Errors
/// [`Failure::Use`] if no profile has that name.
pub fn with_machine(cut: &CutJob, name: Option<&str>, job: &JobArgs) -> Result<CutJob, Failure> {
    let Some(name) = name else { return Ok(cut.clone()) };
    let profiles = job.profiles.load()?;
    let Some(machine) = profiles.machines().iter().find(|m| m.name == name) else {
        let known: Vec<String> = profiles.machines().iter().map(|m| format!("\"{}\"", m.name)).collect();
        return Err(Failure::Use(format!(
            "there is no machine named \"{name}\". Known are {}. Add your own in a file and name it with --profiles.",
            known.join(", ")
        )));
    };
    Ok(CutJob {
        machine: machine.clone(),
        ..cut.clone()
    })
}

/// One setup of one part.
struct Work<'a> {
    part: Part<'a>,
    cut: CutJob,
    kind: SetupKind,
    /// The outline is cut before, in a setup of its own.
    outlined: bool,
}

/// What is to be cut, in order.
///
/// # Errors
/// [`Failure::Use`] if the job has no nut, or a machine is not known, or the way does not suit the part.
fn works<'a>(args: &CutArgs, done: &AnyPlanned, parts: &Parts<'a>) -> Result<Vec<Work<'a>>, Failure> {
    let mut works = Vec::new();
    for (part, cut) in parts.chosen(&args.part, done)? {
        let cut = with_machine(cut, args.machine.as_deref(), &args.job)?;
        let kinds = match (args.setup, part) {
            (None, _) => cut.kinds.clone(),
            (Some(Way::OnEdge), _) => vec![SetupKind::OnEdge],
            (Some(Way::Flat), _) => vec![SetupKind::Flat],
            // The outline is cut while the block holds it, the crown or the slots after it.
            (Some(Way::Both), _) => vec![SetupKind::Flat, SetupKind::OnEdge],
            (Some(Way::OnEnd), Part::Nut(_)) => vec![SetupKind::OnEnd],
            (Some(Way::OnEnd), Part::Saddle(_)) => Vec::new(),
        };
        let of = match part {
            Part::Saddle(_) => PartKind::Saddle,
            Part::Nut(_) => PartKind::Nut,
        };
        works.extend(kinds.iter().map(|kind| Work {
            part,
            cut: cut.clone(),
            kind: *kind,
            outlined: outlined_among(of, &kinds, *kind),
        }));
    }
    if works.is_empty() {
        return Err(Failure::Use(
            "--setup on-end: only the slots of a nut are sawn on end. Choose on-edge, flat or both for a saddle."
                .to_owned(),
        ));
    }
    Ok(works)
}

fn attempt(title: &str, work: &Work) -> Result<(Setup, Prepared), String> {
    let setup = setup_for(work.part, &work.cut, work.kind, work.outlined)?;
    let told = |error: &PrepareError| told::refusal(error, work.part, &work.cut);
    match prepare(work.part, title, &setup) {
        Ok(prepared) => Ok((setup, prepared)),
        Err(error) => Err(told(&error)),
    }
}

/// The setup in which `part` is cut, its outline cut before or not.
///
/// # Errors
/// Why not, in words.
pub fn setup_for(part: Part, cut: &CutJob, kind: SetupKind, is_outlined: bool) -> Result<Setup, String> {
    let material = match part {
        Part::Saddle(plan) => &plan.blank.material,
        Part::Nut(plan) => &plan.blank.material,
    };
    let setup = cut.setup_for(part, kind, is_outlined);
    let setup = setup.map_err(|error| told::refusal(&PrepareError::Pass(error.into()), part, cut))?;
    setup.ok_or_else(|| {
        let table = if is_nut(part) { "nut_cut" } else { "cut" };
        format!(
            "  No profile says how \"{material}\" is cut. Name a material in [{table}] whose chips you know to suit it, or add \
             a [[cutting]] profile of this name.\n"
        )
    })
}

/// Programs, sheets and pictures.
fn drawn_files(parts: &Parts, made: &[Made], stem: &str) -> Result<Vec<NewFile>, Failure> {
    let undrawn = |why: drawing::DrawingError| {
        speak::error(&format!("error: {why}. Nothing was written."));
        Failure::Job
    };
    let mut files = Vec::new();
    let mut add = |name: String, content: Vec<u8>| files.push(NewFile { name, content });
    let options = SheetOptions {
        paper: match parts.paper {
            job::Paper::A4 => drawing::Paper::A4,
            job::Paper::Letter => drawing::Paper::Letter,
        },
        bench: parts.bench,
        title: parts.title.to_owned(),
        notes: Vec::new(),
    };
    for one in made {
        for program in &one.prepared.programs {
            add(format!("{stem}-{}", program.name), program.text.clone().into_bytes());
        }
    }
    for part in made.chunk_by(|a, b| is_nut(a.part) == is_nut(b.part)) {
        let Some(first) = part.first() else { continue };
        let (cut_part, name) = match first.part {
            Part::Saddle(plan) => (CutPart::Saddle(plan), stem.to_owned()),
            Part::Nut(plan) => (CutPart::Nut(plan), format!("{stem}-nut")),
        };
        let setups: Vec<_> = part.iter().map(|one| drawn::setup_drawing(one, stem)).collect();
        let sheets = drawing::cut_sheets(cut_part, &setups, &options).map_err(undrawn)?;
        add(format!("{name}-setup.pdf"), drawing::pdf(&sheets).map_err(undrawn)?);
        for (number, sheet) in (1..).zip(&sheets) {
            add(format!("{name}-setup-{number}.svg"), sheet.svg().into_bytes());
        }
        for one in part {
            let Some(outcome) = drawn::outcome(one) else {
                continue;
            };
            let (sheet, maps) = drawing::outcome_sheet(cut_part, &outcome, &options).map_err(undrawn)?;
            let picture = drawing::colour_png(&sheet, &maps, DPI).map_err(undrawn)?;
            add(format!("{name}-{}-left.png", one.setup.kind.name()), picture);
        }
    }
    Ok(files)
}
