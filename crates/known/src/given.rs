//! The likeliest instrument.

use crate::expect::{Rowed, lanes, plainly};
use crate::rows::Rows;
use crate::scene::{LIFTED_BY_BOW, nut_reading};
use crate::{Figure, Lanes, Row, Scene, Seen, lanes as lane};
use evidence::{AdjustError, Estimate, Model, Reading, adjust, straight};
use instrument::{SlotSurvey, StrungInstrument, SurveyedString};
use nalgebra::{DMatrix, DVector};
use numerics::math;
use strings::Ends;
use thiserror::Error;

/// Why the readings give no instrument.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum KnownError {
    /// Nothing that was read, and is not doubted, tells these.
    #[error("what was read does not tell {0:?}")]
    Undetermined(Vec<Figure>),
    /// This row cannot be weighed, or cannot be read of this instrument.
    #[error("{0:?} cannot be weighed")]
    Row(Box<Row>),
    /// The readings contradict each other so much that no instrument is near them.
    #[error("the readings do not settle on one instrument")]
    NotSettled,
}

/// What is known of an instrument.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// The figures of the state, in order.
    pub figures: Vec<Figure>,
    /// The rows that bear on them.
    pub rows: Vec<Row>,
    /// How far each figure is off where the survey has it, and how sure that is.
    pub estimate: Estimate,
    /// Names of the tools, as [`Figure::Tool`] counts them.
    pub tools: Vec<String>,
    strings: usize,
}

impl Known {
    /// The instrument that agrees best with all readings.
    ///
    /// # Errors
    /// [`KnownError`].
    pub fn of(seen: &Seen) -> Result<Self, KnownError> {
        let (rows, figures, tools) = Rows::of(seen);
        let start = vec![0.0; figures.len()];
        Self::by(seen, rows, figures, tools, &start)
    }

    /// The likeliest state of these figures by these rows.
    fn by(
        seen: &Seen,
        rows: Vec<Row>,
        figures: Vec<Figure>,
        tools: Vec<String>,
        start: &[f64],
    ) -> Result<Self, KnownError> {
        Self::found(seen, rows, figures, tools, |model, readings| {
            adjust(model, readings, start)
        })
    }

    fn found(
        seen: &Seen,
        rows: Vec<Row>,
        figures: Vec<Figure>,
        tools: Vec<String>,
        find: impl FnOnce(&Rowed, &[Reading]) -> Result<Estimate, AdjustError>,
    ) -> Result<Self, KnownError> {
        let readings: Vec<Reading> = rows
            .iter()
            .map(|row| Reading {
                value: row.value,
                sure_to: row.sure_to,
            })
            .collect();
        let model = Rowed {
            scene: Scene::of(seen),
            rows: &rows,
            strung: seen.strung,
            figures: &figures,
        };
        let estimate = find(&model, &readings).map_err(|error| match error {
            AdjustError::Uncertainty(row) | AdjustError::NotFinite(row) => match rows.get(row) {
                Some(row) => KnownError::Row(Box::new(row.clone())),
                None => KnownError::NotSettled,
            },
            AdjustError::Undetermined(free) => {
                KnownError::Undetermined(free.into_iter().filter_map(|at| figures.get(at).copied()).collect())
            }
            AdjustError::Start { .. } | AdjustError::NotSettled(_) => KnownError::NotSettled,
        })?;
        Ok(Self {
            figures,
            rows,
            estimate,
            tools,
            strings: seen.instrument.strings.len(),
        })
    }

    /// As if every reading went on from the survey as it goes there: what can be said of readings that do not settle.
    pub(crate) fn straight_of(seen: &Seen) -> Result<Self, KnownError> {
        let (rows, figures, tools) = Rows::of(seen);
        let survey = vec![0.0; figures.len()];
        Self::found(seen, rows, figures, tools, |model, readings| {
            straight(model, readings, &survey)
        })
    }

    /// By these rows on the same figures, as if every one went on from a state as it goes there.
    pub(crate) fn straight(&self, seen: &Seen, rows: Vec<Row>, at: &[f64]) -> Result<Self, KnownError> {
        let (figures, tools) = (self.figures.clone(), self.tools.clone());
        Self::found(seen, rows, figures, tools, |model, readings| {
            straight(model, readings, at)
        })
    }

    /// By these rows on the same figures, looked for from a state.
    pub(crate) fn from(&self, seen: &Seen, rows: Vec<Row>, start: &[f64]) -> Result<Self, KnownError> {
        Self::by(seen, rows, self.figures.clone(), self.tools.clone(), start)
    }

    /// The same instrument by other rows on the same figures: some left out, or other values read. `seen` is what this was made of.
    ///
    /// # Errors
    /// [`KnownError`].
    pub fn again(&self, seen: &Seen, rows: Vec<Row>) -> Result<Self, KnownError> {
        self.from(seen, rows, self.estimate.state.as_slice())
    }

    /// What every row would be at a state of [`Known::figures`], in its own unit; no number where the state makes no instrument. `seen` is
    /// what this was made of. `None` where the state has another count of figures.
    #[must_use]
    pub fn expected(&self, seen: &Seen, state: &[f64]) -> Option<Vec<f64>> {
        if state.len() != self.figures.len() {
            return None;
        }
        let model = Rowed {
            scene: Scene::of(seen),
            rows: &self.rows,
            strung: seen.strung,
            figures: &self.figures,
        };
        let mut expected = DVector::zeros(self.rows.len());
        let mut slopes = DMatrix::zeros(self.rows.len(), self.figures.len());
        model.expect(state, &mut expected, &mut slopes);
        Some(expected.iter().copied().collect())
    }

    /// Where each lane's figure of a string on the first visit stands in the state.
    #[must_use]
    pub fn lanes(&self, string: usize) -> Lanes {
        lanes(&self.figures, string, self.strings, 1)
    }

    /// How far a figure is off; nought for one that the state does not have.
    #[must_use]
    pub fn off(&self, figure: Figure) -> f64 {
        self.at(figure).map_or(0.0, |at| self.estimate.state[at])
    }

    /// Whether every figure is just where the survey has it.
    #[must_use]
    pub fn is_as_read(&self) -> bool {
        self.estimate.state.iter().all(|off| *off == 0.0)
    }

    /// Factor on a string's stretch stiffness that the readings ask for, where its pitch is among them.
    #[must_use]
    pub fn calibration(&self, string: usize) -> Option<f64> {
        let read = self.rows.iter().any(|row| row.is_pitch_of(string));
        read.then(|| math::exp(self.off(Figure::Axial(string))))
    }

    /// Place of a figure in the state.
    #[must_use]
    pub fn at(&self, figure: Figure) -> Option<usize> {
        self.figures.binary_search(&figure).ok()
    }

    /// The instrument as it likeliest is.
    #[must_use]
    pub fn instrument(&self, seen: &Seen) -> StrungInstrument {
        let from = seen.instrument;
        let scene = Scene::of(seen);
        let state = self.estimate.state.as_slice();
        let whole = self.lanes(0);
        let Ok(there) = scene.there(&plainly(state, &whole), false) else {
            return from.clone();
        };
        let strings = from.strings.iter().enumerate().map(|(i, s)| {
            let own = self.lanes(i);
            let off = plainly(state, &own);
            let cents = self.calibration(i).is_some();
            SurveyedString {
                model: scene.model(i, &off).unwrap_or(s.model),
                nut_x: scene.nut_x(s, &off),
                present_nut: s
                    .present_nut
                    .map(|read| nut_reading(read, off(lane::NUT), off(lane::ACTION))),
                action_12: s.action_12.map(|action| action + off(lane::ACTION)),
                contact_from_fret_12: s.contact_from_fret_12.map(|from_12| {
                    let without_slot = if seen.slot.is_none() { off(lane::CONTACT) } else { 0.0 };
                    from_12 + without_slot
                }),
                cents_12: None,
                stretch_found: s.stretch_found || cents,
                ..s.clone()
            }
        });
        StrungInstrument {
            strings: strings.collect(),
            board: there.board,
            ends: if self.off(Figure::Ends) == 0.0 {
                from.ends
            } else {
                Ends::of_sum(there.ends.sum())
            },
            stand_off: there.stand_off,
            ..*from
        }
    }

    /// The slot as it likeliest is, with its lean; `None` where none was read.
    #[must_use]
    pub fn slot(&self, seen: &Seen) -> Option<(SlotSurvey, f64)> {
        let from = seen.slot?;
        let scene = Scene::of(seen);
        let whole = self.lanes(0);
        let off = plainly(self.estimate.state.as_slice(), &whole);
        let there = scene.there(&off, false).ok()?;
        let mut slot = scene.slot_readings(&from, scene.outer()?, &there.board, &off);
        let risen = off(lane::RISEN);
        // A saddle that is made again in this slot stands as the one that was made does.
        let seats = lane::MADE_SEAT.map(&off);
        match (&mut slot, from.slot) {
            (SlotSurvey::Straightedge(ends), _) => {
                // A floor that lifts the saddle is as good as a shallower slot.
                let lifted = off(lane::BOW) * LIFTED_BY_BOW;
                for (end, seat) in ends.iter_mut().zip(seats) {
                    end.bridge_top += risen;
                    end.depth -= lifted + seat;
                }
            }
            (SlotSurvey::Reference(ends), SlotSurvey::Reference(read)) => {
                for ((end, read), seat) in ends.iter_mut().zip(read).zip(seats) {
                    end.height -= risen + seat;
                    // A depth that nobody read stays unread.
                    end.depth = end.depth.filter(|_| read.depth.is_some());
                }
            }
            _ => {}
        }
        Some((slot, from.lean + self.off(Figure::Lean)))
    }
}

impl Row {
    /// Whether it is a pitch read of a string, or its inharmonicity.
    fn is_pitch_of(&self, string: usize) -> bool {
        use instrument::{At, Of};
        matches!(
            self.what,
            crate::What::Read(Of::Cents { .. } | Of::Inharmonicity, At::String(i)) if i == string
        )
    }
}
