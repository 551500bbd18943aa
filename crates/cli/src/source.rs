//! From the named job file and profiles to a checked job and its plan, telling every problem on the way.

use crate::failure::Failure;
use crate::{files, speak};
use anyhow::anyhow;
use clap::Args;
use job::{Checked, Dust, Job, Problem, Profiles};
use report::{Hazards, Note, Page};
use saddle::Plan;
use std::path::{Path, PathBuf};
use units::BenchUnit;

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
#[derive(Args)]
pub struct ProfileArgs {
    /// More string sets and materials: a TOML file or a folder of them
    ///
    /// One of the same name as a built-in one replaces it.
    #[arg(long, value_name = "PATH")]
    pub profiles: Option<PathBuf>,
}

impl ProfileArgs {
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
                for problem in problems.iter().flatten() {
                    speak::error(&problem.to_string()); // names its file itself
                }
                let number = problems.iter().map(Vec::len).sum();
                speak::error(&format!("{} in profiles.", speak::count(number, "problem")));
                return Err(Failure::Job);
            }
        }
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

/// A job with its plan.
pub struct Planned {
    /// The text it was read from.
    pub text: String,
    /// The job.
    pub job: Job,
    /// Its plan.
    pub plan: Plan,
    /// How many warnings were told.
    pub warnings: usize,
}

impl Planned {
    /// The page of the plan.
    pub fn page(&self, notes: &[Note], bench: BenchUnit) -> String {
        let page = Page {
            title: &self.job.title,
            remarks: &self.job.notes,
            plan: &self.plan,
            notes,
            hazards: self.hazards(),
            bench,
        };
        page.text()
    }

    /// What the cautions depend on.
    pub fn hazards(&self) -> Hazards {
        let material = &self.job.blank_material;
        Hazards {
            synthetic: material.dust == Dust::Synthetic,
            check_law: material.check_law,
        }
    }
}

/// Reads, checks and plans a job; tells every problem and warning.
///
/// # Errors
/// [`Failure::File`] if a file cannot be read, [`Failure::Job`] if the job cannot be planned.
pub fn planned(args: &JobArgs) -> Result<Planned, Failure> {
    let profiles = args.profiles.load()?;
    let text = files::read(&args.path)?;
    let name = files::shown(&args.path);
    let Checked { job, warnings } = job::read(&text, &profiles).map_err(|problems| {
        tell(&name, &problems);
        closing(&name, &problems, 0)
    })?;
    tell(&name, &warnings);
    let plan = saddle::plan(&job.survey).map_err(|errors| {
        for error in &errors {
            speak::error(&format!("error: {name}: {error}"));
        }
        closing(&name, &warnings, errors.len())
    })?;
    Ok(Planned {
        text,
        job,
        plan,
        warnings: warnings.len(),
    })
}

/// Tells problems of a text by its name.
pub fn tell(name: &str, problems: &[Problem]) {
    for problem in problems {
        speak::error(&problem.display(name).to_string());
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
