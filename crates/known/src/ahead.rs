//! Readings that could still be taken: what they would say, and how they would go with the state.

use crate::expect::Rowed;
use crate::rows::Rows;
use crate::{Figure, Known, Row, Scene, Seen, What};
use evidence::{AskError, Further, Model};
use instrument::{Readings, Taken};
use nalgebra::{DMatrix, DVector};
use numerics::math;

/// What is known beforehand of a figure of which nothing is known, mm: far more than any instrument leaves open.
const OPEN: f64 = 100.0;

/// Readings that could still be taken, at the likeliest state.
#[derive(Debug, Clone, PartialEq)]
pub struct Ahead {
    /// Covariance of the state with the figures that the readings would bring in. Those of [`Known::figures`] stand first, in their order.
    pub covariance: DMatrix<f64>,
    /// Each reading's derivatives by the figures of that state, a row a reading; noughts where it cannot be taken.
    pub slopes: DMatrix<f64>,
    /// What each reading would say, with the standard uncertainty of its own part; `None` where it cannot be taken of this instrument.
    pub expected: Vec<Option<Expected>>,
}

impl Ahead {
    /// What these readings would gain for figures of interest, which go with the state by `of`, a row a figure, as long as
    /// [`Known::figures`]: none goes with what only a further reading brings in.
    ///
    /// # Errors
    /// [`AskError`]; of a reading that cannot be taken, its uncertainty.
    pub fn further(&self, of: &DMatrix<f64>) -> Result<Further, AskError> {
        let figures = self.covariance.ncols();
        let of = of.clone().resize_horizontally(figures.max(of.ncols()), 0.0);
        let sure_to = self
            .expected
            .iter()
            .map(|expected| expected.map_or(f64::INFINITY, |expected| expected.sure_to));
        Further::of(&self.covariance, &of, &self.slopes, &sure_to.collect::<Vec<_>>())
    }
}

/// What a reading would say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// The value, in its own unit.
    pub value: f64,
    /// Standard uncertainty of its own part, in the same unit.
    pub sure_to: f64,
}

impl Known {
    /// How these readings, taken after all of `seen`, would go with the state. Their values are not looked at, nor whether they are doubted.
    #[must_use]
    pub fn ahead(&self, seen: &Seen, taken: &[Taken]) -> Ahead {
        let before = seen.readings.taken.len();
        let mut readings: Readings = seen.readings.clone();
        readings.taken.extend(taken.iter().map(|taken| Taken {
            doubted: false,
            ..taken.clone()
        }));
        let (all, figures, _) = Rows::of(&Seen {
            readings: &readings,
            ..*seen
        });
        // Figures that are known stand first; the others follow in order.
        let new: Vec<Figure> = figures
            .iter()
            .copied()
            .filter(|figure| self.at(*figure).is_none())
            .collect();
        let own = self.figures.len();
        let place = |figure: &Figure| {
            let after = || new.binary_search(figure).map_or(0, |at| own + at);
            self.at(*figure).unwrap_or_else(after)
        };
        let count = own + new.len();
        let mut covariance = DMatrix::zeros(count, count);
        covariance
            .view_mut((0, 0), (own, own))
            .copy_from(&self.estimate.covariance);
        for figure in &new {
            let known = all.iter().find(|row| row.what == What::Before(*figure));
            let at = place(figure);
            covariance[(at, at)] = math::powi(known.map_or(OPEN, |row| row.sure_to), 2);
        }
        let rows: Vec<Row> = (all.into_iter())
            .filter(|row| row.taken.is_some_and(|at| at >= before))
            .collect();
        let state: Vec<f64> = figures.iter().map(|figure| self.off(*figure)).collect();
        let model = Rowed {
            scene: Scene::of(seen),
            rows: &rows,
            strung: seen.strung,
            figures: &figures,
        };
        let mut values = DVector::zeros(rows.len());
        let mut in_order = DMatrix::zeros(rows.len(), figures.len());
        model.expect(&state, &mut values, &mut in_order);
        let mut slopes = DMatrix::zeros(rows.len(), count);
        let mut expected = vec![None; rows.len()];
        for (i, row) in rows.iter().enumerate() {
            let found = in_order.row(i);
            if !(values[i].is_finite() && found.iter().all(|slope| slope.is_finite())) {
                continue;
            }
            for (slope, figure) in found.iter().zip(&figures) {
                slopes[(i, place(figure))] = *slope;
            }
            expected[i] = Some(Expected {
                value: values[i],
                sure_to: row.sure_to,
            });
        }
        Ahead {
            covariance,
            slopes,
            expected,
        }
    }
}
