//! A saddle that stays: the nut alone is made, and the strings run to the contacts as they were read.

use crate::line::Now;
use crate::{NutError, OpenString};
use instrument::{
    Board, NewGap, NutReading, PresentContact, StringLine, StrungInstrument, SurveyedString, Uncertainty, over_frets,
    present_ends,
};
use numerics::math;
use strings::{Ends, NutPath, Point};

/// Present contacts in side view, nut and saddle, with the readings off by `nut` and `action` mm. `None` if the nut, the action or
/// the contact was not read.
fn ends(board: &Board, s: &SurveyedString, [nut, action]: [f64; 2]) -> Option<[Point; 2]> {
    let present_nut = match s.present_nut? {
        NutReading::HeldAtThree { gap } => NutReading::HeldAtThree { gap: gap + nut },
        NutReading::ZeroFret { above } => NutReading::ZeroFret { above: above + nut },
        NutReading::Open { clearance, action_12 } | NutReading::New { clearance, action_12 } => NutReading::Open {
            clearance: clearance + nut,
            action_12: action_12 + action,
        },
    };
    let contact = PresentContact {
        from_fret_12: s.contact_from_fret_12?,
        action_12: s.action_12? + action,
    };
    Some(present_ends(board, &s.run, present_nut, s.nut_x, contact))
}

/// The string with its new nut. An open gap over fret 1 and the contact on the saddle fix the string's line, and the nut contact stands
/// on it; a gap with the string held at fret 3 fixes the line of the held string, and the nut contact stands on that.
fn open(s: &SurveyedString, board: &Board, held: (f64, Ends), gap: NewGap) -> Result<OpenString, NutError> {
    let unread = NutError::Unread { string: s.number };
    let [nut, saddle] = ends(board, s, [0.0; 2]).ok_or(unread.clone())?;
    let string = over_frets(board, s.model, s.frequency, &s.run, held);
    let [one, ..] = string.crowns;
    let was = StringLine::through((nut.x, nut.z), (saddle.x, saddle.z));
    let line = match gap {
        NewGap::Open(clearance) => StringLine::through((one.x, one.z + clearance), (saddle.x, saddle.z)),
        NewGap::HeldAtThree(gap) => NutReading::HeldAtThree { gap }.line(board, &s.run),
    };
    let new = Point {
        x: s.nut_x,
        z: line.z(s.nut_x),
    };
    if ![saddle.x, saddle.z, new.z].iter().all(|v| v.is_finite()) || saddle.x <= board.fret_x(12, &s.run) {
        return Err(NutError::NoLine { string: s.number });
    }
    Ok(OpenString {
        number: s.number,
        note: s.note.clone(),
        string,
        run: s.run,
        nut: new,
        path: NutPath {
            fret_0: board.fret_x(0, &s.run),
            from: new,
            slope: line.slope,
        },
        saddle,
        now: Some(Now {
            clearance: was.z(one.x) - one.z,
            action_12: s.action_12.ok_or(unread)?,
        }),
    })
}

/// Strings with their new nut, no setback made.
pub(crate) fn strung(instrument: &StrungInstrument, gaps: &[NewGap]) -> Result<Vec<OpenString>, NutError> {
    let strings = instrument.strings.iter().zip(gaps);
    strings
        .map(|(s, gap)| open(s, &instrument.board, (instrument.press, instrument.ends), *gap))
        .collect()
}

/// Standard deviation of the action at fret 12 that the readings of a standing saddle leave, mm, bass to treble, to first order; 0
/// where it was not read. The contact's height follows from the gaps over frets 1 and 12; its place along x lies on the string's
/// line and hardly matters.
#[must_use]
pub fn action_spread(instrument: &StrungInstrument, uncertainty: &Uncertainty) -> Vec<f64> {
    let board = &instrument.board;
    let spread = |s: &SurveyedString| {
        let height = |off| ends(board, s, off).map(|[_, saddle]| saddle);
        let read = height([0.0; 2])?;
        // The height is linear in both readings, so a step of a millimetre is exact.
        let by_nut = (height([1.0, 0.0])?.z - read.z) * uncertainty.clearance.total();
        let by_action = (height([0.0, 1.0])?.z - read.z) * uncertainty.present_action.total();
        Some(math::hypot(by_nut, by_action) * (board.fret_x(12, &s.run) - s.nut_x) / (read.x - s.nut_x))
    };
    instrument.strings.iter().map(|s| spread(s).unwrap_or(0.0)).collect()
}
