//! What a stroke of the file does to every string: worked out by the library's solver, told as a page or as JSON.

mod filed;
mod json;
mod page;
mod words;

use numerics::{NotSettled, Round, settle};
use saddle::filing::{FilingError, Move, Proud, Standing, Start, Stroke};
use saddle::{Plan, StringPlan};
use units::BenchUnit;

pub use filed::{FiledString, Filing, FilingAsk, FilingRefusal, FilingTerms, FilingVerdict, QUARTER_MM, SIXTY_FOURTH};
pub use json::filing_json;
pub(crate) use json::{StrokeOut, stroke as stroke_out};
pub use page::filing_page;

/// Steps that the table of steps has.
pub const STEPS: u32 = 6;

/// The contact has come to its planned place when it is nearer than this, mm.
const ARRIVED: f64 = 1e-11;
/// Most rounds to bring it there; each gains a digit or more.
const ROUNDS: usize = 40;

impl FiledString<'_> {
    /// The crown as it stands, in a few words, lengths in `bench`.
    #[must_use]
    pub fn crown_words(&self, bench: BenchUnit) -> String {
        words::crown(self.ask.crown, bench)
    }

    /// The verdict, lengths in `bench`: a few words, and a sentence where there is no stroke.
    #[must_use]
    pub fn verdict_words(&self, bench: BenchUnit) -> Vec<String> {
        let mut lines = vec![crate::figures::sentence(&words::verdict(self.verdict, bench))];
        lines.extend(self.stroke.err().map(|error| words::refusal(self, &error, bench)));
        lines
    }
}

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
    Ok(FiledString {
        plan: string,
        ask,
        before: standing.stroke(0.0)?,
        proud_now: standing.contact().v - on_target.contact().v,
        furthest: standing.furthest(ask.floor),
        steps: steps.collect(),
        verdict: verdict(string, &stroke, &proud, terms),
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

fn verdict(
    string: &StringPlan,
    stroke: &Result<Stroke, FilingError>,
    proud: &Result<Proud, FilingError>,
    terms: FilingTerms,
) -> FilingVerdict {
    let low = match stroke {
        Err(FilingError::OutOfReach { .. }) => return FilingVerdict::OutOfReach,
        Err(_) => return FilingVerdict::OffBlank,
        Ok(stroke) => string.action_12 - stroke.action_12,
    };
    match proud {
        _ if low <= terms.allowed => FilingVerdict::Go,
        Ok(proud) if !terms.at_height => FilingVerdict::LeaveProud(proud.height),
        _ => FilingVerdict::EndsLow(low),
    }
}

#[cfg(test)]
mod tests;
