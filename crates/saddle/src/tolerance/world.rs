//! The made saddle in an instrument that is not quite as read.

use crate::{Plan, SaddleSurvey, StringPlan, StringSurvey};
use instrument::{BlankPoint, Frame, NutReading, StringLine, StringRun, Uncertainty};
use known::{Evidence, Figure, LANES, Lanes, MOST, Scene, SlotSeen};
use strings::{FRETS, FrettedString, Point};

/// What a made string shows: action at fret 12 in mm and error there in cents.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Shown {
    pub(crate) action: f64,
    pub(crate) cents: f64,
}

/// One string as made.
#[derive(Debug, Clone, Copy)]
struct Made {
    /// The nut that is made to a gap; `None` where the present one stays.
    new_nut: Option<NutReading>,
    /// Where the nut's contact stands at last, mm along x.
    nut_x: f64,
    /// What work on a zero fret adds to the height that is read, mm.
    rise: f64,
    run: StringRun,
    /// Its ridge, mm.
    ridge: BlankPoint,
    /// Slopes of the made ridge, db/du and dv/du.
    slopes: (f64, f64),
    /// Elastic stand-off of the string over it, mm.
    stand_off: f64,
    frequency: f64,
}

/// Steps of making, which err by themselves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Making {
    /// The saddle on its floor.
    Seating,
    /// All slots of a new nut.
    NewNut,
    /// One of them.
    NewSlot(usize),
    /// Height of one contact.
    Height(usize),
    /// Ridge under one string, front to back.
    Ridge(usize),
}

/// The made saddle, to be stood in any instrument that the readings allow.
#[derive(Debug, Clone)]
pub(crate) struct World<'a> {
    scene: Scene<'a>,
    slot: SlotSeen,
    /// Bass to treble; those beyond `count` are never looked at.
    strings: [Made; MOST],
    lanes: [Lanes; MOST],
    count: usize,
    /// Figures of the state that what is shown can feel, by their places in it.
    pub(crate) felt: Vec<usize>,
}

/// What is off in a world: how far each figure of the state, and each step of making.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Errors<'a> {
    pub(crate) state: &'a [f64],
    pub(crate) made: &'a Missed,
}

/// Errors of making, mm.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Missed {
    pub(crate) seating: f64,
    pub(crate) slots: [f64; MOST],
    pub(crate) height: [f64; MOST],
    pub(crate) ridge: [f64; MOST],
}

impl Missed {
    /// Adds to one of them.
    pub(crate) fn add(&mut self, making: Making, error: f64) {
        let one = match making {
            Making::Seating => Some(&mut self.seating),
            Making::NewNut => {
                self.slots.iter_mut().for_each(|slot| *slot += error);
                None
            }
            Making::NewSlot(i) => self.slots.get_mut(i),
            Making::Height(i) => self.height.get_mut(i),
            Making::Ridge(i) => self.ridge.get_mut(i),
        };
        if let Some(one) = one {
            *one += error;
        }
    }
}

impl<'a> World<'a> {
    /// The saddle of a plan, made for a survey as it likeliest is. `None` without strings or a slot.
    pub(crate) fn of(evidence: &'a Evidence, survey: &SaddleSurvey, plan: &Plan) -> Option<Self> {
        let string = |(s, from): (&StringPlan, &StringSurvey)| Made {
            new_nut: from.new_gap.map(|gap| gap.reading(from.action_12(&survey.board))),
            nut_x: s.nut.x,
            rise: from.zero_fret.unwrap_or(0.0),
            run: s.run,
            ridge: s.contact,
            slopes: plan.crown.slopes(s.contact.u),
            stand_off: s.stand_off,
            frequency: from.frequency,
        };
        let mut pairs = plan.strings.iter().zip(&survey.strings);
        let mut strings = [string(pairs.next()?); MOST];
        for (place, pair) in strings.iter_mut().skip(1).zip(pairs) {
            *place = string(pair);
        }
        let known = &evidence.known;
        let count = plan.strings.len().min(MOST);
        let is_felt = |figure: &Figure| {
            !matches!(
                figure,
                Figure::Tool(..)
                    | Figure::Pull(_)
                    | Figure::NeckDrift(_)
                    | Figure::TopDrift(_)
                    | Figure::Straightedge
                    | Figure::ReferenceDepth(_)
            )
        };
        let felt = known.figures.iter().enumerate().filter(|(_, figure)| is_felt(figure));
        Some(Self {
            scene: evidence.scene(),
            slot: evidence.slot?,
            strings,
            lanes: std::array::from_fn(|i| if i < count { known.lanes(i) } else { [None; LANES] }),
            count,
            felt: felt.map(|(at, _)| at).collect(),
        })
    }

    /// Every step of making that errs, with its standard uncertainty.
    pub(crate) fn making(&self, u: &Uncertainty) -> Vec<(Making, f64)> {
        let mut all = vec![(Making::Seating, u.seating)];
        let strings = || self.strings[..self.count].iter().enumerate();
        if strings().any(|(_, s)| s.new_nut.is_some()) {
            all.push((Making::NewNut, u.clearance.shared));
        }
        for (i, s) in strings() {
            if s.new_nut.is_some() {
                all.push((Making::NewSlot(i), u.clearance.each));
            }
            all.push((Making::Height(i), u.made_height));
            all.push((Making::Ridge(i), u.made_ridge));
        }
        // Negative ones stay, to be refused.
        all.retain(|(_, sigma)| *sigma != 0.0);
        all
    }

    /// What each string shows, bass to treble; `None` if a state makes no slot.
    pub(crate) fn shown(&self, errors: &Errors) -> Option<[Shown; MOST]> {
        let whole = Evidence::off(errors.state, &self.lanes[0]);
        let there = self.scene.there(&whole, false).ok()?;
        let board = &there.board;
        let under = self.slot.under + errors.made.seating;
        let frame = self.scene.slot_at(&self.slot, board, &whole, under).ok()?.frame;
        let mut shown = [Shown::default(); MOST];
        for (i, (place, s)) in shown.iter_mut().zip(&self.strings[..self.count]).enumerate() {
            let off = Evidence::off(errors.state, &self.lanes[i]);
            let mut ridge = s.ridge;
            ridge.v += errors.made.height[i];
            ridge.b += errors.made.ridge[i];
            let under_string = s.crossing(ridge, &frame);
            let z = match s.new_nut {
                // The gap of a new nut is taken where its contact stands at last.
                Some(reading) => longer(reading, errors.made.slots[i]).height(board, &s.run, s.nut_x),
                None => self.scene.string(i, &there, &off)?.nut.z,
            };
            let nut = Point {
                x: s.nut_x,
                z: z + s.rise,
            };
            let contact = Point {
                z: under_string.z + there.stand_off * s.stand_off,
                ..under_string
            };
            let line = StringLine::through((nut.x, nut.z), (contact.x, contact.z));
            let crown = Point {
                x: board.fret_x(12, &s.run),
                z: board.crown_under(12, &s.run),
            };
            let string = FrettedString {
                model: self.scene.model(i, &off)?,
                frequency: s.frequency,
                fret_0: board.fret_x(0, &s.run),
                scale: board.scale(&s.run),
                // No other crown is looked at.
                crowns: [crown; FRETS],
                press: self.scene.press(),
                ends: there.ends,
            };
            *place = Shown {
                action: line.z(crown.x) - crown.z,
                cents: string.cents_at_12(nut, contact),
            };
        }
        Some(shown)
    }
}

/// A gap that a new nut leaves, larger by so much, mm.
fn longer(reading: NutReading, by: f64) -> NutReading {
    match reading {
        NutReading::Open { clearance, action_12 } => NutReading::Open {
            clearance: clearance + by,
            action_12,
        },
        NutReading::New { clearance, action_12 } => NutReading::New {
            clearance: clearance + by,
            action_12,
        },
        NutReading::HeldAtThree { gap } => NutReading::HeldAtThree { gap: gap + by },
        NutReading::ZeroFret { above } => NutReading::ZeroFret { above: above + by },
    }
}

impl Made {
    /// Where the made ridge, taken straight near the contact, crosses the string's upright plane.
    fn crossing(&self, ridge: BlankPoint, frame: &Frame) -> Point {
        let along = frame.e_u + frame.e_b * self.slopes.0 + frame.e_v * self.slopes.1;
        let place = frame.to_fret(ridge);
        let aside = place.y - self.run.y(place.x);
        let place = place - along * (aside / (along.y - self.run.slope * along.x));
        Point { x: place.x, z: place.z }
    }
}
