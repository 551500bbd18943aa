//! From a survey to the contact point and height of every string.

use crate::crown::Station;
use crate::filing::{self, FilingCost};
use crate::place::slot;
use crate::solved::{Side, Solved};
use crate::taut::terminate;
use crate::ways::ways_out;
use crate::{Crown, Plan, PlanError, SaddleSurvey, StringPlan, StringSurvey};
use instrument::{BlankPoint, Board, Slot, StringRun, USUAL_BEND, bend, elastic_stand_off, over_frets};
use strings::{FRETS, NutPath, Point, rms, setback, shared_setback};

/// Step that the plan's filing column shows: 1/64 in, in mm.
pub const FILING_STEP: f64 = 25.4 / 64.0;

/// Margin by which the falls that the plan chooses exceed the least that makes the ridge the end of the string, radians (6 degrees).
const FALL_MARGIN: f64 = 6.0 * std::f64::consts::PI / 180.0;
/// The falls that the plan chooses are whole steps of this, radians (1 degree), so that they can be set on a gauge.
const FALL_STEP: f64 = std::f64::consts::PI / 180.0;

/// Contact point and height of every string, and the crown that carries them.
///
/// # Errors
/// Every [`PlanError`] found, at least one.
pub fn plan(survey: &SaddleSurvey) -> Result<Plan, Vec<PlanError>> {
    let strings = &survey.strings;
    let blank = &survey.blank;
    let (Some(bass), Some(treble)) = (strings.first(), strings.last().filter(|_| strings.len() <= 12)) else {
        return Err(vec![PlanError::StringCount(strings.len())]);
    };
    if blank.land.is_nan() || blank.thickness - 2.0 * blank.land < 0.0 {
        return Err(vec![PlanError::Land {
            land: blank.land,
            thickness: blank.thickness,
        }]);
    }
    let lean = survey.lean + survey.under_tension.lean;
    let slot = slot(survey, [bass, treble], lean, [0.0; 2]).map_err(|e| vec![e])?;
    let frame = slot.frame;
    let solved = all(strings.iter().map(|s| solve(survey, s, &slot)))?;
    let stations: Vec<Station> = solved
        .iter()
        .map(|s| Station {
            contact: s.contact,
            direction: frame.direction_to_blank(s.side.direction()),
        })
        .collect();
    let spec = &survey.crown;
    let crown = Crown::through(&stations, spec.ridge, spec.rounding, blank.thickness, |angles| {
        falls(survey, angles)
    })?;
    let along = |s: &Solved| s.contact.u;
    let first = solved.first().map_or(0.0, along);
    let last = solved.last().map_or(0.0, along);
    let start = blank
        .bass_end
        .map_or_else(|| 0.5 * (first + last - blank.length), |end| first - end);
    let finished = solved
        .iter()
        .zip(strings)
        .map(|(s, from)| finish(survey, &slot, &crown, s, from));
    let mut plan = Plan {
        frame,
        mouth: slot.mouth,
        strings: finished.collect(),
        ways_out: None,
        crown,
        blank: blank.clone(),
        ends: (start, start + blank.length),
        lean,
        left_handed: survey.left_handed,
        zero_fret: strings.iter().any(|s| s.zero_fret.is_some()),
    };
    plan.ways_out = ways_out(survey, &plan);
    Ok(plan)
}

/// All values, or all errors.
fn all<T>(results: impl Iterator<Item = Result<T, PlanError>>) -> Result<Vec<T>, Vec<PlanError>> {
    let mut good = Vec::new();
    let mut bad = Vec::new();
    for result in results {
        match result {
            Ok(value) => good.push(value),
            Err(error) => bad.push(error),
        }
    }
    if bad.is_empty() { Ok(good) } else { Err(bad) }
}

/// Where the nut contact may stand: a nut that stays keeps its height, a new one gives the gap asked for wherever it stands, and a zero fret
/// stands as high as work leaves it.
fn nut_path(from: &StringSurvey, board: &Board, action: f64) -> Option<NutPath> {
    let new = from.new_gap.map(|gap| gap.reading(action));
    let line = new.or(from.present_nut)?.line(board, &from.run);
    let stands = Point {
        x: from.nut_x,
        z: line.z(from.nut_x) + from.zero_fret.unwrap_or(0.0),
    };
    Some(NutPath {
        fret_0: board.fret_x(0, &from.run),
        from: stands,
        slope: new.map_or(0.0, |_| line.slope),
    })
}

fn solve(survey: &SaddleSurvey, from: &StringSurvey, slot: &Slot) -> Result<Solved, PlanError> {
    let (board, blank, number, frame) = (&survey.board, &survey.blank, from.number, &slot.frame);
    let run = from.run;
    let action = from.action_12(board);
    let path = nut_path(from, board, action).ok_or(PlanError::NoNut { string: number })?;
    let nut = path.from;
    let string = over_frets(board, from.model, from.frequency, &run, (survey.press, survey.ends));
    let crown_12 = string.crowns[FRETS - 1];
    let target = Point {
        x: crown_12.x,
        z: crown_12.z + action,
    };
    let side = Side {
        nut,
        path,
        target,
        run,
        lower: 0.0,
    };
    let setback = if from.also.is_empty() {
        setback(&string, path, side.height(), from.criterion)
    } else {
        shared_setback(&from.shared(&string), path, side.height(), from.criterion)
    };
    let setback = setback.map_err(|source| PlanError::Setback { string: number, source })?;
    let wanted_x = string.scale_end() + setback.saddle;
    let side = side.with_setback(setback.nut);
    let over = side.place(wanted_x);
    let bent = exit(survey, slot, &run).map_or(USUAL_BEND, |exit| bend(side.line().slope, (over.x, over.z), exit));
    let stand_off = elastic_stand_off(&string.model, wanted_x - side.nut.x, string.frequency, bent);
    let side = Side {
        lower: survey.stand_off * stand_off,
        ..side
    };
    let wanted = frame.to_blank(side.place(wanted_x));
    let (hold, x) = side.held(frame, blank, wanted_x);
    let contact = frame.to_blank(side.place(x));
    if [x, contact.b, contact.u, contact.v, wanted.b]
        .iter()
        .any(|v| !v.is_finite())
    {
        return Err(PlanError::NotFinite { string: number });
    }
    Ok(Solved {
        number,
        string,
        side,
        hold,
        wanted,
        contact,
        x,
        setback,
        calibration: from.calibration,
        stretch_found: from.stretch_found,
        stand_off,
    })
}

/// Front and back fall: as given and checked, or the least that serve every string plus a margin, in whole degrees.
fn falls(survey: &SaddleSurvey, angles: &[f64]) -> Result<(f64, f64), Vec<PlanError>> {
    let chosen = |needed: f64| FALL_STEP * ((needed.max(0.0) + FALL_MARGIN) / FALL_STEP).ceil();
    let needed = |sign: f64| angles.iter().map(|a| sign * a).fold(f64::NEG_INFINITY, f64::max);
    let spec = &survey.crown;
    let front = spec.front_fall.unwrap_or_else(|| chosen(needed(-1.0)));
    let back = spec.back_fall.unwrap_or_else(|| chosen(needed(1.0)));
    let mut errors = Vec::new();
    for (angle, string) in angles.iter().zip(&survey.strings) {
        if front <= -angle {
            errors.push(PlanError::FrontFall {
                string: string.number,
                given: front,
                needed: -angle,
            });
        }
        if back <= *angle {
            errors.push(PlanError::BackFall {
                string: string.number,
                given: back,
                needed: *angle,
            });
        }
    }
    if errors.is_empty() {
        Ok((front, back))
    } else {
        Err(errors)
    }
}

fn finish(survey: &SaddleSurvey, slot: &Slot, crown: &Crown, s: &Solved, from: &StringSurvey) -> StringPlan {
    let (board, frame, side) = (&survey.board, &slot.frame, &s.side);
    let line = side.line();
    let contact = side.contact(s.x);
    let cents = s.string.cents(side.nut, contact);
    let drop = filing::facet_drop(
        frame,
        &side.run,
        FILING_STEP,
        crown.front_fall,
        crown.slopes(s.contact.u),
    );
    let action_loss = filing::action_loss(&line, side.nut.x, s.x, board.fret_x(12, &side.run), FILING_STEP, drop);
    let exit = exit(survey, slot, &side.run);
    StringPlan {
        number: s.number,
        note: from.note.clone(),
        contact: s.contact,
        wanted: s.wanted,
        hold: s.hold,
        position: side.place(s.x),
        direction: frame.direction_to_blank(side.direction()),
        line,
        nut: side.nut,
        nut_path: side.path,
        run: side.run,
        setback: s.x - s.string.scale_end(),
        setback_wanted: s.setback.saddle,
        // Nought has no sign.
        nut_setback: s.setback.nut + 0.0,
        action_12: line.action(board, &side.run, 12),
        action_1: line.action(board, &side.run, 1),
        cents,
        rms_cents: rms(&cents),
        aim_cents_12: s
            .string
            .cents_at_12(side.nut, side.contact(s.string.scale_end() + s.setback.saddle)),
        string: s.string,
        tension: s.string.tension(side.nut, contact),
        calibration: s.calibration,
        stretch_found: s.stretch_found,
        stand_off: s.stand_off,
        exposure: exposure(slot, s.contact),
        filing: FilingCost {
            forward: FILING_STEP,
            drop,
            action_loss,
        },
        termination: terminate(crown, frame, &side.run, (side.nut.x, side.nut.z), exit, s.contact),
    }
}

/// Where a string leaves the bridge, `(x, z)`: the readings at the outer strings, interpolated by place.
fn exit(survey: &SaddleSurvey, slot: &Slot, run: &StringRun) -> Option<(f64, f64)> {
    let [bass, treble] = slot.mouth?;
    let [at_bass, at_treble] = survey.exit?;
    let y = run.y(survey.board.scale_end(run));
    let share = if treble.y == bass.y {
        0.0
    } else {
        (y - bass.y) / (treble.y - bass.y)
    };
    let between = |a: f64, b: f64| a + share * (b - a);
    Some((
        between(bass.x + at_bass.behind_slot, treble.x + at_treble.behind_slot),
        between(bass.z + at_bass.above_bridge_top, treble.z + at_treble.above_bridge_top),
    ))
}

/// From the mouth line up to the contact, along v, mm.
fn exposure(slot: &Slot, contact: BlankPoint) -> Option<f64> {
    let [bass, treble] = slot.mouth?.map(|point| slot.frame.to_blank(point));
    let wide = treble.u - bass.u;
    let share = if wide == 0.0 { 0.0 } else { (contact.u - bass.u) / wide };
    Some(contact.v - (bass.v + share * (treble.v - bass.v)))
}
