//! What a stroke of the file does to every string: worked out by the saddle's solver, and judged.

use numerics::{NotSettled, Round, settle};
use saddle::filing::{FilingError, Move, PresentCrown, Proud, Standing, Start, Stroke};
use saddle::{LIKE, Plan, StringPlan};

use crate::SaddleWork;
use crate::filed::{
    FiledString, Filing, FilingAsk, FilingRefusal, FilingTerms, FilingVerdict, NO_MOVE, STEPS, Untuned,
};
use crate::worth::{NO_TUNER, STAYS};

/// The contact has come to its planned place when it is nearer than this, mm.
const ARRIVED: f64 = 1e-11;
/// Most rounds to bring it there; each gains a digit or more.
const ROUNDS: usize = 40;

/// Works out every string that is asked for, in the plan's order.
///
/// # Errors
/// [`FilingRefusal`] for the first string whose start or crown is impossible.
pub fn filing<'a>(plan: &'a Plan, asks: &[FilingAsk], terms: FilingTerms) -> Result<Filing<'a>, FilingRefusal> {
    let mut strings = Vec::with_capacity(asks.len());
    for string in &plan.strings {
        for ask in asks.iter().filter(|ask| ask.number == string.number) {
            let refusal = |error| FilingRefusal {
                number: string.number,
                error,
            };
            strings.push(one(plan, string, *ask, terms).map_err(refusal)?);
        }
    }
    Ok(Filing { terms, strings })
}

fn one<'a>(
    plan: &'a Plan,
    string: &'a StringPlan,
    ask: FilingAsk,
    terms: FilingTerms,
) -> Result<FiledString<'a>, FilingError> {
    let standing = Standing::new(plan, string, ask.crown, ask.start)?;
    let back = ask.start.back;
    let on_target = Standing::new(plan, string, ask.crown, Start { action_12: None, back })?;
    let stroke = match ask.step {
        Some(Move::Forward(forward)) => standing.stroke(forward),
        Some(Move::Cents(cents)) => standing.stroke_for_cents(cents),
        None => to_plan(string, |forward| standing.stroke(forward), |stroke| stroke),
    };
    let before_move = |step| Proud::before(plan, string, ask.crown, back, step);
    let proud = match ask.step {
        Some(step) => before_move(step),
        None => to_plan(
            string,
            |forward| before_move(Move::Forward(forward)),
            |proud| &proud.stroke,
        ),
    };
    let steps = (1..=STEPS).map(|n| standing.stroke(f64::from(n) * terms.step).ok());
    let before = standing.stroke(0.0)?;
    let verdict = verdict(plan, string, &ask, &before, &stroke, &proud, terms);
    let made = match (verdict, &proud) {
        (FilingVerdict::Go, _) => stroke.as_ref().ok(),
        (FilingVerdict::LeaveProud(_), Ok(proud)) => Some(&proud.stroke),
        _ => None,
    };
    Ok(FiledString {
        plan: string,
        ask,
        untuned: made.and_then(|made| untuned(string, &before, made, terms.cents)),
        before,
        reach: reach(&standing),
        proud_now: standing.contact().v - on_target.contact().v,
        furthest: standing.furthest(ask.floor),
        steps: steps.collect(),
        verdict,
        stroke,
        proud,
    })
}

/// The move that ends at the planned distance back from the front face.
fn to_plan<T>(
    string: &StringPlan,
    with: impl Fn(f64) -> Result<T, FilingError>,
    stroke: impl Fn(&T) -> &Stroke,
) -> Result<T, FilingError> {
    let round = |forward: f64| {
        let found = with(forward)?;
        // The blank's b and the fret frame's x nearly run the same way, so what is missing in b is the next step in x.
        let missing = stroke(&found).contact.b - string.contact.b;
        Ok(Round {
            found,
            next: forward + missing,
            off: missing.abs(),
        })
    };
    Ok(settle(0.0, ARRIVED, ROUNDS, round)?.unwrap_or_else(NotSettled::last))
}

/// A contact further outside the land than before by less than this is where it was, mm.
const SAME_PLACE: f64 = 1e-6;
/// A string that rises by less than this does not, mm.
const LEVEL: f64 = 1e-6;
/// What a stroke that is worked out for its cents may miss them by.
const SOLVED: f64 = 1e-6;

/// Whether a move is asked that no stroke is spent on.
fn not_worth(step: Option<Move>, before: &Stroke, stroke: &Stroke) -> bool {
    let for_pitch = !matches!(step, Some(Move::Forward(_)));
    let changes = (stroke.cents_12 - before.cents_12).abs();
    stroke.forward.abs() < STAYS || for_pitch && changes < LIKE - SOLVED
}

fn verdict(
    plan: &Plan,
    string: &StringPlan,
    ask: &FilingAsk,
    before: &Stroke,
    stroke: &Result<Stroke, FilingError>,
    proud: &Result<Proud, FilingError>,
    terms: FilingTerms,
) -> FilingVerdict {
    let stroke = match stroke {
        Err(FilingError::OutOfReach { .. }) => return FilingVerdict::OutOfReach,
        Err(_) => return FilingVerdict::OffBlank,
        Ok(stroke) => stroke,
    };
    if stroke.forward.abs() < NO_MOVE {
        return FilingVerdict::Still;
    }
    if stroke.drop < -LEVEL {
        return FilingVerdict::Rises(-stroke.drop);
    }
    let blank = &plan.blank;
    let outside = |b: f64| (blank.land - b).max(b - (blank.thickness - blank.land)).max(0.0);
    let out = outside(stroke.contact.b);
    if out > outside(before.contact.b) + SAME_PLACE {
        return FilingVerdict::OutsideLand(out);
    }
    if not_worth(ask.step, before, stroke) {
        return FilingVerdict::NotWorth;
    }
    let low = string.action_12 - stroke.action_12;
    match proud {
        _ if low <= terms.allowed => FilingVerdict::Go,
        Ok(proud) if !terms.at_height => FilingVerdict::LeaveProud(proud.height),
        _ => FilingVerdict::EndsLow(low),
    }
}

/// What a stroke that may be made does to fret 12, if it leaves it worse and out of tolerance.
fn untuned(string: &StringPlan, before: &Stroke, stroke: &Stroke, allowed: f64) -> Option<Untuned> {
    let off = |stroke: &Stroke| stroke.cents_12 - string.aim_cents_12;
    let worse = off(stroke).abs() - off(before).abs();
    (off(stroke).abs() > allowed + NO_TUNER && worse > NO_TUNER).then_some(Untuned {
        off: off(stroke),
        worse,
    })
}

/// A move that no blank is thick enough for, mm: asked only to learn how far a contact can go.
const FAR: f64 = 1000.0;

/// How far the contact can go forward and back, mm.
fn reach(standing: &Standing) -> (f64, f64) {
    match standing.stroke(FAR) {
        Err(FilingError::LeavesBlank { forward, back }) => (forward.max(0.0), back.max(0.0)),
        _ => (0.0, 0.0),
    }
}

impl<'a> SaddleWork<'a> {
    /// What a move (`None`: to the planned place) asks of the strings with these numbers, all where none is named. `step` is that of
    /// the table of steps, mm; `at_height` holds even where the job does not say so.
    ///
    /// # Errors
    /// [`FilingRefusal`] for the first string whose start or crown is impossible.
    pub fn filing(
        &self,
        numbers: &[u32],
        asked: Option<Move>,
        step: f64,
        at_height: bool,
    ) -> Result<Filing<'a>, FilingRefusal> {
        let (setup, band) = (&self.made.filing, self.job.tolerance.band);
        let allowed = band.action;
        let own = |list: &[Option<f64>], i: usize| list.get(i).copied().flatten();
        let all = self.plan.strings.iter().enumerate().map(|(i, s)| FilingAsk {
            number: s.number,
            crown: setup.crown.get(i).copied().unwrap_or(PresentCrown::Planned),
            start: Start {
                action_12: own(&setup.action_12, i),
                back: own(&setup.back, i),
            },
            floor: own(&setup.floor_12, i).unwrap_or(s.action_12 - allowed),
            step: asked,
        });
        let asks: Vec<FilingAsk> = all
            .filter(|ask| numbers.is_empty() || numbers.contains(&ask.number))
            .collect();
        let terms = FilingTerms {
            allowed,
            cents: band.cents,
            at_height: at_height || setup.at_height,
            step,
        };
        filing(self.plan, &asks, terms)
    }
}
