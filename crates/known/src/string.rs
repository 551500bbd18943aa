//! A string at a state.

use crate::lanes::*;
use crate::scene::{action_to_start, nut_reading};
use crate::{Scene, There};
use instrument::{BlankPoint, Slot, SlotSurvey, StringLine, StringRun, USUAL_BEND, Vec3, bend, elastic_stand_off};
use numerics::{Real, math};
use strings::{FRETS, FrettedString, Point, Stiffness, StringModel};

/// A string at a state, on the present saddle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StringThere<R> {
    /// Its contact at the nut.
    pub nut: Point<R>,
    /// Its underside.
    pub line: StringLine<R>,
    /// What it is made of.
    pub model: StringModel<R>,
}

/// Where a string meets the present saddle.
pub(crate) struct Met<R> {
    /// On the string's line.
    pub(crate) line: Point<R>,
    /// The ridge under it.
    pub(crate) ridge: BlankPoint<R>,
}

impl Scene<'_> {
    /// A string at a state; `there` is the instrument at the same. `None` where its nut was not read.
    #[must_use]
    pub fn string<R: Real>(
        &self,
        string: usize,
        there: &There<R>,
        off: &impl Fn(usize) -> R,
    ) -> Option<StringThere<R>> {
        let s = self.instrument.strings.get(string)?;
        let first = &there.first.board;
        let action = off(ACTION) + action_to_start(s.action_12);
        let nut = self.nut(string, there, off)?;
        let x_12 = first.fret_x(12, &s.run);
        let over_12 = first.crown_under(12, &s.run) + action;
        let mut line = StringLine::through((nut.x, nut.z), (x_12, over_12));
        if let Some(risen) = there.first.risen {
            // The nut stays; the saddle comes up with the bridge.
            let end = first.scale_end(&s.run);
            line = StringLine::through((nut.x, nut.z), (end, line.z(end) + risen));
        }
        Some(StringThere {
            nut,
            line,
            model: self.model(string, off)?,
        })
    }

    /// A string's contact at the present nut, at a state. `None` where that was not read.
    pub(crate) fn nut<R: Real>(&self, string: usize, there: &There<R>, off: &impl Fn(usize) -> R) -> Option<Point<R>> {
        let s = self.instrument.strings.get(string)?;
        let first = &there.first.board;
        let reading = nut_reading(s.present_nut?, off(NUT), off(ACTION));
        let x = first.stretch() / self.instrument.board.stretch() * s.nut_x;
        Some(Point {
            x,
            z: reading.height(first, &s.run, x),
        })
    }

    /// What a string is made of, at a state.
    pub fn model<R: Real>(&self, string: usize, off: &impl Fn(usize) -> R) -> Option<StringModel<R>> {
        let model = &self.instrument.strings.get(string)?.model;
        let factors = strings::Factors {
            axial: math::exp(off(AXIAL)),
            bending: math::exp(off(BENDING)),
        };
        Some(StringModel {
            outer_diameter: model.outer_diameter,
            linear_density: math::exp(off(MASS)) * model.linear_density,
            stiffness: Stiffness::lifted(model.stiffness).factored(factors),
        })
    }

    /// A string over one fret, 1 to 12; the crowns of the others are not worked out.
    #[must_use]
    pub fn over_fret<R: Real>(
        &self,
        string: usize,
        fret: u32,
        there: &There<R>,
        model: StringModel<R>,
    ) -> Option<FrettedString<R>> {
        let s = self.instrument.strings.get(string)?;
        let board = &there.board;
        let mut crowns = [Point {
            x: R::from(0.0),
            z: R::from(0.0),
        }; FRETS];
        *crowns.get_mut(usize::try_from(fret).ok()?.checked_sub(1)?)? = Point {
            x: board.fret_x(fret, &s.run),
            z: board.crown_under(fret, &s.run),
        };
        Some(FrettedString {
            model,
            frequency: s.frequency,
            fret_0: board.fret_x(0, &s.run),
            scale: board.scale(&s.run),
            crowns,
            press: self.instrument.press,
            ends: there.ends,
        })
    }

    /// Where a string meets the present saddle. `None` without a slot.
    pub(crate) fn met<R: Real>(
        &self,
        string: usize,
        there: &There<R>,
        at: &StringThere<R>,
        off: &impl Fn(usize) -> R,
    ) -> Option<Met<R>> {
        let run = self.instrument.strings.get(string)?.run;
        let frame = there.slot?.frame;
        let b = off(CONTACT) + self.outer_back(string, off) + self.back_to_start(string)?;
        let lower = there.stand_off * self.stand_off(string);
        let start = Vec3::new(at.nut.x, run.y(at.nut.x), at.nut.z - lower);
        let along = Vec3::new(R::from(1.0), R::from(run.slope), at.line.slope);
        let step = (b - frame.to_blank(start).b) / frame.direction_to_blank(along).b;
        let x = at.nut.x + step;
        Some(Met {
            line: Point { x, z: at.line.z(x) },
            ridge: frame.to_blank(start + along * step),
        })
    }

    /// How high the present saddle is under a string whose ridge stands there: what lies under its bottom edge is no height of its own, mm.
    pub(crate) fn height<R: Real>(&self, string: usize, ridge: BlankPoint<R>, off: &impl Fn(usize) -> R) -> R {
        let share = self.share(string);
        ridge.v - off(SEAT[0]) * (1.0 - share) - off(SEAT[1]) * share
    }

    /// How far off the distance back is of an outer string's contact on the saddle by which the slot was read; nought of any other.
    fn outer_back<R: Real>(&self, string: usize, off: &impl Fn(usize) -> R) -> R {
        let last = self.instrument.strings.len().saturating_sub(1);
        match self.slot.map(|seen| seen.slot) {
            Some(SlotSurvey::Reference(_)) if string == 0 => off(THIRD[0]),
            Some(SlotSurvey::Reference(_)) if string == last => off(THIRD[1]),
            _ => R::from(0.0),
        }
    }

    /// Where a string's contact on the present saddle is first taken to be, back from the saddle's face, mm.
    pub(crate) fn back_to_start(&self, string: usize) -> Option<f64> {
        let seen = self.slot?;
        let last = self.instrument.strings.len().saturating_sub(1);
        if let SlotSurvey::Reference(ends) = seen.slot {
            let share = self.share(string);
            let (bass, treble) = (ends[0].back, ends[1].back);
            // Exact at both ends.
            return Some(if string == last {
                treble
            } else {
                bass + (treble - bass) * share
            });
        }
        Some(0.5 * seen.thickness)
    }

    /// By how much a string's line passes over the present ridge by elastic theory alone, mm.
    pub(crate) fn elastic(&self, string: usize, there: Option<&There<f64>>) -> f64 {
        let Some(s) = self.instrument.strings.get(string) else {
            return 0.0;
        };
        let bend = there.and_then(|there| self.bend(string, there)).unwrap_or(USUAL_BEND);
        let scale = self.instrument.board.scale(&s.run);
        elastic_stand_off(&s.model, scale, s.frequency, bend)
    }

    /// Bend of a string over the present saddle as read, radians; `None` where it was not read where it leaves the bridge.
    fn bend(&self, string: usize, there: &There<f64>) -> Option<f64> {
        let [bass, treble] = self.slot?.exit?;
        let mouth = there.slot?.mouth?;
        let as_read = |_: usize| 0.0;
        let at = self.string(string, there, &as_read)?;
        let met = self.met(string, there, &at, &as_read)?.line;
        let share = self.share(string);
        let between = |a: f64, b: f64| a + share * (b - a);
        let x = between(mouth[0].x + bass.behind_slot, mouth[1].x + treble.behind_slot);
        let z = between(mouth[0].z + bass.above_bridge_top, mouth[1].z + treble.above_bridge_top);
        Some(bend(at.line.slope, (met.x, met.z), (x, z)))
    }
}

/// Up the saddle's face from the mouth line to `v`, mm; `run` is the string's.
pub(crate) fn exposed<R: Real>(slot: &Slot<R>, ridge: BlankPoint<R>) -> Option<R> {
    let [bass, treble] = slot.mouth?.map(|point| slot.frame.to_blank(point));
    let share = (ridge.u - bass.u) / (treble.u - bass.u);
    Some(ridge.v - (bass.v + (treble.v - bass.v) * share))
}

/// Underside of the string over the bridge top at the slot's front edge, mm.
pub(crate) fn over_bridge<R: Real>(slot: &Slot<R>, run: &StringRun, line: &StringLine<R>) -> Option<R> {
    let [bass, treble] = slot.mouth?;
    // Where the mouth's line crosses the string's upright plane.
    let along = treble - bass;
    let share = (run.y(bass.x) - bass.y) / (along.y - along.x * run.slope);
    let edge = bass + along * share;
    Some(line.z(edge.x) - edge.z)
}
