//! Programs as made and checked, kept for the downloads that follow.

use std::cell::{Cell, OnceCell};

use drawing::{DrawingError, NamedFile};
use machining::{PartKind, Program};
use work::{Made, Planned, Tried};

use crate::checking::{Checked, Checking};

/// The programs of one version of one job, so that a download does not simulate again.
#[derive(Debug)]
pub(crate) struct Kept {
    pub(crate) job: String,
    /// That of the job, as it was judged.
    pub(crate) version: String,
    /// One for the job, or one for each of several saddles and then one for their nut.
    jobs: Vec<KeptJob>,
    /// Drawn when first asked for.
    files: OnceCell<Result<Vec<NamedFile>, DrawingError>>,
}

/// What is cut of one job: the whole, or that of one of several saddles.
#[derive(Debug)]
pub(crate) struct KeptJob {
    /// The name of the saddle.
    name: Option<String>,
    /// What the names of its files begin with.
    pub(crate) stem: String,
    pub(crate) setups: Vec<Tried>,
}

impl Kept {
    /// Makes what a job's setups cut, and tells how far it is; `None` if it was stopped.
    pub(crate) fn made(job: &str, version: &str, done: Option<&Planned>, checking: &Checking) -> Option<Self> {
        let each = done
            .into_iter()
            .flat_map(|done| done.apart(&PartKind::ALL).into_iter().map(move |one| (done, one)));
        let each: Vec<_> = each
            .map(|(done, (one, mut parts))| {
                parts.retain(|part| !done.stops(&[*part]));
                (one, parts)
            })
            .collect();
        let count = |(one, parts): &(&Planned, Vec<PartKind>)| work::setups(one, parts, None, None).len();
        let of = each.iter().map(count).sum();
        checking.begin();
        let before = Cell::new(0);
        let go_on = |part, kind| {
            let now = Checked {
                job: job.to_owned(),
                before: before.replace(before.get() + 1),
                of,
                now: (part, kind),
            };
            checking.next(now)
        };
        let jobs = each.iter().map(|(one, parts)| {
            Some(KeptJob {
                name: one.job.name.clone(),
                stem: drawing::job_stem(job, &one.job),
                setups: work::tried_while(one, parts, None, None, &go_on)?,
            })
        });
        let jobs: Option<Vec<KeptJob>> = jobs.collect();
        let to_the_end = checking.end();
        let jobs = jobs.filter(|_| to_the_end);
        Some(Self {
            job: job.to_owned(),
            version: version.to_owned(),
            jobs: jobs?,
            files: OnceCell::new(),
        })
    }

    /// What is cut of the saddle of this name, or of the whole job.
    pub(crate) fn of(&self, name: Option<&str>) -> Option<&KeptJob> {
        self.jobs.iter().find(|one| one.name.as_deref() == name)
    }

    /// The programs that are in order, with the names of their files.
    pub(crate) fn programs(&self) -> impl Iterator<Item = (String, &Program)> {
        let made = self
            .jobs
            .iter()
            .flat_map(|one| in_order(one).map(move |made| (one, made)));
        let programs = made.flat_map(|(one, made)| made.prepared.programs.iter().map(move |program| (one, program)));
        programs.map(|(one, program)| (drawing::program_name(&one.stem, program), program))
    }

    /// The files of the setups that are in order, as the command writes them: programs, setup sheets, pictures.
    pub(crate) fn files(&self, done: Option<&Planned>) -> &Result<Vec<NamedFile>, DrawingError> {
        self.files.get_or_init(|| {
            let mut files = Vec::new();
            let jobs = done.into_iter().flat_map(|done| done.apart(&PartKind::ALL));
            for ((one, _), kept) in jobs.zip(&self.jobs) {
                let made: Vec<&Made> = in_order(kept).collect();
                files.extend(drawing::cut_files(one, &made, &kept.stem)?);
            }
            Ok(files)
        })
    }
}

fn in_order(job: &KeptJob) -> impl Iterator<Item = &Made> {
    job.setups.iter().filter_map(|tried| tried.made.as_ref().ok())
}
