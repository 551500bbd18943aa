//! Every field of the job file, one row each: what is written there, what is allowed, how it is read and with what, and how the guided
//! survey asks for it.
//!
//! From these rows come reading and checking, the nearest key to a misspelt one, the survey and the page's fields, and the tables of
//! `examples/FORMAT.md`. `f!("slot.width")` is a row by its key; a key that no row has does not compile.

mod after;
mod also;
mod assess;
mod blank;
mod book;
mod build;
mod cut;
mod expected;
mod nut_blank;
mod present;
mod readings;
mod row;
mod shared;
mod slot;
mod station;
mod strings;
mod sure;
mod tables;
mod top;
mod when;

pub use row::{Field, Kind, List, Range, Spread, Start, Tool, When};
pub(crate) use shared::{LENGTH, LENGTH_OF_SEVERAL};
pub use station::Station;
pub use when::{NUT_MADE, SADDLE_MADE, SADDLE_STAYS, SPELLED_OUT};

/// The rows; the survey asks those of one station in this order.
const ROWS: [&[Field]; 19] = [
    top::ROWS,
    strings::ROWS,
    present::ROWS,
    nut_blank::STRINGS_ON,
    slot::ROWS,
    assess::ROWS,
    nut_blank::ROWS,
    blank::ROWS,
    book::ROWS,
    after::ROWS,
    also::ROWS,
    readings::ROWS,
    sure::ROWS,
    readings::DOUBT,
    readings::ASSUMED,
    cut::ROWS,
    tables::ROWS,
    tables::SADDLES,
    tables::WITHIN,
];

/// Every row; those of one station of the survey come in its order.
pub fn fields() -> impl Iterator<Item = &'static Field> {
    ROWS.into_iter().flatten()
}

/// The row of a key.
#[allow(clippy::panic, reason = "met when this is compiled, and never by a reader")]
pub(crate) const fn row(key: &str) -> &'static Field {
    let mut file = 0;
    while file < ROWS.len() {
        let mut at = 0;
        while at < ROWS[file].len() {
            if same(ROWS[file][at].key.as_bytes(), key.as_bytes()) {
                return &ROWS[file][at];
            }
            at += 1;
        }
        file += 1;
    }
    panic!("no row has this key")
}

const fn same(a: &[u8], b: &[u8]) -> bool {
    if a.len() != b.len() {
        return false;
    }
    let mut at = a.len();
    while at > 0 {
        at -= 1;
        if a[at] != b[at] {
            return false;
        }
    }
    true
}

/// The row of a key, looked up when this is compiled.
macro_rules! f {
    ($key:literal) => {
        const { $crate::fields::row($key) }
    };
}
pub(crate) use f;
