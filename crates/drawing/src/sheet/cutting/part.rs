//! What is cut, as sheets know it.

use crate::DrawingError;
use crate::sheet::bound::{check_options, finished as saddle_finished};
use crate::sheet::draft::Draft;
use crate::sheet::{Sheet, SheetOptions, nut as nut_sheet};
use machining::{Part, PartKind};

/// What every sheet of the part needs before it is drawn.
pub(super) fn check(part: Part, options: &SheetOptions) -> Result<(), DrawingError> {
    match part {
        Part::Saddle(plan) => check_options(plan, options),
        Part::Nut(plan) => nut_sheet::check_options(plan, options),
    }
}

/// Numbers the drafts, and sets frame, bars and title block of the part round each.
pub(super) fn finished(part: Part, options: &SheetOptions, drafts: Vec<Draft>) -> Result<Vec<Sheet>, DrawingError> {
    const SCALE: &str = "as said";
    match part {
        Part::Saddle(plan) => saddle_finished(plan, options, SCALE, drafts),
        Part::Nut(plan) => nut_sheet::finished(plan, options, SCALE, drafts),
    }
}

/// The part without its plan.
pub(super) fn kind(part: Part) -> PartKind {
    match part {
        Part::Saddle(_) => PartKind::Saddle,
        Part::Nut(_) => PartKind::Nut,
    }
}
