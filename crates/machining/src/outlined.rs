//! A part whose outline was cut flat, before its crown or its slots are cut in another setup.

use crate::{Part, Prism, Setup, SetupKind, Stock, Surface, SurfaceError};

/// The setup of a part whose outline was cut: its stock is the part itself, as high as its highest place. A flat setup stays as it
/// is.
///
/// What the program of the outline leaves is the outline within the limits that it was judged by, and tabs, which are filed flush.
///
/// # Errors
/// [`SurfaceError`] if the stock does not hold the part.
pub fn outlined<'a>(part: impl Into<Part<'a>>, setup: &Setup) -> Result<Setup, SurfaceError> {
    let mut setup = setup.clone();
    if setup.kind == SetupKind::Flat {
        return Ok(setup);
    }
    let (height, length) = match part.into() {
        Part::Nut(plan) => (Prism::new(plan, &setup)?.crest(), plan.board_width),
        Part::Saddle(plan) => (Surface::new(plan, &setup)?.highest(), plan.ends.1 - plan.ends.0),
    };
    setup.stock = Stock {
        height,
        length,
        bass_margin: 0.0,
        ..setup.stock
    };
    setup.outlined = true;
    Ok(setup)
}
