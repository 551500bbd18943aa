//! Programs as made and checked, kept for the downloads that follow.

use std::cell::OnceCell;

use drawing::{DrawingError, NamedFile};
use machining::{PartKind, Program};
use work::{Made, Planned, Tried};

/// The programs of one version of one job, so that a download does not simulate again.
#[derive(Debug)]
pub(crate) struct Kept {
    pub(crate) job: String,
    pub(crate) version: String,
    pub(crate) setups: Vec<Tried>,
    /// Drawn when first asked for.
    files: OnceCell<Result<Vec<NamedFile>, DrawingError>>,
}

impl Kept {
    /// Makes what a job's setups cut.
    pub(crate) fn made(job: &str, version: &str, done: Option<&Planned>) -> Self {
        let setups = done.map(|done| {
            let mut parts = PartKind::ALL.to_vec();
            parts.retain(|part| !done.stops(&[*part]));
            work::tried(done, &parts, None, None)
        });
        Self {
            job: job.to_owned(),
            version: version.to_owned(),
            setups: setups.unwrap_or_default(),
            files: OnceCell::new(),
        }
    }

    fn in_order(&self) -> impl Iterator<Item = &Made> {
        self.setups.iter().filter_map(|tried| tried.made.as_ref().ok())
    }

    /// The programs that are in order.
    pub(crate) fn programs(&self) -> impl Iterator<Item = &Program> {
        self.in_order().flat_map(|made| &made.prepared.programs)
    }

    /// The files of the setups that are in order, as the command writes them: programs, setup sheets, pictures.
    pub(crate) fn files(&self, done: Option<&Planned>) -> &Result<Vec<NamedFile>, DrawingError> {
        self.files.get_or_init(|| {
            let made: Vec<&Made> = self.in_order().collect();
            done.map_or(Ok(Vec::new()), |done| drawing::cut_files(done, &made, &self.job))
        })
    }
}
