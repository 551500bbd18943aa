//! What is cut: a part with its plan, and how the job cuts it.

use job::CutJob;
use machining::Part;
use work::TopCut;

/// A part that is cut.
#[derive(Clone, Copy)]
pub(super) struct OfPart<'a> {
    /// Its name, if it is one of several saddles.
    pub(super) name: Option<&'a str>,
    /// Its plan.
    pub(super) part: Part<'a>,
    /// How it is cut.
    pub(super) cut: &'a CutJob,
    /// How high its top is cut, if it is a saddle.
    pub(super) top: Option<TopCut>,
}
