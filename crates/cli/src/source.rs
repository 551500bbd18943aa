//! From the named job file and profiles to a checked job and its plan, telling every problem on the way.

use crate::failure::Failure;
use crate::part::Chosen;
use crate::{files, speak};
use anyhow::anyhow;
use clap::Args;
use job::{BlankMaterial, Dust, Job, NutAlone, Problem, Profiles, Work};
use nut::{NutError, NutPlan};
use report::{Hazards, Note, NutPage, Page};
use saddle::{Plan, SaddleSurvey};
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
#[derive(Args, Clone)]
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
    /// Its survey as planned: the job's own, with the straight shift of a nut in it if one is made.
    pub survey: SaddleSurvey,
    /// Its plan.
    pub plan: Plan,
    /// The plan of its nut, if one is to be made.
    pub nut: Option<NutPlan>,
    /// How many warnings were told.
    pub warnings: usize,
}

impl Planned {
    /// The page of the saddle's plan.
    fn page<'a>(&'a self, notes: &'a [Note], bench: BenchUnit) -> Page<'a> {
        Page {
            title: &self.job.title,
            remarks: &self.job.notes,
            plan: &self.plan,
            notes,
            hazards: self.hazards(),
            bench,
        }
    }

    /// What the cautions for the saddle depend on.
    pub fn hazards(&self) -> Hazards {
        hazards(&self.job.blank_material)
    }

    /// What the cautions for the nut depend on.
    pub fn nut_hazards(&self) -> Hazards {
        self.job
            .nut
            .as_ref()
            .map_or_else(Hazards::default, |nut| hazards(&nut.material))
    }

    /// The page of what was chosen.
    pub fn pages(&self, chosen: &Chosen, bench: BenchUnit) -> String {
        let notes = if chosen.saddle {
            report::notes(&self.plan, &self.survey, bench)
        } else {
            Vec::new()
        };
        let Some(nut) = chosen.nut else {
            return self.page(&notes, bench).text();
        };
        let nut_notes = report::nut_notes(nut, bench);
        let page = NutPage {
            title: &self.job.title,
            remarks: &self.job.notes,
            nut,
            notes: &nut_notes,
            hazards: self.nut_hazards(),
            bench,
        };
        if !chosen.saddle {
            return page.text();
        }
        let (one, other) = (self.hazards(), self.nut_hazards());
        let both = Hazards {
            synthetic: one.synthetic || other.synthetic,
            check_law: one.check_law || other.check_law,
        };
        report::both_page(&self.page(&notes, bench), &page, both)
    }
}

fn hazards(material: &BlankMaterial) -> Hazards {
    Hazards {
        synthetic: material.dust == Dust::Synthetic,
        check_law: material.check_law,
    }
}

/// A job that makes a nut alone, with its plan.
pub struct NutPlanned {
    /// The job.
    pub job: NutAlone,
    /// The plan of its nut.
    pub nut: NutPlan,
    /// How many warnings were told.
    pub warnings: usize,
}

impl NutPlanned {
    /// What the cautions depend on.
    pub fn hazards(&self) -> Hazards {
        hazards(&self.job.nut.material)
    }

    /// The page of the plan.
    pub fn page(&self, bench: BenchUnit) -> String {
        let page = NutPage {
            title: &self.job.title,
            remarks: &self.job.notes,
            nut: &self.nut,
            notes: &report::nut_notes(&self.nut, bench),
            hazards: self.hazards(),
            bench,
        };
        page.text()
    }
}

/// A job of either kind with its plan.
pub enum AnyPlanned {
    /// It makes a saddle, or both parts.
    Saddle(Box<Planned>),
    /// It makes a nut alone: the saddle stays.
    NutAlone(Box<NutPlanned>),
}

/// Reads, checks and plans a job that makes a saddle; tells every problem and warning.
///
/// # Errors
/// As [`any_planned`]; [`Failure::Use`] if the job makes a nut alone.
pub fn planned(args: &JobArgs) -> Result<Planned, Failure> {
    match any_planned(args)? {
        AnyPlanned::Saddle(done) => Ok(*done),
        AnyPlanned::NutAlone(_) => Err(Failure::Use(
            "this job makes a nut alone: it has no [slot] and no [blank], so the saddle stays. This command is about a saddle that is \
             made; check, plan, draw, cut, filing, fit and tolerance speak of the nut."
                .to_owned(),
        )),
    }
}

/// Reads, checks and plans a job; tells every problem and warning.
///
/// # Errors
/// [`Failure::File`] if a file cannot be read, [`Failure::Job`] if the job cannot be planned.
pub fn any_planned(args: &JobArgs) -> Result<AnyPlanned, Failure> {
    let profiles = args.profiles.load()?;
    let text = files::read(&args.path)?;
    let name = files::shown(&args.path);
    let (work, warnings) = job::read_work(&text, &profiles).map_err(|problems| {
        tell(&name, &problems);
        closing(&name, &problems, 0)
    })?;
    tell(&name, &warnings);
    let unplanned = |errors: &[String]| {
        for error in errors {
            speak::error(&format!("error: {name}: {error}"));
        }
        closing(&name, &warnings, errors.len())
    };
    let job = match work {
        Work::Saddle(job) => *job,
        Work::NutAlone(job) => {
            let nut =
                nut::alone(&job.survey, &job.nut.survey).map_err(|error| unplanned(&[format!("the nut: {error}")]))?;
            return Ok(AnyPlanned::NutAlone(Box::new(NutPlanned {
                job: *job,
                nut,
                warnings: warnings.len(),
            })));
        }
    };
    let (survey, plan, nut) = solved(&job).map_err(|errors| unplanned(&errors))?;
    Ok(AnyPlanned::Saddle(Box::new(Planned {
        text,
        job,
        survey,
        plan,
        nut,
        warnings: warnings.len(),
    })))
}

/// The saddle, and the nut with it if one is to be made; or why not.
fn solved(job: &Job) -> Result<(SaddleSurvey, Plan, Option<NutPlan>), Vec<String>> {
    let told = |errors: Vec<saddle::PlanError>| errors.iter().map(ToString::to_string).collect::<Vec<_>>();
    let Some(made) = &job.nut else {
        let plan = saddle::plan(&job.survey).map_err(told)?;
        return Ok((job.survey.clone(), plan, None));
    };
    let done = nut::together(&job.survey, &made.survey).map_err(|error| match error {
        NutError::Saddle(errors) => told(errors),
        other => vec![format!("the nut: {other}")],
    })?;
    Ok((done.survey, done.saddle, Some(done.nut)))
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
