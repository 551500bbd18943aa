//! A saddle that stays: the nut alone is made, and the strings run to the contacts as they were read.

use crate::line::Now;
use crate::{NutError, OpenString};
use instrument::{Board, NutReading, StringLine, StringRun};
use saddle::CentsReading;
use saddle::tolerance::Uncertainty;
use strings::{Measured, Point, StringModel, calibration};

/// What was read of an instrument whose saddle stays, and the gaps that its new nut shall give. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct StandingSurvey {
    /// The fingerboard.
    pub board: Board,
    /// Strings, bass to treble, 1 to 12.
    pub strings: Vec<StandingString>,
    /// Distance of the finger from the fret crown toward the nut, 0 or more.
    pub press: f64,
    /// Nut setbacks are wanted: least squares over frets 1 to 12, the saddle held.
    pub with_setback: bool,
    /// Whether the instrument is left-handed: sheets are mirrored.
    pub left_handed: bool,
}

/// One string over a saddle that stays.
#[derive(Debug, Clone, PartialEq)]
pub struct StandingString {
    /// String number; 1 is the treble-most.
    pub number: u32,
    /// Note name of the open string, for tables.
    pub note: String,
    /// The string's data.
    pub model: StringModel,
    /// Open pitch, Hz.
    pub frequency: f64,
    /// Its run in plan.
    pub run: StringRun,
    /// How its height at the present nut was read.
    pub present_nut: NutReading,
    /// x of the nut contact: 0, or positive where the nut stands toward the bridge.
    pub nut_x: f64,
    /// From fret 12 to the contact on the saddle, along x.
    pub contact_from_fret_12: f64,
    /// Present action at fret 12.
    pub action_12: f64,
    /// Wanted gap of the open string over fret 1 with the new nut.
    pub new_clearance: f64,
    /// Fretted note at 12 against the open octave, cents, sharp positive, if it was read: it calibrates the string.
    pub cents_12: Option<f64>,
}

impl StandingString {
    fn reading(&self) -> CentsReading {
        CentsReading {
            cents_12: self.cents_12.unwrap_or(0.0),
            contact_from_fret_12: self.contact_from_fret_12,
            action_12: self.action_12,
        }
    }

    /// Present contacts in side view, nut and saddle.
    fn ends(&self, board: &Board) -> [Point; 2] {
        saddle::present_ends(board, &self.run, self.present_nut, self.nut_x, &self.reading())
    }

    /// Gap of the open string over fret 1 with a new nut that gives the gap `held` over fret 1 with the string held at fret 3, mm.
    #[must_use]
    pub fn clearance_from_held(&self, board: &Board, held: f64) -> f64 {
        let [_, saddle] = self.ends(board);
        let z = NutReading::HeldAtThree { gap: held }.height(board, &self.run, self.nut_x);
        StringLine::through((self.nut_x, z), (saddle.x, saddle.z)).action(board, &self.run, 1)
    }

    /// The string with its new nut. The gap wanted over fret 1 and the contact on the saddle fix its line; the nut contact stands
    /// on that line.
    fn strung(&self, board: &Board, press: f64) -> Result<OpenString, NutError> {
        let [nut, saddle] = self.ends(board);
        let mut string = saddle::over_frets(board, self.model, self.frequency, &self.run, press);
        if let Some(cents_12) = self.cents_12 {
            let factor =
                calibration(&string, &Measured { nut, saddle, cents_12 }).map_err(|source| NutError::Calibration {
                    string: self.number,
                    source,
                })?;
            string.model.stiffness = string.model.stiffness.scaled(factor);
        }
        let [one, ..] = string.crowns;
        let was = StringLine::through((nut.x, nut.z), (saddle.x, saddle.z));
        let line = StringLine::through((one.x, one.z + self.new_clearance), (saddle.x, saddle.z));
        let new = Point {
            x: self.nut_x,
            z: line.z(self.nut_x),
        };
        if ![saddle.x, saddle.z, new.z].iter().all(|v| v.is_finite()) || saddle.x <= board.fret_x(12) {
            return Err(NutError::NoLine { string: self.number });
        }
        Ok(OpenString {
            number: self.number,
            note: self.note.clone(),
            string,
            run: self.run,
            nut: new,
            saddle,
            now: Some(Now {
                clearance: was.z(one.x) - one.z,
                action_12: self.action_12,
            }),
        })
    }
}

impl StandingSurvey {
    /// Strings with their new nut, no setback made.
    pub(crate) fn strung(&self) -> Result<Vec<OpenString>, NutError> {
        self.strings.iter().map(|s| s.strung(&self.board, self.press)).collect()
    }

    /// Standard deviation of the action at fret 12 that the readings of the standing saddle leave, mm, bass to treble, to first
    /// order. The contact's height follows from the gaps over frets 1 and 12; its place along x lies on the string's line and
    /// hardly matters.
    #[must_use]
    pub fn action_spread(&self, uncertainty: &Uncertainty) -> Vec<f64> {
        let board = &self.board;
        let spread = |s: &StandingString| {
            let height = |nut: f64, action: f64| {
                let present_nut = match s.present_nut {
                    NutReading::HeldAtThree { gap } => NutReading::HeldAtThree { gap: gap + nut },
                    NutReading::Open { clearance, action_12 } => NutReading::Open {
                        clearance: clearance + nut,
                        action_12: action_12 + action,
                    },
                    NutReading::New { clearance, action_12 } => NutReading::New {
                        clearance: clearance + nut,
                        action_12: action_12 + action,
                    },
                };
                let moved = StandingString {
                    present_nut,
                    action_12: s.action_12 + action,
                    ..s.clone()
                };
                moved.ends(board)[1].z
            };
            // The height is linear in both readings, so a step of a millimetre is exact.
            let by_nut = (height(1.0, 0.0) - height(0.0, 0.0)) * uncertainty.clearance.total();
            let by_action = (height(0.0, 1.0) - height(0.0, 0.0)) * uncertainty.present_action.total();
            let saddle_x = board.fret_x(12) + s.contact_from_fret_12;
            by_nut.hypot(by_action) * (board.fret_x(12) - s.nut_x) / (saddle_x - s.nut_x)
        };
        self.strings.iter().map(spread).collect()
    }
}
