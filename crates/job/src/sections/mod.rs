//! The tables of the job file, one reader each. A reader reports what is wrong and gives what it could read.

pub(crate) mod also;
pub(crate) mod assess;
pub(crate) mod book;
pub(crate) mod bridge;
pub(crate) mod contour;
pub(crate) mod cut;
pub(crate) mod doubt;
pub(crate) mod filing;
pub(crate) mod instrument;
pub(crate) mod nut;
pub(crate) mod nut_blank;
pub(crate) mod readings;
pub(crate) mod slot;
mod spelled;
pub(crate) mod strings;
pub(crate) mod strung;
pub(crate) mod tolerance;
pub(crate) mod zero_fret;
