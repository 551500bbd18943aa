//! What to make: contact points, crown, and what filing costs.
//!
//! [`SaddleSurvey`] (what was measured and wanted) goes in, [`Plan`] (what to make) comes out of [`plan()`]. A plan holds
//! no defaults and no text: drawings, tables and programs take it as it is. Lengths in mm, angles in radians, forces in N.

mod also;
mod bare;
mod best_slot;
mod crown;
mod error;
pub mod filing;
mod fit;
mod made_string;
mod nut_moved;
mod place;
mod plan;
mod served;
mod solve;
mod solved;
mod survey;
mod surveyed;
mod taut;
pub mod tolerance;
mod tried;
mod ways;
mod ways_out;
mod wings;
mod wishes;

pub use also::{ActionWish, AlsoString};
pub use bare::{Bare, BareFiled, BareLowered, BareSlot};
pub use best_slot::{BestSlot, best_slot};
pub use crown::{Crown, Section};
pub use error::PlanError;
pub use fit::{Fit, FitError, FitLimits, Moved, Seat, StringFit, fit};
pub use plan::{Plan, StringPlan};
pub use solve::plan;
pub use solved::Hold;
pub use survey::{Blank, BlankKind, CrownSpec, ExitEnd, Ridge, SaddleSurvey, StringSurvey, TensionChange};
pub use taut::{Bearing, Termination};
pub use tried::tried;
pub use ways_out::{HEARD, LIKE, MOST_SETBACK, NutWay, SlotWay, ThickerWay, Way, WayLeft, WaysOut, Worst};
pub use wings::{MEETS, WingEnd, Wings};
pub use wishes::{ActionLeft, Alone, StringActions, TunedString, Tuning, Wishes};
