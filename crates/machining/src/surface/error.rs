//! Why the finished blank cannot come out of the stock.

use thiserror::Error;

/// Why the finished blank cannot come out of the stock.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum SurfaceError {
    /// Too low.
    #[error("the stock is {have:.3} mm high and the part needs {need:.3} mm: take a higher blank")]
    Low {
        /// Height of the stock, mm.
        have: f64,
        /// Highest place of the part, mm.
        need: f64,
    },
    /// Too short.
    #[error(
        "the finished blank runs from {from:.3} to {to:.3} mm along a stock {length:.3} mm long: mend the margin at the bass end, or take a longer blank"
    )]
    Short {
        /// First X of the finished blank, mm.
        from: f64,
        /// Last X of the finished blank, mm.
        to: f64,
        /// Length of the stock, mm.
        length: f64,
    },
    /// Not the thickness that was planned.
    #[error("the stock is {have:.3} mm thick and the plan is for {need:.3} mm: plan again with the thickness measured")]
    Thickness {
        /// Thickness of the stock, mm.
        have: f64,
        /// Thickness of the planned blank, mm.
        need: f64,
    },
    /// A wing's contour is not usable.
    #[error(
        "the {end} wing's contour must have places in order inward from the end and heights above 0 mm that do not fall inward"
    )]
    Wing {
        /// Which end.
        end: &'static str,
    },
    /// A wing's contour stops below the crown.
    #[error(
        "the {end} wing's contour stops {by:.3} mm below the crown: carry it on inward until it meets the crown, or the top has a step that no cutter reaches into"
    )]
    WingStep {
        /// Which end.
        end: &'static str,
        /// Height of the step, mm.
        by: f64,
    },
    /// A size is not a positive number.
    #[error("the {what} is not a usable length")]
    Size {
        /// Which size.
        what: &'static str,
    },
}
