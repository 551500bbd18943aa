//! A planned part, whichever it is, as all that is drawn of it.

use crate::{DrawingError, Sheet, SheetOptions, dxf, nut_dxf, nut_sheets, paragraphs, saddle_sheets, stl};
use job::Job;
use machining::{Part, PartKind};
use units::BenchUnit;
use work::{Hazards, Heights, NutWork, Planned, SaddleWork};

/// A planned part with its job.
#[derive(Debug, Clone, Copy)]
pub enum PartWork<'a> {
    /// A saddle.
    Saddle(SaddleWork<'a>),
    /// A nut.
    Nut(NutWork<'a>),
}

impl<'a> From<SaddleWork<'a>> for PartWork<'a> {
    fn from(saddle: SaddleWork<'a>) -> Self {
        Self::Saddle(saddle)
    }
}

impl<'a> From<NutWork<'a>> for PartWork<'a> {
    fn from(nut: NutWork<'a>) -> Self {
        Self::Nut(nut)
    }
}

impl<'a> PartWork<'a> {
    /// That part of a job, if it has a plan.
    #[must_use]
    pub fn of(done: &'a Planned, part: PartKind) -> Option<Self> {
        match part {
            PartKind::Saddle => done.saddle().map(Self::Saddle),
            PartKind::Nut => done.nut().map(Self::Nut),
        }
    }

    /// Those parts of a job that have a plan: of several saddles, each in a job of its own.
    pub fn all(done: &'a Planned, part: PartKind) -> impl Iterator<Item = Self> {
        let saddles = done.saddles().filter(move |_| part == PartKind::Saddle);
        let nut = done.nut().filter(|_| part == PartKind::Nut);
        let saddles = saddles.filter_map(Planned::saddle).map(Self::Saddle);
        saddles.chain(nut.map(Self::Nut))
    }

    /// Its job.
    #[must_use]
    pub fn job(&self) -> &'a Job {
        match self {
            Self::Saddle(saddle) => saddle.job,
            Self::Nut(nut) => nut.job,
        }
    }

    /// Which part it is.
    #[must_use]
    pub fn kind(&self) -> PartKind {
        match self {
            Self::Saddle(_) => PartKind::Saddle,
            Self::Nut(_) => PartKind::Nut,
        }
    }

    /// Its plan.
    #[must_use]
    pub fn plan(&self) -> Part<'a> {
        match self {
            Self::Saddle(saddle) => Part::Saddle(saddle.plan),
            Self::Nut(nut) => Part::Nut(nut.plan),
        }
    }

    /// What its cautions depend on.
    #[must_use]
    pub fn hazards(&self) -> Hazards {
        match self {
            Self::Saddle(saddle) => saddle.hazards(),
            Self::Nut(nut) => nut.hazards(),
        }
    }

    /// How its sheets are written: on the job's paper, with the notes on its plan, lengths in `bench`.
    #[must_use]
    pub fn options(&self, bench: BenchUnit) -> SheetOptions {
        self.options_beside(bench, |saddle| saddle.heights())
    }

    /// The same with what stands beside the heights of a saddle as it is given.
    #[must_use]
    pub fn options_beside(&self, bench: BenchUnit, beside: impl FnOnce(&SaddleWork) -> Heights) -> SheetOptions {
        let (job, notes) = match self {
            Self::Saddle(saddle) => (saddle.job, report::saddle_notes(saddle, bench)),
            Self::Nut(nut) => (nut.job, report::nut_sheet_notes(nut, bench)),
        };
        let mut notes = notes;
        let to_be_made = !notes.iter().any(report::Note::stops);
        let headline = report::headline(&mut notes);
        let mut notes = paragraphs(&notes);
        let (mut heights, mut steps) = (Heights::default(), Vec::new());
        if let Self::Nut(nut) = self {
            steps = report::nut_sheet_steps(nut, bench);
        }
        if let Self::Saddle(saddle) = self {
            heights = beside(saddle);
            heights.proud = heights.proud.filter(|_| to_be_made);
            steps = report::sheet_steps(saddle, bench);
            // First, because it is done first.
            let words = report::proud_words(heights.proud, &heights, bench);
            notes.splice(0..0, words);
            let wishes = saddle.wishes();
            notes.extend(wishes.iter().flat_map(|wishes| report::wish_lines(wishes, bench)));
        }
        SheetOptions {
            bench,
            headline,
            heights,
            steps,
            ..SheetOptions::of(job, self.hazards(), notes)
        }
    }

    /// Its sheets at true scale.
    ///
    /// # Errors
    /// As [`saddle_sheets`] and [`nut_sheets`].
    pub fn sheets(&self, options: &SheetOptions) -> Result<Vec<Sheet>, DrawingError> {
        match self {
            Self::Saddle(saddle) => saddle_sheets(saddle.plan, options),
            Self::Nut(nut) => {
                let names: Vec<String> = nut.plan.lines.iter().map(|line| line.note.clone()).collect();
                nut_sheets(nut.plan, &names, options)
            }
        }
    }

    /// Its DXF, mm.
    ///
    /// # Errors
    /// As [`dxf()`] and [`nut_dxf`].
    pub fn dxf(&self) -> Result<String, DrawingError> {
        match self {
            Self::Saddle(saddle) => Ok(dxf(saddle.plan, self.hazards())?),
            Self::Nut(nut) => nut_dxf(nut.plan, self.hazards()),
        }
    }

    /// The finished part as an STL solid, mm; there is none of a nut.
    #[must_use]
    pub fn stl(&self) -> Option<Result<Vec<u8>, DrawingError>> {
        match self {
            Self::Saddle(saddle) => Some(stl(saddle.plan).map_err(DrawingError::from)),
            Self::Nut(_) => None,
        }
    }
}
