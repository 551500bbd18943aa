//! How far the work on a job is, in a few words.

use work::Progress;

/// How far the work is.
#[must_use]
pub const fn progress_words(progress: Progress) -> &'static str {
    match progress {
        Progress::Unplanned => "nothing to make yet",
        Progress::Stopped => "planned, not to be made as it stands",
        Progress::Planned => "can be planned",
        Progress::Left => "strung up, something left",
        Progress::Done => "strung up, nothing left",
    }
}
