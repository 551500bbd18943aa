//! The made saddle in an instrument that is not quite as read.

use crate::made_string::made_string;
use crate::{Plan, SaddleSurvey};
use instrument::Uncertainty;
use known::{Evidence, Figure, LANES, Lanes, MOST, MadeString, Scene, SlotSeen};
use strings::FRETS;

/// What a made string shows.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Shown {
    /// Action at fret 12, mm.
    pub action: f64,
    /// Error at fret 12, cents, sharp positive.
    pub cents: f64,
}

/// What each string shows, bass to treble, over the saddle of this plan in an instrument whose figures are off by `state` (as [`known::Known::figures`]), where
/// every step of making misses by so many of its standard uncertainties as `normal` says. `None` if that makes no instrument.
pub fn shown(
    evidence: &Evidence,
    survey: &SaddleSurvey,
    plan: &Plan,
    state: &[f64],
    mut normal: impl FnMut() -> f64,
) -> Option<Vec<Shown>> {
    let world = World::of(evidence, survey, plan)?;
    let mut made = Missed::default();
    for (making, sigma) in world.making(&evidence.unsure) {
        made.add(making, sigma * normal());
    }
    let all = world.shown(&Errors { state, made: &made })?;
    Some(all.into_iter().take(plan.strings.len()).collect())
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
    strings: [MadeString; MOST],
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
        let string = |(s, from)| made_string(survey, plan, s, from);
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
                    | Figure::MadePull(_)
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
        let there = self.scene.without_slot(&whole);
        let board = &there.board;
        let under = self.slot.under + errors.made.seating;
        let frame = self.scene.slot_at(&self.slot, board, &whole, under).ok()?.frame;
        let mut shown = [Shown::default(); MOST];
        for (i, (place, s)) in shown.iter_mut().zip(&self.strings[..self.count]).enumerate() {
            let off = Evidence::off(errors.state, &self.lanes[i]);
            let missed = known::Missed {
                height: errors.made.height[i],
                back: errors.made.ridge[i],
                slot: errors.made.slots[i],
            };
            let over = self.scene.over_made(i, s, &missed, &frame, &there, &off)?;
            let string = self.scene.over_fret(i, 12, &there, over.string.model)?;
            let crown = string.crowns[FRETS - 1];
            *place = Shown {
                action: over.string.line.z(crown.x) - crown.z,
                cents: string.cents_at_12(over.string.nut, over.contact),
            };
        }
        Some(shown)
    }
}
