//! `bonewright cut`: programs that cut the blank, each simulated from its own text before it is written.

mod drawn;
mod told;

use crate::failure::Failure;
use crate::files::{self, NewFile};
use crate::source::{self, JobArgs, Planned};
use crate::speak;
use clap::{Args, ValueEnum};
use drawing::SheetOptions;
use job::CutJob;
use machining::{PrepareError, Prepared, Setup, SetupKind, prepare};
use std::path::{Path, PathBuf};

pub use told::findings;

/// Dots per inch of the pictures.
const DPI: f64 = 150.0;

/// Write programs that cut the blank on a small machine
///
/// Every program is read back from its own text and simulated. If one is not in order, nothing is written and the exit code
/// is 4. [cut] in the job says how the blank is held and with what it is cut.
#[derive(Args)]
pub struct CutArgs {
    #[command(flatten)]
    job: JobArgs,
    /// Which way the blank lies [default: of the job, or on-edge]
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
    /// Standing in a vise, for the crown
    OnEdge,
    /// Lying on its front face, for the outline
    Flat,
    /// Both, one after the other
    Both,
}

/// # Errors
/// As [`source::planned`]; [`Failure::Refused`] if a program is not in order; [`Failure::File`] if files are in the way.
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
    let done = source::planned(&args.job)?;
    let cut = with_machine(&done.job.cut, args.machine.as_deref(), &args.job)?;
    let kinds = match args.setup {
        None => cut.kinds.clone(),
        Some(Way::OnEdge) => vec![SetupKind::OnEdge],
        Some(Way::Flat) => vec![SetupKind::Flat],
        Some(Way::Both) => vec![SetupKind::OnEdge, SetupKind::Flat],
    };
    // All setups are tried, so that all that is wrong is told at once.
    let tried: Vec<_> = kinds.iter().map(|kind| attempt(&done, &cut, *kind)).collect();
    let refused = tried.iter().filter(|one| one.is_err()).count();
    let mut made = Vec::new();
    for (one, kind) in tried.into_iter().zip(&kinds) {
        match one {
            Ok(one) => made.push(one),
            Err(text) => speak::error(&format!("{}:\n{text}", drawn::name(*kind))),
        }
    }
    if refused > 0 {
        speak::error("Nothing was written.");
        return Err(Failure::Refused);
    }
    let mut text = String::new();
    for (setup, prepared) in &made {
        text += &told::summary(setup, prepared, cut.stock_measured);
    }
    if args.dry_run {
        text += "Nothing was written (--dry-run).\n";
        return speak::result(&text);
    }
    let files = drawn_files(&done, &made, &stem)?;
    files::write_all(&folder, &files, args.force)?;
    text += &format!("Written to {}:\n", folder.display());
    for file in &files {
        text += &format!("  {}\n", file.name);
    }
    text += "Read the setup sheet first. AIR-CUT FIRST: run each program above the stock, a hand on the stop.\n";
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

/// What the setup of `kind` comes to, or in words why not.
///
/// # Errors
/// The words, indented.
pub fn setup_of(cut: &CutJob, kind: SetupKind, material: &str) -> Result<Setup, String> {
    cut.setup(kind).ok_or_else(|| {
        format!(
            "  No profile says how \"{material}\" is cut. Name a material in [cut] whose chips you know to suit it, or add \
             a [[cutting]] profile of this name.\n"
        )
    })
}

fn attempt(done: &Planned, cut: &CutJob, kind: SetupKind) -> Result<(Setup, Prepared), String> {
    let setup = setup_of(cut, kind, &done.plan.blank.material)?;
    match prepare(&done.plan, &done.job.title, &setup) {
        Ok(prepared) => Ok((setup, prepared)),
        Err(error) => Err(told::refusal(&error, cut.stock_measured)),
    }
}

/// Programs, sheets and pictures.
fn drawn_files(done: &Planned, made: &[(Setup, Prepared)], stem: &str) -> Result<Vec<NewFile>, Failure> {
    let undrawn = |why: drawing::DrawingError| {
        speak::error(&format!("error: {why}. Nothing was written."));
        Failure::Job
    };
    let mut files = Vec::new();
    let mut add = |name: String, content: Vec<u8>| files.push(NewFile { name, content });
    let options = SheetOptions {
        paper: match done.job.paper {
            job::Paper::A4 => drawing::Paper::A4,
            job::Paper::Letter => drawing::Paper::Letter,
        },
        bench: done.job.bench,
        title: done.job.title.clone(),
        notes: Vec::new(),
    };
    for (_, prepared) in made {
        for program in &prepared.programs {
            add(format!("{stem}-{}", program.name), program.text.clone().into_bytes());
        }
    }
    let setups: Vec<_> = made
        .iter()
        .map(|(setup, prepared)| drawn::setup_drawing(&done.plan, setup, prepared, stem))
        .collect();
    let sheets = drawing::cut_sheets(&done.plan, &setups, &options).map_err(undrawn)?;
    add(format!("{stem}-setup.pdf"), drawing::pdf(&sheets).map_err(undrawn)?);
    for (number, sheet) in (1..).zip(&sheets) {
        add(format!("{stem}-setup-{number}.svg"), sheet.svg().into_bytes());
    }
    for (setup, prepared) in made {
        let Some(outcome) = drawn::outcome(setup, prepared) else {
            continue;
        };
        let (sheet, maps) = drawing::outcome_sheet(&done.plan, &outcome, &options).map_err(undrawn)?;
        let picture = drawing::colour_png(&sheet, &maps, DPI).map_err(undrawn)?;
        add(format!("{stem}-{}-left.png", setup.kind.name()), picture);
    }
    Ok(files)
}

/// What [`PrepareError`] says beyond its findings.
fn hint(error: &PrepareError) -> Option<&'static str> {
    use machining::{PassError, SurfaceError};
    match error {
        PrepareError::Pass(PassError::Surface(SurfaceError::Low { .. })) => {
            Some("Write the height that you measured under [cut] as stock = { height = .. }.")
        }
        PrepareError::Pass(PassError::Jaws { .. }) => {
            Some("Write the height of the jaws over the parallel under [cut] as vise = { jaw_height = .. }.")
        }
        PrepareError::Pass(PassError::Feed(_)) => Some("Look at spindle, rougher and finisher in [cut]."),
        _ => None,
    }
}
