//! First-order sensitivities: what each reading's uncertainty makes of the spread.

use super::world::{Errors, Making, Missed, Shown, World};
use crate::{Plan, SaddleSurvey};
use instrument::{Of, Reading};
use known::{Evidence, Figure, MOST, What};
use nalgebra::DVector;
use numerics::math;
use serde::Serialize;

/// Step of the central differences, as a share of a source's standard deviation. The results are smooth over far more than
/// this, and rounding stays below 1e-9 of a standard deviation.
const STEP: f64 = 1e-3;

/// Share of one reading in the spread.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Share {
    /// The reading.
    #[serde(skip)]
    pub reading: Reading,
    /// Its total standard uncertainty, in its own unit (mm, radians or a share of itself); of the stretch, that of the least sure string.
    pub sigma: f64,
    /// Share of all strings' action and cents together, each counted against its tolerance; the ranking goes by this.
    pub of_all: f64,
    /// Share of the variance of the action at fret 12, per string, bass to treble, 0 to 1.
    pub of_action: Vec<f64>,
    /// Share of the variance of cents at fret 12, per string.
    pub of_cents: Vec<f64>,
}

/// Standard deviations by derivatives, and each reading's share in them.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstOrder {
    /// Standard deviation of the action at fret 12, per string, mm.
    pub action: Vec<f64>,
    /// Standard deviation at fret 12, per string, cents.
    pub cents: Vec<f64>,
    /// Readings, the largest share first.
    pub shares: Vec<Share>,
}

/// How what the strings show goes with the figures of the state, and with each step of making.
pub(crate) struct Felt {
    /// For each string, action then cents: derivatives by every figure of the state.
    pub(crate) state: Vec<[DVector<f64>; 2]>,
    /// What one standard deviation of each step of making does to each string.
    pub(crate) making: Vec<(Making, [Shown; MOST])>,
}

impl Felt {
    /// At the likeliest state. `None` if the slot cannot be found there.
    pub(crate) fn of(world: &World, evidence: &Evidence, strings: usize) -> Option<Self> {
        let estimate = &evidence.known.estimate;
        let nothing = Missed::default();
        let mut state: Vec<f64> = estimate.state.iter().copied().collect();
        let mut felt = vec![[DVector::zeros(state.len()), DVector::zeros(state.len())]; strings];
        for &at in &world.felt {
            let (was, step) = (state[at], STEP * estimate.sure_to(at));
            let mut moved = |to: f64| {
                state[at] = to;
                world.shown(&Errors {
                    state: &state,
                    made: &nothing,
                })
            };
            let (low, high) = (moved(was - step)?, moved(was + step)?);
            state[at] = was;
            for ((low, high), [action, cents]) in low.iter().zip(&high).zip(&mut felt) {
                action[at] = (high.action - low.action) / (2.0 * step);
                cents[at] = (high.cents - low.cents) / (2.0 * step);
            }
        }
        let making = world.making(&evidence.unsure).into_iter().map(|(making, sigma)| {
            let moved = |step: f64| {
                let mut made = Missed::default();
                made.add(making, step * sigma);
                world.shown(&Errors {
                    state: &state,
                    made: &made,
                })
            };
            let (low, high) = (moved(-STEP)?, moved(STEP)?);
            let each = std::array::from_fn(|i| Shown {
                action: (high[i].action - low[i].action) / (2.0 * STEP),
                cents: (high[i].cents - low[i].cents) / (2.0 * STEP),
            });
            Some((making, each))
        });
        Some(Self {
            making: making.collect::<Option<_>>()?,
            state: felt,
        })
    }
}

/// Spread and shares to first order, for tolerances in mm and cents that weigh the one against the other.
///
/// `None` if the survey's slot cannot be found, which a plan rules out.
#[must_use]
pub fn first_order(
    evidence: &Evidence,
    survey: &SaddleSurvey,
    plan: &Plan,
    (mm, cents): (f64, f64),
) -> Option<FirstOrder> {
    let (n, known, unsure) = (plan.strings.len(), &evidence.known, &evidence.unsure);
    let world = World::of(evidence, survey, plan)?;
    let felt = Felt::of(&world, evidence, n)?;
    // Variance from each source, per string.
    let mut parts: Vec<(Reading, Vec<Shown>)> = Vec::new();
    let mut add = |reading: Reading, i: usize, variance: Shown| {
        let place = parts
            .iter()
            .position(|(known, _)| *known == reading)
            .unwrap_or_else(|| {
                parts.push((reading, vec![Shown::default(); n]));
                parts.len() - 1
            });
        if let Some(sum) = parts[place].1.get_mut(i) {
            sum.action += variance.action;
            sum.cents += variance.cents;
        }
    };
    for (i, [action, cents]) in felt.state.iter().enumerate() {
        let influence = |slopes: &DVector<f64>| known.estimate.influence(slopes.as_slice()).ok();
        let of = [influence(action)?, influence(cents)?];
        for (r, row) in known.rows.iter().enumerate() {
            let variance = Shown {
                action: math::powi(of[0][r], 2),
                cents: math::powi(of[1][r], 2),
            };
            add(reading_of(row.what), i, variance);
        }
    }
    for (making, each) in &felt.making {
        let reading = match making {
            Making::Seating => Reading::Seating,
            Making::NewNut | Making::NewSlot(_) => Reading::Clearance,
            Making::Height(_) => Reading::MadeHeight,
            Making::Ridge(_) => Reading::MadeRidge,
        };
        for (i, moved) in each.iter().take(n).enumerate() {
            let variance = Shown {
                action: math::powi(moved.action, 2),
                cents: math::powi(moved.cents, 2),
            };
            add(reading, i, variance);
        }
    }
    let mut total = vec![Shown::default(); n];
    for (_, variance) in &parts {
        for (sum, v) in total.iter_mut().zip(variance) {
            sum.action += v.action;
            sum.cents += v.cents;
        }
    }
    let weigh = |v: &Shown| v.action / (mm * mm) + v.cents / (cents * cents);
    let whole: f64 = total.iter().map(weigh).sum();
    let ratio = |part: f64, of: f64| if of > 0.0 { part / of } else { 0.0 };
    let stretches = evidence.instrument.strings.iter();
    // The least sure string is the one to look at.
    let stretch = stretches
        .map(|s| unsure.stretch_of(s.known, s.stretch_found))
        .fold(0.0, f64::max);
    let shares = parts.iter().filter_map(|(reading, variance)| {
        let sigma = unsure.of(*reading, stretch);
        (sigma > 0.0).then(|| Share {
            reading: *reading,
            sigma,
            of_action: variance
                .iter()
                .zip(&total)
                .map(|(v, of)| ratio(v.action, of.action))
                .collect(),
            of_cents: variance
                .iter()
                .zip(&total)
                .map(|(v, of)| ratio(v.cents, of.cents))
                .collect(),
            of_all: ratio(variance.iter().map(weigh).sum(), whole),
        })
    });
    let mut shares: Vec<Share> = shares.collect();
    shares.sort_by(|a, b| b.of_all.total_cmp(&a.of_all).then(a.reading.cmp(&b.reading)));
    Some(FirstOrder {
        action: total.iter().map(|v| v.action.sqrt()).collect(),
        cents: total.iter().map(|v| v.cents.sqrt()).collect(),
        shares,
    })
}

/// The reading whose uncertainty a row brings in.
fn reading_of(what: What) -> Reading {
    match what {
        What::Read(of, _) | What::Strung(of, _) => by_kind(of),
        What::Between { .. } => Reading::Between,
        What::Tied { .. } => Reading::Stretch,
        What::Before(figure) => match figure {
            Figure::Tool(_, of) => by_kind(of),
            Figure::Pull(_) | Figure::MadePull(_) => Reading::Pitch,
            Figure::Stretch => Reading::NutTo12,
            Figure::Relief => Reading::Relief,
            Figure::RadiusAtNut | Figure::RadiusAt12 => Reading::BoardRadius,
            Figure::Lean => Reading::Lean,
            Figure::SlotPlace(_) => Reading::SlotEdge,
            Figure::SlotHeight(_) => Reading::BridgeTop,
            Figure::SlotThird(_) | Figure::ReferenceDepth(_) => Reading::SlotDepth,
            Figure::FloorBow => Reading::FloorBow,
            Figure::OldSeat(_) => Reading::OldSeat,
            Figure::Straightedge => Reading::Straightedge,
            Figure::Ends => Reading::Ends,
            Figure::StandOff => Reading::StandOff,
            Figure::Nut(_) => Reading::Clearance,
            Figure::Action(_) => Reading::PresentAction,
            Figure::Contact(_) => Reading::ReferenceBack,
            Figure::Axial(_) => Reading::Stretch,
            Figure::Bending(_) => Reading::Stretch,
            Figure::Mass(_) => Reading::Mass,
            Figure::NeckDrift(_) | Figure::TopDrift(_) | Figure::Risen => Reading::Drift,
            Figure::MadeSeat(_) => Reading::Seating,
            Figure::MadeHeight(_) => Reading::MadeHeight,
            Figure::MadeBack(_) => Reading::MadeRidge,
            Figure::NewSlot(_) => Reading::Clearance,
        },
    }
}

fn by_kind(of: Of) -> Reading {
    match of {
        Of::NutTo12 => Reading::NutTo12,
        Of::Relief => Reading::Relief,
        Of::RadiusAtNut | Of::RadiusAt12 => Reading::BoardRadius,
        Of::Clearance | Of::HeldAtThree | Of::ZeroFret => Reading::Clearance,
        Of::Action { .. } => Reading::PresentAction,
        Of::SlotEdge => Reading::SlotEdge,
        Of::BridgeTop => Reading::BridgeTop,
        Of::SlotDepth => Reading::SlotDepth,
        Of::Lean => Reading::Lean,
        Of::Contact => Reading::ReferenceContact,
        Of::SaddleHeight => Reading::ReferenceHeight,
        Of::SaddleBack => Reading::ReferenceBack,
        Of::Exposure => Reading::Exposure,
        Of::OverBridge => Reading::OverBridge,
        Of::Cents { .. } => Reading::Pitch,
        Of::Inharmonicity => Reading::Inharmonicity,
    }
}
