//! `bonewright hear`: pitch and stiffness of a string from a recording of one pluck.

use crate::failure::{Failure, unwritten};
use crate::files::{self, NewFile};
use crate::source::{self, Done, JobArgs, ProfileArgs};
use crate::speak;
use anyhow::anyhow;
use clap::Args;
use job::{HeardKey, Paper, Profiles};
use listen::{Heard, HeardAtTwelve, recording};
use numerics::math;
use std::fs::File;
use std::path::{Path, PathBuf};
use work::{HeardString, Planned, StretchHeard, planned};

/// The tuning fork's A without a job, Hz: ISO 16.
const A4: f64 = 440.0;
/// Highest fret of `--fret`.
const MOST_FRETS: u32 = 24;

/// Hear a string: its pitch and stiffness from a recording of one pluck
///
/// FILE is a WAV recording (16, 24 or 32 bits, or floating point) of one string, plucked once and left to ring for four seconds, the others
/// damped; of several channels the first is heard. A second FILE of the same string fretted at 12 gives cents at 12. Nothing of the sound is
/// kept.
#[derive(Args)]
pub struct HearArgs {
    /// The open string
    #[arg(value_name = "FILE")]
    open: PathBuf,
    /// The same string fretted at 12
    #[arg(value_name = "FRETTED")]
    fretted: Option<PathBuf>,
    /// The job that describes the string
    #[arg(long, value_name = "JOB", requires = "string")]
    job: Option<PathBuf>,
    /// The string's number in the job, 1 the treble-most
    #[arg(long, value_name = "N", requires = "job")]
    string: Option<u32>,
    /// The note of the open string, as E2, where there is no job
    #[arg(long, value_name = "NOTE", conflicts_with = "job", required_unless_present = "job")]
    note: Option<String>,
    /// The fret at which FILE was held
    #[arg(long, value_name = "N", default_value_t = 0, conflicts_with = "fretted")]
    fret: u32,
    /// Write what was heard into the job: inharmonicity of the open string, and cents at 12 of both recordings
    #[arg(long, requires = "job")]
    keep: bool,
    /// Keep it beside what is kept of this string already: another recording
    #[arg(long, requires = "keep")]
    again: bool,
    /// Print JSON for other programs (crates/report/JSON.md describes every key)
    #[arg(long)]
    json: bool,
    /// Draw it too: a picture, .svg or .png, of the partials where they stand and where a limp string would have them
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Replace that picture if it is there
    #[arg(long, requires = "out")]
    force: bool,
    #[command(flatten)]
    profiles: ProfileArgs,
}

/// A string of a job.
struct OfJob {
    args: JobArgs,
    done: Done,
    profiles: Profiles,
    number: u32,
    /// Counted from the bass.
    at: usize,
}

/// # Errors
/// [`Failure::File`] if a file cannot be read or written, [`Failure::Use`] for a string or note that is not there and for a recording in which
/// no such string is heard, [`Failure::Job`] as [`source::read`].
pub fn run(args: &HearArgs) -> Result<(), Failure> {
    if args.fret > MOST_FRETS {
        return Err(Failure::Use(format!(
            "--fret {}: a fret from 0 to {MOST_FRETS}.",
            args.fret
        )));
    }
    let of_job = of_job(args)?;
    let (note, frequency) = match &of_job {
        Some(of) => {
            let string = of.done.planned.job.instrument.strings.get(of.at);
            let string = string.ok_or_else(|| Failure::Use("this job has no strings.".to_owned()))?;
            (string.note.clone(), string.frequency)
        }
        None => {
            let note = args.note.clone().unwrap_or_default();
            let frequency = strings::frequency(&note, A4).map_err(|error| Failure::Use(format!("--note: {error}")))?;
            (note, frequency)
        }
    };
    let expected = frequency * math::exp2(f64::from(args.fret) / 12.0);
    let open = heard(&args.open, expected, &note)?;
    let fretted = args.fretted.as_deref();
    let fretted = fretted.map(|path| heard(path, 2.0 * frequency, &format!("{note} fretted at 12")));
    let mut told = HeardString::of(note, expected, args.fret, open);
    told.at_12 = fretted
        .transpose()?
        .map(|fretted| HeardAtTwelve::of(&fretted, &told.heard));
    let kept = match &of_job {
        Some(of) => Some(with_job(of, args, &mut told)?),
        None => None,
    };
    let text = if args.json {
        report::heard_json(&told).map_err(unwritten)?
    } else {
        report::heard_page(&told)
    };
    speak::result(&text)?;
    if let Some(path) = &args.out {
        draw(
            path,
            &told,
            of_job.as_ref().map_or(Paper::A4, |of| of.done.planned.job.paper),
            args.force,
        )?;
    }
    match (&of_job, kept) {
        (Some(of), Some(text)) if args.keep => keep(of, &text),
        _ => Ok(()),
    }
}

fn of_job(args: &HearArgs) -> Result<Option<OfJob>, Failure> {
    let (Some(path), Some(number)) = (&args.job, args.string) else {
        return Ok(None);
    };
    let job_args = JobArgs {
        path: path.clone(),
        profiles: args.profiles.clone(),
    };
    let profiles = job_args.load_profiles()?;
    let done = source::read(&job_args, &profiles)?;
    let strings = &done.planned.job.instrument.strings;
    let at = strings.iter().position(|string| string.number == number);
    let at = at.ok_or_else(|| {
        Failure::Use(format!(
            "--string {number}: {} has strings 1 to {}.",
            files::shown(path),
            strings.len()
        ))
    })?;
    Ok(Some(OfJob {
        args: job_args,
        done,
        profiles,
        number,
        at,
    }))
}

/// What is heard of a recording.
fn heard(path: &Path, expected: f64, note: &str) -> Result<Heard, Failure> {
    let what = || format!("{} could not be read", path.display());
    let mut file = File::open(path).map_err(|error| Failure::file(what(), error))?;
    let read = recording(&mut file).map_err(|why| {
        let words = anyhow!("{why}. Save it as WAV: 16, 24 or 32 bits, or floating point");
        Failure::file(what(), words)
    })?;
    let listened = read.sound().and_then(|sound| listen::listened(&sound, expected));
    listened.map_err(|why| Failure::Use(format!("{}: {}", path.display(), report::unheard_words(&why, note))))
}

/// Adds what the job makes of it; the job's text with what was heard.
fn with_job(of: &OfJob, args: &HearArgs, told: &mut HeardString) -> Result<String, Failure> {
    let job = &of.done.planned.job;
    let strings = job.instrument.strings.len();
    let b = told.heard.inharmonicity;
    let core = args.fret == 0 && told.heard.core_is_heard();
    let mut heard = Vec::new();
    if core {
        heard.push((HeardKey::Inharmonicity, b.value, b.sure_to));
    }
    if let Some(at_12) = &told.at_12 {
        heard.push((HeardKey::Cents12, at_12.cents.value, at_12.cents.sure_to));
    }
    let mut text = of.done.text.clone();
    for (key, value, sure_to) in heard {
        if args.keep && !args.again && key.kept(job, of.at) > 0 {
            return Err(Failure::Use(format!(
                "{} has {} of string {} from a recording already, and the same recording kept twice would count twice. Add --again if this is \
                 another one; strike the old round out with doubt = true if it was wrong.",
                files::shown(&of.args.path),
                key.key(),
                of.number
            )));
        }
        let with = job::with_heard(&text, key, of.at, strings, value, sure_to);
        text = with.map_err(|error| Failure::file(files::shown(&of.args.path), anyhow!("{error}")))?;
        if key == HeardKey::Inharmonicity {
            told.stretch = StretchHeard::of(&of.done.planned, &after(&text, &of.profiles)?, of.number, b);
        }
    }
    Ok(text)
}

/// The job with what was heard, planned as any other.
fn after(text: &str, profiles: &Profiles) -> Result<Planned, Failure> {
    let read = job::read(text, profiles).map_err(|problems| {
        source::tell("the job with what was heard", &problems);
        Failure::Job
    })?;
    Ok(planned(read.job))
}

/// Writes the picture, whole or not at all.
fn draw(path: &Path, told: &HeardString, paper: Paper, force: bool) -> Result<(), Failure> {
    let sheet = drawing::heard_sheet(told, paper).map_err(speak::undrawn)?;
    let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    let content = match ending {
        "svg" => sheet.svg().into_bytes(),
        "png" => drawing::png(&sheet, drawing::PICTURE_DPI).map_err(speak::undrawn)?,
        _ => {
            return Err(Failure::Use(
                "--out: name a picture that ends in .svg or .png.".to_owned(),
            ));
        }
    };
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    files::write_all(folder.unwrap_or(Path::new(".")), &[NewFile { name, content }], force)?;
    speak::error(&format!("Written: {}.", path.display()));
    Ok(())
}

/// Writes the job, whole or not at all, if it is still as it was read and is in order with what was heard.
fn keep(of: &OfJob, text: &str) -> Result<(), Failure> {
    let name = files::shown(&of.args.path);
    if text == of.done.text {
        return Err(Failure::Use(format!("nothing was heard that {name} could keep.")));
    }
    if files::is_stdin(&of.args.path) {
        return Err(Failure::Use(
            "--keep: standard input keeps nothing. Save the job as a file first.".to_owned(),
        ));
    }
    after(text, &of.profiles)?;
    let written = files::change(&of.args.path, Some(of.done.text.as_bytes()), text);
    written.map_err(|error| Failure::file(format!("{name} could not be written"), error))?;
    speak::error(&format!("Kept in {name}."));
    Ok(())
}
