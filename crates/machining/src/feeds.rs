//! Spindle speed and feeds from the chip that material and cutter bear.

use crate::end::End;
use crate::{Cutter, Machine, Material};
use std::f64::consts::PI;
use thiserror::Error;

/// Straight down, as a share of the feed along: an end cuts badly at its middle. Common practice, no source.
const PLUNGE: f64 = 0.3;
/// Speeds, feeds and chips are the same within this share.
const SAME: f64 = 1e-9;

/// What the feeds are, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Feeds {
    /// Spindle speed, rev/min.
    pub spindle: f64,
    /// Feed along a pass, mm/min.
    pub cut: f64,
    /// Feed straight down, mm/min.
    pub plunge: f64,
    /// Thickest chip that this makes, mm.
    pub chip: f64,
    /// What was changed from what was wanted.
    pub notes: Vec<FeedNote>,
}

/// A change from what was wanted that the operator should know.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum FeedNote {
    /// Spindle kept within the machine's range or the material's speed.
    #[error("{cutter}: the spindle turns at {used:.0} rev/min instead of {wanted:.0}, the limit of {limit}")]
    Spindle {
        /// Cutter.
        cutter: String,
        /// Wanted, rev/min.
        wanted: f64,
        /// Used, rev/min.
        used: f64,
        /// Whose limit.
        limit: &'static str,
    },
    /// Spindle slowed so that the chip stays thick enough at the machine's highest feed.
    #[error(
        "{cutter}: the spindle is slowed to {used:.0} rev/min, because the machine's highest feed would make too thin a chip at {wanted:.0}"
    )]
    Slowed {
        /// Cutter.
        cutter: String,
        /// Wanted, rev/min.
        wanted: f64,
        /// Used, rev/min.
        used: f64,
    },
    /// The chip is thinner than aimed at, yet cut and not rubbed.
    #[error("{cutter}: the chip is {chip:.3} mm and not {wanted:.3} mm, held back by {limit}; it still cuts")]
    Thin {
        /// Cutter.
        cutter: String,
        /// Chip made, mm.
        chip: f64,
        /// Chip aimed at, mm.
        wanted: f64,
        /// What holds it back.
        limit: &'static str,
    },
    /// A ball cuts near its tip, where the chip is thinner than the advance per edge.
    #[error(
        "{cutter}: cutting {depth:.2} mm deep the ball's chip is {share:.0} % of the advance per edge, so the advance is {advance:.3} mm for a chip of {chip:.3} mm"
    )]
    BallThins {
        /// Cutter.
        cutter: String,
        /// Depth of the cut, mm.
        depth: f64,
        /// Chip as a share of the advance, percent.
        share: f64,
        /// Advance per edge, mm.
        advance: f64,
        /// Chip, mm.
        chip: f64,
    },
}

/// Why no feed is right.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum FeedError {
    /// Rubs instead of cutting.
    #[error(
        "{cutter}: the chip would be {chip:.4} mm, and under {least:.4} mm this material is rubbed and burnt, not cut: use a cutter with fewer edges, or a slower spindle"
    )]
    Rubs {
        /// Cutter.
        cutter: String,
        /// Chip, mm.
        chip: f64,
        /// Thinnest chip that cuts, mm.
        least: f64,
    },
    /// Even the slowest spindle is too fast.
    #[error(
        "{cutter}: the machine's slowest {slowest:.0} rev/min is faster than the {most:.0} rev/min that the material bears: use a thinner cutter"
    )]
    TooFast {
        /// Cutter.
        cutter: String,
        /// Slowest spindle, rev/min.
        slowest: f64,
        /// Fastest that the material bears, rev/min.
        most: f64,
    },
    /// A figure of machine or material is not usable.
    #[error("the {what} is not a usable figure")]
    Figure {
        /// Which.
        what: &'static str,
    },
}

/// Thickest chip of a cut `depth` deep as a share of the advance per edge.
///
/// A ball engaged to `depth` cuts up to the angle kappa from its axis with sin(kappa) = sqrt(D depth - depth^2)/(D/2); the
/// chip, taken square to the edge, is sin(kappa) of the advance there (geometry).
#[must_use]
pub(crate) fn chip_share(cutter: &Cutter, depth: f64) -> f64 {
    let Some(ball) = End::of(cutter).ball().map(|radius| 2.0 * radius) else {
        return 1.0;
    };
    let depth = depth.clamp(0.0, 0.5 * ball);
    ((ball * depth - depth * depth).max(0.0).sqrt() / (0.5 * ball)).clamp(0.0, 1.0)
}

/// Spindle and feeds for cuts `depth` mm deep.
///
/// The spindle is the wanted speed within the machine's range and the material's highest cutting speed. The advance per
/// edge makes the chip aimed at (thickened for a ball near its tip, but never past the thickest chip), within the machine's
/// feeds in X and Y; where those hold it back, the spindle is slowed instead.
///
/// # Errors
/// [`FeedError`]; a chip that rubs is never passed over.
pub fn feeds(
    cutter: &Cutter,
    material: &Material,
    machine: &Machine,
    wanted: f64,
    depth: f64,
) -> Result<Feeds, FeedError> {
    feeds_within(cutter, material, machine, wanted, depth, cutter.diameter)
}

/// The same for a cutter whose edges cut no further from the axis than half of `widest` mm: the rest of its rim, which is
/// faster, is in the air.
///
/// # Errors
/// As [`feeds`].
pub(crate) fn feeds_within(
    cutter: &Cutter,
    material: &Material,
    machine: &Machine,
    wanted: f64,
    depth: f64,
    widest: f64,
) -> Result<Feeds, FeedError> {
    let figure = |value: f64, what| {
        if value.is_finite() && value > 0.0 {
            Ok(value)
        } else {
            Err(FeedError::Figure { what })
        }
    };
    figure(wanted, "wanted spindle speed")?;
    figure(machine.spindle.0 + 1.0, "slowest spindle speed")?;
    figure(machine.spindle.1, "fastest spindle speed")?;
    figure(material.chip_least, "thinnest chip")?;
    figure(material.speed_most, "highest cutting speed")?;
    figure(widest, "cutter's diameter")?;
    for feed in machine.feed_most {
        figure(feed, "machine's highest feed")?;
    }
    let chip = figure(material.chip.min(material.chip_most), "chip")?;
    let name = || cutter.name.clone();
    let mut notes = Vec::new();
    let most = material.speed_most * 1000.0 / (PI * widest);
    let (slow, fast) = machine.spindle;
    if most < slow * (1.0 - SAME) {
        return Err(FeedError::TooFast {
            cutter: name(),
            slowest: slow,
            most,
        });
    }
    let mut spindle = wanted.clamp(slow, fast.max(slow)).min(most).floor().max(slow);
    if (spindle - wanted).abs() > 1.0 {
        let limit = if spindle > wanted || wanted > fast && most > fast {
            "the machine"
        } else {
            "the material"
        };
        notes.push(FeedNote::Spindle {
            cutter: name(),
            wanted,
            used: spindle,
            limit,
        });
    }
    let share = chip_share(cutter, depth).max(SAME);
    let advance = (chip / share).min(material.chip_most);
    let flutes = f64::from(cutter.flutes.max(1));
    let top = machine.feed_most[0].min(machine.feed_most[1]);
    if advance * flutes * spindle > top {
        let slower = (top / (advance * flutes)).ceil().max(slow);
        if slower < spindle {
            notes.push(FeedNote::Slowed {
                cutter: name(),
                wanted: spindle,
                used: slower,
            });
            spindle = slower;
        }
    }
    let cut = (advance * flutes * spindle).min(top);
    let advance = cut / (flutes * spindle);
    let made = advance * share;
    if share < 1.0 {
        notes.push(FeedNote::BallThins {
            cutter: name(),
            depth,
            share: 100.0 * share,
            advance,
            chip: made,
        });
    }
    if made < material.chip_least {
        return Err(FeedError::Rubs {
            cutter: name(),
            chip: made,
            least: material.chip_least,
        });
    }
    if made < chip * (1.0 - 1e-3) {
        let limit = if cut >= top * (1.0 - SAME) {
            "the machine's feed"
        } else {
            "the thickest chip"
        };
        notes.push(FeedNote::Thin {
            cutter: name(),
            chip: made,
            wanted: chip,
            limit,
        });
    }
    Ok(Feeds {
        spindle,
        cut,
        plunge: (PLUNGE * cut).min(machine.feed_most[2]),
        chip: made,
        notes,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::CutterShape;
    use crate::testbed::{cutter, on_edge};

    #[test]
    fn chip_times_edges_times_speed() {
        let setup = on_edge();
        let flat = cutter(1, CutterShape::Flat, 3.0);
        let f = feeds(&flat, &setup.material, &setup.machine, 12000.0, 1.0).unwrap();
        assert!((f.cut - 0.03 * 2.0 * 12000.0).abs() < 1e-9, "{f:?}");
        assert!(f.notes.is_empty() && f.plunge <= setup.machine.feed_most[2]);
    }

    #[test]
    fn slows_the_spindle_rather_than_rub() {
        let setup = on_edge();
        let flat = cutter(1, CutterShape::Flat, 3.0);
        let mut machine = setup.machine.clone();
        machine.feed_most = [500.0; 3];
        let f = feeds(&flat, &setup.material, &machine, 20000.0, 1.0).unwrap();
        assert!(f.spindle < 20000.0 && (f.chip - 0.03).abs() < 1e-4, "{f:?}");
        assert!(f.notes.iter().any(|n| matches!(n, FeedNote::Slowed { .. })));
        machine.feed_most = [50.0; 3];
        assert!(matches!(
            feeds(&flat, &setup.material, &machine, 20000.0, 1.0),
            Err(FeedError::Rubs { .. })
        ));
    }

    #[test]
    fn a_ball_near_its_tip_advances_more() {
        let setup = on_edge();
        let ball = cutter(2, CutterShape::Ball, 3.0);
        // 0.3 mm deep: sqrt(3*0.3 - 0.09)/1.5 = 0.6.
        assert!((chip_share(&ball, 0.3) - 0.6).abs() < 1e-12);
        let f = feeds(&ball, &setup.material, &setup.machine, 12000.0, 0.3).unwrap();
        assert!((f.cut - 0.05 * 2.0 * 12000.0).abs() < 1e-6, "{f:?}");
        assert!(f.notes.iter().any(|n| matches!(n, FeedNote::BallThins { .. })));
    }

    #[test]
    fn the_material_limits_the_speed() {
        let setup = on_edge();
        let flat = cutter(1, CutterShape::Flat, 3.0);
        let mut material = setup.material.clone();
        material.speed_most = 80.0;
        let f = feeds(&flat, &material, &setup.machine, 20000.0, 1.0).unwrap();
        assert!(f.spindle * PI * 3.0 / 1000.0 <= 80.0);
        material.speed_most = 20.0;
        assert!(matches!(
            feeds(&flat, &material, &setup.machine, 20000.0, 1.0),
            Err(FeedError::TooFast { .. })
        ));
    }

    /// A wide ball that cuts near its tip may turn faster than its rim could bear.
    #[test]
    fn the_speed_is_that_of_the_edges_that_cut() {
        let setup = on_edge();
        let ball = cutter(2, CutterShape::Ball, 12.7);
        let mut material = setup.material.clone();
        material.speed_most = 200.0;
        let rim = feeds(&ball, &material, &setup.machine, 8000.0, 0.15);
        assert!(matches!(rim, Err(FeedError::TooFast { .. })) || rim.unwrap().spindle < 5100.0);
        let f = feeds_within(&ball, &material, &setup.machine, 8000.0, 0.15, 7.0).unwrap();
        assert!(f.spindle >= 8000.0 && f.spindle * PI * 7.0 / 1000.0 <= 200.0, "{f:?}");
    }
}
