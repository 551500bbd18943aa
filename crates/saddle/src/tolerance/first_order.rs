//! First-order sensitivities: what each reading's uncertainty makes of the spread.

use super::sources::{ErrorSource, sources};
use super::world::{MOST, Shown, World};
use crate::{Plan, SaddleSurvey};
use instrument::{Reading, Uncertainty};
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

/// Spread and shares to first order, for tolerances in mm and cents that weigh the one against the other.
///
/// `None` if the survey's slot cannot be found, which a plan rules out.
#[must_use]
pub fn first_order(
    survey: &SaddleSurvey,
    plan: &Plan,
    uncertainty: &Uncertainty,
    (mm, cents): (f64, f64),
) -> Option<FirstOrder> {
    let world = World::as_read(survey, plan)?;
    let n = plan.strings.len();
    let all = sources(survey, plan, uncertainty);
    // Variance from each source, per string.
    let mut parts: Vec<(ErrorSource, Vec<Shown>)> = Vec::with_capacity(all.len());
    for source in all {
        let moved = |step: f64| {
            let mut world = world;
            world.shift(&source, step * source.sigma);
            world.shown()
        };
        let (low, high) = (moved(-STEP)?, moved(STEP)?);
        let variance = low.iter().zip(&high).take(n).map(|(l, h)| Shown {
            action: ((h.action - l.action) / (2.0 * STEP)).powi(2),
            cents: ((h.cents - l.cents) / (2.0 * STEP)).powi(2),
        });
        parts.push((source, variance.collect()));
    }
    let mut total = [Shown::default(); MOST];
    for (_, variance) in &parts {
        for (sum, v) in total.iter_mut().zip(variance) {
            sum.action += v.action;
            sum.cents += v.cents;
        }
    }
    let total = &total[..n];
    let weigh = |v: &Shown| v.action / (mm * mm) + v.cents / (cents * cents);
    let whole: f64 = total.iter().map(weigh).sum();
    let ratio = |part: f64, of: f64| if of > 0.0 { part / of } else { 0.0 };
    let stretches = plan.strings.iter().zip(&survey.strings);
    // The least sure string is the one to look at.
    let stretch = stretches
        .map(|(s, from)| uncertainty.stretch_of(from.known, s.stretch_found))
        .fold(0.0, f64::max);
    let mut shares: Vec<Share> = Vec::new();
    for (source, variance) in &parts {
        let i = shares
            .iter()
            .position(|s| s.reading == source.reading)
            .unwrap_or_else(|| {
                shares.push(Share {
                    reading: source.reading,
                    sigma: uncertainty.of(source.reading, stretch),
                    of_action: vec![0.0; n],
                    of_cents: vec![0.0; n],
                    of_all: 0.0,
                });
                shares.len() - 1
            });
        let share = &mut shares[i];
        for (k, (v, of)) in variance.iter().zip(total).enumerate() {
            share.of_action[k] += ratio(v.action, of.action);
            share.of_cents[k] += ratio(v.cents, of.cents);
        }
        share.of_all += ratio(variance.iter().map(weigh).sum(), whole);
    }
    shares.sort_by(|a, b| b.of_all.total_cmp(&a.of_all).then(a.reading.cmp(&b.reading)));
    Some(FirstOrder {
        action: total.iter().map(|v| v.action.sqrt()).collect(),
        cents: total.iter().map(|v| v.cents.sqrt()).collect(),
        shares,
    })
}
