//! Slips that hands make, by name.

use crate::{Known, Row, Seen, What};
use evidence::Estimate;
use instrument::{At, Of};
use numerics::math;

/// A slip of a kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// Bass and treble were swapped.
    Swapped,
    /// A list was written from the wrong end.
    Reversed,
    /// Up was written for down, or sharp for flat.
    Sign,
    /// Off by so much, a whole division of a tool, mm.
    Division(f64),
    /// Written in another unit: what was written is so many times what was meant.
    Unit(f64),
    /// The point stands one place off: what was written is so many times what was meant.
    Decimal(f64),
    /// Off by so many whole semitones, cents.
    Semitones(f64),
}

/// A slip of a kind that explains what does not fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// Its kind.
    pub kind: Kind,
    /// The rows that it moved, with what was meant, in their own units.
    pub rows: Vec<(usize, f64)>,
}

impl Named {
    pub(crate) fn told(self, place: impl Fn(usize) -> usize) -> Self {
        Self {
            kind: self.kind,
            rows: self.rows.into_iter().map(|(row, meant)| (place(row), meant)).collect(),
        }
    }
}

/// How much worse than a slip of any size one of a kind may explain: two standard uncertainties of that size.
const AS_WELL: f64 = 4.0;
/// How much better one in a whole list has to explain: the chi-square of one figure with 1 % (6.635, handbook table).
const MORE: f64 = 6.635;
/// Divisions of rules and calipers, mm: half and whole millimetres, 64ths and 32nds of an inch.
const DIVISIONS: [f64; 4] = [0.397, 0.5, 0.794, 1.0];
/// A leaf of feelers left out or put in, mm.
const LEAVES: [f64; 1] = [0.1];
/// Whole numbers of a long rule, mm: a centimetre and an inch.
const LONG: [f64; 2] = [10.0, 25.4];
/// Units that are taken for one another, the larger over the smaller: inches for millimetres, 64ths for thou, thou for hundredths of a
/// millimetre, 32nds for 64ths.
const UNITS: [f64; 4] = [25.4, 15.625, 2.54, 2.0];
/// Cents of a semitone and of an octave.
const SEMITONES: [f64; 2] = [100.0, 1200.0];

/// The slip of a kind that explains best what does not fit, if one explains it as well as a slip of any size in the row most off, which is
/// off by `off`: in one row of `group`, or in a whole list, which has to explain more than that row alone.
pub(crate) fn named(known: &Known, seen: &Seen, group: &[usize], off: f64, limit: f64) -> Option<Named> {
    let alone = group.iter().flat_map(|row| alone(*row, &known.rows[*row]));
    let lists = lists(known, seen);
    let whole = lists.iter().flat_map(|list| of_list(known, list));
    let good = alone.chain(whole).filter_map(|named| {
        let squares = explained(&known.estimate, &known.rows, &named, limit)?;
        let wanted = off * off + if named.rows.len() > 1 { MORE } else { -AS_WELL };
        (squares >= wanted).then_some((squares, named))
    });
    let best = good.max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(best.1)
}

/// Slips of a kind in whole lists, those first that explain most; so many at most.
pub(crate) fn listed(known: &Known, seen: &Seen, most: usize) -> Vec<Named> {
    let lists = lists(known, seen);
    let all = lists.iter().flat_map(|list| of_list(known, list));
    let gain = |named: Named| Some((explained(&known.estimate, &known.rows, &named, 1.0)?, named));
    let mut all: Vec<(f64, Named)> = all.filter_map(gain).filter(|(gain, _)| *gain > 0.0).collect();
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    all.truncate(most);
    all.into_iter().map(|(_, named)| named).collect()
}

/// By how much less the sum of squares is with what was meant; `None` if the others would not tell the two apart.
fn explained(estimate: &Estimate, rows: &[Row], named: &Named, limit: f64) -> Option<f64> {
    let mut moved = vec![0.0; rows.len()];
    for (row, meant) in &named.rows {
        moved[*row] = rows[*row].value - meant;
    }
    let free = estimate.slip(&moved).ok()??;
    let sure_to = (free.size / free.off).abs();
    (sure_to * limit <= 1.0).then(|| free.off * free.off - math::powi((free.size - 1.0) / sure_to, 2))
}

/// Slips of a kind in one reading.
fn alone(row: usize, read: &Row) -> Vec<Named> {
    let What::Read(of, _) = read.what else {
        return Vec::new();
    };
    let value = read.value;
    let mut all = Vec::new();
    let mut meant = |kind, meant| {
        all.push(Named {
            kind,
            rows: vec![(row, meant)],
        });
    };
    if has_sign(of) {
        meant(Kind::Sign, -value);
    }
    match of {
        Of::Cents { .. } => {
            for cents in SEMITONES.into_iter().flat_map(both) {
                meant(Kind::Semitones(cents), value - cents);
            }
        }
        Of::Inharmonicity => {
            for times in [10.0, 0.1] {
                meant(Kind::Decimal(times), value / times);
            }
        }
        Of::Lean => {}
        _ => {
            let divisions: &[f64] = if is_thin(of) { &LEAVES } else { &DIVISIONS };
            for mm in divisions.iter().copied().flat_map(both) {
                meant(Kind::Division(mm), value - mm);
            }
            if is_long(of) {
                for mm in LONG.into_iter().flat_map(both) {
                    meant(Kind::Division(mm), value - mm);
                }
            }
            for times in [10.0, 0.1] {
                meant(Kind::Decimal(times), value / times);
            }
            for times in UNITS {
                meant(Kind::Unit(times), value / times);
                meant(Kind::Unit(1.0 / times), value * times);
            }
        }
    }
    all
}

fn both(size: f64) -> [f64; 2] {
    [size, -size]
}

/// Whether a reading may go either way.
fn has_sign(of: Of) -> bool {
    matches!(
        of,
        Of::BridgeTop | Of::Cents { .. } | Of::Relief | Of::ZeroFret | Of::Lean | Of::SlotEdge
    )
}

/// Whether feelers read it.
fn is_thin(of: Of) -> bool {
    matches!(of, Of::Clearance | Of::HeldAtThree | Of::ZeroFret | Of::Relief)
}

/// Whether a long rule reads it.
fn is_long(of: Of) -> bool {
    matches!(of, Of::NutTo12 | Of::Contact | Of::RadiusAtNut | Of::RadiusAt12)
}

/// Slips of a kind in a whole list.
fn of_list(known: &Known, list: &[usize]) -> Vec<Named> {
    let value = |row: usize| known.rows[row].value;
    let Some(What::Read(of, _)) = list.first().map(|row| known.rows[*row].what) else {
        return Vec::new();
    };
    let turned = list.iter().copied().zip(list.iter().rev().map(|row| value(*row)));
    let kind = if list.len() == 2 { Kind::Swapped } else { Kind::Reversed };
    let mut all = vec![Named {
        kind,
        rows: turned.collect(),
    }];
    let mut each = |kind, meant: &dyn Fn(f64) -> f64| {
        all.push(Named {
            kind,
            rows: list.iter().map(|row| (*row, meant(value(*row)))).collect(),
        });
    };
    if has_sign(of) {
        each(Kind::Sign, &|value| -value);
    }
    if !matches!(of, Of::Cents { .. } | Of::Inharmonicity | Of::Lean) {
        for times in UNITS.into_iter().flat_map(|times| [times, 1.0 / times]) {
            each(Kind::Unit(times), &|value| value / times);
        }
    }
    all
}

/// Rows that were written as one list, each of two or more, bass to treble.
fn lists(known: &Known, seen: &Seen) -> Vec<Vec<usize>> {
    let mut lists: Vec<(Key, Vec<usize>)> = Vec::new();
    for (row, read) in known.rows.iter().enumerate() {
        let What::Read(of, at) = read.what else { continue };
        let place = match at {
            At::Whole => continue,
            At::End(end) => (0, end),
            At::String(string) => (1, string),
        };
        let taken = read.taken.and_then(|at| seen.readings.taken.get(at));
        let key = Key {
            of,
            visit: read.visit,
            tool: taken.map(|taken| taken.tool.as_str()),
            last: place,
        };
        let before = lists.iter_mut().rev().find(|(other, _)| other.is_before(&key));
        match before {
            Some((last, list)) => {
                *last = key;
                list.push(row);
            }
            None => lists.push((key, vec![row])),
        }
    }
    lists.retain(|(_, list)| list.len() > 1);
    lists.into_iter().map(|(_, list)| list).collect()
}

/// What readings of one list have in common, and where it stands.
struct Key<'a> {
    of: Of,
    visit: u32,
    /// `None` for the survey's own.
    tool: Option<&'a str>,
    last: (u8, usize),
}

impl Key<'_> {
    fn is_before(&self, next: &Self) -> bool {
        (self.of, self.visit, self.tool) == (next.of, next.visit, next.tool)
            && self.last.0 == next.last.0
            && self.last.1 < next.last.1
    }
}
