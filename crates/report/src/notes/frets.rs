//! Notes on the strings over the frets: gaps, calibration, and the nut.

use super::note::{Note, NoteTopic};
use crate::figures::{fixed, length, list, sentence, strings};
use instrument::{Board, StringLine};
use saddle::{Plan, SaddleSurvey, StringPlan};
use units::BenchUnit;

/// Least gap of the open string over fret 1, mm. Common practice, no source.
const LEAST_FIRST_FRET: f64 = 0.1;
/// A calibration outside this range is told as far from 1, no unit. Our own choice, well inside the 0.3 to 3 that is accepted.
const FAR_CALIBRATION: (f64, f64) = (0.7, 1.4);
/// A nut that moves less than this stays where it is, mm.
const NUT_MOVES: f64 = 0.0005;

pub(super) fn first_fret(plan: &Plan, bench: BenchUnit) -> Vec<Note> {
    let pick =
        |test: &dyn Fn(f64) -> bool| -> Vec<&StringPlan> { plan.strings.iter().filter(|s| test(s.action_1)).collect() };
    let numbers = |list: &[&StringPlan]| strings(&list.iter().map(|s| s.number).collect::<Vec<_>>());
    let mut notes = Vec::new();
    let lying = pick(&|gap| gap <= 0.0);
    if !lying.is_empty() {
        notes.push(Note::new(
            NoteTopic::FirstFret,
            format!(
                "{} will lie on fret 1 with this action. Raise the nut, or the target action.",
                sentence(&numbers(&lying)),
            ),
        ));
    }
    let low = pick(&|gap| gap > 0.0 && gap < LEAST_FIRST_FRET);
    if let Some(least) = low.iter().map(|s| s.action_1).reduce(f64::min) {
        notes.push(Note::new(
            NoteTopic::FirstFret,
            format!(
                "The gap over fret 1 is small on {}; the least is {}. Under {} an open string is likely to buzz (common practice).",
                numbers(&low),
                length(bench, least),
                length(bench, LEAST_FIRST_FRET),
            ),
        ));
    }
    notes
}

/// The frets that are judged: to the body joint, and to fret 12 at least.
fn last_fret(board: &Board) -> u32 {
    board.joint_fret().max(12)
}

/// Strings that touch a fret beyond the one they are held at; 0 is the open string.
pub(super) fn touching(plan: &Plan, survey: &SaddleSurvey) -> Option<Note> {
    let board = &survey.board;
    let touched: Vec<String> = plan
        .strings
        .iter()
        .filter_map(|s| {
            let (held, fret) = first_touch(s, board)?;
            Some(if held == 0 {
                format!("string {}, open, touches fret {fret}", s.number)
            } else {
                format!("string {}, held at fret {held}, touches fret {fret}", s.number)
            })
        })
        .collect();
    if touched.is_empty() {
        return None;
    }
    let text = format!(
        "Even at rest {}. It will buzz: look at relief, frets and target action.",
        list(&touched)
    );
    Some(Note::new(NoteTopic::Buzz, text))
}

/// The lowest held fret from which the string at rest touches a further fret, and that fret. Fret 1 has a note of its own.
fn first_touch(s: &StringPlan, board: &Board) -> Option<(u32, u32)> {
    let last = last_fret(board);
    let contact = (s.position.x, s.position.z);
    (0..last).find_map(|held| {
        let (line, from) = if held == 0 {
            (s.line, 2)
        } else {
            let crown = (board.fret_x(held), board.crown_under(held, &s.run));
            (StringLine::through(crown, contact), held + 1)
        };
        (from..=last)
            .find(|fret| line.action(board, &s.run, *fret) <= 0.0)
            .map(|fret| (held, fret))
    })
}

pub(super) fn calibrations(plan: &Plan) -> Option<Note> {
    let factor = |s: &StringPlan| s.calibration.map(|c| (s.number, c));
    let used: Vec<(u32, f64)> = plan.strings.iter().filter_map(factor).collect();
    let each = |list_of: &[(u32, f64)]| {
        let names: Vec<String> = list_of
            .iter()
            .map(|(n, c)| format!("string {n} by {}", fixed(*c, 2)))
            .collect();
        list(&names)
    };
    if used.is_empty() {
        return None;
    }
    let mut text = format!(
        "The cents readings were used. They scale the stretch of {}.",
        each(&used)
    );
    let far: Vec<u32> = used
        .iter()
        .filter(|(_, c)| !(FAR_CALIBRATION.0..=FAR_CALIBRATION.1).contains(c))
        .map(|(number, _)| *number)
        .collect();
    if !far.is_empty() {
        text += &format!(
            " That is far from 1 for {}: read the cents again, and check the gauge, the core and the present action.",
            strings(&far)
        );
    }
    Some(Note::new(NoteTopic::Calibration, text))
}

/// What the plan counts on at the nut: a new nut, and moves of its contacts.
pub(super) fn nut(plan: &Plan, survey: &SaddleSurvey, bench: BenchUnit) -> Vec<Note> {
    let mut notes = Vec::new();
    let pairs = || plan.strings.iter().zip(&survey.strings);
    let new: Vec<u32> = pairs()
        .filter(|(_, from)| from.new_clearance.is_some())
        .map(|(s, _)| s.number)
        .collect();
    if !new.is_empty() {
        let who = if new.len() == plan.strings.len() {
            "every string".to_owned()
        } else {
            strings(&new)
        };
        notes.push(Note::new(
            NoteTopic::Nut,
            format!(
                "The plan counts on a new nut for {who}, cut to the gap at fret 1 that the table shows. With the present nut this saddle is wrong."
            ),
        ));
    }
    let moves: Vec<String> = pairs()
        .filter_map(|(s, from)| {
            let moved = s.nut_setback + from.nut_x;
            let way = if moved < 0.0 {
                "toward the bridge"
            } else {
                "away from the bridge"
            };
            (moved.abs() >= NUT_MOVES).then(|| format!("string {} by {} {way}", s.number, length(bench, moved.abs())))
        })
        .collect();
    if !moves.is_empty() {
        notes.push(Note::new(
            NoteTopic::Nut,
            format!(
                "The plan counts on these moves of the contacts at the nut, at their present height: {}. Without them this saddle is wrong.",
                list(&moves)
            ),
        ));
    }
    notes
}
