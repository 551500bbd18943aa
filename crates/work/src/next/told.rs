//! What is asked, and what is told.

use instrument::{At, Of};
use job::Profiles;
use saddle::tolerance::Band;

/// Chance that is wished for where none is named. Common practice, no source.
pub const WISHED: f64 = 0.9;
/// Most kinds of readings that are listed: more is another survey. Our own choice.
pub const MOST_KINDS: usize = 8;
/// Most single readings that are listed. Our own choice.
pub const MOST_SINGLES: usize = 12;
/// A step that makes the product of all strings' chances no larger than by this share of itself is not worth taking. Our own choice.
pub const LEAST_WORTH: f64 = 0.01;

/// What further readings may be taken with, and when.
#[derive(Debug, Clone, Copy)]
pub struct Shop<'a> {
    /// Its tools.
    pub profiles: &'a Profiles,
    /// Names of tools that are offered though others must be named for it.
    pub with: &'a [String],
    /// Names of tools that are not offered.
    pub without: &'a [String],
    /// The visit on which the readings will be taken, from 1.
    pub visit: u32,
}

impl<'a> Shop<'a> {
    /// All tools of the profiles that need not be named, in the sitting of the survey.
    #[must_use]
    pub fn usual(profiles: &'a Profiles) -> Self {
        Self {
            profiles,
            with: &[],
            without: &[],
            visit: 1,
        }
    }
}

/// How far the list goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NextAsk {
    /// Chance that every string ends in tolerance, 0 to 1, at which the list ends.
    pub wished: f64,
    /// Most steps of the list by kinds.
    pub kinds: usize,
    /// Most steps of the list of single readings.
    pub singles: usize,
}

impl Default for NextAsk {
    fn default() -> Self {
        Self {
            wished: WISHED,
            kinds: MOST_KINDS,
            singles: MOST_SINGLES,
        }
    }
}

/// What to read next.
#[derive(Debug, Clone, PartialEq)]
pub struct Next {
    /// What counts as in tolerance.
    pub band: Band,
    /// Chance that is wished for.
    pub wished: f64,
    /// Chance as the survey stands that every string ends in tolerance, 0 to 1, by derivatives.
    pub now: f64,
    /// By kinds of readings, few kinds before few readings: each step all strings or both ends, with one tool.
    pub kinds: Vec<NextStep>,
    /// By single readings.
    pub singles: Vec<NextStep>,
    /// The visit on which they are taken.
    pub visit: u32,
    /// The present nut was not read, without which nothing that is read of the strings as they are counts: none of it is offered.
    pub no_nut: bool,
    /// Other tunings or sets share the contacts; all of this is of the main one.
    pub shared: bool,
}

/// One step of a list.
#[derive(Debug, Clone, PartialEq)]
pub struct NextStep {
    /// What to read; of the radius at both ends one stands for both.
    pub of: Of,
    /// Where, in order.
    pub places: Vec<At>,
    /// Name of the tool.
    pub tool: String,
    /// Standard uncertainty of each reading, the largest of them: mm, radians or cents; of a radius and of inharmonicity a share of itself.
    pub sure_to: f64,
    /// Whether it was read with this tool before in some of these places.
    pub again: bool,
    /// Chance after this step and those before it, 0 to 1.
    pub chance: f64,
}

impl NextStep {
    /// Whether it is read with strings at pitch on the saddle that stands in the slot, or on that saddle.
    #[must_use]
    pub fn wants_saddle(&self) -> bool {
        matches!(
            self.of,
            Of::Action { .. }
                | Of::Contact
                | Of::SaddleHeight
                | Of::SaddleBack
                | Of::Exposure
                | Of::OverBridge
                | Of::Cents { .. }
                | Of::Inharmonicity
        )
    }

    /// Whether it is read in the empty slot.
    #[must_use]
    pub fn wants_empty_slot(&self) -> bool {
        matches!(self.of, Of::SlotDepth | Of::Lean)
    }
}

impl Next {
    /// Whether a list, or the survey as it stands, reaches what is wished for.
    #[must_use]
    pub fn reaches(&self, list: &[NextStep]) -> bool {
        list.last().map_or(self.now, |step| step.chance) >= self.wished
    }
}
