//! `bonewright cut`: programs that cut the blanks of saddle and nut, each simulated from its own text before it is written.

use crate::failure::Failure;
use crate::files::{self, NewFile};
use crate::part::PartArgs;
use crate::progress::Progress;
use crate::source::{self, JobArgs};
use crate::speak;
use clap::{Args, ValueEnum};
use machining::{Machine, PartKind};
use std::cell::Cell;
use std::path::{Path, PathBuf};
use work::{Planned, Tried};

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

impl From<Way> for work::Way {
    fn from(way: Way) -> Self {
        match way {
            Way::OnEdge => Self::OnEdge,
            Way::Flat => Self::Flat,
            Way::Both => Self::Both,
            Way::OnEnd => Self::OnEnd,
        }
    }
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
    let stem = source::stem(path);
    let folder = args.out.clone().unwrap_or_else(|| Path::new("output").join(&stem));
    let planned = source::planned(&args.job)?.planned;
    let chosen = args.part.chosen(&planned, &PartKind::ALL)?;
    let (done, parts) = (chosen.done, &chosen.parts);
    if !source::may_be_made(path, done, parts) {
        speak::error("Nothing was written.");
        return Err(Failure::Job);
    }
    let machine = args.job.machine(args.machine.as_deref())?;
    let way = args.setup.map(work::Way::from);
    let tried = all_tried(done, parts, way, machine.as_ref());
    let any = tried.iter().any(|(_, setups)| !setups.is_empty());
    let mut made = Vec::new();
    let mut refused = false;
    for (one, setups) in tried {
        let name = one.job.name.as_ref();
        let mut own = Vec::new();
        for Tried {
            part,
            kind,
            cut,
            made: setup,
            ..
        } in setups
        {
            match setup {
                Ok(setup) => own.push(setup),
                Err(error) => {
                    refused = true;
                    let name = name.map_or_else(String::new, |name| format!("The {name} saddle. "));
                    let words = report::setup_words(part, kind);
                    speak::error(&format!("{name}{words}:\n{}", report::cut_refusal(&error, &cut)));
                }
            }
        }
        made.push((one, own));
    }
    if !any {
        return Err(Failure::Use(
            "--setup on-end: only the slots of a nut are sawn on end. Choose on-edge, flat or both for a saddle."
                .to_owned(),
        ));
    }
    if refused {
        speak::error("Nothing was written.");
        return Err(Failure::Refused);
    }
    let mut text = report::first_words(done, parts, done.job.bench);
    for (one, made) in &made {
        if done.is_split() {
            let name = one.job.name.as_ref();
            text += &name.map_or_else(|| "The nut\n".to_owned(), |name| format!("The {name} saddle\n"));
        }
        text.extend(made.iter().map(|made| report::cut_summary(made, done.job.bench)));
        text += &left_proud(one, made);
    }
    if args.dry_run {
        text += "Nothing was written (--dry-run).\n";
        return speak::result(&text);
    }
    let mut files = Vec::new();
    for (one, made) in &made {
        let stem = drawing::job_stem(&stem, &one.job);
        files.extend(drawing::cut_files(one, &made.iter().collect::<Vec<_>>(), &stem).map_err(speak::undrawn)?);
    }
    let files: Vec<NewFile> = files.into_iter().map(NewFile::from).collect();
    files::write_all(&folder, &files, args.force)?;
    text += &format!("Written to {}:\n", folder.display());
    for file in &files {
        text += &format!("  {}\n", file.name);
    }
    text += "Read the setup sheet first.\n";
    text += "AIR-CUT FIRST: run each program above the stock, a hand on the stop.\n";
    speak::result(&text)
}

/// What the plan of a saddle leaves proud at first, where these programs leave less.
fn left_proud(one: &Planned, made: &[work::Made]) -> String {
    let cut = made.iter().find(|made| made.setup.part == PartKind::Saddle);
    let told = cut.zip(one.saddle()).and_then(|(cut, saddle)| {
        let top = saddle.heights().top_cut(cut.setup.leave_proud);
        report::top_advice(&top, one.job.bench)
    });
    told.map_or_else(String::new, |told| {
        report::wrapped(&format!("{told} Write it under [cut] as leave_proud."), "  ", "    ")
    })
}

/// What is cut of each saddle, and of the nut, with the programs of all its setups; tells how far it is meanwhile.
fn all_tried<'a>(
    done: &'a Planned,
    parts: &[PartKind],
    way: Option<work::Way>,
    machine: Option<&Machine>,
) -> Vec<(&'a Planned, Vec<Tried>)> {
    let each = done.apart(parts);
    let setups = each
        .iter()
        .map(|(one, parts)| work::setups(one, parts, way, machine).len());
    let progress = Progress::of(setups.sum());
    let begun = Cell::new(false);
    let go_on = |part, kind| {
        // One before it is done, unless it is the first.
        progress.add(usize::from(begun.replace(true)));
        progress.now(report::setup_words(part, kind));
        true
    };
    let tried = each.into_iter().map(|(one, parts)| {
        let tried = work::tried_while(one, &parts, way, machine, &go_on);
        (one, tried.unwrap_or_default())
    });
    tried.collect()
}
