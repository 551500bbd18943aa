//! From both surveys to both plans: the two ends of the string are solved together.

use crate::compensation::{OtherEnd, Shared};
use crate::face::{Face, Seen};
use crate::spacing::{Rules, gaps};
use crate::{Compensation, Front, NutBlank, NutError, NutSurvey, OpenString, Top, slot, standing};
use numerics::math;
use std::ops::Range;

use instrument::{Board, NewGap, StrungInstrument};
use saddle::SaddleSurvey;
use strings::Criterion;

/// A slot whose floor lies more than this many gauges below the top is deeper than sense: it pinches and damps the string
/// (common practice, no source).
pub(crate) const MOST_DEPTH: f64 = 1.5;
/// Least wall between two slots, mm; thinner ones crumble under the file (common practice, no source).
pub(crate) const LEAST_WALL: f64 = 0.5;
/// Least distance from an outer string's side to the edge of the board, mm: nearer, the string slips off the fret ends. A page on
/// mandolins has 1.6 mm, pages on guitars about 3 (published).
pub(crate) const LEAST_EDGE: f64 = 1.3;
/// Most bend sideways over the nut, radians (12 degrees); more binds in the slot (common practice, no source).
pub(crate) const MOST_BEND: f64 = 12.0 * std::f64::consts::PI / 180.0;

/// What to make. Points are `(b, u, v)`, see the crate's page. mm, radians.
#[derive(Debug, Clone, PartialEq)]
pub struct NutPlan {
    /// Strings, bass to treble.
    pub strings: Vec<NutString>,
    /// The strings from nut to saddle, in the same order.
    pub lines: Vec<OpenString>,
    /// Width of the board at the nut: the length of the finished nut.
    pub board_width: f64,
    /// u of the finished ends, bass and treble; the blank runs from 0 to its length.
    pub ends: [f64; 2],
    /// u of the centre line.
    pub centre: f64,
    /// The blank's front face toward the bridge from fret 0: 0, or over the end of the board where a shelf or shift reaches toward the
    /// bridge, or behind it.
    pub front_x: f64,
    /// Angle of fret 0, and so of the nut, against square, positive where the treble end stands toward the bridge.
    pub slant: f64,
    /// v of the board's surface on the centre line.
    pub board_v: f64,
    /// z of the seat.
    pub seat_z: f64,
    /// Height of a fret over the board.
    pub fret_height: f64,
    /// The blank.
    pub blank: NutBlank,
    /// The top at the bearing edges; it falls back as the slots do.
    pub top: Top,
    /// Fall of the slot floors and of the top toward the tuners.
    pub fall: f64,
    /// Depth left to the final stroke.
    pub proud: f64,
    /// How the setbacks are made.
    pub front: Front,
    /// Both spacing rules.
    pub rules: Rules,
    /// What setbacks do.
    pub compensation: Compensation,
    /// What is not as it should be.
    pub flags: Vec<Flag>,
    /// Sheets and programs are mirrored for a left-handed instrument.
    pub left_handed: bool,
}

/// One slot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NutString {
    /// String number; 1 is the treble-most.
    pub number: u32,
    /// Diameter of the string, mm.
    pub gauge: f64,
    /// Whether it is wound.
    pub wound: bool,
    /// From the centre line along the nut, mm, positive toward the treble.
    pub y: f64,
    /// From the bass end of the blank, mm.
    pub u: f64,
    /// Bearing edge back from the front face, mm.
    pub b: f64,
    /// Floor over the seat at the bearing edge, mm.
    pub floor: f64,
    /// Floor over the fret plane under the string (its crown at fret 0), mm.
    pub over_frets: f64,
    /// Feeler stack on the board in front of the nut that stops the file at the floor, mm.
    pub stack: f64,
    /// Board's surface in front of the nut over the seat, under the string, mm.
    pub board: f64,
    /// Rise of the string toward the bridge against the fret plane, radians, seen along the nut.
    pub rise: f64,
    /// Width of the slot; its floor is half a circle across, mm.
    pub width: f64,
    /// Top over the seat at this string, mm.
    pub top: f64,
    /// From the top down to the floor, mm.
    pub depth: f64,
    /// How much of the string stands above the top, mm; negative where it lies below.
    pub shows: f64,
    /// Gap of the open string over fret 1, mm.
    pub clearance: f64,
    /// Gap over fret 1 with the string held at fret 3, mm.
    pub held_at_3: f64,
    /// Setback of the bearing edge, mm; negative is toward the bridge.
    pub setback: f64,
    /// Direction of the slot from the bearing edge back, against square to the front face, radians, positive toward the treble.
    pub fan: f64,
    /// Where the slot leaves the back of the nut, from the centre line along the nut, mm.
    pub back_y: f64,
    /// How far the string bends sideways over the nut, radians, without sign; 0 without posts.
    pub bend: f64,
    /// How far the string bends down over the nut, radians, against the fret plane, if the headstock tells.
    pub down: Option<f64>,
}

/// What is not as it should be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Flag {
    /// Slot deeper than `MOST_DEPTH` gauges.
    Deep {
        /// String number.
        string: u32,
        /// Depth, mm.
        depth: f64,
    },
    /// The floor lies at or over the top: there is no slot.
    NoSlot {
        /// String number.
        string: u32,
    },
    /// Wall between neighbouring slots thinner than `LEAST_WALL`.
    ThinWall {
        /// The two strings.
        strings: [u32; 2],
        /// Wall, mm.
        wall: f64,
    },
    /// Slot floor does not fall enough for the front edge to bear.
    Bearing {
        /// String number.
        string: u32,
        /// Fall that must be exceeded, radians.
        needed: f64,
    },
    /// Slot falls more steeply than the string: it touches the front edge alone.
    EdgeOnly {
        /// String number.
        string: u32,
        /// Bend down of the string, radians.
        down: f64,
    },
    /// An outer string lies nearer to the board's edge than `LEAST_EDGE`.
    Edge {
        /// String number.
        string: u32,
        /// From the string's side to the edge, mm.
        left: f64,
    },
    /// Bends sideways by more than `MOST_BEND`.
    Bend {
        /// String number.
        string: u32,
        /// Bend, radians.
        angle: f64,
    },
    /// The blank is lower than the top; short by so much, mm.
    Low(f64),
    /// The blank is shorter than the board is wide; short by so much, mm.
    Short(f64),
    /// The shelf takes more of the blank's thickness than half, mm.
    Shelf(f64),
    /// The floor lies at or below the board.
    BelowBoard {
        /// String number.
        string: u32,
    },
}

/// Both ends of the strings.
#[derive(Debug, Clone, PartialEq)]
pub struct Together {
    /// The survey that the saddle's plan was made from: the one given, or with the nut's straight shift in it.
    pub survey: SaddleSurvey,
    /// The saddle.
    pub saddle: saddle::Plan,
    /// The nut.
    pub nut: NutPlan,
}

/// A nut and the several saddles that carry its strings.
#[derive(Debug, Clone, PartialEq)]
pub struct Joined {
    /// Bass to treble: the survey that a saddle's plan was made from, as given or with the nut's straight shift in it, and the plan.
    pub saddles: Vec<(SaddleSurvey, saddle::Plan)>,
    /// The nut.
    pub nut: NutPlan,
}

/// Saddle and nut together: what the saddle's survey wants of the string fixes the slot floors, and a straight shift of the nut
/// moves the saddle's contacts.
///
/// # Errors
/// [`NutError`].
pub fn together(survey: &SaddleSurvey, nut: &NutSurvey) -> Result<Together, NutError> {
    let Joined { saddles, nut } = joined(std::slice::from_ref(survey), nut)?;
    let (survey, saddle) = saddles.into_iter().next().ok_or(NutError::NoSaddle)?;
    Ok(Together { survey, saddle, nut })
}

/// The same for several saddles, bass to treble, each with its own strings: a straight shift of the nut is one for all of them.
///
/// # Errors
/// [`NutError`].
pub fn joined(surveys: &[SaddleSurvey], nut: &NutSurvey) -> Result<Joined, NutError> {
    let strings = || surveys.iter().flat_map(|survey| &survey.strings);
    let solved = strings().all(|s| s.criterion == Criterion::BestFitWithNut);
    checked(strings().count(), solved, nut)?;
    let each = surveys
        .iter()
        .map(|survey| Ok((survey.clone(), saddle::plan(survey).map_err(NutError::Saddle)?)));
    let mut saddles = each.collect::<Result<Vec<_>, NutError>>()?;
    let strings = saddles
        .iter()
        .flat_map(|(survey, saddle)| survey.strings.iter().zip(&saddle.strings));
    let shared: Vec<Shared> = strings.map(|(s, planned)| s.shared(&planned.string)).collect();
    let compensation = Compensation::of(&lines(&saddles), &shared, OtherEnd::Made)?;
    if nut.front == Front::Straight {
        for (survey, saddle) in &mut saddles {
            *survey = shifted(survey, saddle, compensation.shift);
            let moved = saddle::plan(survey).map_err(NutError::Saddle)?;
            let by_cents = std::mem::replace(saddle, moved).strings;
            // The strings of the shifted survey are calibrated already; by how much is still to be told.
            for (s, was) in saddle.strings.iter_mut().zip(by_cents) {
                s.calibration = was.calibration;
            }
        }
    }
    let (first, _) = saddles.first().ok_or(NutError::NoSaddle)?;
    let nut = planned(&first.board, first.left_handed, nut, lines(&saddles), compensation)?;
    Ok(Joined { saddles, nut })
}

/// A nut alone, for a saddle that stays; `gaps` are those over fret 1 that it shall give, bass to treble. The action at fret 12 follows from the new nut: [`OpenString::now`] has it as it was.
///
/// # Errors
/// [`NutError`].
pub fn alone(instrument: &StrungInstrument, gaps: &[NewGap], nut: &NutSurvey) -> Result<NutPlan, NutError> {
    checked(instrument.strings.len(), true, nut)?;
    if gaps.len() != instrument.strings.len() {
        return Err(NutError::Count {
            what: "gaps over fret 1",
            given: gaps.len(),
            strings: instrument.strings.len(),
        });
    }
    let mut lines = standing::strung(instrument, gaps)?;
    let shared: Vec<Shared> = lines.iter().map(|line| vec![(line.string, 1.0)]).collect();
    let compensation = Compensation::of(&lines, &shared, OtherEnd::Stays)?;
    for (line, own) in lines.iter_mut().zip(&compensation.strings) {
        match nut.front {
            Front::Plain => {}
            Front::Shelf => *line = line.with_setback(own.shelf.nut),
            Front::Straight => *line = line.with_setback(compensation.shift),
        }
    }
    planned(&instrument.board, instrument.left_handed, nut, lines, compensation)
}

fn lines(saddles: &[(SaddleSurvey, saddle::Plan)]) -> Vec<OpenString> {
    let strings = saddles.iter().flat_map(|(_, saddle)| &saddle.strings);
    strings.map(OpenString::from).collect()
}

/// `solved`: the strings are solved for a nut setback.
fn checked(strings: usize, solved: bool, nut: &NutSurvey) -> Result<(), NutError> {
    let count = |what, given: usize| NutError::Count { what, given, strings };
    if nut.wound.len() != strings {
        return Err(count("kinds", nut.wound.len()));
    }
    if let Some(posts) = &nut.headstock.posts
        && posts.len() != strings
    {
        return Err(count("posts", posts.len()));
    }
    for (what, mm) in [
        ("a board width", nut.board_width),
        ("a blank's thickness", nut.blank.thickness),
        ("a blank's height", nut.blank.height),
        ("a blank's length", nut.blank.length),
        ("a fret height", nut.fret_height),
    ] {
        if !(mm.is_finite() && mm > 0.0) {
            return Err(NutError::Measure { what, mm });
        }
    }
    if nut.front != Front::Plain && !solved {
        return Err(NutError::NoSetback);
    }
    Ok(())
}

/// The survey with the nut shifted by `setback` for all strings, each string calibrated as in `plan`.
fn shifted(survey: &SaddleSurvey, plan: &saddle::Plan, setback: f64) -> SaddleSurvey {
    let mut survey = survey.clone();
    let board = survey.board;
    for (i, planned) in plan.strings.iter().enumerate() {
        if let Some(s) = survey.strings.get_mut(i) {
            // Both wishes of an action have made one line, which stays.
            (s.target_action, s.action_at) = (s.action_12(&board), None);
            s.criterion = Criterion::BestFit;
        }
        survey.move_nut(i, planned, setback);
    }
    survey
}

/// What every slot of a nut is laid out from.
struct Base<'a> {
    board: &'a Board,
    face: Face,
    nut: &'a NutSurvey,
    top: &'a Top,
    front_x: f64,
    seat_z: f64,
}

impl NutPlan {
    /// The same nut with what it says of these strings alone, counted from the bass: for a saddle that carries no others.
    #[must_use]
    pub fn of_strings(&self, strings: Range<usize>) -> Self {
        let own = |i: usize| strings.contains(&i);
        Self {
            strings: self
                .strings
                .iter()
                .enumerate()
                .filter(|(i, _)| own(*i))
                .map(|(_, s)| *s)
                .collect(),
            lines: self
                .lines
                .iter()
                .enumerate()
                .filter(|(i, _)| own(*i))
                .map(|(_, s)| s.clone())
                .collect(),
            ..self.clone()
        }
    }
}

impl Base<'_> {
    /// The slot of string `i` at `u` mm; `down` is the angle down to its post, radians, if that is known.
    fn slot(&self, i: usize, s: &OpenString, u: f64, down: Option<f64>) -> NutString {
        let (board, nut) = (self.board, self.nut);
        let gauge = s.string.model.outer_diameter;
        let wound = nut.wound[i];
        let floor = s.nut.z - self.seat_z;
        let y = s.run.y(s.nut.x);
        let at = self.face.place(s.nut.x, y);
        let b = self.front_x - at.ahead;
        let behind = nut.blank.thickness - b;
        // Back toward the tuners a string that runs on straight goes against its direction.
        let back = |way: Seen| -way.along / way.ahead;
        let ahead = self.face.direction(1.0, s.run.slope);
        let straight_on = back(ahead);
        let aim = nut
            .headstock
            .posts
            .as_ref()
            .and_then(|posts| posts.get(i))
            .map(|post| back(self.face.direction(post.back + s.nut.x, y - post.across)));
        let fan = aim.unwrap_or(straight_on);
        let height = self.top.height(u);
        NutString {
            number: s.number,
            gauge,
            wound,
            y: at.along,
            u,
            b,
            floor,
            over_frets: s.nut.z - board.crown_at_nut(y),
            stack: slot::stack(board, y, nut.fret_height, s.nut.z),
            board: slot::board_surface(board, y, nut.fret_height) - self.seat_z,
            rise: math::atan(s.line().slope / ahead.ahead),
            width: gauge
                + if wound {
                    nut.allowance.wound
                } else {
                    nut.allowance.plain
                },
            top: height,
            depth: height - floor,
            shows: floor + gauge - height,
            clearance: s.action_1(),
            held_at_3: slot::held(board, &s.run, (s.nut.x, s.nut.z)),
            setback: s.setback(),
            fan: math::atan(fan),
            back_y: at.along + fan * behind,
            bend: (math::atan(fan) - math::atan(straight_on)).abs(),
            down,
        }
    }
}

fn planned(
    board: &Board,
    left_handed: bool,
    nut: &NutSurvey,
    lines: Vec<OpenString>,
    compensation: Compensation,
) -> Result<NutPlan, NutError> {
    let gauges: Vec<f64> = lines.iter().map(|s| s.string.model.outer_diameter).collect();
    let face = Face::of(board);
    // A string takes up more of a nut that it crosses aslant.
    let aslant: Vec<f64> = gauges.iter().map(|gauge| gauge / face.across(1.0)).collect();
    let rules = Rules::new(nut.outer, nut.board_width, &aslant, &nut.courses)?;
    let places: Vec<Seen> = lines.iter().map(|s| face.place(s.nut.x, s.run.y(s.nut.x))).collect();
    let forward = places.iter().map(|at| at.ahead).fold(f64::NEG_INFINITY, f64::max);
    let front_x = match nut.front {
        // The end of the board stays where it is, so a shelf never starts behind it.
        Front::Shelf => forward.max(0.0),
        Front::Plain | Front::Straight => forward,
    };
    let seat_z = -nut.fret_height - nut.seat_depth;
    let centre = 0.5 * nut.blank.length;
    let half = 0.5 * nut.board_width;
    let downs: Vec<Option<f64>> = lines.iter().enumerate().map(|(i, s)| down(nut, i, s)).collect();
    let fall = nut.fall.unwrap_or_else(|| {
        let known: Vec<f64> = downs.iter().flatten().copied().collect();
        let least = known.iter().copied().fold(f64::INFINITY, f64::min);
        if least.is_finite() { 0.5 * least } else { 0.0 }
    });
    let floors: Vec<f64> = lines.iter().map(|s| s.nut.z - seat_z).collect();
    let u: Vec<f64> = places.iter().map(|at| centre + at.along).collect();
    let wanted: Vec<f64> = floors
        .iter()
        .zip(&gauges)
        .map(|(v, g)| v + g * (1.0 - nut.shows))
        .collect();
    let top = Top::over(nut.top, &u, &wanted, centre).ok_or(NutError::Top)?;
    let base = Base {
        board,
        face,
        nut,
        top: &top,
        front_x,
        seat_z,
    };
    let strings = lines.iter().enumerate();
    let strings = strings.map(|(i, s)| base.slot(i, s, u[i], downs[i]));
    let strings: Vec<NutString> = strings.collect();
    if let Some(s) = strings.iter().find(|s| s.board < 0.0) {
        return Err(NutError::SeatOverBoard { string: s.number });
    }
    let body = |s: &&NutString| s.floor.min(s.floor_at(fall, nut.blank.thickness)) <= 0.0;
    if let Some(s) = strings.iter().find(body) {
        return Err(NutError::NoBody { string: s.number });
    }
    let mut plan = NutPlan {
        strings,
        lines,
        board_width: nut.board_width,
        ends: [centre - half, centre + half],
        centre,
        front_x,
        slant: face.slant(),
        board_v: nut.seat_depth,
        seat_z,
        fret_height: nut.fret_height,
        blank: nut.blank.clone(),
        top,
        fall,
        proud: nut.proud,
        front: nut.front,
        rules,
        compensation,
        flags: Vec::new(),
        left_handed,
    };
    plan.flags = flags(&plan, nut);
    Ok(plan)
}

/// Bend down over the nut against the fret plane: to the post if it was read, else the headstock's angle.
fn down(nut: &NutSurvey, i: usize, s: &OpenString) -> Option<f64> {
    let read = nut.headstock.posts.as_ref().and_then(|posts| posts.get(i));
    let to_post = read.and_then(|post| Some(math::atan2(s.nut.z + post.below?, post.back + s.nut.x)));
    let by_angle = (nut.headstock.angle > 0.0).then_some(nut.headstock.angle);
    to_post.or(by_angle)
}

fn flags(plan: &NutPlan, nut: &NutSurvey) -> Vec<Flag> {
    let mut flags = Vec::new();
    let crest = (0..=CREST_STEPS)
        .map(|i| plan.ends[0] + (plan.ends[1] - plan.ends[0]) * f64::from(i) / f64::from(CREST_STEPS))
        .map(|u| plan.top.height(u))
        .fold(f64::NEG_INFINITY, f64::max);
    if crest > plan.blank.height {
        flags.push(Flag::Low(crest - plan.blank.height));
    }
    if plan.blank.length < plan.board_width {
        flags.push(Flag::Short(plan.board_width - plan.blank.length));
    }
    if plan.front_x > 0.5 * plan.blank.thickness {
        flags.push(Flag::Shelf(plan.front_x));
    }
    for s in &plan.strings {
        let string = s.number;
        if s.floor <= s.board {
            flags.push(Flag::BelowBoard { string });
        }
        if s.depth <= 0.0 {
            flags.push(Flag::NoSlot { string });
        } else if s.depth > MOST_DEPTH * s.gauge {
            flags.push(Flag::Deep { string, depth: s.depth });
        }
        if plan.fall <= s.rise {
            flags.push(Flag::Bearing { string, needed: s.rise });
        }
        if let Some(down) = s.down.filter(|down| *down < plan.fall) {
            flags.push(Flag::EdgeOnly { string, down });
        }
        if s.bend > MOST_BEND {
            flags.push(Flag::Bend { string, angle: s.bend });
        }
    }
    let y: Vec<f64> = plan.strings.iter().map(|s| s.y * math::cos(plan.slant)).collect();
    let widths: Vec<f64> = plan.strings.iter().map(|s| s.width).collect();
    for (wall, pair) in gaps(&y, &widths).into_iter().zip(plan.strings.windows(2)) {
        if wall < LEAST_WALL {
            let strings = [pair[0].number, pair[1].number];
            flags.push(Flag::ThinWall { strings, wall });
        }
    }
    let half = 0.5 * nut.board_width;
    if let (Some(bass), Some(treble)) = (plan.strings.first(), plan.strings.last()) {
        let ends = [(bass, bass.y + half), (treble, half - treble.y)];
        for (s, to_centre) in ends.iter().take(plan.strings.len()) {
            let left = to_centre - 0.5 * s.gauge;
            if left < LEAST_EDGE {
                flags.push(Flag::Edge { string: s.number, left });
            }
        }
    }
    flags
}

/// Places along the top at which its crest is looked for.
const CREST_STEPS: u32 = 64;

impl NutString {
    /// v of the top over this slot `b` mm back from the front face: the top is told at the bearing edge and falls back by
    /// `fall` (radians) as the floor does.
    #[must_use]
    pub fn top_at(&self, fall: f64, b: f64) -> f64 {
        self.top - (b - self.b) * math::tan(fall)
    }

    /// v of the floor `b` mm back from the front face.
    #[must_use]
    pub fn floor_at(&self, fall: f64, b: f64) -> f64 {
        self.floor - (b - self.b) * math::tan(fall)
    }
}
