//! A job with the plans of its parts.

use instrument::StrungString;
use job::{Job, NutJob, SaddleJob};
use known::Evidence;
use machining::{Part, PartKind};
use nut::{Joined, NutError, NutPlan};
use saddle::{Plan, PlanError, SaddleSurvey, Way, Wishes};
use thiserror::Error;

use crate::doubted::{Doubted, doubted};
use crate::not_it::{NotTheString, not_it};
use crate::unread::Unread;

/// Why a part cannot be planned.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Refusal {
    /// The saddle.
    #[error("{0}")]
    Saddle(#[from] PlanError),
    /// One of several saddles.
    #[error("the {name} saddle: {error}")]
    OneSaddle {
        /// Its name.
        name: String,
        /// Why.
        error: PlanError,
    },
    /// The nut.
    #[error("the nut: {0}")]
    Nut(#[from] NutError),
    /// What was read gives no instrument.
    #[error("{0}")]
    Readings(#[from] Unread),
}

/// A job with its plans.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// The job.
    pub job: Job,
    /// What is known of its instrument by all readings; `None` where they give none, and for several saddles, each of which has its own.
    pub evidence: Option<Evidence>,
    /// The survey of the saddle by all that is known.
    likeliest: Option<SaddleSurvey>,
    /// What of it does not fit, the furthest off first; of several saddles each has its own.
    pub doubted: Vec<Doubted>,
    /// Strings that do not sound like those that the job describes, bass to treble; those are left out that are doubted
    /// anyway, but for a plain wire in place of a wound one and the like.
    pub not_it: Vec<NotTheString>,
    /// The survey of the saddle as planned, which is the job's own, by all that is known, with a nut's straight shift in it if there is
    /// one, and the plan.
    saddle: Option<(SaddleSurvey, Plan)>,
    nut: Option<NutPlan>,
    /// Where several saddles carry the strings: the job of each with its plan, bass to treble.
    split: Vec<Planned>,
    /// Why a part that the job makes has no plan; none where all have one.
    pub refusals: Vec<Refusal>,
}

/// Plans every part that a job makes. Saddle and nut are solved together; a saddle is planned even where the nut beside it cannot be.
#[must_use]
pub fn planned(job: Job) -> Planned {
    let mut done = Planned {
        job,
        evidence: None,
        likeliest: None,
        doubted: Vec::new(),
        not_it: Vec::new(),
        saddle: None,
        nut: None,
        split: Vec::new(),
        refusals: Vec::new(),
    };
    if !done.job.split.is_empty() {
        done.several();
        return done;
    }
    let evidence = match evidence(&done.job) {
        Ok(evidence) => evidence,
        Err(error) => {
            done.refusals.push(error.into());
            return done;
        }
    };
    let job = &done.job;
    match (&job.saddle, &job.nut) {
        (None, None) => {}
        (None, Some(made)) => match nut::alone(&evidence.likeliest(), &made.gaps, &made.survey) {
            Ok(plan) => done.nut = Some(plan),
            Err(error) => done.refusals.push(error.into()),
        },
        (Some(made), None) => {
            let survey = made.survey.by(&evidence);
            done.saddle_alone(survey);
        }
        (Some(made), Some(nut)) => match nut::together(&made.survey.by(&evidence), &nut.survey) {
            Ok(both) => {
                done.saddle = Some((both.survey, both.saddle));
                done.nut = Some(both.nut);
            }
            Err(NutError::Saddle(errors)) => done.refusals.extend(errors.into_iter().map(Refusal::Saddle)),
            Err(error) => {
                let survey = made.survey.by(&evidence);
                done.saddle_alone(survey);
                done.refusals.push(error.into());
            }
        },
    }
    done.doubted = doubted(&evidence);
    done.not_it = not_it(&evidence, |string| {
        let number = evidence.instrument.strings.get(string).map(|string| string.number);
        number.is_some_and(|number| done.doubted.iter().any(|doubted| doubted.is_of_kind(number)))
    });
    done.likeliest = done.job.saddle.as_ref().map(|made| made.survey.by(&evidence));
    done.evidence = Some(evidence);
    done
}

/// What is known of a job's instrument by all that was read of it.
fn evidence(job: &Job) -> Result<Evidence, Unread> {
    let slot = job.saddle.as_ref().map(|made| made.survey.slot_seen());
    Evidence::of(job.instrument.clone(), slot, job.readings.clone(), job.uncertainty)
        .map_err(|error| Unread::of(error, job))
}

impl Planned {
    fn saddle_alone(&mut self, survey: SaddleSurvey) {
        match saddle::plan(&survey) {
            Ok(plan) => self.saddle = Some((survey, plan)),
            Err(errors) => self.refusals.extend(errors.into_iter().map(Refusal::Saddle)),
        }
    }

    /// Plans several saddles, with the nut that carries the strings of all if one is made.
    fn several(&mut self) {
        self.split = self.job.split.iter().cloned().map(planned).collect();
        for one in &self.split {
            let name = one.job.name.clone().unwrap_or_default();
            let refusals = one.refusals.iter().cloned().map(|refusal| match refusal {
                Refusal::Saddle(error) => Refusal::OneSaddle {
                    name: name.clone(),
                    error,
                },
                other => other,
            });
            self.refusals.extend(refusals);
        }
        let Some(made) = self.job.nut.as_ref().filter(|_| self.refusals.is_empty()) else {
            return;
        };
        let surveys = self.split.iter().filter_map(|one| {
            let survey = &one.job.saddle.as_ref()?.survey;
            Some(
                one.evidence
                    .as_ref()
                    .map_or_else(|| survey.clone(), |evidence| survey.by(evidence)),
            )
        });
        match nut::joined(&surveys.collect::<Vec<_>>(), &made.survey) {
            Ok(Joined { saddles, nut }) => {
                let mut first = 0;
                for (one, saddle) in self.split.iter_mut().zip(saddles) {
                    let next = first + saddle.1.strings.len();
                    one.nut = Some(nut.of_strings(first..next));
                    one.saddle = Some(saddle);
                    first = next;
                }
                self.nut = Some(nut);
            }
            Err(error) => self.refusals.push(error.into()),
        }
    }

    /// The saddles of the job, bass to treble, each as a job of one saddle: the job itself where one carries all strings, none where the
    /// saddle stays.
    pub fn saddles(&self) -> impl Iterator<Item = &Planned> + Clone {
        let one = self.job.saddle.is_some().then_some(self);
        one.into_iter().chain(&self.split)
    }

    /// Whether several saddles carry the strings.
    #[must_use]
    pub fn is_split(&self) -> bool {
        !self.split.is_empty()
    }

    /// These parts by the jobs that they are worked in: one job, or one for each of several saddles, and the whole for its nut.
    #[must_use]
    pub fn apart(&self, parts: &[PartKind]) -> Vec<(&Planned, Vec<PartKind>)> {
        if !self.is_split() {
            return vec![(self, parts.to_vec())];
        }
        let saddles = self.saddles().filter(|_| parts.contains(&PartKind::Saddle));
        let saddles = saddles.map(|one| (one, vec![PartKind::Saddle]));
        let nut = parts.contains(&PartKind::Nut) && self.makes(PartKind::Nut);
        saddles.chain(nut.then(|| (self, vec![PartKind::Nut]))).collect()
    }

    /// Each saddle with what of these readings of all strings is of its own.
    pub fn read_by_saddle<'r>(&self, read: &'r [StrungString]) -> impl Iterator<Item = (&Planned, &'r [StrungString])> {
        self.saddles().scan(0, move |first, one| {
            let next = *first + one.job.instrument.strings.len();
            let own = read.get(*first..next).unwrap_or_default();
            *first = next;
            Some((one, own))
        })
    }

    /// The saddle that carries all strings, if it is made and could be planned; of several see [`Planned::saddles`].
    #[must_use]
    pub fn saddle(&self) -> Option<SaddleWork<'_>> {
        let (survey, plan) = self.saddle.as_ref()?;
        Some(SaddleWork {
            job: &self.job,
            made: self.job.saddle.as_ref()?,
            evidence: self.evidence.as_ref()?,
            likeliest: self.likeliest.as_ref()?,
            doubted: &self.doubted,
            not_it: &self.not_it,
            survey,
            plan,
            nut: self.nut.as_ref(),
        })
    }

    /// The same with a way out of the saddle's plan taken for a trial; see [`saddle::tried`]. `None` for several saddles, for the nut's
    /// setback where a nut is made, whose own plan has it, and where nothing can be planned so.
    #[must_use]
    pub fn tried(&self, way: Way) -> Option<Self> {
        let (survey, plan) = self.saddle.as_ref().filter(|_| may_try(&self.job, way))?;
        let mut done = self.clone();
        if let Some(made) = &mut done.job.saddle {
            made.survey = saddle::tried(&made.survey, plan, way)?;
        }
        done.likeliest = match &self.likeliest {
            Some(likeliest) => Some(saddle::tried(likeliest, plan, way)?),
            None => None,
        };
        let survey = saddle::tried(survey, plan, way)?;
        done.saddle = None;
        // The shift of a nut beside it is in the survey already.
        done.saddle_alone(survey);
        done.saddle.is_some().then_some(done)
    }

    /// The nut, if one is made and could be planned.
    #[must_use]
    pub fn nut(&self) -> Option<NutWork<'_>> {
        Some(NutWork {
            job: &self.job,
            made: self.job.nut.as_ref()?,
            // The saddle beside it tells of them.
            doubted: if self.job.saddle_stays() { &self.doubted } else { &[] },
            not_it: if self.job.saddle_stays() { &self.not_it } else { &[] },
            plan: self.nut.as_ref()?,
        })
    }

    /// Whether the job makes a part.
    #[must_use]
    pub fn makes(&self, part: PartKind) -> bool {
        match part {
            PartKind::Saddle => !self.job.saddle_stays(),
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
    /// What is known of the instrument.
    pub evidence: &'a Evidence,
    /// The job's own survey by all that is known.
    pub likeliest: &'a SaddleSurvey,
    /// What of it does not fit, the furthest off first.
    pub doubted: &'a [Doubted],
    /// Strings that do not sound like those that the job describes.
    pub not_it: &'a [NotTheString],
    /// Its survey as planned: the job's own by all that is known, with a nut's straight shift in it if there is one.
    pub survey: &'a SaddleSurvey,
    /// Its plan.
    pub plan: &'a Plan,
    /// The plan of the nut that is made beside it.
    pub nut: Option<&'a NutPlan>,
}

/// Whether a way out may be tried at all: a nut that is made beside the saddle has setbacks of its own.
fn may_try(job: &Job, way: Way) -> bool {
    way != Way::Nut || job.nut.is_none()
}

impl SaddleWork<'_> {
    /// Ways out of its plan that [`Planned::tried`] can take for a trial, the mildest first; none for one of several saddles.
    #[must_use]
    pub fn tries(&self) -> Vec<Way> {
        let can = |way: &Way| {
            may_try(self.job, *way) && self.job.name.is_none() && saddle::tried(self.survey, self.plan, *way).is_some()
        };
        let ways = self.plan.ways_out.iter().flat_map(|ways| &ways.order);
        ways.map(|left| left.way).filter(can).collect()
    }

    /// What becomes of wishes that share a line or a contact; `None` where none do.
    #[must_use]
    pub fn wishes(&self) -> Option<Wishes> {
        Wishes::of(self.likeliest, self.survey, self.plan)
    }
}

/// A nut that is made, planned.
#[derive(Debug, Clone, Copy)]
pub struct NutWork<'a> {
    /// Its job.
    pub job: &'a Job,
    /// What of the job is the nut's.
    pub made: &'a NutJob,
    /// What of the survey does not fit, the furthest off first; none where a saddle is made beside it, which has them.
    pub doubted: &'a [Doubted],
    /// Strings that do not sound like those that the job describes; none where a saddle is made beside it.
    pub not_it: &'a [NotTheString],
    /// Its plan.
    pub plan: &'a NutPlan,
}
