//! Where stock, jaws and table lie in program coordinates, and the height that clears them all.

use crate::{Holding, Setup, SetupKind, Zero};

/// A cut right through goes this far into the waste board under the tape, mm, so that no film of stock stays. Common practice,
/// no source. A program that goes deeper is refused.
pub const THROUGH: f64 = 0.1;
/// Jaws whose ends are not known are taken to reach so far past the stock, mm: a real vise is wider than a saddle. Common practice,
/// no source.
pub const JAW_BEYOND: f64 = 10.0;
/// How far the jaws are drawn beyond a nut's bottom edge when it stands on end, mm; no tool goes there.
const JAW_REACH: f64 = 10.0;

/// A box of the holding that no tool may touch, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// Name for the reader of a finding.
    pub name: &'static str,
    /// Least x, least y, greatest x, greatest y.
    pub plan: [f64; 4],
    /// Its top.
    pub top: f64,
}

impl Setup {
    /// Z of the surface that the stock stands or lies on: the parallel's top on edge, the table flat, mm.
    #[must_use]
    pub fn seat_z(&self) -> f64 {
        match self.zero {
            Zero::Seat => 0.0,
            Zero::RawTop => -self.rise(),
        }
    }

    /// Z of the stock's raw top, mm.
    #[must_use]
    pub fn raw_top(&self) -> f64 {
        self.seat_z() + self.rise()
    }

    /// From the stock's under side to its raw top, mm.
    fn rise(&self) -> f64 {
        match self.kind {
            SetupKind::OnEdge => self.stock.height,
            SetupKind::Flat => self.stock.thickness,
            SetupKind::OnEnd => self.stock.length,
        }
    }

    /// The stock in plan: least x, least y, greatest x, greatest y, mm.
    #[must_use]
    pub fn stock_plan(&self) -> [f64; 4] {
        match self.kind {
            SetupKind::OnEdge => [0.0, -self.stock.thickness, self.stock.length, 0.0],
            SetupKind::Flat => [0.0, 0.0, self.stock.length, self.stock.height],
            SetupKind::OnEnd => [0.0, -self.stock.thickness, self.stock.height, 0.0],
        }
    }

    /// The stock as the simulation looks at it, from above the part's top: in plan for an upright tool, and on end as if the nut
    /// stood on edge. Least x, least y, greatest x, greatest y, mm.
    #[must_use]
    pub(crate) fn map_plan(&self) -> [f64; 4] {
        match self.kind {
            SetupKind::OnEnd => [0.0, -self.stock.thickness, self.stock.length, 0.0],
            SetupKind::OnEdge | SetupKind::Flat => self.stock_plan(),
        }
    }

    /// Height of the raw top in the simulation, mm.
    #[must_use]
    pub(crate) fn map_top(&self) -> f64 {
        match self.kind {
            SetupKind::OnEnd => self.stock.height,
            SetupKind::OnEdge | SetupKind::Flat => self.raw_top(),
        }
    }

    /// Height of the nought of the simulation's heights over the part's under side, mm.
    pub(crate) fn map_lift(&self) -> f64 {
        match self.kind {
            SetupKind::OnEnd => 0.0,
            SetupKind::OnEdge | SetupKind::Flat => -self.seat_z(),
        }
    }

    /// A place of the simulation on end as the machine has it: the part's height is X there, and Z falls from the upper end.
    #[must_use]
    pub fn from_map(&self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        match self.kind {
            SetupKind::OnEnd => [z, y, self.raw_top() - x],
            SetupKind::OnEdge | SetupKind::Flat => [x, y, z],
        }
    }

    /// First and last X of the jaws, mm: as given, or [`JAW_BEYOND`] past the stock where that is not known. `None` for tape.
    #[must_use]
    pub fn jaw_x(&self) -> Option<(f64, f64)> {
        let Holding::Vise { jaw_x: (from, to), .. } = self.holding else {
            return None;
        };
        let known = |x: f64, else_at: f64| if x.is_finite() { x } else { else_at };
        Some((known(from, -JAW_BEYOND), known(to, self.stock.length + JAW_BEYOND)))
    }

    /// The jaws, or nothing when the stock is taped.
    #[must_use]
    pub fn jaws(&self) -> Vec<Block> {
        let (
            Holding::Vise {
                jaw_height,
                jaw_thickness,
                ..
            },
            Some(jaw_x),
        ) = (self.holding, self.jaw_x())
        else {
            return Vec::new();
        };
        let [_, low, _, high] = self.stock_plan();
        // On end the jaws take the same part of the nut's height, and are taken to be as high as the nut is long.
        let (jaw_x, rise) = match self.kind {
            SetupKind::OnEnd => ((-JAW_REACH, jaw_height), self.stock.length),
            SetupKind::OnEdge | SetupKind::Flat => (jaw_x, jaw_height),
        };
        let top = self.seat_z() + rise;
        let jaw = |name, y0, y1| Block {
            name,
            plan: [jaw_x.0, y0, jaw_x.1, y1],
            top,
        };
        vec![
            jaw("the fixed jaw", high, high + jaw_thickness),
            jaw("the moving jaw", low - jaw_thickness, low),
        ]
    }

    /// Lowest Z for rapid moves to the side: the highest of stock and jaws, and the setup's clearance, mm.
    #[must_use]
    pub fn safe_z(&self) -> f64 {
        self.jaws().iter().fold(self.raw_top(), |z, jaw| z.max(jaw.top)) + self.clearance
    }
}

#[cfg(test)]
mod tests {
    use crate::testbed::on_edge;
    use crate::{Holding, SetupKind, Zero};

    #[test]
    fn heights_count_from_the_zero() {
        let mut setup = on_edge();
        setup.stock.height = 11.0;
        setup.holding = Holding::Vise {
            jaw_height: 6.0,
            jaw_thickness: 10.0,
            jaw_x: (5.0, 70.0),
        };
        setup.clearance = 5.0;
        assert_eq!((setup.seat_z(), setup.raw_top(), setup.safe_z()), (0.0, 11.0, 16.0));
        setup.zero = Zero::RawTop;
        assert_eq!((setup.seat_z(), setup.raw_top(), setup.safe_z()), (-11.0, 0.0, 5.0));
        assert!(setup.jaws().iter().all(|jaw| jaw.top == -5.0));
        setup.kind = SetupKind::Flat;
        setup.zero = Zero::Seat;
        assert_eq!(setup.raw_top(), setup.stock.thickness);
    }

    #[test]
    fn jaws_of_unknown_length_reach_past_the_stock() {
        let mut setup = on_edge();
        setup.holding = Holding::Vise {
            jaw_height: 5.0,
            jaw_thickness: 12.0,
            jaw_x: (f64::NEG_INFINITY, 70.0),
        };
        assert_eq!(setup.jaw_x(), Some((-10.0, 70.0)));
        assert!(
            setup
                .jaws()
                .iter()
                .all(|jaw| (jaw.plan[0], jaw.plan[2]) == (-10.0, 70.0))
        );
    }

    #[test]
    fn jaws_stand_on_both_faces() {
        let setup = on_edge();
        let [_, low, _, high] = setup.stock_plan();
        let jaws = setup.jaws();
        assert_eq!((jaws[0].plan[1], jaws[1].plan[3]), (high, low));
    }
}
