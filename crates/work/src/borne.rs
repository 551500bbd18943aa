//! How low a string may stand and be left so, at fret 12 and over fret 1 alike.

/// Why a low string can be left as it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Borne {
    /// No further under what is good than a reading can tell.
    WithinReading,
    /// Over this least, mm: the action at fret 12 that the job says must not be gone under, or the least gap over fret 1 that plays.
    OverFloor(f64),
}

/// Least height of a string that is left as it is, mm: the floor where that is lower than what cannot be told from good. A floor that is
/// higher holds too, as far as a reading tells. `good`: the lowest that is good; `reading`: what a reading is sure to.
pub(crate) fn least_left(good: f64, floor: Option<f64>, reading: f64) -> f64 {
    let told = good - reading;
    match floor {
        None => told,
        Some(floor) if floor < told => floor,
        Some(floor) => (floor - reading).max(told),
    }
}
