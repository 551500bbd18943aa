//! Programs as made and checked, kept for the downloads that follow.

use drawing::{DrawingError, NamedFile};
use machining::PartKind;
use work::{Made, Planned, Tried};

/// The programs of one version of one job, so that a download does not simulate again.
#[derive(Debug)]
pub(crate) struct Kept {
    pub(crate) job: String,
    pub(crate) version: String,
    pub(crate) setups: Vec<Tried>,
    /// The files of the setups that are in order, as the command writes them.
    pub(crate) files: Result<Vec<NamedFile>, DrawingError>,
}

impl Kept {
    /// Makes what a job's setups cut, and draws their sheets.
    pub(crate) fn made(job: &str, version: &str, done: Option<&Planned>) -> Self {
        let setups = done.map(|done| {
            let mut parts = PartKind::ALL.to_vec();
            parts.retain(|part| !done.stops(&[*part]));
            work::tried(done, &parts, None, None)
        });
        let setups = setups.unwrap_or_default();
        let made: Vec<&Made> = setups.iter().filter_map(|tried| tried.made.as_ref().ok()).collect();
        let files = done.map_or(Ok(Vec::new()), |done| drawing::cut_files(done, &made, job));
        Self {
            job: job.to_owned(),
            version: version.to_owned(),
            files,
            setups,
        }
    }
}
