//! The readings and making errors that are uncertain, and where each acts.

use crate::Plan;
use crate::survey::SaddleSurvey;
use instrument::{Paired, Reading, SlotSurvey, Uncertainty};

/// Which of the places that a reading is taken at one source of error moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Where {
    /// All of them together.
    All,
    /// One: end 0 or 1, or a string by its index from the bass.
    One(usize),
}

/// One independent source of error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ErrorSource {
    pub(crate) reading: Reading,
    pub(crate) at: Where,
    /// Standard deviation.
    pub(crate) sigma: f64,
}

/// Every source that is not zero and that the survey uses.
pub(crate) fn sources(survey: &SaddleSurvey, plan: &Plan, u: &Uncertainty) -> Vec<ErrorSource> {
    let strings = survey.strings.len();
    let mut all = Vec::new();
    let mut alone = |reading, sigma| {
        all.push(ErrorSource {
            reading,
            at: Where::All,
            sigma,
        })
    };
    alone(Reading::Relief, u.relief);
    alone(Reading::BoardRadius, u.board_radius);
    alone(Reading::Lean, u.lean);
    alone(Reading::Seating, u.seating);
    let mut paired = |reading, paired: Paired, places: usize| {
        all.push(ErrorSource {
            reading,
            at: Where::All,
            sigma: paired.shared,
        });
        all.extend((0..places).map(|i| ErrorSource {
            reading,
            at: Where::One(i),
            sigma: paired.each,
        }));
    };
    paired(Reading::Clearance, u.clearance, strings);
    paired(Reading::PresentAction, u.present_action, strings);
    match survey.slot {
        SlotSurvey::Straightedge(_) => {
            paired(Reading::SlotEdge, u.slot_edge, 2);
            paired(Reading::BridgeTop, u.bridge_top, 2);
            paired(Reading::SlotDepth, u.slot_depth, 2);
        }
        SlotSurvey::Reference(_) => {
            paired(Reading::ReferenceContact, u.reference_contact, 2);
            paired(Reading::ReferenceHeight, u.reference_height, 2);
            paired(Reading::ReferenceBack, u.reference_back, 2);
        }
    }
    for (i, (s, from)) in plan.strings.iter().zip(&survey.strings).enumerate() {
        let at = Where::One(i);
        let stretch = u.stretch_of(from.known, s.stretch_found);
        all.push(ErrorSource {
            reading: Reading::Stretch,
            at,
            sigma: stretch,
        });
        all.push(ErrorSource {
            reading: Reading::MadeHeight,
            at,
            sigma: u.made_height,
        });
        all.push(ErrorSource {
            reading: Reading::MadeRidge,
            at,
            sigma: u.made_ridge,
        });
    }
    // Negative ones stay, to be refused.
    all.retain(|source| source.sigma != 0.0);
    all
}
