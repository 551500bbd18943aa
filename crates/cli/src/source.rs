//! From the named job file and profiles to a checked job and its plan, telling every problem on the way.

use crate::failure::Failure;
use crate::files;
use crate::speak;
use ::files::VersionError;
use anyhow::anyhow;
use clap::Args;
use job::{Checked, Job, OWN_PROFILES, Problem, Profiles, ShopFile, StrungReadings};
use machining::{Machine, PartKind};
use std::path::{Path, PathBuf};
use work::{Planned, SaddleWork};

/// What every command that reads a job takes.
#[derive(Args)]
pub struct JobArgs {
    /// The job file: the survey of one instrument, in TOML
    #[arg(value_name = "JOB")]
    pub path: PathBuf,
    #[command(flatten)]
    pub profiles: ProfileArgs,
}

/// Where profiles come from.
#[derive(Args, Clone)]
pub struct ProfileArgs {
    /// More string sets and materials: a TOML file or a folder of them
    ///
    /// One of the same name as a built-in one replaces it. Without it, what the shop has of its own counts, where the page has put that
    /// beside the job: .bonewright/profiles.toml in its folder.
    #[arg(long, value_name = "PATH")]
    pub profiles: Option<PathBuf>,
}

impl JobArgs {
    /// The built-in profiles with the named ones laid over them, or else with what the shop has of its own beside the job.
    ///
    /// # Errors
    /// As [`ProfileArgs::load`].
    pub fn load_profiles(&self) -> Result<Profiles, Failure> {
        self.profiles.with_own(own_beside(&self.path)).load()
    }

    /// The machine of this name, if one is named.
    ///
    /// # Errors
    /// [`Failure::Use`] if no profile has that name; as [`ProfileArgs::load`].
    pub fn machine(&self, name: Option<&str>) -> Result<Option<Machine>, Failure> {
        self.profiles.with_own(own_beside(&self.path)).machine(name)
    }
}

/// What the shop has of its own, in the folder of this file.
pub fn own_beside(file: &Path) -> Option<PathBuf> {
    let folder = file.parent().filter(|_| !files::is_stdin(file))?;
    own_in(folder)
}

/// What the shop has of its own, in this folder.
pub fn own_in(folder: &Path) -> Option<PathBuf> {
    Some(folder.join(OWN_PROFILES)).filter(|own| own.is_file())
}

impl ProfileArgs {
    /// The same, with what the shop has of its own where no others are named.
    pub fn with_own(&self, own: Option<PathBuf>) -> Self {
        Self {
            profiles: self.profiles.clone().or(own),
        }
    }

    /// The built-in profiles with the named ones laid over them.
    ///
    /// # Errors
    /// [`Failure::File`] if one cannot be read, [`Failure::Job`] if one has problems.
    pub fn load(&self) -> Result<Profiles, Failure> {
        let mut profiles = Profiles::built_in();
        let Some(path) = &self.profiles else {
            return Ok(profiles);
        };
        let mut waiting = Vec::new();
        for file in profile_files(path)? {
            waiting.push((files::shown(&file), files::read(&file)?));
        }
        // A set may use a material of a file that comes later, so go round as long as that helps.
        loop {
            let before = waiting.len();
            let mut problems = Vec::new();
            waiting.retain(|(name, text)| match profiles.add_text(name, text) {
                Ok(()) => false,
                Err(found) => {
                    problems.push(found);
                    true
                }
            });
            if problems.is_empty() {
                return Ok(profiles);
            }
            if waiting.len() == before {
                let problems: Vec<Problem> = problems.into_iter().flatten().collect();
                let (shown, more) = job::shown(&problems);
                for problem in shown {
                    speak::error(&problem.to_string()); // names its file itself
                }
                if more > 0 {
                    speak::error(&format!("{} not shown.", speak::count(more, "more problem")));
                }
                let number = problems.len();
                speak::error(&format!("{} in profiles.", speak::count(number, "problem")));
                return Err(Failure::Job);
            }
        }
    }
}

impl ProfileArgs {
    /// The files of the named profiles, each by its name.
    ///
    /// # Errors
    /// As [`ProfileArgs::load`].
    pub fn added(&self) -> Result<Vec<(String, ShopFile)>, Failure> {
        let found = self.profiles.as_deref().map_or_else(|| Ok(Vec::new()), profile_files)?;
        let read = found.into_iter().map(|path| {
            let file = ShopFile::of(&files::read(&path)?);
            let what = || format!("{} could not be read", files::shown(&path));
            Ok((files::shown(&path), file.map_err(|error| Failure::file(what(), error))?))
        });
        read.collect()
    }

    /// The machine of this name, if one is named.
    ///
    /// # Errors
    /// [`Failure::Use`] if no profile has that name; as [`ProfileArgs::load`].
    fn machine(&self, name: Option<&str>) -> Result<Option<Machine>, Failure> {
        let Some(name) = name else { return Ok(None) };
        let profiles = self.load()?;
        let found = profiles.machines().iter().find(|m| m.name == name);
        found.cloned().map(Some).ok_or_else(|| {
            let known: Vec<String> = profiles.machines().iter().map(|m| format!("\"{}\"", m.name)).collect();
            Failure::Use(format!(
                "there is no machine named \"{name}\". Known are {}. Add your own in a file and name it with --profiles.",
                known.join(", ")
            ))
        })
    }
}

/// The file itself, or every TOML file of a folder in order of name.
fn profile_files(path: &Path) -> Result<Vec<PathBuf>, Failure> {
    if !path.is_dir() {
        return Ok(vec![path.to_owned()]);
    }
    let what = || format!("the folder {} could not be read", path.display());
    let entries = std::fs::read_dir(path).map_err(|error| Failure::file(what(), error))?;
    let mut found = Vec::new();
    for entry in entries {
        let file = entry.map_err(|error| Failure::file(what(), error))?.path();
        if file.extension().is_some_and(|ending| ending == "toml") {
            found.push(file);
        }
    }
    if found.is_empty() {
        return Err(Failure::file(what(), anyhow!("it holds no .toml files")));
    }
    found.sort();
    Ok(found)
}

/// A job with its plans, as read from a file.
pub struct Done {
    /// The text it was read from.
    pub text: String,
    /// The job and what is planned of it: every part that it makes.
    pub planned: Planned,
    /// Warnings that were told.
    pub warnings: Vec<Problem>,
}

impl Done {
    /// Itself, if every part is planned; tells why not.
    ///
    /// # Errors
    /// [`Failure::Job`] if one is not.
    pub fn whole(self, path: &Path) -> Result<Self, Failure> {
        if self.planned.refusals.is_empty() {
            return Ok(self);
        }
        let name = files::shown(path);
        for refusal in &self.planned.refusals {
            let why = report::refusal_words(refusal, self.planned.job.bench);
            speak::error(&format!("error: {name}: {why}"));
        }
        Err(closing(&name, &self.warnings, self.planned.refusals.len()))
    }

    /// The saddle.
    ///
    /// # Errors
    /// [`Failure::Use`] if the job makes a nut alone.
    pub fn saddle(&self) -> Result<SaddleWork<'_>, Failure> {
        self.planned.saddle().ok_or_else(|| {
            Failure::Use(
                "this job makes a nut alone: it has no [slot] and no [blank], so the saddle stays. This command is about a saddle that is \
                 made; check, plan, draw, cut, filing, fit and tolerance speak of the nut."
                    .to_owned(),
            )
        })
    }
}

/// Reads, checks and plans a job; tells every problem and warning.
///
/// # Errors
/// [`Failure::File`] if a file cannot be read, [`Failure::Job`] if the job cannot be planned.
pub fn planned(args: &JobArgs) -> Result<Done, Failure> {
    planned_with(args, &args.load_profiles()?)
}

/// The same with profiles that are loaded already.
///
/// # Errors
/// As [`planned`].
pub fn planned_with(args: &JobArgs, profiles: &Profiles) -> Result<Done, Failure> {
    read(args, profiles)?.whole(&args.path)
}

/// Reads, checks and plans a job as far as it can be planned; tells every problem and warning of the text.
///
/// # Errors
/// [`Failure::File`] if a file cannot be read, [`Failure::Job`] if it is no job.
pub fn read(args: &JobArgs, profiles: &Profiles) -> Result<Done, Failure> {
    let text = files::read(&args.path)?;
    let name = files::shown(&args.path);
    let Checked { job, warnings } = job::read(&text, profiles).map_err(|problems| {
        tell(&name, &problems);
        closing(&name, &problems, 0)
    })?;
    tell(&name, &warnings);
    Ok(Done {
        text,
        planned: work::planned(job),
        warnings,
    })
}

/// Why a job and its readings cannot both come from standard input.
pub const STDIN_TWICE: &str = "standard input cannot give both the job and the readings. Save the job as a file first.";

/// The readings after stringing up in a file of their own; `nothing`: what comes of it if they are refused.
///
/// # Errors
/// [`Failure::File`] if it cannot be read, [`Failure::Job`] if its readings have problems.
pub fn strung(path: &Path, job: &Job, profiles: &Profiles, nothing: &str) -> Result<StrungReadings, Failure> {
    let text = files::read(path)?;
    let name = files::shown(path);
    match job::read_strung(&text, job, profiles) {
        Ok((read, warnings)) => {
            tell(&name, &warnings);
            Ok(read)
        }
        Err(problems) => {
            tell(&name, &problems);
            speak::error(&format!("{name}: {nothing}."));
            Err(Failure::Job)
        }
    }
}

/// What a command ends with that has told its plan: all in order only if the plan may be made.
///
/// # Errors
/// [`Failure::Job`] if it may not.
pub fn made(may_be: bool) -> Result<(), Failure> {
    if may_be { Ok(()) } else { Err(Failure::Job) }
}

/// Tells why parts of a plan are not to be made; whether they may be.
pub fn may_be_made(path: &Path, done: &Planned, parts: &[PartKind]) -> bool {
    let stops = report::stop_words(done, parts, done.job.bench);
    for why in &stops {
        speak::error(&format!("error: {}: {why}", files::shown(path)));
    }
    stops.is_empty()
}

/// Where a job that a command makes is written, and what stood there when the command began.
pub struct Target<'a> {
    path: &'a Path,
    was: Option<Vec<u8>>,
}

/// A job that a command will make, to be written into a file of its own.
///
/// # Errors
/// [`Failure::Use`] if `path` names no file, [`Failure::File`] if it is there and not to be replaced, or cannot be read.
pub fn may_write(path: &Path, force: bool) -> Result<Target<'_>, Failure> {
    if files::is_stdin(path) || path.file_name().is_none() {
        return Err(Failure::Use("--write-job: name a file to write.".to_owned()));
    }
    if !force && path.symlink_metadata().is_ok() {
        return Err(exists(path));
    }
    let was =
        files::seen(path).map_err(|error| Failure::file(format!("{} could not be replaced", path.display()), error))?;
    Ok(Target { path, was })
}

fn exists(path: &Path) -> Failure {
    Failure::File(anyhow!(
        "{} exists already and is not replaced. Give another name, or --force to replace it.",
        path.display()
    ))
}

impl Target<'_> {
    /// Writes the job, whole or not at all, if what stood there still stands.
    ///
    /// # Errors
    /// [`Failure::File`].
    pub fn write(&self, text: &str) -> Result<(), Failure> {
        let folder = self.path.parent().filter(|folder| !folder.as_os_str().is_empty());
        if let Some(folder) = folder {
            let made = std::fs::create_dir_all(folder);
            made.map_err(|error| Failure::file(format!("the folder {} could not be made", folder.display()), error))?;
        }
        files::change(self.path, self.was.as_deref(), text).map_err(|error| match error {
            VersionError::Exists => exists(self.path),
            other => Failure::file(format!("{} could not be written", self.path.display()), other),
        })
    }
}

/// Name of a job file without folder and ending, for the files made from it.
pub fn stem(path: &Path) -> String {
    let stem = path.file_stem().filter(|_| !files::is_stdin(path));
    stem.map_or_else(|| "saddle".to_owned(), |stem| stem.to_string_lossy().into_owned())
}

/// Tells problems of a text by its name.
pub fn tell(name: &str, problems: &[Problem]) {
    let (shown, more) = job::shown(problems);
    for problem in shown {
        speak::error(&problem.display(name).to_string());
    }
    if more > 0 {
        let more = speak::count(more, "more problem");
        speak::error(&format!("{name}: {more} not shown. Mend these first."));
    }
}

/// The closing count of a job that cannot be planned; `more` errors were found besides `problems`.
fn closing(name: &str, problems: &[Problem], more: usize) -> Failure {
    let errors = more + problems.iter().filter(|p| p.severity == job::Severity::Error).count();
    let warnings = problems.len() + more - errors;
    let mut text = format!("{name}: {}", speak::count(errors, "error"));
    if warnings > 0 {
        text += &format!(" and {}", speak::count(warnings, "warning"));
    }
    speak::error(&format!("{text}. Nothing was planned."));
    Failure::Job
}
