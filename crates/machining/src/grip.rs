//! How high the jaws stand where the job does not say: what the cut leaves them, and what holds.

use crate::end::End;
use crate::slots::{Prism, grooves};
use crate::{Holding, Part, Setup, SetupKind, Surface, SurfaceError, outlined};

/// Share of the stock's height that the jaws take at most. Common practice, no source.
const SHARE: f64 = 0.4;
/// The same for a nut, whose slots come down to half of the blank's height.
const NUT_SHARE: f64 = 0.25;
/// Jaws keep this far below the lowest cut, mm: parallels come in steps, and a vise is measured with a rule. Common practice, no
/// source.
const BELOW: f64 = 1.0;
/// Least grip that holds a thin blank against a small cutter, mm. Common practice, no source.
const HOLDS: f64 = 3.0;
/// The same for a nut, which is thicker and has only grooves cut, mm. Common practice, no source.
const NUT_HOLDS: f64 = 2.0;
/// Heights are given to this, mm, as parallels and shims make them.
const STEP: f64 = 0.5;

/// `setup` as it stands in the vise: a part whose outline is cut before (`is_outlined`; a nut's always is) is its own stock, and a height
/// of the jaws that the job does not give (`height`) suits the part.
///
/// Without a height they take two fifths of the stock (of a nut a quarter), but stay 1 mm below the lowest cut; 3 mm (2 mm) at
/// least, and whole half millimetres.
///
/// # Errors
/// [`SurfaceError`] if the stock does not hold the part.
pub fn held<'a>(
    part: impl Into<Part<'a>>,
    setup: &Setup,
    is_outlined: bool,
    height: bool,
) -> Result<Setup, SurfaceError> {
    let part = part.into();
    let raw = setup.stock.height;
    let mut setup = match part {
        Part::Saddle(_) if !is_outlined => setup.clone(),
        _ => outlined(part, setup)?,
    };
    if setup.kind == SetupKind::Flat || height {
        return Ok(setup);
    }
    let usual = usual(part, &setup, raw)?;
    if let Holding::Vise { jaw_height, .. } = &mut setup.holding {
        *jaw_height = usual;
    }
    Ok(setup)
}

/// Height of the jaws where nothing is given, mm; `raw` is the height of the raw stock.
fn usual(part: Part, setup: &Setup, raw: f64) -> Result<f64, SurfaceError> {
    let (lowest, share, holds) = match part {
        Part::Saddle(plan) => {
            let radius = End::of(&setup.finisher).ball().unwrap_or_default();
            let surface = Surface::new(plan, setup)?;
            (surface.lowest_tip(radius) - setup.seat_z(), SHARE, HOLDS)
        }
        Part::Nut(plan) => {
            let prism = Prism::new(plan, setup)?;
            let (made, _) = grooves(plan, &prism, setup);
            let floors = made.iter().flat_map(|g| [g.front[2], g.back[2]]);
            (floors.fold(f64::INFINITY, f64::min), NUT_SHARE, NUT_HOLDS)
        }
    };
    let most = (share * raw).min(lowest - BELOW);
    Ok(((most / STEP).floor() * STEP).max(holds))
}
