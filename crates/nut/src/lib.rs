//! The nut: spacing, slot floors and their form, front compensation, and what a stroke in a slot does.
//!
//! A [`NutSurvey`] goes in beside the saddle's survey, and [`together`] solves both ends of the string at once: a [`NutPlan`]
//! and the saddle's plan that goes with it. Where the saddle stays, [`alone`] makes the nut over the
//! instrument as it stands. Lengths in mm, angles in radians.
//!
//! A point of the nut is `(b, u, v)`: **b** back from the front face (the fret side) toward the tuners, **u** along from the
//! bass end of the blank, **v** up from the seat; all three are caliper readings. In the fret frame, with the front face at
//! `x_F`, the bass end at `y_B` and the seat at `z_S`: `x = x_F - b`, `y = y_B + u`, `z = z_S + v`, along and square to fret 0 where that
//! slants. Back runs against x here, so in this order the axes are left-handed.

mod compensation;
mod error;
mod face;
pub mod filing;
mod line;
mod plan;
pub mod slot;
pub mod spacing;
mod standing;
mod survey;
pub mod tolerance;
mod top;

pub use compensation::{Case, Compensation, PLAYED_FRETS, StringCompensation};
pub use error::NutError;
pub use line::{Now, OpenString};
pub use plan::{Flag, Joined, NutPlan, NutString, Together, alone, joined, together};
pub use spacing::{Outer, Rules};
pub use standing::action_spread;
pub use survey::{Allowance, Front, Headstock, NutBlank, NutSurvey, Post, TopShape};
pub use top::Top;
