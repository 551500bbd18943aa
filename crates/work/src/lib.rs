//! The middle floor: from a job to everything that can be asked of it, each answer made once.
//!
//! [`Planned`] holds a job with the plans of its parts; [`SaddleWork`] and [`NutWork`] are what is asked further of a part: what a
//! stroke of the file does, what is left after stringing up, how sure the plan is, whether a saddle is the remedy, and the programs
//! that cut it. Every verdict, limit, hazard and step of the work is decided here and has a type; faces and words only show it.
//! Nothing here reads or writes a file, and nothing is put into words but errors.

mod after;
mod agreed;
mod air;
mod borne;
mod cutting;
mod doubted;
mod filed;
mod filing;
mod fork;
mod forked;
mod handed_back;
mod hazards;
mod heard_string;
mod heights;
pub mod microphone;
mod next;
mod not_it;
mod nut_flags;
mod other_end;
mod owner;
mod planned;
mod progress;
mod remark;
mod remarks;
mod rounds;
mod short;
mod short_typed;
mod slots;
mod stands;
mod station;
mod steps;
mod stops;
mod sureness;
mod takes_up;
mod top_cut;
mod unread;
mod worth;

pub use after::{Ending, Fitted, Left, StaysUntuned, StringLeft, Strung, Untunable, Whole};
pub use agreed::{Agreement, HeardPluck, MOST_PLUCKS, agreed, cents_at_12};
pub use air::{AirFrom, SurveyAir};
pub use borne::Borne;
pub use cutting::{CutError, Made, Tried, Way, outlined, setups, tried, tried_while, unprepared};
pub use doubted::{Charge, Doubted, Place, ReadAt, SlipOfKind, Wrong};
pub use filed::{
    FiledString, Filing, FilingAsk, FilingRefusal, FilingTerms, FilingVerdict, QUARTER_MM, SIXTY_FOURTH, STEPS,
    Untuned, usual_step,
};
pub use filing::filing;
pub use fork::{Beside, Fork, ForkEnd};
pub use handed_back::{AIR_DIFFERS, Air, AirChange, HandedBack, HandedString};
pub use hazards::Hazards;
pub use heard_string::{HeardString, StretchHeard};
pub use heights::{Heights, StringHeight};
pub use next::{LEAST_WORTH, MOST_KINDS, MOST_SINGLES, Next, NextAsk, NextStep, Shop, WISHED};
pub use not_it::{NotTheString, SoundsLike};
pub use nut_flags::flag_severity;
pub use owner::{Complaint, FELT, Feel, Instead, OwnerString, Proposed, Stood};
pub use planned::{NutWork, Planned, Refusal, SaddleWork, planned};
pub use progress::Progress;
pub use remark::{Remark, Severity};
pub use rounds::{Belief, Lane, Mark, Round, Rounds, TAKES_UP};
pub use short::{Short, ShortAnswer, ShortAsk, ShortRefusal, USUAL};
pub use short_typed::{ShortRead, ShortTyped, ShortUnread, length as length_with_unit};
pub use slots::{SLOT_GOOD, SlotLeft, SlotLimits, SlotRead, SlotStrokes, SlotsRead, stroke_depth};
pub use stands::Stands;
pub use station::{Along, Station};
pub use steps::{ENDS_PROUD, GLUE_LINE, Stage, Staged, Step, StepKey, nut_steps, saddle_steps, steps};
pub use sureness::{NutSureness, SureAdvice, Sureness, WORTH};
pub use takes_up::WeighedBy;
pub use top_cut::TopCut;
pub use unread::{Unread, of_words};
pub use worth::STAYS;
