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
    FIELDS.into_iter()
}

static FIELDS: [&Field; COUNT] = {
    let mut all = [&ROWS[0][0]; COUNT];
    let (mut file, mut at, mut next) = (0, 0, 0);
    while next < COUNT {
        if at == ROWS[file].len() {
            (file, at) = (file + 1, 0);
        } else {
            all[next] = &ROWS[file][at];
            (at, next) = (at + 1, next + 1);
        }
    }
    all
};

const COUNT: usize = {
    let (mut count, mut file) = (0, 0);
    while file < ROWS.len() {
        count += ROWS[file].len();
        file += 1;
    }
    count
};

/// A number of every key: `row` is evaluated for every `f!` whenever this is compiled, and to compare texts there takes seconds.
static MARKS: [u32; COUNT] = {
    let (mut all, mut at) = ([0; COUNT], 0);
    while at < COUNT {
        all[at] = mark(FIELDS[at].key);
        at += 1;
    }
    all
};

const fn mark(key: &str) -> u32 {
    let (mut mark, mut at) = (0_u32, 0);
    while at < key.len() {
        mark = mark.wrapping_mul(31).wrapping_add(key.as_bytes()[at] as u32);
        at += 1;
    }
    mark
}

/// The row of a key. A test holds that no two keys have one mark.
#[allow(clippy::panic, reason = "met when this is compiled, and never by a reader")]
pub(crate) const fn row(key: &str) -> &'static Field {
    let (mark, mut at) = (mark(key), 0);
    while at < COUNT {
        if MARKS[at] == mark {
            return FIELDS[at];
        }
        at += 1;
    }
    panic!("no row has this key")
}

/// The row of a key, looked up when this is compiled.
macro_rules! f {
    ($key:literal) => {
        const { $crate::fields::row($key) }
    };
}
pub(crate) use f;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_keys_have_one_mark() {
        let mut marks = MARKS.to_vec();
        marks.sort_unstable();
        marks.dedup();
        assert_eq!(marks.len(), COUNT);
        assert!(fields().all(|field| row(field.key) == field));
    }
}
