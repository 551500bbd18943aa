//! After stringing up: what is left to do on every string, and on the whole saddle.

use assess::Facts;
use instrument::{Frame, StrungString, Uncertainty};
use known::Evidence;
use nut::filing::Lowered;
use saddle::{BlankKind, Fit, FitError, FitLimits, Hold, Moved, Plan, SaddleSurvey, StringFit, StringPlan, plan};
use strings::Point;

use crate::borne::{Borne, least_left};
use crate::doubted::{doubted as doubted_before, doubted_after};
use crate::worth::{NO_TUNER, STAYS};
use crate::{Doubted, Remark, SaddleWork, SlotLeft, SlotLimits, SlotRead, SlotsRead};

/// What is given to a fit: the saddle as it was planned and made, and what was read over it.
#[derive(Debug, Clone)]
pub struct Strung<'a> {
    /// The plan that the saddle was made to.
    pub made: &'a Plan,
    /// The survey of that plan.
    pub survey: &'a SaddleSurvey,
    /// What it was planned by.
    pub evidence: &'a Evidence,
    /// The readings, bass to treble.
    pub read: &'a [StrungString],
    /// What counts as good and as doubtful.
    pub limits: FitLimits,
    /// Actions at fret 12 that the job says must not be gone under, bass to treble, mm; none where the list ends.
    pub floors: &'a [Option<f64>],
    /// What a new saddle is held against.
    pub facts: &'a Facts,
    /// The slots of the nut that is made beside the saddle, with the same readings.
    pub slots: Option<SlotsRead<'a>>,
}

/// A fit with what it was made from, and what is left to do.
#[derive(Debug, Clone)]
pub struct Fitted<'a> {
    /// The plan that the saddle was made to.
    pub made: &'a Plan,
    /// The readings, bass to treble.
    pub read: &'a [StrungString],
    /// What counted as good and as doubtful.
    pub limits: FitLimits,
    /// What came of it.
    pub fit: Fit,
    facts: &'a Facts,
    /// What of all that was read, before and after stringing up, does not fit, the furthest off first.
    pub doubted: Vec<Doubted>,
    strings: Vec<StringLeft>,
    whole: Whole,
}

/// What is left to do on one string.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Left {
    /// Good as it is.
    Good,
    /// File: the move first, then the rest of the height.
    File,
    /// Leave it: held at the land, a file has nothing to do.
    Held,
    /// Leave it: it is low, and within what can be borne.
    Low(Borne),
    /// Leave it: out of tune, and no stroke would better it that is worth it or that its height allows.
    Untuned,
    /// Too low.
    TooLow,
    /// A reading is doubtful: take it again first.
    ReadAgain,
    /// Nothing yet: other readings, or the nut's slots, come first.
    Wait,
    /// Lower it once the shim is in.
    WithShim,
    /// It comes right with the new saddle.
    Remade,
}

/// One string after stringing up. Lengths in mm; heights at the saddle along v.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StringLeft {
    /// String number.
    pub number: u32,
    /// The verdict.
    pub left: Left,
    /// Action at fret 12 over its target now; negative: too low.
    pub off_12: f64,
    /// The same at the saddle.
    pub off_saddle: f64,
    /// What the shim gives the action at fret 12; 0 without one.
    pub lifted_12: f64,
    /// Move the ridge back by so much, square to the face; negative is forward, 0 where it stays.
    pub move_back: f64,
    /// Lower the contact by so much in all, 0 or more.
    pub lower: f64,
    /// What of that the move alone makes, filed down the planned crown.
    pub by_move: f64,
    /// Action at fret 12 when what is proposed is done.
    pub then_action_12: f64,
    /// Error at fret 12 likewise, cents.
    pub then_cents_12: f64,
    /// Where fret 12 then is further from its aim than is good.
    pub untuned: Option<StaysUntuned>,
}

/// A string that stays out of tune at fret 12.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StaysUntuned {
    /// How far from its aim, cents, sharp positive.
    pub off: f64,
    /// Why nothing is done about it.
    pub why: Untunable,
}

/// Why the ridge of a string that is out of tune stays where it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Untunable {
    /// It is held at the land, as in the plan that the saddle was made to.
    Held,
    /// What was read would put its ridge past the land.
    PastLand,
    /// The move would leave the string too low.
    EndsLow,
    /// No move betters it by what is worth a stroke.
    NotWorth,
}

impl StringLeft {
    /// What is still to be lowered when the move is made, 0 or more.
    #[must_use]
    pub fn rest(&self) -> f64 {
        (self.lower - self.by_move).max(0.0)
    }

    /// Whether it is left although it is not good.
    #[must_use]
    pub fn is_off(&self) -> bool {
        self.untuned.is_some() || self.left != Left::Good
    }

    /// Whether a file has something to do on it.
    #[must_use]
    pub fn is_filed(&self) -> bool {
        self.move_back != 0.0 || self.rest() > 0.0
    }
}

/// What comes next for a saddle from which nothing more is to be filed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ending {
    /// Nothing: it drops in.
    Nothing,
    /// Its ends are blended to the bridge; it stays dry.
    Blend,
    /// Its ends are blended, then it is glued.
    BlendAndGlue,
    /// These strings first: their action or their pitch was not read, and a glued saddle is not taken out again.
    ReadFirst(Vec<u32>),
}

/// What to do with the whole saddle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Whole {
    /// Nothing: every string is good.
    Good,
    /// Nothing that a file could mend: every string is good or is left as it is.
    AsNear,
    /// File the strings that say so.
    File,
    /// Lay a shim of this thickness, mm, under a saddle that drops in; then lower each string.
    Shim(f64),
    /// The same under a through saddle as long as its ends are not blended and it is not glued; else make a new one.
    ShimOrNew(f64),
    /// Too low, and a shim of this thickness, mm, would lift it too far out of its slot: make a new saddle.
    NewSaddle(f64),
    /// Slots of the nut come first: they change the action too.
    SlotsFirst,
    /// File nothing; take the doubtful readings again.
    ReadAgain,
}

impl<'a> Fitted<'a> {
    /// Fits the readings and judges what is left.
    ///
    /// # Errors
    /// [`FitError`].
    pub fn of(strung: &Strung<'a>) -> Result<Self, FitError> {
        let fit = saddle::fit(strung.evidence, strung.survey, strung.read, &strung.evidence.unsure)?;
        let slots = strung.slots.as_ref().map_or_else(Vec::new, slots);
        let slots = slots.into_iter().chain(std::iter::repeat(None));
        let floors = strung.floors.iter().copied().chain(std::iter::repeat(None));
        let plans = fit.next.strings.iter().zip(&strung.made.strings);
        let doubted = doubted_after(&fit);
        let is_doubted = |s: &StringFit| doubted.iter().any(|doubted| doubted.is_of_made(s.number));
        let strings = fit.strings.iter().map(|s| (s, is_doubted(s)));
        let before = doubted_before(strung.evidence);
        let is_new = doubted
            .iter()
            .any(|doubted| !before.iter().any(|known| known.is_of_same(doubted)));
        let each = strings.zip(plans).zip(floors).zip(slots);
        let of = |((((s, is_doubted), (next, made)), floor), slot)| One {
            s,
            is_doubted,
            next,
            made,
            floor,
            slot,
            limits: &strung.limits,
            frame: &fit.next.frame,
        };
        let ones: Vec<One> = each.map(of).collect();
        let (whole, strings) = whole(&ones, &fit, strung, is_new);
        Ok(Self {
            made: strung.made,
            read: strung.read,
            limits: strung.limits,
            facts: strung.facts,
            strings,
            whole,
            doubted,
            fit,
        })
    }

    /// What is to be known of the plan of a second saddle, made with what these readings taught.
    #[must_use]
    pub fn next_remarks(&self) -> Vec<Remark> {
        Remark::of(&self.fit.next, &self.fit.corrected, self.facts)
    }

    /// What is left to do on every string, bass to treble.
    #[must_use]
    pub fn strings(&self) -> &[StringLeft] {
        &self.strings
    }

    /// Strings whose action was read out of what is good by more than a reading tells, while all readings together put it within: each with how far over its target it was
    /// read, mm at fret 12.
    #[must_use]
    pub fn read_further_off(&self) -> Vec<(u32, f64)> {
        let (good, reading) = (self.limits.action, self.limits.reading);
        let each = self.strings.iter().zip(self.read).zip(&self.fit.next.strings);
        let off = each.filter_map(|((left, read), next)| {
            let off = read.action_12? - next.action_12;
            let is_told = left.left == Left::ReadAgain || left.off_12.abs() > good;
            (!is_told && off.abs() > good + reading).then_some((left.number, off))
        });
        off.collect()
    }

    /// What to do with the whole saddle.
    #[must_use]
    pub fn whole(&self) -> Whole {
        self.whole
    }

    /// What comes next where nothing more is to be filed; `None` while something else comes first.
    #[must_use]
    pub fn ending(&self) -> Option<Ending> {
        let blank = &self.made.blank;
        if !matches!(self.whole, Whole::Good | Whole::AsNear) {
            return None;
        }
        let each = self.strings.iter().zip(self.read);
        let unread = each.filter(|(_, read)| read.action_12.is_none() || read.cents_12.is_none());
        let unread: Vec<u32> = unread.map(|(string, _)| string.number).collect();
        Some(match blank.kind {
            BlankKind::Through if blank.glued && unread.is_empty() => Ending::BlendAndGlue,
            BlankKind::Through if blank.glued => Ending::ReadFirst(unread),
            BlankKind::Through => Ending::Blend,
            BlankKind::DropIn => Ending::Nothing,
        })
    }
}

/// What slots do to their strings once they are at their gap; `None` where one stays as it is, or was not read.
fn slots(slots: &SlotsRead) -> Vec<Option<Lowered>> {
    let then = |found: &SlotRead| match found.left {
        SlotLeft::File(then) | SlotLeft::TooLow(then) => Some(then),
        SlotLeft::Good | SlotLeft::Low(..) => None,
    };
    let each = slots.slots.iter();
    each.map(|found| found.as_ref().and_then(then)).collect()
}

/// One string with what it is judged by.
struct One<'a> {
    s: &'a StringFit,
    /// Whether a reading of it may be wrong.
    is_doubted: bool,
    next: &'a StringPlan,
    made: &'a StringPlan,
    floor: Option<f64>,
    /// Its slot once it is at its gap, where it is not.
    slot: Option<Lowered>,
    limits: &'a FitLimits,
    /// The blank's frame as the saddle stands.
    frame: &'a Frame,
}

impl One<'_> {
    fn off_cents(&self, cents: f64) -> f64 {
        cents - self.next.aim_cents_12
    }

    fn in_tune(&self, cents: f64) -> bool {
        self.off_cents(cents).abs() <= self.limits.cents + NO_TUNER
    }

    /// Least action at fret 12 that is left as it is, mm.
    fn least(&self) -> f64 {
        least_left(
            self.next.action_12 - self.limits.action,
            self.floor,
            self.limits.reading,
        )
    }

    /// The move to where the corrected plan has the ridge, if it is worth its stroke: fret 12 shows `without` cents without it and `with`
    /// after it.
    fn worth(&self, without: f64, with: impl Fn(&Moved) -> f64) -> Option<&Moved> {
        // A file only takes off: where the crown was not made quite where it was planned, it may rise on the way.
        let moved = self
            .s
            .moved
            .as_ref()
            .filter(|moved| moved.alone.contact.v <= self.s.contact.v)?;
        let gain = self.off_cents(without).abs() - self.off_cents(with(moved)).abs();
        (gain >= self.limits.stroke_cents && moved.back.abs() >= STAYS).then_some(moved)
    }

    /// The same for a string that is filed to its target's height.
    fn worth_at_height(&self) -> Option<&Moved> {
        self.worth(self.s.level_cents_12, |moved| moved.cents_12)
    }

    /// The same for one that is filed for its pitch alone.
    fn worth_alone(&self) -> Option<&Moved> {
        let off = !self.in_tune(self.s.cents_12);
        off.then(|| self.worth(self.s.cents_12, |moved| moved.alone.cents_12))?
    }

    /// With its slot at its gap and the saddle as it is.
    fn slotted(&self, slot: &Lowered) -> StringLeft {
        let (nut, saddle) = (self.next.nut, self.frame.to_fret(self.s.contact));
        let lowered = Point {
            z: nut.z - slot.by,
            ..nut
        };
        let cents = |nut: Point| {
            let (x, z) = (saddle.x, saddle.z);
            self.next.string.cents_at_12(nut, Point { x, z })
        };
        let change = cents(lowered) - cents(nut);
        self.done(Left::Wait, slot.action_12, self.s.cents_12 + change)
    }

    /// As it stands, with nothing done.
    fn left_so(&self, left: Left) -> StringLeft {
        self.done(left, self.s.action_12, self.s.cents_12)
    }

    fn done(&self, left: Left, action_12: f64, cents_12: f64) -> StringLeft {
        StringLeft {
            number: self.s.number,
            left,
            off_12: self.s.off_12,
            off_saddle: self.s.off_saddle,
            lifted_12: 0.0,
            move_back: 0.0,
            lower: 0.0,
            by_move: 0.0,
            then_action_12: action_12,
            then_cents_12: cents_12,
            untuned: (!self.in_tune(cents_12)).then(|| StaysUntuned {
                off: self.off_cents(cents_12),
                why: self.untunable(),
            }),
        }
    }

    fn untunable(&self) -> Untunable {
        if self.next.hold != Hold::Free && self.made.hold != Hold::Free {
            Untunable::Held
        } else if self.next.hold != Hold::Free {
            Untunable::PastLand
        } else if self.worth_alone().or(self.worth_at_height()).is_some() {
            Untunable::EndsLow
        } else {
            Untunable::NotWorth
        }
    }

    /// Brought to its target action with the contact lifted by `lift` mm first: over where it stands, or with its ridge moved.
    fn to_target(&self, left: Left, moved: Option<&Moved>, lift: f64) -> StringLeft {
        let action = self.next.action_12;
        match moved {
            None => StringLeft {
                lower: (self.s.off_saddle + lift).max(0.0),
                ..self.done(left, action, self.s.level_cents_12)
            },
            Some(moved) => {
                let by_move = self.s.contact.v - moved.alone.contact.v;
                StringLeft {
                    move_back: moved.back,
                    by_move,
                    lower: by_move + (moved.rest + lift).max(0.0),
                    ..self.done(left, action, moved.cents_12)
                }
            }
        }
    }

    /// Its ridge moved, and nothing else.
    fn moved_alone(&self, moved: &Moved) -> StringLeft {
        let by_move = self.s.contact.v - moved.alone.contact.v;
        StringLeft {
            move_back: moved.back,
            by_move,
            lower: by_move,
            ..self.done(Left::File, moved.alone.action_12, moved.alone.cents_12)
        }
    }

    /// What is left on it, whatever the others need.
    fn alone(&self) -> StringLeft {
        let (s, limits) = (self.s, self.limits);
        if self.is_doubted {
            return self.left_so(Left::ReadAgain);
        }
        let least = self.least();
        if s.action_12 < least {
            return self.left_so(Left::TooLow);
        }
        let high = s.off_12 > limits.action;
        let moved = if high {
            self.worth_at_height()
        } else {
            self.worth_alone()
        };
        // As a stroke of the file is judged: it ends no lower than is good.
        let lowest = least.max(self.next.action_12 - limits.action);
        if let Some(moved) = moved.filter(|moved| moved.alone.action_12 >= lowest) {
            // What is over the target by less than a reading tells is no height to file.
            let over = moved.alone.action_12 - self.next.action_12 > limits.reading;
            if over {
                return self.to_target(Left::File, Some(moved), 0.0);
            }
            if self.worth(s.cents_12, |moved| moved.alone.cents_12).is_some() {
                return self.moved_alone(moved);
            }
        }
        if high {
            return self.to_target(Left::File, None, 0.0);
        }
        let low = s.off_12 < -limits.action;
        let in_tune = self.in_tune(s.cents_12);
        let left = match self.floor {
            _ if low && s.off_12 >= -(limits.action + limits.reading) => Left::Low(Borne::WithinReading),
            Some(floor) if low => Left::Low(Borne::OverFloor(floor)),
            _ if in_tune => Left::Good,
            _ if self.next.hold != Hold::Free => Left::Held,
            _ => Left::Untuned,
        };
        self.left_so(left)
    }

    /// The move that is made where every string is filed to its target's height anyhow, but not for a pitch that is good without it.
    fn called_for(&self) -> Option<&Moved> {
        let off = !self.in_tune(self.s.level_cents_12);
        self.worth_at_height().filter(|_| off)
    }

    /// How far its contact must come up at the saddle for its target, its ridge moved where that is called for, mm along v.
    fn lacks(&self) -> f64 {
        self.called_for().map_or(-self.s.off_saddle, |moved| -moved.rest)
    }

    /// A height at the saddle, along v, shows at fret 12 in this proportion.
    fn shows(&self) -> f64 {
        let (nut, saddle) = (self.next.nut, self.next.position);
        let slope = (saddle.z - nut.z) / (saddle.x - nut.x);
        let over_12 = (self.next.string.crowns[strings::FRETS - 1].x - nut.x) / (saddle.x - nut.x);
        let up = self.frame.e_v;
        over_12 * (up.z - slope * up.x)
    }

    /// What is left over a shim of this thickness, mm.
    fn shimmed(&self, left: Left, shim: f64) -> StringLeft {
        StringLeft {
            lifted_12: shim * self.shows(),
            ..self.to_target(left, self.called_for(), shim)
        }
    }
}

fn whole(ones: &[One], fit: &Fit, strung: &Strung, is_new: bool) -> (Whole, Vec<StringLeft>) {
    let alone: Vec<StringLeft> = ones.iter().map(One::alone).collect();
    let any = |left: Left| alone.iter().any(|s| s.left == left);
    let is_work = |left: Left| matches!(left, Left::File | Left::TooLow);
    // What fitted before stringing up and does not fit now is looked at before a file does what cannot be undone.
    if any(Left::ReadAgain) || (is_new && alone.iter().any(|s| is_work(s.left))) {
        let waits = ones
            .iter()
            .zip(&alone)
            .map(|(one, s)| if is_work(s.left) { one.left_so(Left::Wait) } else { *s });
        return (Whole::ReadAgain, waits.collect());
    }
    if ones.iter().any(|one| one.slot.is_some()) {
        let waits = ones.iter().zip(&alone).map(|(one, s)| match one.slot {
            Some(slot) => one.slotted(&slot),
            None if is_work(s.left) => one.left_so(Left::Wait),
            None => *s,
        });
        return (Whole::SlotsFirst, waits.collect());
    }
    if any(Left::TooLow) {
        return too_low(ones, &alone, fit, strung);
    }
    let whole = if any(Left::File) {
        Whole::File
    } else if alone.iter().all(|s| s.left == Left::Good) {
        Whole::Good
    } else {
        Whole::AsNear
    };
    (whole, alone)
}

/// What becomes of a saddle with a string that is too low: a shim that brings every string up to its target at least, or a new one.
fn too_low(ones: &[One], alone: &[StringLeft], fit: &Fit, strung: &Strung) -> (Whole, Vec<StringLeft>) {
    let shim = ones.iter().map(One::lacks).fold(0.0, f64::max);
    let bears = bears_shim(fit, strung, shim);
    let each = ones.iter().zip(alone).map(|(one, s)| {
        let left = match s.left {
            Left::TooLow => Left::TooLow,
            _ if bears => Left::WithShim,
            _ => Left::Remade,
        };
        if bears {
            one.shimmed(left, shim)
        } else {
            one.done(left, one.next.action_12, one.next.cents[strings::FRETS - 1])
        }
    });
    let whole = match fit.corrected.blank.kind {
        _ if !bears => Whole::NewSaddle(shim),
        BlankKind::DropIn => Whole::Shim(shim),
        BlankKind::Through => Whole::ShimOrNew(shim),
    };
    (whole, each.collect())
}

/// Whether the saddle may stand on a shim of this thickness, mm: nothing stands against it that does not stand against a new saddle. It may
/// be the saddle that is short and not the slot that is deeper, so the slot is taken as it was read.
fn bears_shim(fit: &Fit, strung: &Strung, shim: f64) -> bool {
    let stops = |plan: &Plan, survey: &SaddleSurvey| {
        let mut all = Remark::of(plan, survey, strung.facts);
        all.retain(Remark::stops);
        all.iter().map(std::mem::discriminant).collect::<Vec<_>>()
    };
    let mut on_shim = fit.corrected.clone();
    on_shim.slot = strung.survey.slot;
    on_shim.under += shim;
    let Ok(shimmed) = plan(&on_shim) else { return false };
    let new = stops(&fit.next, &fit.corrected);
    stops(&shimmed, &on_shim).iter().all(|stop| new.contains(stop))
}

/// Standard uncertainty of an action that was read after stringing up, mm.
fn action_sure_to(read: &[StrungString], usual: &Uncertainty) -> f64 {
    let with = read.iter().find_map(|read| read.with.action.as_ref());
    with.map_or(usual.present_action, |with| with.unsure).total()
}

impl<'a> SaddleWork<'a> {
    /// What these readings after stringing up say, bass to treble.
    ///
    /// # Errors
    /// [`FitError`].
    pub fn fit(&self, read: &'a [StrungString]) -> Result<Fitted<'a>, FitError> {
        let band = self.job.tolerance.band;
        let limits = FitLimits {
            action: band.action,
            cents: band.cents,
            reading: action_sure_to(read, &self.job.uncertainty),
            ..FitLimits::default()
        };
        Fitted::of(&Strung {
            made: self.plan,
            survey: self.survey,
            evidence: self.evidence,
            read,
            limits,
            floors: &self.made.filing.floor_12,
            facts: &self.made.assess,
            slots: self.nut.map(|nut| SlotsRead::of(nut, read, SlotLimits::of(self.job))),
        })
    }
}
