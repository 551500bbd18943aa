//! After stringing up: what is left to do on every string, and on the whole saddle.

use assess::Facts;
use instrument::StrungString;
use saddle::{Fit, FitError, FitLimits, Hold, Outcome, Plan, SaddleSurvey, StringFit, StringPlan, StringWork};

use crate::{Remark, SaddleWork};

/// A fit with what it was made from.
#[derive(Debug, Clone)]
pub struct Fitted<'a> {
    /// The plan that the saddle was made to.
    pub made: &'a Plan,
    /// The survey of that plan.
    pub survey: &'a SaddleSurvey,
    /// The readings, bass to treble.
    pub read: &'a [StrungString],
    /// What counted as good and as doubtful.
    pub limits: FitLimits,
    /// What came of it.
    pub fit: Fit,
    /// Actions at fret 12 that the job says must not be gone under, bass to treble, mm.
    pub floors: Vec<Option<f64>>,
    /// What the plan of a second saddle is held against.
    pub facts: &'a Facts,
}

/// What is left to do on one string.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Left {
    /// Good as it is.
    Good,
    /// File: the move first, then the rest of the height.
    File,
    /// Leave it: held at the land, a file has nothing to do.
    Held,
    /// Leave it: low by so much, mm along v, and within what can be borne.
    Low(f64),
    /// Too low by so much, mm along v.
    TooLow(f64),
    /// A reading is doubtful: take it again first.
    ReadAgain,
}

/// One string after stringing up. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StringLeft {
    /// String number.
    pub number: u32,
    /// The verdict.
    pub left: Left,
    /// Move the ridge back by so much, square to the face; negative is forward.
    pub move_back: f64,
    /// Lower the contact by so much in all; negative where it must come up.
    pub lower: f64,
    /// What of that the move alone makes, filed down the planned crown; `None` if it would leave the blank.
    pub by_move: Option<f64>,
    /// Action at fret 12 when it is done: as read where nothing is done, else that of the corrected plan.
    pub then_action_12: f64,
    /// Error at fret 12 likewise, cents.
    pub then_cents_12: f64,
}

impl StringLeft {
    /// What is still to be lowered when the move is made, not under 0 where the string is to be filed.
    #[must_use]
    pub fn rest(&self) -> f64 {
        let rest = self.lower - self.by_move.unwrap_or(0.0);
        if self.left == Left::File { rest.max(0.0) } else { rest }
    }
}

/// What to do with the whole saddle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Whole {
    /// Nothing: every string is good.
    Good,
    /// Nothing that a file could mend: every string is good or stands as near as it can.
    AsNear,
    /// File the strings that say so.
    File,
    /// Lay a shim of this thickness, mm, under a saddle that drops in; then lower each string.
    Shim(f64),
    /// Too low by this much, mm: make a new saddle.
    NewSaddle(f64),
    /// File nothing; take the doubtful readings again.
    ReadAgain,
}

/// A contact that would go down or move by less than this stays where it is, mm: no file at the bench is so fine.
const STAYS: f64 = 0.02;

impl Fitted<'_> {
    /// What is to be known of the plan of a second saddle, made with what these readings taught.
    #[must_use]
    pub fn next_remarks(&self) -> Vec<Remark> {
        Remark::of(&self.fit.next, &self.fit.corrected, self.facts)
    }

    /// What is left to do on every string, bass to treble.
    pub fn strings(&self) -> impl Iterator<Item = StringLeft> + Clone {
        let floors = self.floors.iter().copied().chain(std::iter::repeat(None));
        let strings = self.fit.strings.iter().zip(&self.fit.next.strings).zip(floors);
        strings.map(|((s, next), floor)| {
            let left = self.left(s, next, floor);
            let (then_action_12, then_cents_12) = match left {
                Left::File | Left::TooLow(_) => (s.then_action_12, s.then_cents_12),
                Left::Good | Left::Held | Left::Low(_) | Left::ReadAgain => (s.action_12, s.cents_12),
            };
            StringLeft {
                number: s.number,
                left,
                move_back: s.move_back,
                lower: s.lower,
                by_move: s.move_alone.as_ref().map(|alone| alone.drop),
                then_action_12,
                then_cents_12,
            }
        })
    }

    fn left(&self, s: &StringFit, next: &StringPlan, floor: Option<f64>) -> Left {
        let done = s.lower < STAYS && s.move_back.abs() < STAYS;
        match s.verdict {
            StringWork::Good => Left::Good,
            StringWork::File if done && next.hold != Hold::Free => Left::Held,
            StringWork::File if done => Left::Low((-s.lower).max(0.0)),
            StringWork::File => Left::File,
            // A good saddle is not thrown away for what the readings cannot tell, nor over the job's own floor.
            StringWork::TooLow(by) if s.action_12 >= self.bearable(next.action_12, floor) => Left::Low(by),
            StringWork::TooLow(by) => Left::TooLow(by),
            StringWork::Doubtful(_) => Left::ReadAgain,
        }
    }

    /// Action at fret 12 that is left as it is although the target is higher, mm: the job's floor, or what cannot be told from good.
    fn bearable(&self, target: f64, floor: Option<f64>) -> f64 {
        let told = target - self.limits.action - self.limits.reading;
        floor.map_or(told, |floor| floor.min(told))
    }

    /// What to do with the whole saddle.
    #[must_use]
    pub fn whole(&self) -> Whole {
        let any = |of: fn(&Left) -> bool| self.strings().any(|s| of(&s.left));
        let too_low = any(|left| matches!(left, Left::TooLow(_)));
        match self.fit.outcome {
            Outcome::Good => Whole::Good,
            Outcome::ReadAgain => Whole::ReadAgain,
            Outcome::Shim(by) if too_low => Whole::Shim(by),
            Outcome::NewSaddle(by) if too_low => Whole::NewSaddle(by),
            Outcome::File | Outcome::Shim(_) | Outcome::NewSaddle(_) if any(|left| *left == Left::File) => Whole::File,
            Outcome::File | Outcome::Shim(_) | Outcome::NewSaddle(_) => Whole::AsNear,
        }
    }
}

impl<'a> SaddleWork<'a> {
    /// What these readings after stringing up say, bass to treble.
    ///
    /// # Errors
    /// [`FitError`].
    pub fn fit(&self, read: &'a [StrungString]) -> Result<Fitted<'a>, FitError> {
        let band = self.job.tolerance.band;
        let limits = FitLimits {
            action: band.action,
            cents: band.cents,
            ..FitLimits::default()
        };
        Ok(Fitted {
            made: self.plan,
            survey: self.survey,
            read,
            limits,
            fit: saddle::fit(self.survey, read, &limits)?,
            facts: &self.made.assess,
            floors: self.made.filing.floor_12.clone(),
        })
    }
}
