//! The nut on edge after its grooves are cut.

use super::{Groove, Prism};
use crate::end::End;
use crate::{Cutter, Setup, SetupKind, Target};
use numerics::math;

/// A nut with grooves, in program coordinates on edge (X along, Y = -b, Z up).
#[derive(Debug, Clone)]
pub struct Grooved {
    prism: Prism,
    thickness: f64,
    /// Z = v - lift.
    lift: f64,
    grooves: Vec<Cut>,
}

/// A groove and what is cut with.
#[derive(Debug, Clone)]
struct Cut {
    groove: Groove,
    cutter: Cutter,
    saw: bool,
    /// Unit vector in plan from front to back, and rise along it.
    along: [f64; 2],
    slope: f64,
}

impl Cut {
    /// Height of the groove's surface over the seat at `(x, y)`, if it has one there.
    fn height(&self, x: f64, y: f64) -> Option<f64> {
        let [x0, y0, z0] = self.groove.front;
        let [ux, uy] = self.along;
        let (dx, dy) = (x - x0, y - y0);
        let (t, p) = (dx * ux + dy * uy, (dx * uy - dy * ux).abs());
        let line = z0 + self.slope * t;
        if self.saw {
            (p <= 0.5 * self.cutter.cutting_length).then_some(line)
        } else {
            (p <= self.cutter.radius()).then(|| line + End::of(&self.cutter).swept(self.slope, p))
        }
    }
}

impl Grooved {
    /// The nut `prism`, `thickness` mm from front to back, with `grooves` cut by the cutters of `setup`.
    #[must_use]
    pub fn new(prism: Prism, thickness: f64, grooves: &[Groove], setup: &Setup) -> Self {
        let cut = |groove: &Groove| {
            let cutter = setup.groovers().find(|c| c.number == groove.tool)?;
            let [dx, dy, dz] = [0, 1, 2].map(|i| groove.back[i] - groove.front[i]);
            let length = math::hypot(dx, dy);
            Some(Cut {
                groove: *groove,
                cutter: cutter.clone(),
                saw: setup.kind == SetupKind::OnEnd,
                along: [dx / length, dy / length],
                slope: dz / length,
            })
        };
        Self {
            prism,
            thickness,
            lift: setup.map_lift(),
            grooves: grooves.iter().filter_map(cut).collect(),
        }
    }

    fn inside(&self, x: f64, y: f64) -> bool {
        let (x0, x1) = self.prism.ends_x();
        x >= x0 && x <= x1 && y <= 0.0 && y >= -self.thickness
    }
}

impl Target for Grooved {
    fn height(&self, x: f64, y: f64) -> Option<f64> {
        let cuts = self.grooves.iter().filter_map(|cut| cut.height(x, y));
        self.inside(x, y)
            .then(|| cuts.fold(self.prism.height(x), f64::min) - self.lift)
    }

    fn bounds(&self) -> [f64; 4] {
        let (x0, x1) = self.prism.ends_x();
        [x0, -self.thickness, x1, 0.0]
    }

    fn stock(&self, x: f64, y: f64) -> Option<f64> {
        // Beside the nut there is nothing to cut.
        let seat = -self.lift;
        Some(if self.inside(x, y) {
            self.prism.height(x) - self.lift
        } else {
            seat
        })
    }
}
