//! Toolpaths: what each cutter does, in order.

mod error;
mod finish;
mod flat;
mod follow;
mod groove;
mod path;
mod rough;
mod round;
mod way;

pub use error::{MOST_PASSES, PassError};
pub use finish::finishing_passes;
pub use path::{Move, Toolpath, Toolpaths};
pub use way::CHORD;

use crate::{FeedNote, Part, Setup, SetupKind, Surface};
use saddle::Plan;

/// Toolpaths for `part` in `setup`; a nut on edge or on end is [`outlined`](crate::outlined()) before.
///
/// Roughing climbs (the material on the right of the tool's way, the spindle turning clockwise); finishing goes to and fro,
/// because the little that it takes matters less than the time in the air.
///
/// # Errors
/// [`PassError`] if stock, cutters, holding or figures do not allow it.
pub fn toolpaths<'a>(part: impl Into<Part<'a>>, setup: &Setup) -> Result<Toolpaths, PassError> {
    setup.rougher.check()?;
    for (value, what) in [
        (setup.clearance, "clearance"),
        (setup.material.step_down, "step down"),
        (setup.material.step_over, "step over"),
    ] {
        if !(value.is_finite() && value > 0.0) {
            return Err(PassError::Figure { what });
        }
    }
    if !(setup.rough_allowance.is_finite() && setup.rough_allowance >= 0.0) {
        return Err(PassError::Figure { what: "allowance" });
    }
    let part = part.into();
    match (part, setup.kind) {
        (_, SetupKind::Flat) => flat::toolpaths(part, setup),
        (Part::Saddle(plan), SetupKind::OnEdge) => on_edge(plan, setup),
        (Part::Saddle(_), SetupKind::OnEnd) => Err(PassError::OnEnd),
        (Part::Nut(plan), SetupKind::OnEdge | SetupKind::OnEnd) => groove::toolpaths(plan, setup),
    }
}

fn on_edge(plan: &Plan, setup: &Setup) -> Result<Toolpaths, PassError> {
    setup.finisher.check()?;
    if !(setup.scallop.is_finite() && setup.scallop > 0.0) {
        return Err(PassError::Figure { what: "scallop height" });
    }
    let surface = Surface::new(plan, setup)?;
    let mut notes = Vec::new();
    let (rough, left) = rough::path(&surface, setup, &mut notes)?;
    let paths = vec![rough, finish::path(&surface, setup, left, &mut notes)?];
    let said = paths.iter().flat_map(|p| &p.feeds.notes).map(FeedNote::to_string);
    let notes = said.chain(notes).collect();
    Ok(Toolpaths { paths, notes })
}
