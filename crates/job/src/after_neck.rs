//! The job file to plan the saddle with after the neck is set.

use instrument::{NutReading, SlotSurvey, StringLine};
use saddle::{Plan, SaddleSurvey, StringSurvey};

use crate::corrected::{Figures, NONE, USED_UP, lengthened};
use crate::fields::f;
use crate::{CorrectedError, Job};

/// Remark beside a figure that is worked out.
const WORKED_OUT: &str = "as it will be; read again";

/// The job file for the saddle after a neck set, written from `text`, the file that `job` was read from. `plan` is the job's own,
/// `then` the survey as it will be ([`assess::Neck::survey`]). The user's remarks and order stay.
///
/// The slot is given by straightedge, at pitch; the nut, which stays, by the gap held at fret 3, which the neck's angle does not
/// change (where that is less than nothing, by the open gap at the wanted action). Readings of the old saddle and of the instrument as it stood are taken out; a calibration that they gave stays as a
/// stretch factor. Lengths have four decimals of a millimetre, the lean four of a degree.
///
/// The caller should [`crate::read()`] what comes out: the checks across readings are made there. Relief, gaps and the slot's
/// place must be read again once the glue is dry.
///
/// # Errors
/// [`CorrectedError`] if a figure is outside what a job may hold or the text is not the job's.
pub fn after_neck(text: &str, job: &Job, plan: &Plan, then: &SaddleSurvey) -> Result<String, CorrectedError> {
    let SlotSurvey::Straightedge(slot) = then.slot else {
        return Err(CorrectedError::Text("its slot is read in another way".into()));
    };
    let was = job.saddle.as_ref().ok_or(CorrectedError::NoSaddle)?;
    let mut edit = Figures::new(text, job)?;
    let title = lengthened(&job.title, ", after the neck is set");
    edit.put("title", title, "")?;
    edit.put("slot.read_by", "straightedge", "")?;
    let mut ends = |field: &str, ends: [f64; 2], limit| edit.ends(field, [NONE, ends], limit, WORKED_OUT);
    let edges = slot.map(|end| end.edge_from_fret_12);
    ends("slot.edge_from_fret_12", edges, &f!("slot.edge_from_fret_12").range)?;
    ends(
        "slot.bridge_top",
        slot.map(|end| end.bridge_top),
        &f!("slot.bridge_top").range,
    )?;
    edit.lean(f64::NAN, then.lean, WORKED_OUT)?;
    let mut ends = |field: &str, ends: [f64; 2], limit| edit.ends(field, [NONE, ends], limit, WORKED_OUT);
    if let Some(exit) = then.exit {
        let behind = exit.map(|end| end.behind_slot);
        ends("bridge.behind_slot", behind, &f!("bridge.behind_slot").range)?;
        let above = exit.map(|end| end.above_bridge_top);
        ends("bridge.above_bridge_top", above, &f!("bridge.above_bridge_top").range)?;
    }
    nut(&mut edit, plan, then)?;
    for (was, planned) in was.survey.strings.iter().zip(&plan.strings) {
        let mut now = was.clone();
        now.model = planned.string.model;
        edit.stretch(was, &now)?;
    }
    edit.neck_and_ends(&was.survey, then)?;
    edit.take_out("slot.reference slot.taken slot.under_tension slot.bridge_side");
    edit.take_out(USED_UP);
    Ok(edit.finish(
        "The survey as it will be after the neck is set, to plan the saddle by. Written by bonewright assess from",
    ))
}

/// The nut, which stays: by the gap held at fret 3; a nut so low that this gap is less than nothing, by the open gaps that it
/// will have with the wanted action.
fn nut(edit: &mut Figures, plan: &Plan, then: &SaddleSurvey) -> Result<(), CorrectedError> {
    // The height of a zero fret against the other crowns does not hang on the neck's angle.
    if then
        .strings
        .iter()
        .any(|s| matches!(s.present_nut, Some(NutReading::ZeroFret { .. })))
    {
        edit.take_out("present");
        return Ok(());
    }
    let held: Option<Vec<(u32, f64)>> = then.strings.iter().map(|s| held_at_3(then, s)).collect();
    let Some(held) = held else { return Ok(()) };
    if held.iter().all(|(_, gap)| *gap >= 0.0) {
        let remark = "not changed by the neck's angle";
        edit.lengths("nut.held_at_3", held.into_iter(), &f!("nut.held_at_3").range, remark)?;
        edit.take_out("nut.first_fret_clearance present");
        return Ok(());
    }
    let gaps = then.strings.iter().zip(&plan.strings).map(|(s, planned)| {
        let reading = s
            .present_nut
            .map_or(planned.nut.z, |nut| nut.height(&then.board, &s.run, s.nut_x));
        let fret_12 = (
            then.board.fret_x(12, &s.run),
            then.board.crown_under(12, &s.run) + s.action_12(&then.board),
        );
        let line = StringLine::through((s.nut_x, reading), fret_12);
        (s.number, line.action(&then.board, &s.run, 1))
    });
    let limit = &f!("nut.first_fret_clearance").range;
    edit.lengths("nut.first_fret_clearance", gaps, limit, WORKED_OUT)?;
    edit.take_out("nut.held_at_3");
    let actions = then.strings.iter().map(|s| (s.number, s.action_12(&then.board)));
    edit.lengths("present.action_12", actions, &f!("present.action_12").range, WORKED_OUT)
}

/// Gap over fret 1 with the string held at fret 3, mm, at the present nut; `None` if that nut was not read.
fn held_at_3(survey: &SaddleSurvey, s: &StringSurvey) -> Option<(u32, f64)> {
    let (board, run) = (&survey.board, &s.run);
    let gap = match s.present_nut? {
        NutReading::HeldAtThree { gap } => gap,
        other => {
            let nut = (s.nut_x, other.height(board, run, s.nut_x));
            let fret_3 = (board.fret_x(3, run), board.crown_under(3, run));
            StringLine::through(nut, fret_3).action(board, run, 1)
        }
    };
    Some((s.number, gap))
}
