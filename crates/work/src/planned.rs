//! A job with the plans of its parts.

use job::{Job, NutJob, SaddleJob};
use machining::{Part, PartKind};
use nut::{NutError, NutPlan};
use saddle::{Plan, PlanError, SaddleSurvey, Wishes};
use thiserror::Error;

/// Why a part cannot be planned.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Refusal {
    /// The saddle.
    #[error("{0}")]
    Saddle(#[from] PlanError),
    /// The nut.
    #[error("the nut: {0}")]
    Nut(#[from] NutError),
}

/// A job with its plans.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// The job.
    pub job: Job,
    /// The survey of the saddle as planned, which is the job's own or has a nut's straight shift in it, and the plan.
    saddle: Option<(SaddleSurvey, Plan)>,
    nut: Option<NutPlan>,
    /// Why a part that the job makes has no plan; none where all have one.
    pub refusals: Vec<Refusal>,
}

/// Plans every part that a job makes. Saddle and nut are solved together; a saddle is planned even where the nut beside it cannot be.
#[must_use]
pub fn planned(job: Job) -> Planned {
    let mut done = Planned {
        job,
        saddle: None,
        nut: None,
        refusals: Vec::new(),
    };
    let job = &done.job;
    match (&job.saddle, &job.nut) {
        (None, None) => {}
        (None, Some(made)) => match nut::alone(&job.instrument, &made.gaps, &made.survey) {
            Ok(plan) => done.nut = Some(plan),
            Err(error) => done.refusals.push(error.into()),
        },
        (Some(made), None) => done.saddle_alone(made.survey.clone()),
        (Some(made), Some(nut)) => match nut::together(&made.survey, &nut.survey) {
            Ok(both) => {
                done.saddle = Some((both.survey, both.saddle));
                done.nut = Some(both.nut);
            }
            Err(NutError::Saddle(errors)) => done.refusals.extend(errors.into_iter().map(Refusal::Saddle)),
            Err(error) => {
                let survey = made.survey.clone();
                done.saddle_alone(survey);
                done.refusals.push(error.into());
            }
        },
    }
    done
}

impl Planned {
    fn saddle_alone(&mut self, survey: SaddleSurvey) {
        match saddle::plan(&survey) {
            Ok(plan) => self.saddle = Some((survey, plan)),
            Err(errors) => self.refusals.extend(errors.into_iter().map(Refusal::Saddle)),
        }
    }

    /// The saddle, if one is made and could be planned.
    #[must_use]
    pub fn saddle(&self) -> Option<SaddleWork<'_>> {
        let (survey, plan) = self.saddle.as_ref()?;
        Some(SaddleWork {
            job: &self.job,
            made: self.job.saddle.as_ref()?,
            survey,
            plan,
            nut: self.nut.as_ref(),
        })
    }

    /// The nut, if one is made and could be planned.
    #[must_use]
    pub fn nut(&self) -> Option<NutWork<'_>> {
        Some(NutWork {
            job: &self.job,
            made: self.job.nut.as_ref()?,
            plan: self.nut.as_ref()?,
        })
    }

    /// Whether the job makes a part.
    #[must_use]
    pub fn makes(&self, part: PartKind) -> bool {
        match part {
            PartKind::Saddle => self.job.saddle.is_some(),
            PartKind::Nut => self.job.nut.is_some(),
        }
    }

    /// The plan of a part, if it has one.
    #[must_use]
    pub fn part(&self, part: PartKind) -> Option<Part<'_>> {
        match part {
            PartKind::Saddle => self.saddle().map(|saddle| Part::Saddle(saddle.plan)),
            PartKind::Nut => self.nut().map(|nut| Part::Nut(nut.plan)),
        }
    }

    /// Number and note of every string, bass to treble.
    pub fn strings(&self) -> impl Iterator<Item = (u32, &str)> + Clone {
        self.job.instrument.strings.iter().map(|s| (s.number, s.note.as_str()))
    }
}

/// A saddle that is made, planned.
#[derive(Debug, Clone, Copy)]
pub struct SaddleWork<'a> {
    /// Its job.
    pub job: &'a Job,
    /// What of the job is the saddle's.
    pub made: &'a SaddleJob,
    /// Its survey as planned: the job's own, or with a nut's straight shift in it.
    pub survey: &'a SaddleSurvey,
    /// Its plan.
    pub plan: &'a Plan,
    /// The plan of the nut that is made beside it.
    pub nut: Option<&'a NutPlan>,
}

impl SaddleWork<'_> {
    /// What becomes of wishes that share a line or a contact; `None` where none do.
    #[must_use]
    pub fn wishes(&self) -> Option<Wishes> {
        Wishes::of(&self.made.survey, self.survey, self.plan)
    }
}

/// A nut that is made, planned.
#[derive(Debug, Clone, Copy)]
pub struct NutWork<'a> {
    /// Its job.
    pub job: &'a Job,
    /// What of the job is the nut's.
    pub made: &'a NutJob,
    /// Its plan.
    pub plan: &'a NutPlan,
}
