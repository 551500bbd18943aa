//! What a job has to cut: a saddle, a nut, or both.

use crate::failure::Failure;
use crate::part::{PartArgs, WhichPart};
use crate::source::AnyPlanned;
use job::{CutJob, Paper};
use machining::Part;
use units::BenchUnit;

/// A part's plan, and how it is cut.
pub type Cuttable<'a> = (Part<'a>, &'a CutJob);

/// What every program and sheet of a job shares, and its parts.
pub struct Parts<'a> {
    pub title: &'a str,
    pub paper: Paper,
    pub bench: BenchUnit,
    pub saddle: Option<Cuttable<'a>>,
    pub nut: Option<Cuttable<'a>>,
}

impl<'a> From<&'a AnyPlanned> for Parts<'a> {
    fn from(done: &'a AnyPlanned) -> Self {
        match done {
            AnyPlanned::Saddle(done) => Self {
                title: &done.job.title,
                paper: done.job.paper,
                bench: done.job.bench,
                saddle: Some((Part::Saddle(&done.plan), &done.job.cut)),
                nut: done
                    .nut
                    .as_ref()
                    .zip(done.job.nut.as_ref())
                    .map(|(plan, job)| (Part::Nut(plan), &job.cut)),
            },
            AnyPlanned::NutAlone(done) => Self {
                title: &done.job.title,
                paper: done.job.paper,
                bench: done.job.bench,
                saddle: None,
                nut: Some((Part::Nut(&done.nut), &done.job.nut.cut)),
            },
        }
    }
}

impl<'a> Parts<'a> {
    /// The parts that are meant, the saddle first; both where nothing is said.
    ///
    /// # Errors
    /// [`Failure::Use`] if a part is asked for that the job does not make.
    pub fn chosen(&self, args: &PartArgs, done: &AnyPlanned) -> Result<Vec<Cuttable<'a>>, Failure> {
        let (saddle, nut) = match done {
            AnyPlanned::Saddle(done) => {
                let chosen = args.chosen(done.nut.as_ref(), WhichPart::Both)?;
                (chosen.saddle, chosen.nut.is_some())
            }
            AnyPlanned::NutAlone(_) => {
                args.nut_alone()?;
                (false, true)
            }
        };
        let saddle = self.saddle.filter(|_| saddle);
        Ok(saddle.into_iter().chain(self.nut.filter(|_| nut)).collect())
    }
}
