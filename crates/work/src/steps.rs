//! The order of the work, which undoes nothing that was done before. Common practice: fit, height, then the ridge; ends and glue last.

use instrument::StrungString;
use numerics::ContentMark;
use saddle::BlankKind;

use crate::other_end::zero_fret_work;
use crate::{Fitted, Left, NutWork, Planned, Remark, SaddleWork, Whole};

/// How far outside the traced line the ends of a through saddle are left until the height is final, mm. A maker's kit manual has 1/32 in.
pub const ENDS_PROUD: f64 = 0.8;
/// Thickness of a thin line of hide glue under a saddle, least and most, mm. Common practice, no source.
pub const GLUE_LINE: [f64; 2] = [0.03, 0.05];
/// Share of a change of height at the saddle that shows as action at fret 12, no unit: about half, because fret 12 is half way.
const AT_12: f64 = 0.5;

/// Part of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// Before anything is cut.
    BeforeCutting,
    /// The saddle is made.
    MakeSaddle,
    /// The nut is made; the saddle stays.
    MakeNut,
    /// Nut and saddle are brought right together.
    Together,
    /// After stringing up, once there are readings.
    AfterStringing,
    /// The end.
    Finish,
}

/// One step. Lengths in mm, angles in radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Step {
    /// All readings that need the strings on are taken.
    ReadAll,
    /// Something else is the remedy, or comes first.
    AssessFirst,
    /// What stands in the way is settled, put into the survey, and planned again: the order of the work follows only then.
    PlanAgain,
    /// The sheets are printed and their bars measured.
    Print,
    /// Held strings are too far out of tune: decide on a way out first.
    DecideHeld,
    /// The zero fret is brought to its height: how far its crown comes up, least and most over the strings; dressed down, negative.
    ZeroFret([f64; 2]),
    /// The strings are slacked; an old saddle that is not glued comes out by hand, and is kept.
    Slacken {
        /// It is glued in.
        old_glued: bool,
    },
    /// A glued saddle is tried cold.
    FreeCold,
    /// It is freed by heat or steam, the top shielded.
    FreeWarm,
    /// It is cut in two along itself and collapsed inward.
    FreeByKerf,
    /// The slot is clean.
    CleanSlot,
    /// A floor that is not flat is trued, and its depth read again.
    TrueFloor,
    /// The blank is brought to its thickness.
    Thickness(f64),
    /// Its bottom is straight and square.
    Bottom,
    /// It stands in the slot, dry, before anything is shaped: the ends of a drop-in come after.
    DryFit,
    /// Ends of a through saddle are traced and left so much proud.
    TraceEnds {
        /// How far outside the line.
        proud: f64,
        /// The line is on the patterns already.
        drawn: bool,
    },
    /// Ends of a saddle that drops in are rounded.
    RoundEnds {
        /// Radius, seen from above.
        radius: f64,
    },
    /// From now on height comes off the top: what is taken off the bottom drops the ends by as much.
    FromTop {
        /// How proud the ends were left: so much off the bottom, and they end under the bridge.
        proud: f64,
    },
    /// The pattern is on.
    Pattern,
    /// The top is filed to the line, a little proud.
    ToLine,
    /// The crown gets its shape.
    Crown {
        /// Fall to the front.
        front: f64,
        /// Fall to the back.
        back: f64,
        /// Radius of the ridge.
        rounding: f64,
    },
    /// It is strung up dry, and read.
    StringUp {
        /// It will be glued: proud now, so that it can be taken out, filed and read again.
        glued: bool,
    },
    /// Relief and frets are right.
    ReliefFirst,
    /// The saddle is fitted and left proud.
    SaddleProud,
    /// The nut's slots are cut to the stack and so much more.
    CutSlots(f64),
    /// The slots are taken down at pitch.
    SlotsAtPitch,
    /// Then the saddle's height, and last intonation.
    SaddleLast,
    /// Last the action is read, over a saddle that stays.
    ReadAction,
    /// Every string is good, or is left as it is.
    AllGood,
    /// A string is left although it is low.
    Leave {
        /// String number.
        string: u32,
        /// How far it is under its target at fret 12.
        low_12: f64,
    },
    /// A shim goes under the saddle.
    Shim(f64),
    /// A shim goes under a through saddle whose ends are not blended yet; else a new saddle is made.
    ShimOrNew(f64),
    /// The saddle is too low: a new one.
    NewSaddle,
    /// The nut's slots come before the saddle.
    SlotsFirst,
    /// Doubtful readings are taken again.
    ReadAgain,
    /// The ridge of a string is moved back by so much; negative is forward.
    Move {
        /// String number.
        string: u32,
        /// How far.
        back: f64,
    },
    /// Then its contact is lowered.
    Lower {
        /// String number.
        string: u32,
        /// In all.
        all: f64,
        /// What is left of that when the move is made.
        rest: f64,
    },
    /// Read again before the last strokes.
    LastStrokes,
    /// The ridge is polished.
    Polish,
    /// The ends are blended to the bridge.
    Blend {
        /// There are templates of them.
        drawn: bool,
    },
    /// Glue last.
    Glue {
        /// By how much the line of glue raises the saddle, least and most.
        line: [f64; 2],
        /// What that adds to the action at fret 12.
        action_12: [f64; 2],
    },
    /// Read against the dry figures once the glue has set, and noted.
    ReadGlued {
        /// By how much the action at fret 12 may have come up.
        action_12: f64,
    },
    /// Action and cents are noted with the job.
    Note,
}

/// What a step is kept by, so that it can be ticked off. It hangs on what the step says and on nothing else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepKey(String);

impl StepKey {
    /// As it is kept.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Step {
    /// Its key. `stamp` stands before the steps that follow from readings: new readings make new steps, so that an old tick does not
    /// stand for them.
    fn key(&self, stamp: &str) -> StepKey {
        let own = |name: &str| StepKey(name.to_owned());
        let read = |name: &str| StepKey(format!("{stamp}-{name}"));
        match self {
            Self::ReadAll => own("read"),
            Self::AssessFirst => own("assess"),
            Self::PlanAgain => own("plan-again"),
            Self::Print => own("print"),
            Self::DecideHeld => own("held"),
            Self::ZeroFret(_) => own("zero-fret"),
            Self::Slacken { .. } => own("slack"),
            Self::FreeCold => own("free-cold"),
            Self::FreeWarm => own("free-warm"),
            Self::FreeByKerf => own("free-kerf"),
            Self::CleanSlot => own("slot"),
            Self::TrueFloor => own("floor"),
            Self::Thickness(_) => own("thick"),
            Self::Bottom => own("bottom"),
            Self::DryFit => own("dry-fit"),
            Self::TraceEnds { .. } | Self::RoundEnds { .. } => own("ends"),
            Self::FromTop { .. } => own("from-top"),
            Self::Pattern => own("pattern"),
            Self::ToLine => own("line"),
            Self::Crown { .. } => own("ridge"),
            Self::StringUp { .. } => own("string"),
            Self::ReliefFirst => own("nut-relief"),
            Self::SaddleProud => own("nut-saddle-proud"),
            Self::CutSlots(_) => own("nut-slots"),
            Self::SlotsAtPitch => own("nut-at-pitch"),
            Self::SaddleLast => own("nut-saddle-last"),
            Self::ReadAction => own("nut-action"),
            Self::AllGood => read("good"),
            Self::Leave { string, .. } => read(&format!("leave{string}")),
            Self::Shim(_) | Self::ShimOrNew(_) => read("shim"),
            Self::NewSaddle => read("new"),
            Self::SlotsFirst => read("slots"),
            Self::ReadAgain => read("again"),
            Self::Move { string, .. } => read(&format!("move{string}")),
            Self::Lower { string, .. } => read(&format!("low{string}")),
            Self::LastStrokes => read("then"),
            Self::Polish => own("polish"),
            Self::Blend { .. } => own("blend"),
            Self::Glue { .. } => own("glue"),
            Self::ReadGlued { .. } | Self::Note => own("note"),
        }
    }
}

/// A mark of readings by their figures.
fn stamp(readings: &[StrungString]) -> String {
    let figure = |value: &Option<f64>| value.map_or_else(|| "-".to_owned(), |value| value.to_string());
    let strings = readings.iter().map(|string| {
        // All fields, so that a new one cannot be forgotten.
        let StrungString {
            action_12,
            clearance,
            cents_12,
            others,
            // The same readings with a better tool are no news.
            with: _,
        } = string;
        let others: String = others.iter().map(|(fret, cents)| format!(" {fret}:{cents}")).collect();
        format!(
            "{} {} {}{others}\n",
            figure(action_12),
            figure(clearance),
            figure(cents_12)
        )
    });
    format!("{:.8}", ContentMark::of(strings.collect::<String>()))
}

/// A stage with its steps.
#[derive(Debug, Clone, PartialEq)]
pub struct Staged<'a> {
    /// The stage.
    pub stage: Stage,
    /// The saddle that it is of, by its name, where there are several.
    pub saddle: Option<&'a str>,
    /// Its steps in order, each with its key.
    pub steps: Vec<(StepKey, Step)>,
}

/// The steps of a job, stage by stage; none without a plan. Where a part is not to be made as it stands, only what comes before: the
/// parts are one line, and nothing is cut for one of them while another is not settled.
#[must_use]
pub fn steps<'a>(done: &'a Planned) -> Vec<Staged<'a>> {
    let readings = done.job.strung.as_deref().unwrap_or_default();
    let stamp = stamp(readings);
    let saddles: Vec<SaddleWork> = done.saddles().filter_map(Planned::saddle).collect();
    let mut stages = Vec::new();
    let mut add = |stage, saddle: Option<&'a str>, steps: Vec<Step>| {
        let key = |step: &Step| match (saddle, step.key(&stamp)) {
            (Some(name), StepKey(key)) => StepKey(format!("{name}-{key}")),
            (None, key) => key,
        };
        let steps = steps.into_iter().map(|step| (key(&step), step)).collect();
        stages.push(Staged { stage, saddle, steps });
    };
    if done.halts() {
        add(Stage::BeforeCutting, None, settling(done));
        return stages;
    }
    if !saddles.is_empty() {
        add(Stage::BeforeCutting, None, before_cutting(&saddles));
    }
    // What is done once for all strings comes after the last saddle.
    let is_last = |i: usize| i + 1 == saddles.len();
    for (i, saddle) in saddles.iter().enumerate() {
        let mut steps = making(saddle);
        steps.retain(|step| is_last(i) || !matches!(step, Step::StringUp { .. }));
        add(Stage::MakeSaddle, saddle.job.name.as_deref(), steps);
    }
    if let Some(nut) = done.nut() {
        let stage = if done.job.saddle_stays() {
            Stage::MakeNut
        } else {
            Stage::Together
        };
        add(stage, None, nut.steps());
    }
    let read = done.job.strung.as_deref();
    // Saddles from which the readings say that no file makes them right: neither ends nor glue come next.
    let mut halted = Vec::new();
    for (one, read) in read.into_iter().flat_map(|read| done.read_by_saddle(read)) {
        if let Some(saddle) = one.saddle()
            && let Ok(fitted) = saddle.fit(read)
        {
            add(Stage::AfterStringing, one.job.name.as_deref(), after_stringing(&fitted));
            if !matches!(fitted.whole(), Whole::Good | Whole::AsNear | Whole::File) {
                halted.push(one.job.name.as_deref());
            }
        }
    }
    for (i, saddle) in saddles.iter().enumerate() {
        let name = saddle.job.name.as_deref();
        let mut steps = if halted.contains(&name) {
            Vec::new()
        } else {
            finishing(saddle)
        };
        steps.retain(|step| is_last(i) || !matches!(step, Step::Note | Step::ReadGlued { .. }));
        if !steps.is_empty() {
            add(Stage::Finish, name, steps);
        }
    }
    stages
}

/// What is done of a job of which a part is not to be made as it stands.
fn settling(done: &Planned) -> Vec<Step> {
    let doubted = !done.doubted.is_empty() || done.saddles().any(|one| !one.doubted.is_empty());
    let mut steps = vec![Step::ReadAll];
    steps.extend(doubted.then_some(Step::ReadAgain));
    steps.push(Step::PlanAgain);
    steps
}

fn before_cutting(saddles: &[SaddleWork]) -> Vec<Step> {
    let asks = saddles.iter().any(|saddle| saddle.plan.ways_out.is_some());
    let not_yet = saddles
        .iter()
        .flat_map(SaddleWork::remarks)
        .any(|remark| matches!(remark, Remark::NotYet(_)));
    let mut steps = vec![Step::ReadAll];
    steps.extend(not_yet.then_some(Step::AssessFirst));
    steps.push(Step::Print);
    steps.extend(asks.then_some(Step::DecideHeld));
    let old_glued = saddles.iter().any(|saddle| saddle.made.old_glued);
    steps.push(Step::Slacken { old_glued });
    if old_glued {
        steps.extend([Step::FreeCold, Step::FreeWarm, Step::FreeByKerf]);
    }
    let work = saddles.iter().filter_map(|saddle| zero_fret_work(saddle.survey));
    let work: Vec<(u32, f64)> = work.flatten().collect();
    if !work.is_empty() {
        let rises = work.iter().map(|(_, rise)| *rise);
        let least = rises.clone().fold(f64::INFINITY, f64::min);
        steps.push(Step::ZeroFret([least, rises.fold(f64::NEG_INFINITY, f64::max)]));
    }
    steps.push(Step::CleanSlot);
    steps.extend(old_glued.then_some(Step::TrueFloor));
    steps
}

fn making(saddle: &SaddleWork) -> Vec<Step> {
    let plan = saddle.plan;
    let (proud, drawn) = (ENDS_PROUD, plan.blank.blended().is_some());
    let mut steps = vec![Step::Thickness(plan.blank.thickness), Step::Bottom];
    // What drops in goes in only with its ends round; what stands out at the ends is traced where it stands.
    steps.extend(match plan.blank.end_radius() {
        None => [Step::DryFit, Step::TraceEnds { proud, drawn }],
        Some(radius) => [Step::RoundEnds { radius }, Step::DryFit],
    });
    steps.extend([Step::Pattern, Step::ToLine]);
    steps.push(Step::Crown {
        front: plan.crown.front_fall,
        back: plan.crown.back_fall,
        rounding: plan.crown.rounding,
    });
    let through = plan.blank.kind == BlankKind::Through;
    steps.extend(through.then_some(Step::FromTop { proud }));
    steps.push(Step::StringUp {
        glued: plan.blank.glued,
    });
    steps
}

/// The order of the work on one saddle from the blank to the end, without readings; none of it where the saddle is not to be made as it
/// stands.
#[must_use]
pub fn saddle_steps(saddle: &SaddleWork) -> Vec<Step> {
    if !saddle.stops().is_empty() {
        return vec![Step::PlanAgain];
    }
    let mut steps = making(saddle);
    steps.extend(finishing(saddle));
    steps
}

impl NutWork<'_> {
    /// In which order the nut is made: alone, or with the saddle, which is one line with it.
    #[must_use]
    pub fn steps(&self) -> Vec<Step> {
        nut_steps(self.job.saddle_stays(), self.plan.proud)
    }
}

/// The same for a nut whose slots are left so much proud, mm.
#[must_use]
pub fn nut_steps(saddle_stays: bool, proud: f64) -> Vec<Step> {
    let (cut, at_pitch) = (Step::CutSlots(proud), Step::SlotsAtPitch);
    if saddle_stays {
        vec![Step::ReliefFirst, cut, at_pitch, Step::ReadAction]
    } else {
        vec![Step::ReliefFirst, Step::SaddleProud, cut, at_pitch, Step::SaddleLast]
    }
}

fn after_stringing(fitted: &Fitted) -> Vec<Step> {
    let leave = fitted.strings().iter().filter_map(|s| {
        let (string, low_12) = (s.number, -s.off_12);
        matches!(s.left, Left::Low(_)).then_some(Step::Leave { string, low_12 })
    });
    match fitted.whole() {
        Whole::Good | Whole::AsNear => leave.chain([Step::AllGood]).collect(),
        Whole::Shim(by) => vec![Step::Shim(by)],
        Whole::ShimOrNew(by) => vec![Step::ShimOrNew(by)],
        Whole::NewSaddle(_) => vec![Step::NewSaddle],
        Whole::SlotsFirst => vec![Step::SlotsFirst],
        Whole::ReadAgain => vec![Step::ReadAgain],
        Whole::File => {
            let each = fitted.strings().iter().flat_map(|s| {
                let (string, back) = (s.number, s.move_back);
                let (all, rest) = (s.lower, s.rest());
                let moved = (back != 0.0).then_some(Step::Move { string, back });
                let lowered = (rest > 0.0).then_some(Step::Lower { string, all, rest });
                moved.into_iter().chain(lowered)
            });
            each.chain(leave).chain([Step::LastStrokes]).collect()
        }
    }
}

fn finishing(saddle: &SaddleWork) -> Vec<Step> {
    let blank = &saddle.plan.blank;
    let mut steps = vec![Step::Polish];
    if blank.kind == BlankKind::Through {
        let drawn = blank.blended().is_some();
        steps.push(Step::Blend { drawn });
    }
    if blank.glued {
        let action_12 = GLUE_LINE.map(|line| AT_12 * line);
        steps.push(Step::Glue {
            line: GLUE_LINE,
            action_12,
        });
        steps.push(Step::ReadGlued {
            action_12: action_12[1],
        });
    } else {
        steps.push(Step::Note);
    }
    steps
}
