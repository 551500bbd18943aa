//! What is there: neck, fret plane, string runs, nut, slot, and the frames that join them.
//!
//! Two frames carry everything (lengths in mm, angles in radians):
//!
//! * **fret frame F**: origin on the fret plane at fret 0 on the centre line, +x toward the bridge, +y toward the treble
//!   side, +z up; the plane z = 0 touches the crowns of fret 1 and of the body-joint fret on the centre line;
//! * **blank frame B**: a point is `(b, u, v)`, b back from the front face, u along from the bass string, v up from the
//!   bottom edge. [`Frame`] joins the two.

mod board;
mod frame;
mod frets;
mod known;
mod new_gap;
mod nut;
mod paired;
mod run;
mod slot;
mod spacing;
mod stand_off;
mod string_plane;
mod strung;
mod taken;
mod uncertainty;
mod vector;

pub use board::{Board, BoardError, BoardRadius, Worn};
pub use frame::{BlankPoint, Frame};
pub use frets::{Fan, FretLine, FretPlaces, Frets, MOST_FRETS, Spread, across};
pub use known::StretchKnown;
pub use new_gap::{NewGap, new_gap};
pub use nut::{NutReading, StringLine};
pub use paired::Paired;
pub use run::StringRun;
pub use slot::{ReferenceEnd, Slot, SlotEnd, SlotError, SlotSurvey};
pub use spacing::{Courses, PairSpacing, SpacingError, SpacingRule, places};
pub use stand_off::{USUAL_BEND, bend, elastic_stand_off};
pub use strung::{
    CentsReading, PresentContact, StrungInstrument, StrungString, StrungWith, SurveyedString, ToolSure, over_frets,
    present_ends,
};
pub use taken::{At, Between, Of, Readings, Taken};
pub use uncertainty::{Reading, Uncertainty};
pub use vector::{Vec3, xyz};
