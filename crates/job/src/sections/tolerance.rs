//! `[tolerance]` and `[uncertainty]`: what counts as good, and how sure the readings are.

use instrument::{Paired, Uncertainty};
use saddle::tolerance::{Band, Sampling};

use crate::ToleranceSetup;
use crate::limits::{self, Limit};
use crate::node::Node;
use crate::schema::{PAIRED_READING, TOLERANCE, UNCERTAINTY};

/// Correlation of readings taken with one tool, where none is given: the part of the tool and of the hand are taken alike
/// (common practice, no source). The defaults of the uncertainties have the same.
const CORRELATION: f64 = 0.5;

/// `[tolerance]`, or its defaults.
pub(crate) fn tolerance(node: Option<&Node>) -> Option<ToleranceSetup> {
    let mut setup = ToleranceSetup {
        band: Band::default(),
        sampling: Sampling::default(),
    };
    let Some(node) = node else { return Some(setup) };
    let table = node.table(&TOLERANCE)?;
    let mut sound = true;
    let mut put = |key: &str, to: &mut f64, read: &dyn Fn(&Node) -> Option<f64>| {
        if let Some(n) = table.get(key) {
            let value = read(&n);
            sound &= value.is_some();
            *to = value.unwrap_or(*to);
        }
    };
    let band = &mut setup.band;
    put("action", &mut band.action, &|n| n.length(&limits::BAND_ACTION));
    put("cents", &mut band.cents, &|n| n.cents(&limits::BAND_CENTS));
    let confidence = &mut setup.sampling.confidence;
    put("confidence", confidence, &|n| n.number(&limits::CONFIDENCE, ""));
    if let Some(n) = table.get("samples") {
        setup.sampling.samples = usize::try_from(n.whole(&limits::SAMPLES)?).ok()?;
    }
    if let Some(n) = table.get("seed") {
        setup.sampling.seed = u64::from(n.whole(&limits::SEED)?);
    }
    sound.then_some(setup)
}

/// `[uncertainty]`, or its defaults.
pub(crate) fn uncertainty(node: Option<&Node>) -> Option<Uncertainty> {
    let mut unsure = Uncertainty::default();
    let Some(node) = node else { return Some(unsure) };
    let table = node.table(&UNCERTAINTY)?;
    let mut sound = true;
    let mut put = |key: &str, to: &mut f64, read: &dyn Fn(&Node) -> Option<f64>| {
        if let Some(n) = table.get(key) {
            let value = read(&n);
            sound &= value.is_some();
            *to = value.unwrap_or(*to);
        }
    };
    let height = |n: &Node| n.length(&limits::UNSURE_HEIGHT);
    let share = |n: &Node| n.number(&limits::UNSURE_SHARE, "");
    put("relief", &mut unsure.relief, &height);
    put("board_radius", &mut unsure.board_radius, &share);
    put("lean", &mut unsure.lean, &|n| n.angle(&limits::UNSURE_LEAN));
    put("stretch", &mut unsure.stretch, &share);
    put("stretch_calibrated", &mut unsure.stretch_calibrated, &share);
    put("seating", &mut unsure.seating, &height);
    put("made_height", &mut unsure.made_height, &height);
    put("made_ridge", &mut unsure.made_ridge, &|n| {
        n.length(&limits::UNSURE_PLACE)
    });
    for (key, to, limit) in [
        ("first_fret_clearance", &mut unsure.clearance, &limits::UNSURE_HEIGHT),
        ("present_action", &mut unsure.present_action, &limits::UNSURE_HEIGHT),
        ("slot_edge", &mut unsure.slot_edge, &limits::UNSURE_PLACE),
        ("bridge_top", &mut unsure.bridge_top, &limits::UNSURE_HEIGHT),
        ("slot_depth", &mut unsure.slot_depth, &limits::UNSURE_HEIGHT),
        (
            "reference_contact",
            &mut unsure.reference_contact,
            &limits::UNSURE_PLACE,
        ),
        ("reference_height", &mut unsure.reference_height, &limits::UNSURE_HEIGHT),
        ("reference_back", &mut unsure.reference_back, &limits::UNSURE_PLACE),
    ] {
        if let Some(n) = table.get(key) {
            let value = paired(&n, limit);
            sound &= value.is_some();
            *to = value.unwrap_or(*to);
        }
    }
    sound.then_some(unsure)
}

/// A length, or `{ total, correlation }`.
fn paired(node: &Node, limit: &Limit) -> Option<Paired> {
    if !node.is_table() {
        return Some(Paired::correlated(node.length(limit)?, CORRELATION));
    }
    let table = node.table(&PAIRED_READING)?;
    let total = table.need("total").and_then(|n| n.length(limit));
    let correlation = table
        .get("correlation")
        .map_or(Some(CORRELATION), |n| n.number(&limits::CORRELATION, ""));
    Some(Paired::correlated(total?, correlation?))
}
