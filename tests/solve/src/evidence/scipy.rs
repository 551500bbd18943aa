//! Side by side with `scipy.optimize.least_squares`: `tests/outside/test_adjustment.py` makes the figures, and holds them to what scipy says.

use evidence::{Model, Reading, adjust};
use nalgebra::{DMatrix, DVector};
use serde::Deserialize;

#[derive(Deserialize)]
struct Entry {
    given: Given,
    found: Found,
}

#[derive(Deserialize)]
struct Given {
    form: Form,
    start: Vec<f64>,
    x: Vec<Vec<f64>>,
    values: Vec<f64>,
    sure_to: Vec<f64>,
}

#[derive(Deserialize)]
struct Found {
    state: Vec<f64>,
    covariance: Vec<Vec<f64>>,
    squares: f64,
    off: Vec<f64>,
    checked: Vec<f64>,
}

#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Form {
    Ringing,
    Stretched,
    Circle,
    Ranges,
}

impl Form {
    /// What a reading would be, and its derivatives; the script has the same formulas.
    fn at(self, s: &[f64], x: &[f64]) -> (f64, Vec<f64>) {
        match self {
            Self::Ringing => {
                let (fall, turn) = ((-s[1] * x[0]).exp(), s[2] * x[0] + s[3]);
                let (cos, sin) = (fall * turn.cos(), fall * turn.sin());
                let slopes = vec![cos, -x[0] * s[0] * cos, -x[0] * s[0] * sin, -s[0] * sin, 1.0];
                (s[0] * cos + s[4], slopes)
            }
            Self::Stretched => {
                let n = x[0];
                let root = (1.0 + s[1] * n * n).sqrt();
                (n * s[0] * root, vec![n * root, s[0] * n.powi(3) / (2.0 * root)])
            }
            Self::Circle | Self::Ranges => {
                let (dx, dy) = (s[0] - x[0], s[1] - x[1]);
                let far = dx.hypot(dy);
                match self {
                    Self::Circle => (far - s[2], vec![dx / far, dy / far, -1.0]),
                    _ if x[2] == 0.0 => (far + s[2], vec![dx / far, dy / far, 1.0]),
                    _ => (s[2], vec![0.0, 0.0, 1.0]),
                }
            }
        }
    }
}

impl Model for Given {
    fn states(&self) -> usize {
        self.start.len()
    }

    fn expect(&self, state: &[f64], expected: &mut DVector<f64>, slopes: &mut DMatrix<f64>) {
        for (i, x) in self.x.iter().enumerate() {
            let (value, by) = self.form.at(state, x);
            expected[i] = value;
            for (j, by) in by.into_iter().enumerate() {
                slopes[(i, j)] = by;
            }
        }
    }
}

#[test]
fn states_covariances_and_tests_are_those_of_scipy() {
    let entries: Vec<Entry> = serde_json::from_str(include_str!("scipy.json")).unwrap();
    assert_eq!(entries.len(), 4);
    for Entry { given, found: wanted } in entries {
        let form = given.form;
        let both = given.values.iter().zip(&given.sure_to);
        let readings: Vec<Reading> = both.map(|(&value, &sure_to)| Reading { value, sure_to }).collect();
        let found = adjust(&given, &readings, &given.start).unwrap();
        let near = |what: &str, got: f64, wanted: f64, scale: f64| {
            assert!(
                (got - wanted).abs() <= 1e-9 * scale,
                "{form:?} {what}: {got} against {wanted}"
            );
        };
        assert_eq!(found.state.len(), wanted.state.len());
        for (j, state) in wanted.state.iter().enumerate() {
            near("state", found.state[j], *state, state.abs());
            for (k, covariance) in wanted.covariance[j].iter().enumerate() {
                let scale = (wanted.covariance[j][j] * wanted.covariance[k][k]).sqrt();
                near("covariance", found.covariance[(j, k)], *covariance, scale);
            }
        }
        near("squares", found.squares(), wanted.squares, wanted.squares);
        let tests = found.tests();
        assert_eq!(tests.len(), wanted.off.len());
        for (i, test) in tests.iter().enumerate() {
            near("off", test.off.unwrap(), wanted.off[i], 1.0 + wanted.off[i].abs());
            near("checked share", test.checked_share, wanted.checked[i], 1.0);
        }
    }
}
