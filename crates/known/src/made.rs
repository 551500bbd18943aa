//! A saddle that was made, in the instrument at a state.

use crate::scene::nut_reading;
use crate::{MadeString, Scene, StringThere, There};
use instrument::{BlankPoint, Frame, StringLine};
use numerics::Real;
use strings::Point;

/// By how much making missed at one string, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Missed<R> {
    /// The ridge too high, along v.
    pub height: R,
    /// The ridge too far back.
    pub back: R,
    /// A new nut's slot too high over fret 1.
    pub slot: R,
}

/// A string over a made saddle at a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OverMade<R> {
    /// The string, on the line from its nut.
    pub string: StringThere<R>,
    /// Where that line ends at the saddle.
    pub contact: Point<R>,
}

impl Scene<'_> {
    /// A string over a saddle that was made and stands in `frame`. `None` where its nut was not read.
    #[must_use]
    pub fn over_made<R: Real>(
        &self,
        string: usize,
        made: &MadeString,
        missed: &Missed<R>,
        frame: &Frame<R>,
        there: &There<R>,
        off: &impl Fn(usize) -> R,
    ) -> Option<OverMade<R>> {
        let run = self.instrument.strings.get(string)?.run;
        let board = &there.board;
        let nut_x = R::from(made.nut_x);
        let z = match made.new_nut {
            // The gap of a new nut is taken where its contact stands at last.
            Some(reading) => nut_reading(reading, missed.slot, R::from(0.0)).height(board, &run, nut_x),
            None => self.nut(string, there, off)?.z,
        };
        let nut = Point {
            x: nut_x,
            z: z + made.rise,
        };
        let place = crossing(made, missed, frame, run);
        let contact = Point {
            x: place.x,
            z: place.z + there.stand_off * made.stand_off,
        };
        Some(OverMade {
            string: StringThere {
                nut,
                line: StringLine::through((nut.x, nut.z), (contact.x, contact.z)),
                model: self.model(string, off)?,
            },
            contact,
        })
    }
}

/// Where the made ridge, taken straight near the contact, crosses the string's upright plane.
fn crossing<R: Real>(made: &MadeString, missed: &Missed<R>, frame: &Frame<R>, run: instrument::StringRun) -> Point<R> {
    let along = frame.e_u + frame.e_b * R::from(made.slopes.0) + frame.e_v * R::from(made.slopes.1);
    let place = frame.to_fret(BlankPoint {
        b: missed.back + made.ridge.b,
        u: R::from(made.ridge.u),
        v: missed.height + made.ridge.v,
    });
    let aside = place.y - run.y(place.x);
    let place = place - along * (aside / (along.y - along.x * run.slope));
    Point { x: place.x, z: place.z }
}
