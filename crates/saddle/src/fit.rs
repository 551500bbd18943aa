//! After stringing up: where the saddle really stands, what is left to do, and the survey for a second try.

use crate::filing::{PresentCrown, Standing, Start, Stroke};
use crate::made_string::made_string;
use crate::ways_out::LIKE;
use crate::{Plan, PlanError, SaddleSurvey, StringPlan, StringSurvey, plan};
use instrument::{BlankPoint, NutReading, SlotSurvey, StringLine, StrungString, Uncertainty, over_frets};
use known::{Evidence, Figure, Known, KnownError, Slips, Strung};
use numerics::math;
use serde::Serialize;
use strings::{Criterion, FRETS, StringModel};
use thiserror::Error;

/// What counts as good, and what as doubtful.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FitLimits {
    /// Good within this of the target action at fret 12, mm.
    pub action: f64,
    /// Good within this of the aim at fret 12, cents.
    pub cents: f64,
    /// Standard uncertainty of an action reading, mm: what a string may be low by, and what no height is filed for.
    pub reading: f64,
    /// A move of the ridge that betters fret 12 by less than this is not worth its stroke, cents.
    pub stroke_cents: f64,
}

impl Default for FitLimits {
    /// 0.1 mm and 2 cents are good; readings are as sure as a survey's; a stroke brings 1 cent ([`LIKE`]). Common practice, no source: half a
    /// rule's division, and what a tuner and a player's hand repeat.
    fn default() -> Self {
        Self {
            action: 0.1,
            cents: 2.0,
            reading: Uncertainty::default().present_action.total(),
            stroke_cents: LIKE,
        }
    }
}

/// How far the saddle stands higher than planned, along v, mm; negative where it sits deeper.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Seat {
    /// Under the bass-most string.
    pub bass: f64,
    /// Under the treble-most string.
    pub treble: f64,
}

/// One string after stringing up: where it stands, and the two ways in which a file could bring it to its target action.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StringFit {
    /// String number.
    #[serde(skip)]
    pub number: u32,
    /// Action at fret 12 that agrees best with all readings, mm.
    pub action_12: f64,
    /// Error at fret 12 that agrees best with all readings, cents.
    pub cents_12: f64,
    /// Factor on the planned string's stretch stiffness that all readings together ask for.
    pub stretch: f64,
    /// How far the action read stands from that, mm at fret 12; `None` where it was not read.
    pub off_seat: Option<f64>,
    /// How far the action at fret 12 is over its target, mm; negative: too low.
    pub off_12: f64,
    /// The same at the saddle, mm along v where the contact stands: about twice as much.
    pub off_saddle: f64,
    /// Contact as it stands in the blank, mm.
    #[serde(skip)]
    pub contact: BlankPoint,
    /// Error at fret 12 once the contact is at the target's height where it stands, cents.
    #[serde(skip)]
    pub level_cents_12: f64,
    /// The ridge moved to where the corrected plan has it; `None` if it would leave the blank.
    #[serde(skip)]
    pub moved: Option<Moved>,
}

/// A ridge moved to where the corrected plan has it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// How far back, mm square to the face; negative is forward.
    pub back: f64,
    /// What the move alone does, down the crown as it was made.
    pub alone: Stroke,
    /// What the contact then is over the target's height, mm along v; negative: the crown lacks so much there.
    pub rest: f64,
    /// Error at fret 12 with the contact at that height, cents.
    pub cents_12: f64,
}

/// The saddle as it stands and what follows.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Where the saddle stands.
    pub seat: Seat,
    /// How much more the slot leans forward than was read, radians, as far as the readings tell.
    pub lean: f64,
    /// Strings, bass to treble.
    pub strings: Vec<StringFit>,
    /// All that was read before and after stringing up, adjusted together; without what does not fit, where nothing settles with it.
    pub after: Evidence,
    /// What of it does not fit, and is left out of all else here.
    pub slips: Slips,
    /// The survey with what was learnt: seat, nut, stretch. Plan this for a second saddle.
    pub corrected: SaddleSurvey,
    /// The plan of that survey.
    pub next: Plan,
}

/// Why readings cannot be fitted.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum FitError {
    /// One entry for each string is wanted.
    #[error("readings for {read} strings were given, but the instrument has {strings}")]
    Count {
        /// Entries given.
        read: usize,
        /// Strings.
        strings: usize,
    },
    /// No action was read.
    #[error("no action at fret 12 was read: it is wanted for the outer strings at least")]
    NoAction,
    /// The first plan, or the one with the corrected survey, cannot be made.
    #[error("the survey cannot be planned: {}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Plan(Vec<PlanError>),
    /// The readings give no instrument.
    #[error("the readings do not go together: {0}")]
    Readings(#[from] KnownError),
}

impl From<Vec<PlanError>> for FitError {
    fn from(errors: Vec<PlanError>) -> Self {
        Self::Plan(errors)
    }
}

/// Adjusts what was read over the made saddle with all that was known before, and plans again.
///
/// `survey` is as it was planned, and `evidence` what it was planned by; `unsure` says how sure the readings after stringing up are, and how surely the
/// saddle was made as planned.
///
/// # Errors
/// [`FitError`].
pub fn fit(
    evidence: &Evidence,
    survey: &SaddleSurvey,
    read: &[StrungString],
    unsure: &Uncertainty,
) -> Result<Fit, FitError> {
    if read.len() != survey.strings.len() {
        return Err(FitError::Count {
            read: read.len(),
            strings: survey.strings.len(),
        });
    }
    if read.iter().all(|string| string.action_12.is_none()) {
        return Err(FitError::NoAction);
    }
    let made = plan(survey)?;
    let (all, slips) = adjusted(evidence, survey, &made, read, unsure)?;
    let after = without(&all, &slips)?;
    let likeliest = survey.by(&after);
    let found = found(evidence, &after, &likeliest, read)?;
    let mut corrected = likeliest.clone();
    for ((string, found), made) in corrected.strings.iter_mut().zip(&found).zip(&made.strings) {
        found.correct(string, made.nut.x);
    }
    keep_reference(&likeliest, &mut corrected);
    let next = plan(&corrected)?;
    let mut standing = as_it_stands(&corrected, &found)?;
    standing.crown = made.crown.clone();
    let seat = raised(&after, &made)?;
    let each = next.strings.iter().zip(&standing.strings).zip(found);
    let strings = each.map(|((then, now), found)| {
        let off_12 = found.action_12 - then.action_12;
        let back = Some(now.contact.b);
        // On the corrected plan's line, where the contact stands.
        let level = Standing::new(&next, then, PresentCrown::Planned, Start { action_12: None, back }).ok();
        let moved = Standing::new(&standing, now, PresentCrown::Planned, Start::default())
            .and_then(|stands| stands.stroke_to_back(then.contact.b))
            .ok();
        StringFit {
            number: then.number,
            action_12: found.action_12,
            cents_12: found.cents_12,
            stretch: found.stretch,
            off_seat: found.off_seat,
            off_12,
            off_saddle: level
                .as_ref()
                .map_or(off_12 / shows(then), |level| now.contact.v - level.contact().v),
            contact: now.contact,
            level_cents_12: level.map_or(found.cents_12, |level| level.cents_12()),
            moved: moved.map(|alone| Moved {
                back: then.contact.b - now.contact.b,
                alone,
                rest: alone.contact.v - then.contact.v,
                cents_12: then.cents[FRETS - 1],
            }),
        }
    });
    Ok(Fit {
        seat,
        lean: corrected.lean - (survey.lean + survey.under_tension.lean),
        strings: strings.collect(),
        after: all,
        slips,
        corrected,
        next,
    })
}

/// A height at the saddle shows at fret 12 in this proportion.
fn shows(s: &StringPlan) -> f64 {
    (s.string.crowns[FRETS - 1].x - s.nut.x) / (s.position.x - s.nut.x)
}

/// All that was read, adjusted, and what of it does not fit.
fn adjusted(
    evidence: &Evidence,
    survey: &SaddleSurvey,
    made: &Plan,
    read: &[StrungString],
    unsure: &Uncertainty,
) -> Result<(Evidence, Slips), KnownError> {
    let each = made.strings.iter().zip(&survey.strings).zip(read);
    let strung = each.map(|((s, from), read)| Strung {
        made: made_string(survey, made, s, from),
        read: read.clone(),
        unsure: *unsure,
    });
    let strung: Vec<Strung> = strung.collect();
    match evidence.strung(strung.clone()) {
        Ok(all) => {
            let slips = all.known.slips(&all.seen());
            Ok((all, slips))
        }
        Err(KnownError::NotSettled) => {
            let mut all = Evidence {
                strung,
                ..evidence.clone()
            };
            let (known, slips) = Known::contradicted(&all.seen())?;
            all.known = known;
            Ok((all, slips))
        }
        Err(error) => Err(error),
    }
}

/// The same without what does not fit.
fn without(all: &Evidence, slips: &Slips) -> Result<Evidence, KnownError> {
    let known = slips.without.clone().ok_or(KnownError::NotSettled)?;
    Ok(Evidence { known, ..all.clone() })
}

/// How far the saddle stands over its planned place under the outer strings, along v, mm.
fn raised(after: &Evidence, made: &Plan) -> Result<Seat, FitError> {
    let last = made.strings.len().saturating_sub(1);
    let at = |i: usize| {
        let s = made.strings.get(i)?;
        let over = after.over_made(i)?;
        // The contact's place across is the string's; what is missing to the planned point is a rise.
        let planned = made.frame.to_fret(s.contact);
        let up = made.frame.e_v;
        let slope = over.string.line.slope;
        let on_line = over.string.line.z(planned.x) - after.known_stand_off() * s.stand_off;
        Some((on_line - planned.z) / (up.z - slope * up.x))
    };
    let seat = at(0).zip(at(last)).map(|(bass, treble)| Seat { bass, treble });
    seat.ok_or(FitError::NoAction)
}

/// One string over the saddle as it stands.
struct Found {
    /// Action at fret 12, mm.
    action_12: f64,
    /// Gap over fret 1, mm.
    clearance: f64,
    /// Cents at fret 12.
    cents_12: f64,
    /// Factor on the planned stretch stiffness.
    stretch: f64,
    /// The string's model with it.
    model: StringModel,
    /// How far the action read stands from the likeliest.
    off_seat: Option<f64>,
    /// Contact along x, mm.
    x: f64,
}

/// What all readings say of every string over the saddle.
fn found(
    before: &Evidence,
    after: &Evidence,
    likeliest: &SaddleSurvey,
    read: &[StrungString],
) -> Result<Vec<Found>, FitError> {
    let board = &likeliest.board;
    let each = likeliest.strings.iter().zip(read).enumerate();
    let each = each.map(|(i, (s, read))| {
        let over = after.over_made(i)?;
        let string = over_frets(
            board,
            over.string.model,
            s.frequency,
            &s.run,
            (likeliest.press, likeliest.ends),
        );
        let action_12 = over.string.line.action(board, &s.run, 12);
        let axial = Figure::Axial(i);
        Some(Found {
            action_12,
            clearance: over.string.line.action(board, &s.run, 1),
            cents_12: string.cents_at_12(over.string.nut, over.contact),
            stretch: math::exp(after.known.off(axial) - before.known.off(axial)),
            model: over.string.model,
            off_seat: read.action_12.map(|read| read - action_12),
            x: over.contact.x,
        })
    });
    each.collect::<Option<_>>().ok_or(FitError::NoAction)
}

impl Found {
    /// The string of the survey as it was found, over a nut that stands at `nut_x` mm.
    fn correct(&self, string: &mut StringSurvey, nut_x: f64) {
        string.model = self.model;
        string.measured = None;
        string.present_nut = Some(NutReading::Open {
            clearance: self.clearance,
            action_12: self.action_12,
        });
        string.new_gap = None;
        // What was to be done to a zero fret is done.
        string.zero_fret = string.zero_fret.map(|_| 0.0);
        string.nut_x = nut_x;
        if string.criterion == Criterion::BestFitWithNut {
            // The nut is made; the saddle alone is left.
            string.criterion = Criterion::BestFit;
        }
    }
}

/// A reference saddle was placed by the nut as first read. With the nut as it is now, its action must be such that its
/// contacts stay where they are.
fn keep_reference(survey: &SaddleSurvey, corrected: &mut SaddleSurvey) {
    let SlotSurvey::Reference(ends) = &mut corrected.slot else {
        return;
    };
    let board = &survey.board;
    let outer = |s: &[StringSurvey]| [s.first().cloned(), s.last().cloned()];
    let nut = |s: &StringSurvey| Some((s.nut_x, s.present_nut?.height(board, &s.run, s.nut_x)));
    for ((end, old), new) in ends
        .iter_mut()
        .zip(outer(&survey.strings))
        .zip(outer(&corrected.strings))
    {
        let (Some(string), Some(new)) = (old, new) else {
            continue;
        };
        let (Some(was), Some(is)) = (nut(&string), nut(&new)) else {
            continue;
        };
        let x12 = board.fret_x(12, &string.run);
        let crown = board.crown_under(12, &string.run);
        let x = x12 + end.contact_from_fret_12;
        let contact = (x, StringLine::through(was, (x12, crown + end.action_12)).z(x));
        end.action_12 = StringLine::through(is, contact).z(x12) - crown;
    }
}

/// The saddle as it stands in the corrected survey, as a plan: each contact with the action and at the place found.
fn as_it_stands(corrected: &SaddleSurvey, found: &[Found]) -> Result<Plan, Vec<PlanError>> {
    let mut survey = corrected.clone();
    // A ridge that was not made quite where it was planned may stand on the land.
    survey.blank.land = 0.0;
    for (string, found) in survey.strings.iter_mut().zip(found) {
        string.target_action = found.action_12;
        string.action_at = None;
        string.criterion = Criterion::Offset(found.x - survey.board.scale_end(&string.run));
    }
    plan(&survey)
}
