//! Which air the readings of a job were taken in, and where that is written.

use assess::Facts;

use crate::SaddleWork;

/// The air that the survey was taken in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurveyAir {
    /// Relative humidity, 0 to 1.
    pub share: f64,
    /// Where it is written.
    pub from: AirFrom,
}

/// Where the humidity of an assessment is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AirFrom {
    /// With the other readings of the assessment: where the instrument lay before it was read.
    Assess,
    /// In the bench's book: the room when it came.
    Book,
}

impl SaddleWork<'_> {
    /// The air that the survey was taken in: as it was read for the assessment, else as the book has it of the day when the instrument
    /// came. `None` if nobody read it.
    #[must_use]
    pub fn air(&self) -> Option<SurveyAir> {
        let of = |from| move |share| SurveyAir { share, from };
        let read = self.made.assess.humidity.map(of(AirFrom::Assess));
        read.or_else(|| self.job.book.humidity_in.map(of(AirFrom::Book)))
    }

    /// What is known beside the survey, with that air.
    pub(crate) fn facts(&self) -> Facts {
        Facts {
            humidity: self.air().map(|air| air.share),
            ..self.made.assess.clone()
        }
    }
}
