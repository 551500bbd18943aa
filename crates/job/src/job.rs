//! What a job file holds.

use std::ops::{Deref, Range};

use instrument::{NewGap, Readings, StrungInstrument, StrungString, Uncertainty};

use crate::{BlankMaterial, CutJob, Problem};

/// A job as read: an instrument with its strings on, and the parts to make for it, at least one.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// Title, for sheets and tables.
    pub title: String,
    /// Free notes; empty if none.
    pub notes: String,
    /// What the bench's book has of it.
    pub book: Book,
    /// Unit of bare numbers; the millimetre if none is declared.
    pub unit: units::LengthUnit,
    /// Unit that is shown first.
    pub bench: units::BenchUnit,
    /// Paper of the drawing.
    pub paper: Paper,
    /// Name of the string set, if one is named.
    pub set_name: Option<String>,
    /// What is there.
    pub instrument: StrungInstrument,
    /// The saddle, if one is to be made that carries all strings.
    pub saddle: Option<SaddleJob>,
    /// Where several saddles carry the strings: a job for each, bass to treble, that is of its own strings and its own saddle alone.
    /// Then `saddle` is `None`. Every string is carried by one of them.
    pub split: Vec<Job>,
    /// Name of the saddle, in a job for one of several.
    pub name: Option<String>,
    /// The nut, if one is to be made.
    pub nut: Option<NutJob>,
    /// Readings after stringing up, bass to treble, if the file holds them.
    pub strung: Option<StrungReadings>,
    /// What was read beside the survey, and what of the survey is struck out; in a job for one of several saddles that of its own strings
    /// and of the instrument as a whole.
    pub readings: Readings,
    /// What counts as good, and how the sureness is worked out.
    pub tolerance: ToleranceSetup,
    /// Standard uncertainties of the readings and of making.
    pub uncertainty: Uncertainty,
}

impl Job {
    /// The saddles to be made, bass to treble; none where the saddle stays.
    pub fn saddles(&self) -> impl Iterator<Item = &SaddleJob> {
        let each = self.split.iter().filter_map(|job| job.saddle.as_ref());
        self.saddle.iter().chain(each)
    }

    /// Whether the saddle stays, and a nut alone is made.
    #[must_use]
    pub fn saddle_stays(&self) -> bool {
        self.saddles().next().is_none()
    }
}

/// What the bench's book has of a job; nothing that is made depends on it. Texts are empty if none.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Book {
    /// What was asked for, in the customer's words.
    pub asked: String,
    /// The instrument.
    pub instrument: String,
    /// Its serial number.
    pub serial: String,
    /// The day on which it came, as it was written.
    pub came: String,
    /// The day on which it was handed back, as it was written.
    pub left: String,
    /// Relative humidity of the room when it came, 0 to 1; `None` if it was not read.
    pub humidity_in: Option<f64>,
    /// The same when it was handed back.
    pub humidity_out: Option<f64>,
    /// Names of files, with commas between them.
    pub photos: String,
}

/// Readings after stringing up: those of every string, of which it is the list, and of the air.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StrungReadings {
    /// Of every string, bass to treble.
    pub strings: Vec<StrungString>,
    /// Relative humidity then, 0 to 1; `None` if it was not read.
    pub humidity: Option<f64>,
}

impl Deref for StrungReadings {
    type Target = [StrungString];

    fn deref(&self) -> &[StrungString] {
        &self.strings
    }
}

/// A saddle to be made.
#[derive(Debug, Clone, PartialEq)]
pub struct SaddleJob {
    /// What was measured of the instrument and is wanted of the saddle.
    pub survey: saddle::SaddleSurvey,
    /// How the strings leave the bridge, if read.
    pub string_exit: Option<StringExit>,
    /// Material of the blank, for cautions.
    pub material: BlankMaterial,
    /// The crown as it stands before the file touches it.
    pub filing: FilingSetup,
    /// Readings of bridge, neck and air, and limits, for the question whether a saddle is the remedy.
    pub assess: assess::Facts,
    /// How the blank is cut.
    pub cut: CutJob,
    /// The old saddle is glued in.
    pub old_glued: bool,
}

/// A nut to be made.
#[derive(Debug, Clone, PartialEq)]
pub struct NutJob {
    /// What was measured and is wanted there.
    pub survey: nut::NutSurvey,
    /// Wanted gaps over fret 1, bass to treble.
    pub gaps: Vec<NewGap>,
    /// Material of its blank, for cautions.
    pub material: BlankMaterial,
    /// How it is cut.
    pub cut: CutJob,
}

/// The crown as it stands before the file touches it. One entry for each string, bass to treble.
#[derive(Debug, Clone, PartialEq)]
pub struct FilingSetup {
    /// Shape of the crown.
    pub crown: Vec<saddle::filing::PresentCrown>,
    /// Present contact, mm back from the front face; `None`: where the plan puts it, on a flat top its highest edge.
    pub back: Vec<Option<f64>>,
    /// Present action at fret 12, mm; `None`: the target.
    pub action_12: Vec<Option<f64>>,
    /// Action at fret 12, mm, that must not be gone under; `None`: the target less the tolerance.
    pub floor_12: Vec<Option<f64>>,
    /// The saddle is at its height and can no longer be left proud.
    pub at_height: bool,
}

impl FilingSetup {
    /// The planned crown, at the target, for so many strings.
    #[must_use]
    pub fn untouched(strings: usize) -> Self {
        Self {
            crown: vec![saddle::filing::PresentCrown::Planned; strings],
            back: vec![None; strings],
            action_12: vec![None; strings],
            floor_12: vec![None; strings],
            at_height: false,
        }
    }

    /// What of it is of these strings, counted from the bass.
    pub(crate) fn of_strings(mut self, strings: Range<usize>) -> Self {
        fn keep<T>(each: &mut Vec<T>, strings: &Range<usize>) {
            each.truncate(strings.end);
            each.drain(..strings.start.min(each.len()));
        }
        keep(&mut self.crown, &strings);
        keep(&mut self.back, &strings);
        keep(&mut self.action_12, &strings);
        keep(&mut self.floor_12, &strings);
        self
    }
}

/// What counts as good, and how the sureness is worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToleranceSetup {
    /// What counts as good.
    pub band: saddle::tolerance::Band,
    /// How to sample.
    pub sampling: saddle::tolerance::Sampling,
}

/// Paper size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Paper {
    /// ISO 216 A4, 210 by 297 mm.
    A4,
    /// US Letter, 8 1/2 by 11 in.
    Letter,
}

/// How the strings leave the bridge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StringExit {
    /// Through holes with pins.
    PinHoles,
    /// Through a tie block.
    TieBlock,
}

/// A job without errors.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// The job.
    pub job: Job,
    /// What is doubtful, in line order.
    pub warnings: Vec<Problem>,
}
