//! What is remarked of a saddle's plan, against the limits of its job.

use assess::{Accept, Facts, LOWEST_EXPOSURE, Limits, Source, judge, load, paths};
use instrument::{Board, BoardRadius, Of, StringLine};
use saddle::{Bearing, Hold, Plan, SaddleSurvey, StringPlan};

use crate::other_end::{NUT_MOVES, zero_fret_work};
use crate::{Fork, Remark, SaddleWork, Severity};

/// Least material above the crown for a clean cut, mm. Common practice, no source.
const CLEAN_UP: f64 = 0.3;
/// Places between the outer strings where the crown's height is looked at.
const PLACES: u32 = 200;
/// A string that ends further than this from its planned contact is told of, mm.
const OFF_PLAN: f64 = 0.001;
/// A calibration outside this range is told as far from 1, no unit. Our own choice, well inside the 0.3 to 3 that is accepted.
const FAR_CALIBRATION: (f64, f64) = (0.7, 1.4);

impl SaddleWork<'_> {
    /// What is to be known beside the figures, what stops the work first.
    #[must_use]
    pub fn remarks(&self) -> Vec<Remark> {
        let mut all = Remark::of(self.plan, self.survey, &self.made.assess);
        let stops = all.iter().take_while(|remark| remark.stops()).count();
        if stops == 0 {
            let fork = Fork::of(&judge(self.survey, self.plan, &self.facts()), &[], self.beside());
            if !fork.is_make() {
                all.insert(0, Remark::NotYet(fork));
            }
        }
        let doubted = self.doubted.iter().cloned().map(Remark::Doubted);
        let heard = (!self.not_it.is_empty()).then(|| Remark::NotTheString(self.not_it.to_vec()));
        all.splice(stops..stops, doubted.chain(heard));
        all.extend(self.assumed());
        all
    }

    /// What nobody read of the instrument.
    fn assumed(&self) -> Option<Remark> {
        let board = &self.survey.board;
        let figure = |of: Of| match (of, board.radius()) {
            (Of::Relief, _) => Some((of, board.relief())),
            (Of::RadiusAtNut, BoardRadius::Conical { nut, .. }) => Some((of, nut)),
            (Of::RadiusAt12, BoardRadius::Conical { fret_12, .. }) => Some((of, fret_12)),
            _ => None,
        };
        let figures = self.job.readings.assumed.iter().filter_map(|(of, _)| figure(*of));
        let mut figures: Vec<(Of, f64)> = figures.collect();
        // A board of one radius has one figure.
        if let [.., (Of::RadiusAtNut, nut), (Of::RadiusAt12, at_12)] = figures[..]
            && nut == at_12
        {
            figures.pop();
        }
        (!figures.is_empty()).then_some(Remark::Assumed(figures))
    }

    /// Why this saddle is not to be made: it is impossible, or unsafe and not accepted. None where it may be.
    #[must_use]
    pub fn stops(&self) -> Vec<Remark> {
        let mut all = Remark::of(self.plan, self.survey, &self.made.assess);
        all.retain(Remark::stops);
        all
    }
}

impl Remark {
    /// Remarks on a plan and the survey that it was made from.
    #[must_use]
    pub fn of(plan: &Plan, survey: &SaddleSurvey, facts: &Facts) -> Vec<Self> {
        let limits = &facts.limits;
        let mut all = Vec::new();
        all.extend(blank_height(plan));
        all.extend(off_blank(plan));
        all.extend(blended_ends(plan));
        all.extend(front_wall(plan, survey, facts));
        let held = plan.strings.iter().any(|s| s.hold != Hold::Free);
        all.extend(held.then_some(Self::Held));
        all.extend(first_fret(plan, limits));
        all.extend(touching(plan, survey));
        all.extend(exposure(plan, limits));
        all.extend(in_slot(plan, survey, facts));
        all.extend(string_ends(plan));
        all.extend(break_angles(plan, limits));
        all.extend(calibrations(plan));
        all.extend(nut(plan, survey));
        let chosen = [
            survey.crown.front_fall.is_none().then_some(plan.crown.front_fall),
            survey.crown.back_fall.is_none().then_some(plan.crown.back_fall),
        ];
        all.extend(chosen.iter().any(Option::is_some).then_some(Self::FallsChosen(chosen)));
        all.extend(plan.left_handed.then_some(Self::LeftHanded));
        all.sort_by_key(|remark| remark.severity().min(Severity::Mind));
        all
    }
}

/// The strings for which a test holds, or none at all.
fn those(plan: &Plan, test: impl Fn(&StringPlan) -> bool) -> Option<Vec<u32>> {
    let found: Vec<u32> = plan.strings.iter().filter(|s| test(s)).map(|s| s.number).collect();
    (!found.is_empty()).then_some(found)
}

/// The same with a figure of each.
fn figures<T>(plan: &Plan, figure: impl Fn(&StringPlan) -> Option<T>) -> Option<Vec<(u32, T)>> {
    let each = plan.strings.iter().filter_map(|s| Some((s.number, figure(s)?)));
    let found: Vec<(u32, T)> = each.collect();
    (!found.is_empty()).then_some(found)
}

fn blank_height(plan: &Plan) -> Option<Remark> {
    let (first, last) = (plan.strings.first()?.contact.u, plan.strings.last()?.contact.u);
    let place = |i: u32| first + (last - first) * f64::from(i) / f64::from(PLACES);
    let top = (0..=PLACES).map(|i| plan.crown.silhouette(place(i))).reduce(f64::max)?;
    let spare = plan.blank.height - top;
    if spare < 0.0 {
        let wanted = top + CLEAN_UP;
        return Some(Remark::BlankLow { top, wanted });
    }
    (spare < CLEAN_UP).then_some(Remark::BlankScant { spare, least: CLEAN_UP })
}

/// Contacts that the blank does not have. A contact as far out as the faces or the ends is on it.
fn off_blank(plan: &Plan) -> Vec<Remark> {
    let blank = &plan.blank;
    let under = those(plan, |s| s.contact.v <= 0.0).map(Remark::UnderBottom);
    let on_top = |s: &StringPlan| {
        (0.0..=blank.thickness).contains(&s.contact.b) && (plan.ends.0..=plan.ends.1).contains(&s.contact.u)
    };
    let off = those(plan, |s| !on_top(s)).map(Remark::OffBlank);
    under.into_iter().chain(off).collect()
}

/// Contacts that the blended ends take away, and contours that leave a step.
fn blended_ends(plan: &Plan) -> Vec<Remark> {
    let lost = those(plan, |s| plan.cap(s.contact.u) < s.contact.v).map(Remark::InBlend);
    let stop: Vec<(&'static str, f64)> = plan
        .wing_ends()
        .iter()
        .flatten()
        .filter(|end| end.short > 0.0)
        .map(|end| (end.end, end.short))
        .collect();
    let stop = (!stop.is_empty()).then_some(Remark::WingsStop(stop));
    lost.into_iter().chain(stop).collect()
}

/// Nothing where the wood or the strings' way is not known, which the assessment tells.
fn front_wall(plan: &Plan, survey: &SaddleSurvey, facts: &Facts) -> Option<Remark> {
    let limit = facts.limits.unsafe_pressure();
    let share = load(survey, plan, &paths(survey, plan, facts)?, facts)?.share?;
    (share > limit.value).then(|| Remark::FrontWall {
        share,
        limit,
        accepted: facts.accept.contains(&Accept::FrontWall),
    })
}

fn first_fret(plan: &Plan, limits: &Limits) -> Vec<Remark> {
    let limit = limits.least_first_fret;
    let is_low = |gap: f64| gap > 0.0 && gap < limit.value;
    let lying = those(plan, |s| s.action_1 <= 0.0).map(Remark::OnFirstFret);
    let gaps = plan.strings.iter().map(|s| s.action_1);
    let low = those(plan, |s| is_low(s.action_1)).map(|strings| Remark::FirstFretLow {
        strings,
        least: gaps.filter(|gap| is_low(*gap)).fold(f64::INFINITY, f64::min),
        limit,
    });
    lying.into_iter().chain(low).collect()
}

fn touching(plan: &Plan, survey: &SaddleSurvey) -> Option<Remark> {
    let touch = |s: &StringPlan| first_touch(s, &survey.board);
    let found = figures(plan, touch)?;
    Some(Remark::Touching(
        found
            .into_iter()
            .map(|(string, (held, fret))| (string, held, fret))
            .collect(),
    ))
}

/// The lowest held fret from which the string at rest touches a further fret, and that fret, up to the body joint and to fret 12 at
/// least. Fret 1 under the open string has a remark of its own.
fn first_touch(s: &StringPlan, board: &Board) -> Option<(u32, u32)> {
    let last = board.joint_fret().max(12);
    let contact = (s.position.x, s.position.z);
    (0..last).find_map(|held| {
        let (line, from) = if held == 0 {
            (s.line, 2)
        } else {
            let crown = (board.fret_x(held, &s.run), board.crown_under(held, &s.run));
            (StringLine::through(crown, contact), held + 1)
        };
        (from..=last)
            .find(|fret| line.action(board, &s.run, *fret) <= 0.0)
            .map(|fret| (held, fret))
    })
}

fn exposure(plan: &Plan, limits: &Limits) -> Option<Remark> {
    let known: Option<Vec<f64>> = plan.strings.iter().map(|s| s.exposure).collect();
    let Some(known) = known else {
        return Some(Remark::ExposureUnknown);
    };
    if let Some(sunk) = those(plan, |s| s.exposure.is_some_and(|e| e <= 0.0)) {
        return Some(Remark::Sunk(sunk));
    }
    let count = u32::try_from(known.len()).unwrap_or(u32::MAX);
    let mean = known.iter().sum::<f64>() / f64::from(count);
    let (least, most) = (limits.least_exposure, limits.most_exposure);
    // A job's own limit is the only one that counts.
    let lowest = if least.source == Source::Job {
        least
    } else {
        LOWEST_EXPOSURE
    };
    if mean < lowest.value {
        Some(Remark::ExposureLow { mean, limit: lowest })
    } else if mean > most.value {
        Some(Remark::ExposureHigh { mean, limit: most })
    } else {
        (mean < least.value).then_some(Remark::ExposureLow { mean, limit: least })
    }
}

fn in_slot(plan: &Plan, survey: &SaddleSurvey, facts: &Facts) -> Option<Remark> {
    let less_than = |share: f64| {
        those(plan, |s| {
            s.exposure.is_some_and(|e| s.contact.v - e < share * s.contact.v)
        })
    };
    let none = those(plan, |s| s.exposure.is_some_and(|e| s.contact.v - e <= 0.0));
    if let Some(strings) = none {
        let under = survey.under;
        return Some(Remark::NothingInSlot { strings, under });
    }
    let accepted = facts.accept.contains(&Accept::InSlot);
    let lowest = facts.limits.unsafe_in_slot();
    let of = |strings, limit, is_unsafe| Remark::LittleInSlot {
        strings,
        limit,
        is_unsafe,
        accepted,
    };
    let usual = facts.limits.least_in_slot;
    less_than(lowest.value)
        .map(|strings| of(strings, lowest, true))
        .or_else(|| less_than(usual.value).map(|strings| of(strings, usual, false)))
}

fn string_ends(plan: &Plan) -> Vec<Remark> {
    let lifted = those(plan, |s| s.termination.bearing == Bearing::Lifted).map(Remark::Lifted);
    let off = figures(plan, |s| Some(s.termination.from_planned).filter(|off| *off > OFF_PLAN)).map(Remark::OffPlan);
    lifted.into_iter().chain(off).collect()
}

fn break_angles(plan: &Plan, limits: &Limits) -> Option<Remark> {
    if plan
        .strings
        .iter()
        .all(|s| s.termination.bearing == Bearing::ExitUnknown)
    {
        return Some(Remark::BreakUnknown);
    }
    let limit = limits.least_break_angle;
    let low = |s: &StringPlan| match s.termination.bearing {
        Bearing::Bears { break_angle } if break_angle < limit.value => Some(break_angle),
        _ => None,
    };
    Some(Remark::BreakLow {
        strings: figures(plan, low)?,
        limit,
    })
}

fn calibrations(plan: &Plan) -> Option<Remark> {
    let strings = figures(plan, |s| s.calibration)?;
    let is_far = |factor: f64| !(FAR_CALIBRATION.0..=FAR_CALIBRATION.1).contains(&factor);
    let far = strings.iter().filter(|(_, factor)| is_far(*factor)).map(|(n, _)| *n);
    Some(Remark::Calibrated {
        far: far.collect(),
        strings,
    })
}

/// What the plan counts on at the nut: a new nut, moves of its contacts, and work on a zero fret.
fn nut(plan: &Plan, survey: &SaddleSurvey) -> Vec<Remark> {
    let pairs = || plan.strings.iter().zip(&survey.strings);
    let new: Vec<u32> = pairs()
        .filter(|(_, from)| from.new_gap.is_some())
        .map(|(s, _)| s.number)
        .collect();
    let new = (!new.is_empty()).then(|| {
        let all = new.len() == plan.strings.len();
        Remark::NewNut(if all { Vec::new() } else { new })
    });
    let moves: Vec<(u32, f64)> = pairs()
        .map(|(s, from)| (s.number, from.nut_x - s.nut.x))
        .filter(|(_, moved)| moved.abs() >= NUT_MOVES)
        .collect();
    let moves = (!moves.is_empty()).then_some(Remark::NutMoves(moves));
    let work = zero_fret_work(survey).map(Remark::ZeroFretWork);
    new.into_iter().chain(moves).chain(work).collect()
}
