//! Why no toolpath can be made.

use crate::outline::OutlineError;
use crate::{CutterError, FeedError, SurfaceError};
use thiserror::Error;

/// Most passes along the crown that a program may have: 1000 of 80 mm at 500 mm/min take nearly three hours.
pub const MOST_PASSES: f64 = 1000.0;

/// Why no toolpath is right.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PassError {
    /// The stock does not hold the blank.
    #[error(transparent)]
    Surface(#[from] SurfaceError),
    /// An impossible cutter.
    #[error(transparent)]
    Cutter(#[from] CutterError),
    /// No right feed.
    #[error(transparent)]
    Feed(#[from] FeedError),
    /// The outline cannot be offset.
    #[error(transparent)]
    Outline(#[from] OutlineError),
    /// The crown is finished with a ball.
    #[error("{cutter} cannot finish the crown: it takes a ball or a tapered ball")]
    Finisher {
        /// Its name.
        cutter: String,
    },
    /// More passes than anyone waits for.
    #[error(
        "{cutter} would go over the crown {passes:.0} times, and {:.0} is the most: take a wider ball, or a higher scallop",
        MOST_PASSES
    )]
    Passes {
        /// Its name.
        cutter: String,
        /// How often.
        passes: f64,
    },
    /// Levels are cut with a flat end.
    #[error("{cutter} cannot rough in levels: it takes a flat cutter")]
    Rougher {
        /// Its name.
        cutter: String,
    },
    /// The jaws are in the way.
    #[error(
        "the cut goes down to Z {lowest:.2} mm and the jaws stand up to Z {jaw:.2} mm: let less of the blank into the jaws, on a higher parallel"
    )]
    Jaws {
        /// Lowest cut, mm.
        lowest: f64,
        /// Top of the jaws, mm.
        jaw: f64,
    },
    /// The jaws cover what a saw is to reach.
    #[error(
        "the saw goes down to X {lowest:.2} mm and the jaws cover the nut up to X {jaw:.2} mm: let it stand farther out past them"
    )]
    JawsBeside {
        /// Lowest cut over the seat, mm.
        lowest: f64,
        /// How far the jaws cover the nut up from its seat, mm.
        jaw: f64,
    },
    /// A figure of the setup is not usable.
    #[error("the {what} is not a usable length")]
    Figure {
        /// Which.
        what: &'static str,
    },
    /// No slot of the nut takes any of the cutters.
    #[error(
        "no slot of this nut takes a {0} of the job: they are narrower or shallower than that. Start the slots by hand"
    )]
    NoGroove(&'static str),
    /// A saddle is not cut on end.
    #[error("a saddle is cut on edge and flat; only the slots of a nut are sawn on end")]
    OnEnd,
    /// On edge the blank stands in a vise; flat it lies on tape.
    #[error("{0}")]
    Holding(&'static str),
}
