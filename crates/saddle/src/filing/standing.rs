//! A string on the crown as it stands, and what a stroke of the file does to it.

use crate::{Crown, Plan, StringPlan};
use instrument::{BlankPoint, Frame, StringLine, StringRun, Vec3};
use numerics::{find_root, halve, math};
use serde::Serialize;
use strings::{FrettedString, Point};
use thiserror::Error;

/// The top of the blank as it stands under one string, before the file touches it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PresentCrown {
    /// Square flat top. The string ends at its highest edge: the back one on a saddle that leans forward.
    Flat,
    /// One plane that falls toward the front.
    Facet {
        /// Fall in the blank, radians, positive downward toward the front face; negative for a plane that falls back.
        fall: f64,
    },
    /// Rounded from front to back.
    Rounded {
        /// Radius, mm, positive.
        radius: f64,
    },
    /// The planned crown: falls in front and behind, rounded along the ridge.
    Planned,
}

/// Where the string stands before the stroke.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Start {
    /// Present action at fret 12, mm; `None` is the target.
    pub action_12: Option<f64>,
    /// Present contact, mm back from the front face; `None` is the planned contact, on a flat top its highest edge.
    pub back: Option<f64>,
}

/// Why a stroke cannot be worked out.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum FilingError {
    /// The move would carry the contact off the blank; the furthest it can go, mm along x, forward positive.
    #[error("the contact would leave the blank: it can move {forward:.2} mm forward and {back:.2} mm back at most")]
    LeavesBlank {
        /// Furthest forward, mm.
        forward: f64,
        /// Furthest back, mm.
        back: f64,
    },
    /// No move on the blank changes fret 12 by so much.
    #[error(
        "no move on this blank changes fret 12 by {wanted:+.1} cents: it can change by {least:+.1} to {most:+.1} cents"
    )]
    OutOfReach {
        /// Change wanted, cents.
        wanted: f64,
        /// Change at the back limit, cents.
        least: f64,
        /// Change at the front limit, cents.
        most: f64,
    },
    /// No starting height makes the action end on target.
    #[error("no height within {0:.0} mm of the target makes the action end on it")]
    NoStart(f64),
    /// The start is not on the blank.
    #[error("the present contact {0:.2} mm back from the front face is not on the blank")]
    StartOffBlank(f64),
    /// A radius of the crown is not a positive length.
    #[error("the crown's radius {0} mm is not a positive length")]
    Radius(f64),
}

/// What one stroke does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Stroke {
    /// Move of the contact along x, mm, positive toward the nut.
    pub forward: f64,
    /// New contact in the blank, mm.
    pub contact: BlankPoint,
    /// Drop of the contact square to the fret plane, mm, positive down.
    pub drop: f64,
    /// Action at fret 12 afterwards, mm.
    pub action_12: f64,
    /// Loss of action at fret 12, mm, positive for a lower string.
    pub loss_12: f64,
    /// Gap over fret 1 afterwards, mm.
    pub action_1: f64,
    /// Loss of that gap, mm.
    pub loss_1: f64,
    /// Error at fret 12 afterwards, cents.
    pub cents_12: f64,
    /// Change at fret 12 because the string became shorter or longer, cents.
    pub by_length: f64,
    /// Change at fret 12 because action and stretch changed with the drop, cents.
    pub by_height: f64,
}

/// How far a contact can go forward, mm along x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// There the action reaches its floor.
    Floor(f64),
    /// There the ridge reaches the land in front, with the action still over its floor.
    Land(f64),
    /// The action is at or under its floor already.
    Already,
}

/// Tolerance of every search here, mm or cents.
const TOLERANCE: f64 = 1e-12;
/// A point of the crown lies in the string's plane when it is less than this beside it, mm.
const IN_PLANE: f64 = 1e-13;
/// Most rounds to bring it there.
const PLANE_ROUNDS: usize = 20;
/// Halvings that bring a reach back onto a rounded crown: to a thousandth of the way.
const REACH_ROUNDS: u32 = 10;
/// How far from the target a starting action is searched, mm.
const START_RANGE: f64 = 5.0;

/// One string on the crown as it stands.
#[derive(Debug, Clone)]
pub struct Standing<'a> {
    frame: &'a Frame,
    planned: &'a Crown,
    crown: PresentCrown,
    run: StringRun,
    string: FrettedString,
    nut: Point,
    land: f64,
    target: f64,
    contact: BlankPoint,
    place: Vec3,
    /// How far the string's line passes over its ridge, mm; as planned, wherever the ridge goes.
    over: Vec3,
    line: StringLine,
    /// Lean of the crown's normal at the contact, radians.
    normal: f64,
    slopes: (f64, f64),
}

impl<'a> Standing<'a> {
    /// A string of a plan on a crown of the given shape.
    ///
    /// # Errors
    /// [`FilingError`] if the start or the shape is impossible.
    pub fn new(plan: &'a Plan, string: &StringPlan, crown: PresentCrown, start: Start) -> Result<Self, FilingError> {
        if let PresentCrown::Rounded { radius } = crown
            && !(radius.is_finite() && radius > 0.0)
        {
            return Err(FilingError::Radius(radius));
        }
        let thickness = plan.blank.thickness;
        let d = string.direction;
        let normal = math::atan2(-d.v, d.b);
        let highest = if normal >= 0.0 { thickness } else { 0.0 };
        let usual = if crown == PresentCrown::Flat {
            highest
        } else {
            string.contact.b
        };
        let back = start.back.unwrap_or(usual);
        if !(0.0..=thickness).contains(&back) {
            return Err(FilingError::StartOffBlank(back));
        }
        let target = string.action_12;
        let crown_12 = string.string.crowns[strings::FRETS - 1];
        let action = start.action_12.unwrap_or(target);
        let line = StringLine::through((string.nut.x, string.nut.z), (crown_12.x, crown_12.z + action));
        let along = Vec3::new(1.0, string.run.slope, line.slope);
        let planned = StringLine::through((string.nut.x, string.nut.z), (crown_12.x, crown_12.z + target));
        let ridge = plan.frame.to_fret(string.contact);
        let over = Vec3::new(0.0, 0.0, planned.z(ridge.x) - ridge.z);
        let at = |x: f64| Vec3::new(x, string.run.y(x), line.z(x));
        let from = at(string.nut.x);
        let x = from.x + (back - plan.frame.to_blank(from - over).b) / plan.frame.direction_to_blank(along).b;
        let place = at(x);
        let contact = plan.frame.to_blank(place - over);
        Ok(Self {
            frame: &plan.frame,
            planned: &plan.crown,
            crown,
            run: string.run,
            string: string.string,
            nut: string.nut,
            land: plan.blank.land,
            target,
            contact,
            place,
            over,
            line,
            normal,
            slopes: plan.crown.slopes(contact.u),
        })
    }

    /// The contact before the stroke.
    #[must_use]
    pub fn contact(&self) -> BlankPoint {
        self.contact
    }

    /// Underside of the string before the stroke.
    #[must_use]
    pub fn line(&self) -> StringLine {
        self.line
    }

    /// Error at fret 12 before the stroke, cents.
    #[must_use]
    pub fn cents_12(&self) -> f64 {
        self.string.cents_at_12(
            self.nut,
            Point {
                x: self.place.x,
                z: self.place.z,
            },
        )
    }

    /// Height of the present crown at `(b, u)`, mm; not a number beyond a rounded crown's quarter circle.
    #[must_use]
    pub fn surface(&self, b: f64, u: f64) -> f64 {
        let (db, dv) = self.slopes;
        let along = u - self.contact.u;
        let across = b - self.contact.b - db * along;
        let shape = match self.crown {
            PresentCrown::Flat => 0.0,
            PresentCrown::Facet { fall } => math::tan(fall) * across,
            PresentCrown::Rounded { radius } => {
                let sin = math::sin(self.normal) + across / radius;
                radius * ((1.0 - sin * sin).sqrt() - math::cos(self.normal))
            }
            PresentCrown::Planned => {
                // The planned crown as it is, shifted so that it carries the contact.
                let height = |b: f64, u: f64| self.planned.section(u).height(b);
                return self.contact.v + height(b, u) - height(self.contact.b, self.contact.u);
            }
        };
        self.contact.v + dv * along + shape
    }

    /// The crown at `b` in the string's upright plane.
    fn at(&self, b: f64) -> (BlankPoint, Vec3) {
        let point = |u: f64| BlankPoint {
            b,
            u,
            v: self.surface(b, u),
        };
        let (frame, start) = (self.frame, self.contact.u);
        self.run.crossed_by(frame, start, IN_PLANE, PLANE_ROUNDS, point)
    }

    /// The same with the end of the string over it.
    fn string_at(&self, b: f64) -> (BlankPoint, Vec3) {
        let (contact, ridge) = self.at(b);
        (contact, ridge + self.over)
    }

    /// Range of b that the contact can reach: the faces of the blank, and on a rounded crown its quarter circles.
    fn reach(&self) -> (f64, f64) {
        let (mut low, mut high) = (0.0f64, self.planned.thickness);
        if let PresentCrown::Rounded { radius } = self.crown {
            // A hair inside, where the square root is still a number.
            let reach = radius * (1.0 - 1e-9);
            let centre = self.contact.b - radius * math::sin(self.normal);
            (low, high) = (low.max(centre - reach), high.min(centre + reach));
            // A ridge askew to the string puts the end of the circle a little nearer than straight across.
            (low, high) = (self.on_circle(low), self.on_circle(high));
        }
        (low.min(self.contact.b), high.max(self.contact.b))
    }

    /// `b`, or as near to it as the crown still has a height in the string's plane.
    fn on_circle(&self, b: f64) -> f64 {
        let has_height = |b: f64| self.at(b).1.x.is_finite();
        if has_height(b) || !has_height(self.contact.b) {
            return b;
        }
        halve(self.contact.b, b, REACH_ROUNDS, has_height).0
    }

    fn stroke_to(&self, b: f64) -> Stroke {
        let (contact, place) = self.string_at(b);
        let moved = StringLine::through((self.nut.x, self.nut.z), (place.x, place.z));
        let [crown_1, .., crown_12] = self.string.crowns;
        let cents = |x: f64, z: f64| self.string.cents_at_12(self.nut, Point { x, z });
        let before = self.cents_12();
        let shorter = cents(place.x, self.line.z(place.x));
        let after = cents(place.x, place.z);
        let gap = |line: &StringLine, crown: Point| line.z(crown.x) - crown.z;
        Stroke {
            forward: self.place.x - place.x,
            contact,
            drop: self.place.z - place.z,
            action_12: gap(&moved, crown_12),
            loss_12: self.line.z(crown_12.x) - moved.z(crown_12.x),
            action_1: gap(&moved, crown_1),
            loss_1: self.line.z(crown_1.x) - moved.z(crown_1.x),
            cents_12: after,
            by_length: shorter - before,
            by_height: after - shorter,
        }
    }

    /// What moving the contact by `forward` mm along x does, down (or up) the crown as it stands; back is negative.
    ///
    /// # Errors
    /// [`FilingError::LeavesBlank`].
    pub fn stroke(&self, forward: f64) -> Result<Stroke, FilingError> {
        let (low, high) = self.reach();
        let moved = |b: f64| self.place.x - self.at(b).1.x;
        if forward == 0.0 {
            return Ok(self.stroke_to(self.contact.b));
        }
        find_root(low, high, TOLERANCE, |b| moved(b) - forward)
            .map(|b| self.stroke_to(b))
            .map_err(|_| FilingError::LeavesBlank {
                forward: moved(low),
                back: -moved(high),
            })
    }

    /// The stroke that brings the contact to `back` mm from the front face, down (or up) the crown as it stands.
    ///
    /// # Errors
    /// [`FilingError::LeavesBlank`].
    pub fn stroke_to_back(&self, back: f64) -> Result<Stroke, FilingError> {
        let (low, high) = self.reach();
        if (low..=high).contains(&back) {
            return Ok(self.stroke_to(back));
        }
        let moved = |b: f64| self.place.x - self.at(b).1.x;
        Err(FilingError::LeavesBlank {
            forward: moved(low),
            back: -moved(high),
        })
    }

    /// The stroke that changes fret 12 by `change` cents, sharper positive.
    ///
    /// # Errors
    /// [`FilingError::OutOfReach`].
    pub fn stroke_for_cents(&self, change: f64) -> Result<Stroke, FilingError> {
        let (low, high) = self.reach();
        let before = self.cents_12();
        let changed = |b: f64| {
            let (_, place) = self.string_at(b);
            self.string.cents_at_12(self.nut, Point { x: place.x, z: place.z }) - before
        };
        find_root(low, high, TOLERANCE, |b| changed(b) - change)
            .map(|b| self.stroke_to(b))
            .map_err(|_| FilingError::OutOfReach {
                wanted: change,
                least: changed(high),
                most: changed(low),
            })
    }

    /// The furthest the contact can go forward before the action at fret 12 falls to `floor` mm, or the ridge reaches the land.
    #[must_use]
    pub fn furthest(&self, floor: f64) -> Limit {
        if self.stroke_to(self.contact.b).action_12 <= floor {
            return Limit::Already;
        }
        let front = self.reach().0.max(self.land.min(self.contact.b));
        let over = |b: f64| self.stroke_to(b).action_12 - floor;
        match find_root(front, self.contact.b, TOLERANCE, over) {
            Ok(b) => Limit::Floor(self.stroke_to(b).forward),
            Err(_) => Limit::Land(self.stroke_to(front).forward),
        }
    }
}

/// How proud a string must be left so that a stroke ends on target.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Proud {
    /// Height to leave at the contact over what the target asks there, along v, mm.
    pub height: f64,
    /// Action at fret 12 before the stroke, mm.
    pub action_12: f64,
    /// The stroke from there; it ends on the target action.
    pub stroke: Stroke,
}

impl Proud {
    /// Start from which the stroke of `step` (mm forward, or cents) ends on the target action.
    ///
    /// # Errors
    /// [`FilingError`].
    pub fn before(
        plan: &Plan,
        string: &StringPlan,
        crown: PresentCrown,
        back: Option<f64>,
        step: Move,
    ) -> Result<Self, FilingError> {
        let from = |action: f64| {
            Standing::new(
                plan,
                string,
                crown,
                Start {
                    action_12: Some(action),
                    back,
                },
            )
        };
        let stroke = |action: f64| {
            let standing = from(action)?;
            match step {
                Move::Forward(s) => standing.stroke(s),
                Move::Cents(c) => standing.stroke_for_cents(c),
            }
        };
        let on_target = from(string.action_12)?;
        stroke(string.action_12)?;
        let target = on_target.target;
        let over = |action: f64| stroke(action).map_or(f64::NAN, |s| s.action_12 - target);
        // Widen from the target until the start is bracketed, so that no far start with an impossible stroke is asked.
        let mut reach = 0.25;
        loop {
            let (low, high) = ((target - reach).max(1e-3), target + reach);
            if let Ok(action_12) = find_root(low, high, TOLERANCE, over) {
                let start = from(action_12)?;
                let height = start.contact.v - on_target.contact.v;
                return Ok(Self {
                    action_12,
                    height,
                    stroke: stroke(action_12)?,
                });
            }
            reach *= 2.0;
            if reach > START_RANGE {
                return Err(FilingError::NoStart(START_RANGE));
            }
        }
    }
}

/// What a stroke is meant to do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Move {
    /// Move the contact so far along x, mm, positive toward the nut.
    Forward(f64),
    /// Change fret 12 by so many cents, sharper positive.
    Cents(f64),
}
