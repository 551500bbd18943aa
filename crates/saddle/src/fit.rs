//! After stringing up: where the saddle really stands, what is left to do, and the survey for a second try.

use crate::filing::{PresentCrown, Standing, Start, Stroke};
use crate::ways_out::LIKE;
use crate::{Plan, PlanError, SaddleSurvey, StringPlan, StringSurvey, plan};
use instrument::{BlankPoint, Frame, NutReading, SlotSurvey, StringLine, StrungString, Uncertainty};
use numerics::{NotSettled, Round, UNCHANGED};
use serde::Serialize;
use strings::{CalibrationError, Criterion, FRETS, Measured, Point, StringModel, calibration};
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
    /// Standard uncertainty of one action against the others of its set, mm at fret 12: what weighs them against the survey's lean. Less
    /// than `reading`, because what the rule and the hand put on all of them tilts no saddle.
    #[serde(skip)]
    pub against_others: f64,
    /// A move of the ridge that betters fret 12 by less than this is not worth its stroke, cents.
    pub stroke_cents: f64,
    /// A reading that stands this far from the seat that the others agree on is doubtful, mm of action at fret 12.
    pub stray_action: f64,
    /// A reading at another fret this far from the calibrated model is doubtful, cents.
    pub stray_cents: f64,
}

impl Default for FitLimits {
    /// 0.1 mm and 2 cents are good; readings are as sure as a survey's, 0.05 mm against each other; a stroke brings 1 cent ([`LIKE`]); 0.15 mm and 4 cents are
    /// doubtful. Common practice, no source: half a rule's division, and what a tuner and a player's hand repeat.
    fn default() -> Self {
        Self {
            action: 0.1,
            cents: 2.0,
            reading: Uncertainty::default().present_action.total(),
            against_others: 0.05,
            stroke_cents: LIKE,
            stray_action: 0.15,
            stray_cents: 4.0,
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

/// Why a reading is doubtful.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// The action is this far, mm, from what the other strings' seat gives.
    Action {
        /// Read minus expected.
        off: f64,
    },
    /// The cents reading would need a stretch stiffness that no string has.
    Cents(CalibrationError),
    /// Another fret is far from the calibrated model.
    OtherFret {
        /// Fret.
        fret: u32,
        /// Cents read.
        read: f64,
        /// Cents of the model.
        model: f64,
    },
}

/// One string after stringing up: where it stands, and the two ways in which a file could bring it to its target action.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StringFit {
    /// String number.
    #[serde(skip)]
    pub number: u32,
    /// Action at fret 12 as read, or as the seat gives it where it was not read, mm.
    pub action_12: f64,
    /// Error at fret 12 as read, or of the model where it was not, cents.
    pub cents_12: f64,
    /// Factor on the planned string's stretch stiffness that the cents reading asks for; 1 where it was not read or is doubtful.
    pub stretch: f64,
    /// How far the action read stands from what the fitted seat gives, mm at fret 12; `None` where it was not read.
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
    /// Why its reading is doubtful, if it is: take it again before filing.
    #[serde(skip)]
    pub doubt: Option<Doubt>,
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
}

impl From<Vec<PlanError>> for FitError {
    fn from(errors: Vec<PlanError>) -> Self {
        Self::Plan(errors)
    }
}

/// What one action reading says: the contact's place across and along the blank, and how far along v it stands from its plan. mm.
#[derive(Clone, Copy)]
struct Rise {
    b: f64,
    u: f64,
    height: f64,
}

/// Standard uncertainty of a lean read by eye or with a gauge, radians (1 degree). Common practice, no source.
const LEAN_UNSURE: f64 = std::f64::consts::PI / 180.0;

/// A seat by least squares over strings: height, roll along u, and turn with b, which is lean that was misread.
#[derive(Clone, Copy)]
struct SeatLine {
    middle: (f64, f64),
    height: f64,
    roll: f64,
    turn: f64,
}

impl SeatLine {
    /// `noise`: standard uncertainty of a height, mm, which weighs the readings against the lean as surveyed; `None` takes
    /// the lean as read.
    fn through(rises: &[Rise], noise: Option<f64>) -> Option<Self> {
        let n = rises.len();
        if n == 0 {
            return None;
        }
        let mean = |value: fn(&Rise) -> f64| rises.iter().map(value).sum::<f64>() / n as f64;
        let (b, u, height) = (mean(|r| r.b), mean(|r| r.u), mean(|r| r.height));
        let sum = |value: &dyn Fn(f64, f64, f64) -> f64| -> f64 {
            rises.iter().map(|r| value(r.b - b, r.u - u, r.height - height)).sum()
        };
        let uu = sum(&|_, u, _| u * u);
        // One string has no roll.
        let uu = if uu > 0.0 { uu } else { 1.0 };
        let (bb, bu) = (sum(&|b, _, _| b * b), sum(&|b, u, _| b * u));
        let (bh, uh) = (sum(&|b, _, h| b * h), sum(&|_, u, h| u * h));
        // Normal equations of roll and turn; the turn is held near zero by what is known of the lean.
        let turn = noise.map_or(0.0, |noise| {
            (bh - bu * uh / uu) / (bb - bu * bu / uu + (noise / LEAN_UNSURE).powi(2))
        });
        Some(Self {
            middle: (b, u),
            height,
            roll: (uh - turn * bu) / uu,
            turn,
        })
    }

    fn at(&self, b: f64, u: f64) -> f64 {
        self.height + self.roll * (u - self.middle.1) + self.turn * (b - self.middle.0)
    }
}

/// Rounds in which the seat settles: a roll moves the strings along the ridge a little.
const SEAT_ROUNDS: usize = 6;
/// The seat has settled when a round moves it less than this, mm.
const SEAT_SETTLED: f64 = 1e-9;
/// Most rounds to find where a string crosses the ridge; each gains two digits or more.
const CROSSING_ROUNDS: usize = 9;

/// Where a string crosses the made ridge with the blank in `frame`.
fn crossing(made: &Plan, frame: &Frame, s: &StringPlan) -> BlankPoint {
    let ridge = |u: f64| {
        let (b, v) = made.crown.ridge(u);
        BlankPoint { b, u, v }
    };
    let (point, _) = s.run.crossed_by(frame, s.contact.u, UNCHANGED, CROSSING_ROUNDS, ridge);
    point
}

/// How far inside the range of what a string can show a reading is put that lies a little outside it, cents.
const EDGE: f64 = 1e-6;
/// Fewest readings with which one stray can be told from the rest.
const READINGS_TO_JUDGE: usize = 4;

/// Fits the seat to the readings, calibrates the strings, and plans again.
///
/// The saddle is taken to be made as planned; what it shows is put down to its seat, the nut and the strings.
///
/// # Errors
/// [`FitError`].
pub fn fit(survey: &SaddleSurvey, read: &[StrungString], limits: &FitLimits) -> Result<Fit, FitError> {
    if read.len() != survey.strings.len() {
        return Err(FitError::Count {
            read: read.len(),
            strings: survey.strings.len(),
        });
    }
    let made = plan(survey)?;
    let strung = Strung {
        survey,
        made: &made,
        read,
        limits,
    };
    let seated = strung.seated()?;
    let found = strung.found(&seated);
    let mut corrected = seated.survey;
    for ((string, found), made) in corrected.strings.iter_mut().zip(&found).zip(&made.strings) {
        found.correct(string, made.nut.x);
    }
    keep_reference(survey, &mut corrected);
    let next = plan(&corrected)?;
    let mut standing = as_it_stands(&corrected, &found)?;
    standing.crown = made.crown.clone();
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
            doubt: found.doubt,
        }
    });
    Ok(Fit {
        seat: Seat {
            bass: seated.raised[0],
            treble: seated.raised[1],
        },
        lean: seated.lean,
        strings: strings.collect(),
        corrected,
        next,
    })
}

/// A height at the saddle shows at fret 12 in this proportion.
fn shows(s: &StringPlan) -> f64 {
    (s.string.crowns[FRETS - 1].x - s.nut.x) / (s.position.x - s.nut.x)
}

/// A saddle as made, and what was read over it.
struct Strung<'a> {
    survey: &'a SaddleSurvey,
    made: &'a Plan,
    read: &'a [StrungString],
    limits: &'a FitLimits,
}

/// Where the saddle stands.
struct Seated {
    /// The survey with the slot so turned and raised.
    survey: SaddleSurvey,
    /// The blank's frame in it.
    frame: Frame,
    /// How much more it leans forward than was read, radians.
    lean: f64,
    /// How far the ends stand over where they were surveyed, mm.
    raised: [f64; 2],
    /// The string whose action does not agree with the others.
    stray: Option<usize>,
}

/// One string over the saddle as it stands.
struct Found {
    /// Action at fret 12 as read, or as the seat gives it, mm.
    action_12: f64,
    /// Gap over fret 1, mm.
    clearance: f64,
    /// Cents at fret 12 as read, or of the model.
    cents_12: f64,
    /// Factor on the stretch stiffness.
    stretch: f64,
    /// The string's model with it.
    model: StringModel,
    /// How far the action read stands from what the seat gives, mm at fret 12.
    off_seat: Option<f64>,
    /// Contact along x, mm.
    x: f64,
    /// Why the reading is doubtful.
    doubt: Option<Doubt>,
}

impl Strung<'_> {
    fn each(&self) -> impl Iterator<Item = (&StringPlan, &StrungString)> {
        self.made.strings.iter().zip(self.read)
    }

    /// How far along v a contact stands from its planned height, were the blank in this frame.
    fn rise(&self, frame: &Frame, s: &StringPlan, r: &StrungString) -> Option<Rise> {
        let line = line(self.survey, s, r.clearance, r.action_12?);
        let (p, up) = (frame.to_fret(crossing(self.made, frame, s)), frame.e_v);
        let height = (line.z(p.x) - p.z) / (up.z - line.slope * up.x);
        Some(Rise {
            b: s.contact.b,
            u: s.contact.u,
            height,
        })
    }

    fn rises(&self, frame: &Frame) -> Vec<(usize, Rise)> {
        self.each()
            .enumerate()
            .filter_map(|(i, (s, r))| Some((i, self.rise(frame, s, r)?)))
            .collect()
    }

    /// First the lean, then height and roll of the seat in the slot so turned.
    fn seated(&self) -> Result<Seated, FitError> {
        let made = self.made;
        let at_saddle = |action: f64, i: usize| action / made.strings.get(i).map_or(0.5, shows);
        let noise = at_saddle(self.limits.against_others, 0);
        let first = self.rises(&made.frame);
        let (by_all, stray) =
            seat(&first, Some(noise), |i| at_saddle(self.limits.stray_action, i)).ok_or(FitError::NoAction)?;
        let mut corrected = self.survey.clone();
        let lean = if first.len() < READINGS_TO_JUDGE {
            0.0
        } else {
            by_all.turn
        };
        corrected.lean += lean;
        let settle = |survey: &SaddleSurvey| crate::place::frame(survey).map_err(|error| vec![error]);
        let mut frame = settle(&corrected)?;
        let mut raised = [0.0; 2];
        let settled = numerics::settle((), SEAT_SETTLED, SEAT_ROUNDS, |()| {
            let rises = self
                .rises(&frame)
                .into_iter()
                .filter(|(i, _)| stray != Some(*i))
                .map(|(_, r)| r);
            let seat = SeatLine::through(&rises.collect::<Vec<_>>(), None).ok_or(FitError::NoAction)?;
            let step =
                [made.strings.first(), made.strings.last()].map(|s| s.map_or(0.0, |s| seat.at(0.0, s.contact.u)));
            let ends: [&mut f64; 2] = match &mut corrected.slot {
                SlotSurvey::Straightedge([bass, treble]) => [&mut bass.depth, &mut treble.depth],
                SlotSurvey::Reference([bass, treble]) => [&mut bass.height, &mut treble.height],
            };
            for ((end, raised), step) in ends.into_iter().zip(&mut raised).zip(step) {
                *end -= step;
                *raised += step;
            }
            frame = settle(&corrected)?;
            Ok::<_, FitError>(Round {
                found: (),
                next: (),
                off: step[0].abs().max(step[1].abs()),
            })
        })?;
        // What a roll still moves after the last round is far below what can be read.
        settled.unwrap_or_else(NotSettled::last);
        Ok(Seated {
            survey: corrected,
            frame,
            lean,
            raised,
            stray,
        })
    }

    /// What the readings say of every string over the seat.
    fn found(&self, seated: &Seated) -> Vec<Found> {
        let each = self.each().enumerate();
        each.map(|(i, (s, r))| self.string(s, r, &seated.frame, seated.stray == Some(i)))
            .collect()
    }

    fn string(&self, s: &StringPlan, r: &StrungString, frame: &Frame, is_stray: bool) -> Found {
        let board = &self.survey.board;
        let contact = frame.to_fret(crossing(self.made, frame, s));
        // Over the nut as it is read, where it is.
        let [one, ..] = s.string.crowns;
        let nut = r.clearance.map_or((s.nut.x, s.nut.z), |gap| (one.x, one.z + gap));
        let by_seat = || StringLine::through(nut, (contact.x, contact.z)).action(board, &s.run, 12);
        let action_12 = r.action_12.filter(|_| !is_stray).unwrap_or_else(&by_seat);
        let line = line(self.survey, s, r.clearance, action_12);
        // The contact as it stands is where the string crosses the made ridge.
        let x = contact.x;
        let saddle = Point { x, z: line.z(x) };
        let nut = Point {
            x: s.nut.x,
            z: line.z(s.nut.x),
        };
        let mut planned = s.string;
        let shown = |cents_12: f64| calibration(&planned, &Measured { nut, saddle, cents_12 });
        // A reading that a string can all but show is no doubtful one: it is taken for what the string can show.
        let all_but = |read: f64| match shown(read) {
            Err(CalibrationError::Doubtful { low, high, .. })
                if read >= low - self.limits.stroke_cents && read <= high + self.limits.stroke_cents =>
            {
                let inside = EDGE.min((high - low) / 2.0);
                shown(read.clamp(low + inside, high - inside))
            }
            other => other,
        };
        let factor = r.cents_12.map(all_but);
        let stretch = factor.and_then(Result::ok).unwrap_or(1.0);
        planned.model.stiffness = planned.model.stiffness.scaled(stretch);
        let model_cents = planned.cents(nut, saddle);
        let doubt = if is_stray {
            r.action_12.map(|read| Doubt::Action { off: read - action_12 })
        } else if let Some(Err(error)) = factor {
            Some(Doubt::Cents(error))
        } else {
            r.others.iter().find_map(|&(fret, read)| {
                let index = usize::try_from(fret).ok()?.checked_sub(1)?;
                let model = *model_cents.get(index)?;
                ((read - model).abs() > self.limits.stray_cents).then_some(Doubt::OtherFret { fret, read, model })
            })
        };
        Found {
            action_12,
            clearance: line.action(board, &s.run, 1),
            cents_12: r.cents_12.unwrap_or(model_cents[FRETS - 1]),
            stretch,
            model: planned.model,
            off_seat: r.action_12.map(|read| read - by_seat()),
            x,
            doubt,
        }
    }
}

impl Found {
    /// The string of the survey as it was found, over a nut that stands at `nut_x` mm.
    fn correct(&self, string: &mut StringSurvey, nut_x: f64) {
        string.model.stiffness = self.model.stiffness;
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

/// The string as it was read: over the planned nut contact, or over fret 1 where the clearance was read.
fn line(survey: &SaddleSurvey, s: &StringPlan, clearance: Option<f64>, action_12: f64) -> StringLine {
    match clearance {
        Some(gap) => StringLine::over_frets(&survey.board, &s.run, (1, gap), (12, action_12)),
        None => {
            let crown = s.string.crowns[FRETS - 1];
            StringLine::through((s.nut.x, s.nut.z), (crown.x, crown.z + action_12))
        }
    }
}

/// Least squares over the strings; with enough readings one stray may be left out if the rest then agree. `limit` of string i, mm along v.
fn seat(
    rises: &[(usize, Rise)],
    noise: Option<f64>,
    limit: impl Fn(usize) -> f64,
) -> Option<(SeatLine, Option<usize>)> {
    let line_of = |chosen: &[(usize, Rise)]| {
        let rises: Vec<Rise> = chosen.iter().map(|c| c.1).collect();
        SeatLine::through(&rises, noise)
    };
    let off = |line: &SeatLine, (i, r): &(usize, Rise)| (r.height - line.at(r.b, r.u)).abs() / limit(*i);
    let all = line_of(rises)?;
    if rises.len() < READINGS_TO_JUDGE || rises.iter().all(|r| off(&all, r) <= 0.5) {
        return Some((all, None));
    }
    // Leave out each in turn; the one without which the others agree best is the stray, if it then stands over its limit.
    let without = |out: &(usize, Rise)| {
        let rest: Vec<(usize, Rise)> = rises.iter().filter(|r| r.0 != out.0).copied().collect();
        let line = line_of(&rest)?;
        let worst = rest.iter().map(|r| off(&line, r)).fold(0.0, f64::max);
        Some((*out, line, worst))
    };
    let (out, line, worst) = rises.iter().filter_map(without).min_by(|a, b| a.2.total_cmp(&b.2))?;
    if off(&line, &out) > 1.0 && worst <= 1.0 {
        Some((line, Some(out.0)))
    } else {
        Some((all, None))
    }
}

/// The saddle as it stands in the corrected survey, as a plan: each contact with the action and at the place found.
fn as_it_stands(corrected: &SaddleSurvey, found: &[Found]) -> Result<Plan, Vec<PlanError>> {
    let mut survey = corrected.clone();
    for (string, found) in survey.strings.iter_mut().zip(found) {
        string.target_action = found.action_12;
        string.action_at = None;
        string.criterion = Criterion::Offset(found.x - survey.board.scale_end(&string.run));
    }
    plan(&survey)
}
