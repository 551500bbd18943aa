//! After stringing up: what is left to do on every string, and on the whole saddle.

use assess::Facts;
use instrument::StrungString;
use saddle::{Fit, FitError, FitLimits, Hold, Outcome, Plan, STAYS, SaddleSurvey, StringWork};

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

impl Fitted<'_> {
    /// What is to be known of the plan of a second saddle, made with what these readings taught.
    #[must_use]
    pub fn next_remarks(&self) -> Vec<Remark> {
        Remark::of(&self.fit.next, &self.fit.corrected, self.facts)
    }

    /// What is left to do on every string, bass to treble.
    pub fn strings(&self) -> impl Iterator<Item = StringLeft> + Clone {
        let fit = &self.fit;
        fit.strings.iter().zip(&fit.next.strings).map(|(s, next)| {
            let done = s.lower < STAYS && s.move_back.abs() < STAYS;
            StringLeft {
                number: s.number,
                left: match s.verdict {
                    StringWork::Good => Left::Good,
                    StringWork::File if done && next.hold != Hold::Free => Left::Held,
                    StringWork::File if done => Left::Low((-s.lower).max(0.0)),
                    StringWork::File => Left::File,
                    StringWork::TooLow(by) => Left::TooLow(by),
                    StringWork::Doubtful(_) => Left::ReadAgain,
                },
                move_back: s.move_back,
                lower: s.lower,
                by_move: s.move_alone.as_ref().map(|alone| alone.drop),
            }
        })
    }

    /// What to do with the whole saddle.
    #[must_use]
    pub fn whole(&self) -> Whole {
        match self.fit.outcome {
            Outcome::Good => Whole::Good,
            Outcome::File if self.strings().all(|s| s.left != Left::File) => Whole::AsNear,
            Outcome::File => Whole::File,
            Outcome::Shim(by) => Whole::Shim(by),
            Outcome::NewSaddle(by) => Whole::NewSaddle(by),
            Outcome::ReadAgain => Whole::ReadAgain,
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
        })
    }
}
