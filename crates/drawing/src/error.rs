//! What can go wrong with a sheet.

use machining::PartKind;
use thiserror::Error;

/// Why a sheet cannot be drawn or written.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum DrawingError {
    /// The plan has no strings.
    #[error("the plan has no strings, so there is nothing to draw")]
    NoStrings,
    /// The plan leaves no part to draw.
    #[error(transparent)]
    Shape(#[from] crate::ShapeError),
    /// The part is longer than the paper at true scale.
    #[error(
        "at true scale the {} needs a sheet {needed:.0} mm wide, but this paper has room for {room:.0} mm; shorten the blank's length or choose a wider paper",
        part.name()
    )]
    TooLong {
        /// What is drawn.
        part: PartKind,
        /// Width needed, mm.
        needed: f64,
        /// Width there is, mm.
        room: f64,
    },
    /// The part is higher than the paper at true scale.
    #[error(
        "at true scale the views need {needed:.0} mm of height, but this paper has room for {room:.0} mm; look at the blank's height and thickness"
    )]
    TooHigh {
        /// Height needed, mm.
        needed: f64,
        /// Height there is, mm.
        room: f64,
    },
    /// A coordinate is not a number.
    #[error("a place on the sheet \"{sheet}\" is not a number; some reading is far outside what an instrument can be")]
    NotFinite {
        /// Name of the sheet.
        sheet: String,
    },
    /// The font that the program carries cannot be read, so no text would appear.
    #[error("the font inside the program cannot be read, so text would be missing; the program file is damaged")]
    Font,
    /// No sheet was given.
    #[error("there is no sheet to write")]
    NoSheets,
    /// The resolution of a picture is out of range.
    #[error("a picture of {dpi} dots per inch was asked for; give {low} to {high}")]
    Resolution {
        /// What was asked for, dots per inch.
        dpi: f64,
        /// Least, dots per inch.
        low: f64,
        /// Most, dots per inch.
        high: f64,
    },
    /// A library refused the sheet.
    #[error("the sheet \"{sheet}\" cannot be turned into {into}: {reason}")]
    Library {
        /// Name of the sheet.
        sheet: String,
        /// Kind of file.
        into: &'static str,
        /// What the library said.
        reason: String,
    },
}

impl DrawingError {
    /// A library refused the sheet of this heading on the way into a kind of file.
    pub(crate) fn library(sheet: &str, into: &'static str, reason: impl std::fmt::Display) -> Self {
        Self::Library {
            sheet: sheet.to_owned(),
            into,
            reason: reason.to_string(),
        }
    }
}
