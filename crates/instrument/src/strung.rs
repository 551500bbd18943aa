//! The instrument with its strings on, as it was read before any work.

use serde::{Serialize, Serializer};
use strings::{Ends, FrettedString, Point, StringModel};

use crate::{Board, NutReading, Of, Paired, StretchKnown, StringLine, StringRun};

/// An instrument with its strings on. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct StrungInstrument {
    /// The fingerboard.
    pub board: Board,
    /// Strings, bass to treble, 1 to 12.
    pub strings: Vec<SurveyedString>,
    /// Distance of the finger from the fret crown toward the nut, 0 or more.
    pub press: f64,
    /// Whether it is left-handed: plans are the same, sheets and programs are mirrored.
    pub left_handed: bool,
    /// How string ends hold; [`Ends::PUBLISHED`] if nothing else is known.
    pub ends: Ends,
    /// Share of the elastic stand-off by which strings pass over their ridges, 0 to 1; 0 if nothing else is known.
    pub stand_off: f64,
}

/// One string as surveyed. Lengths in mm; `None` where nothing was read.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyedString {
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
    pub present_nut: Option<NutReading>,
    /// x of the nut contact: that of fret 0 under the string, or more where the nut already stands toward the bridge.
    pub nut_x: f64,
    /// Present action at fret 12.
    pub action_12: Option<f64>,
    /// From fret 12 to the present contact on the saddle, along x.
    pub contact_from_fret_12: Option<f64>,
    /// Fretted note at 12 against the open octave, cents, sharp positive.
    pub cents_12: Option<f64>,
    /// Its stretch stiffness was found from cents before, so that `model` is calibrated already.
    pub stretch_found: bool,
    /// How its stretch stiffness is known as it is described.
    pub known: StretchKnown,
}

/// Where a string ends on the present saddle. mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PresentContact {
    /// From fret 12, along x.
    pub from_fret_12: f64,
    /// Present action at fret 12.
    pub action_12: f64,
}

/// A pitch reading at fret 12 on the present saddle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CentsReading {
    /// Fretted note at 12 against the open octave, cents, sharp positive.
    pub cents_12: f64,
    /// From fret 12 to the present contact, mm along x.
    pub contact_from_fret_12: f64,
    /// Present action at fret 12, mm.
    pub action_12: f64,
}

impl CentsReading {
    /// The contact it was taken over.
    #[must_use]
    pub fn contact(&self) -> PresentContact {
        PresentContact {
            from_fret_12: self.contact_from_fret_12,
            action_12: self.action_12,
        }
    }
}

/// Readings of one string after stringing up, at pitch. mm and cents.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct StrungString {
    /// Action at fret 12.
    pub action_12: Option<f64>,
    /// Gap of the open string over fret 1.
    #[serde(rename = "first_fret_clearance")]
    pub clearance: Option<f64>,
    /// Fretted 12 against the open octave, cents, sharp positive.
    pub cents_12: Option<f64>,
    /// Other frets 1 to 11 and their error, cents; they are compared with the model.
    #[serde(rename = "cents_at", serialize_with = "by_fret")]
    pub others: Vec<(u32, f64)>,
    /// What they were read with, where that was said.
    #[serde(skip)]
    pub with: StrungWith,
}

/// What readings after stringing up were taken with; `None`: the usual tool, as sure as the survey's own readings.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StrungWith {
    /// Action.
    pub action: Option<ToolSure>,
    /// Gap over fret 1.
    pub clearance: Option<ToolSure>,
    /// Pitch, at every fret.
    pub cents: Option<ToolSure>,
}

/// A tool, and how sure it is.
#[derive(Debug, Clone, PartialEq)]
pub struct ToolSure {
    /// Its name.
    pub tool: String,
    /// Its standard uncertainty, in the unit of what it reads.
    pub unsure: Paired,
}

impl StrungWith {
    /// What readings of this kind were taken with.
    #[must_use]
    pub fn of(&self, of: Of) -> Option<&ToolSure> {
        match of {
            Of::Action { .. } => self.action.as_ref(),
            Of::Clearance => self.clearance.as_ref(),
            Of::Cents { .. } => self.cents.as_ref(),
            _ => None,
        }
    }
}

#[expect(clippy::ptr_arg, reason = "serde hands over the field")]
fn by_fret<S: Serializer>(others: &Vec<(u32, f64)>, serializer: S) -> Result<S::Ok, S::Error> {
    #[derive(Serialize)]
    struct CentsAt {
        fret: u32,
        cents: f64,
    }
    serializer.collect_seq(others.iter().map(|&(fret, cents)| CentsAt { fret, cents }))
}

/// A string over the frets of a board. `frequency`: open pitch, Hz; `press`: finger behind the crown, mm.
#[must_use]
pub fn over_frets(
    board: &Board,
    model: StringModel,
    frequency: f64,
    run: &StringRun,
    (press, ends): (f64, Ends),
) -> FrettedString {
    FrettedString {
        model,
        frequency,
        fret_0: board.fret_x(0, run),
        scale: board.scale(run),
        crowns: std::array::from_fn(|i| {
            let fret = u32::try_from(i + 1).unwrap_or(u32::MAX);
            Point {
                x: board.fret_x(fret, run),
                z: board.crown_under(fret, run),
            }
        }),
        press,
        ends,
    }
}

/// Present contacts of a string in side view, nut and saddle: the nut as read at `nut_x` mm, the saddle on the line from there
/// through the present action at fret 12.
#[must_use]
pub fn present_ends(
    board: &Board,
    run: &StringRun,
    nut: NutReading,
    nut_x: f64,
    contact: PresentContact,
) -> [Point; 2] {
    let nut = Point {
        x: nut_x,
        z: nut.height(board, run, nut_x),
    };
    let fret_12 = board.fret_x(12, run);
    let line = StringLine::through(
        (nut.x, nut.z),
        (fret_12, board.crown_under(12, run) + contact.action_12),
    );
    let x = fret_12 + contact.from_fret_12;
    [nut, Point { x, z: line.z(x) }]
}
