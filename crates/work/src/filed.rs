//! What is asked of the file, and what comes of it at every string.

use saddle::StringPlan;
use saddle::filing::{FilingError, Limit, Move, PresentCrown, Proud, Start, Stroke};
use serde::Serialize;
use units::BenchUnit;

/// Steps that the table of steps has.
pub const STEPS: u32 = 6;

/// 1/64 in, mm: the usual step of the table of steps.
pub const SIXTY_FOURTH: f64 = units::MM_PER_INCH / 64.0;

/// The usual step where the bench measures in mm, mm.
pub const QUARTER_MM: f64 = 0.25;

/// The usual step of the table of steps for a bench that measures so, mm.
#[must_use]
pub fn usual_step(bench: BenchUnit) -> f64 {
    if bench.is_metric() { QUARTER_MM } else { SIXTY_FOURTH }
}

/// What is asked of one string.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilingAsk {
    /// String number.
    pub number: u32,
    /// The crown as it stands.
    pub crown: PresentCrown,
    /// Where the string stands now.
    pub start: Start,
    /// Action at fret 12 that must not be gone under, mm.
    pub floor: f64,
    /// The move; `None` goes to the planned contact.
    pub step: Option<Move>,
}

/// What holds for all strings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilingTerms {
    /// How far under its target the action may end, mm.
    pub allowed: f64,
    /// How far fret 12 may end from its aim, cents.
    pub cents: f64,
    /// The saddle is at its height: it can no longer be left proud.
    pub at_height: bool,
    /// Step of the table of steps, mm.
    pub step: f64,
}

/// What to do about one stroke.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FilingVerdict {
    /// No move is asked, so there is nothing to judge.
    Still,
    /// Leave it: a move for the pitch that changes fret 12 by less than [`saddle::LIKE`], or one that is shorter than [`crate::STAYS`].
    NotWorth,
    /// The action ends no lower than allowed.
    Go,
    /// Leave the string this much over what the target asks at its present contact first, mm.
    LeaveProud(f64),
    /// The action will end this much under its target, mm, and nothing can be left proud.
    EndsLow(f64),
    /// The contact would end this much outside the land, mm, and further out than it stands.
    OutsideLand(f64),
    /// The string would rise by this much, mm, which no file does: the crown is not as it was given.
    Rises(f64),
    /// The contact would run off the blank.
    OffBlank,
    /// No move on this blank changes the pitch so much.
    OutOfReach,
}

/// One string: how it stands, the stroke, and what could be done instead.
#[derive(Debug, Clone, PartialEq)]
pub struct FiledString<'a> {
    /// The string's plan.
    pub plan: &'a StringPlan,
    /// What was asked.
    pub ask: FilingAsk,
    /// The present contact with its action and pitch, as a stroke of no length.
    pub before: Stroke,
    /// Height of the present contact over what the target asks there, mm along v.
    pub proud_now: f64,
    /// The stroke, or why there is none.
    pub stroke: Result<Stroke, FilingError>,
    /// How proud to leave the string so that the same move ends on target.
    pub proud: Result<Proud, FilingError>,
    /// How far the contact can go forward and back before it leaves the blank or its crown, mm.
    pub reach: (f64, f64),
    /// How far the contact can go forward.
    pub furthest: Limit,
    /// Strokes of 1 to `STEPS` steps forward; `None` beyond the blank.
    pub steps: Vec<Option<Stroke>>,
    /// What to do.
    pub verdict: FilingVerdict,
    /// The stroke leaves fret 12 further from its aim than it is, and further than allowed.
    pub untuned: Option<Untuned>,
}

/// What a stroke does to the tuning of fret 12, cents.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Untuned {
    /// Error against the aim afterwards, sharp positive.
    pub off: f64,
    /// By how much that is more than now, positive.
    pub worse: f64,
}

/// The whole set.
#[derive(Debug, Clone, PartialEq)]
pub struct Filing<'a> {
    /// What holds for all.
    pub terms: FilingTerms,
    /// Strings, bass to treble.
    pub strings: Vec<FiledString<'a>>,
}

/// A string whose start or crown is impossible.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilingRefusal {
    /// String number.
    pub number: u32,
    /// Why.
    pub error: FilingError,
}

/// A move shorter than this is none, mm.
pub(crate) const NO_MOVE: f64 = 1e-9;

impl Filing<'_> {
    /// Strings that would end too low for good, so that they are not to be filed.
    #[must_use]
    pub fn not_to_file(&self) -> Vec<u32> {
        let low = self
            .strings
            .iter()
            .filter(|s| matches!(s.verdict, FilingVerdict::EndsLow(_)));
        low.map(|s| s.plan.number).collect()
    }

    /// Strings at or under their floor already.
    #[must_use]
    pub fn at_floor(&self) -> Vec<u32> {
        let low = self.strings.iter().filter(|s| s.furthest == Limit::Already);
        low.map(|s| s.plan.number).collect()
    }

    /// Whether no string is asked to move.
    #[must_use]
    pub fn is_still(&self) -> bool {
        let still = |s: &FiledString| s.stroke.is_ok_and(|stroke| stroke.forward.abs() < NO_MOVE);
        self.strings.iter().all(still)
    }
}
