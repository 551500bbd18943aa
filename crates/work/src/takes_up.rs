//! How much of the tolerance each reading takes up.

use known::{Evidence, Known, Row, What};
use numerics::math;
use saddle::tolerance::{Band, Endings};
use std::collections::BTreeMap;

use crate::{Planned, SLOT_GOOD};

/// What readings are weighed against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WeighedBy {
    /// Action and pitch at fret 12 of the strings over a saddle that is made.
    Saddle(Band),
    /// The feeler stacks that stop the file in a nut's slots, over a saddle that stays: within so much, mm.
    Slots(f64),
}

/// By row: how far one standard uncertainty of the reading by itself moves what it bears on most, over the tolerance. `None` where nothing is
/// planned, or the uncertainties leave nothing to weigh by.
pub(crate) fn takes_up(done: &Planned) -> Option<(WeighedBy, BTreeMap<usize, f64>)> {
    if let Some(saddle) = done.saddle() {
        let band = saddle.job.tolerance.band;
        let endings = Endings::of(saddle.evidence, saddle.survey, saddle.plan, band).ok()?;
        return Some((WeighedBy::Saddle(band), at_saddle(saddle.evidence, &endings)?));
    }
    Some((WeighedBy::Slots(SLOT_GOOD), at_nut(done)?))
}

/// Over a saddle that is made: action and pitch at fret 12, each over its tolerance.
fn at_saddle(evidence: &Evidence, endings: &Endings) -> Option<BTreeMap<usize, f64>> {
    let known = &evidence.known;
    let mut most = vec![0.0_f64; known.rows.len()];
    for slopes in endings.slopes.row_iter() {
        let slopes: Vec<f64> = slopes.iter().copied().collect();
        let moved = known.estimate.influence(&slopes).ok()?;
        for ((most, moved), row) in most.iter_mut().zip(moved.iter()).zip(&known.rows) {
            // By its own part; what it shares with others makes it as much less sure by itself.
            *most = most.max(moved.abs() * total(known, row) / row.sure_to);
        }
    }
    let readings = known.rows.iter().zip(most).enumerate();
    Some(
        readings
            .filter(|(_, (row, _))| row.is_reading())
            .map(|(i, (_, most))| (i, most))
            .collect(),
    )
}

/// Over a saddle that stays: the stacks to which the nut's slots are cut, by planning them once more with each reading off by one standard uncertainty.
fn at_nut(done: &Planned) -> Option<BTreeMap<usize, f64>> {
    let (evidence, made) = (done.evidence.as_ref()?, done.job.nut.as_ref()?);
    let (seen, known) = (evidence.seen(), &evidence.known);
    let stacks = |known: &Known| {
        let nut = nut::alone(&known.instrument(&seen), &made.gaps, &made.survey).ok()?;
        Some(nut.strings.iter().map(|s| s.stack).collect::<Vec<f64>>())
    };
    let planned = stacks(known)?;
    let readings = known.rows.iter().enumerate().filter(|(_, row)| row.is_reading());
    let each = readings.map(|(i, row)| {
        let mut rows = known.rows.clone();
        rows[i].value += total(known, row);
        let moved = known.again(&seen, rows).ok().and_then(|known| stacks(&known))?;
        let most = moved
            .iter()
            .zip(&planned)
            .map(|(a, b)| (a - b).abs())
            .fold(0.0, f64::max);
        Some((i, most / SLOT_GOOD))
    });
    each.collect()
}

/// Standard uncertainty of a reading with what it shares with others, in its own unit.
pub(crate) fn total(known: &Known, row: &Row) -> f64 {
    let shared = row.shares.and_then(|(figure, times)| {
        let of = |row: &&Row| row.what == What::Before(figure);
        known.rows.iter().find(of).map(|row| times * row.sure_to)
    });
    math::hypot(row.sure_to, shared.unwrap_or(0.0))
}
