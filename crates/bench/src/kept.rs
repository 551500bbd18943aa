//! Programs as made and checked, kept for the downloads that follow.

use machining::{CutTolerance, Deviation, PartKind, Prepared, Setup, SetupKind};

/// The programs of one version of one job, so that a download does not simulate again.
#[derive(Debug)]
pub(crate) struct Kept {
    pub(crate) job: String,
    pub(crate) version: String,
    pub(crate) setups: Vec<Made>,
}

/// One setup of one part.
#[derive(Debug)]
pub(crate) struct Made {
    pub(crate) part: PartKind,
    pub(crate) kind: SetupKind,
    pub(crate) tried: Tried,
}

/// A setup as tried: what is handed out, or why nothing is.
#[derive(Debug)]
pub(crate) enum Tried {
    InOrder(Box<(Setup, Prepared)>),
    Refused {
        why: Vec<String>,
        /// What the first program that is not in order leaves.
        left: Option<(Box<Deviation>, CutTolerance)>,
    },
}
