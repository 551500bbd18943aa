//! `[nut]`, `[present]` and `[target]`: heights and pitch as they are and as they are wanted.

use crate::fields::{Field, f};
use crate::may::May;
use crate::node::{Got, Node};
use crate::per_string::{PerString, gaps};
use crate::problem::{ProblemKind as P, Why};
use crate::sections::zero_fret::ZeroFret;
use crate::table::Table;

/// `[nut]` as read.
#[derive(Default)]
pub(crate) struct Nut<'a> {
    pub(crate) first_fret_clearance: Option<PerString<'a>>,
    pub(crate) held_at_3: Option<PerString<'a>>,
    pub(crate) new_clearance: Option<PerString<'a>>,
    pub(crate) new_held_at_3: Option<PerString<'a>>,
    pub(crate) setback: Option<PerString<'a>>,
    /// The strings rest on a zero fret, and what is done to it.
    pub(crate) zero_fret: Option<ZeroFret<'a>>,
    /// A key was there but refused, so nothing is said of its absence.
    pub(crate) refused: bool,
}

impl<'a> Nut<'a> {
    pub(crate) fn read(node: &Node<'a>) -> Option<Self> {
        let table = node.table()?;
        let rows = [
            f!("nut.first_fret_clearance"),
            f!("nut.held_at_3"),
            f!("nut.new_clearance"),
            f!("nut.new_held_at_3"),
            f!("nut.setback"),
        ];
        let [open, held, new, new_held, setback] = rows.map(|row| table.strings(row));
        let [is_open, is_held, is_new, is_new_held, _] = rows.map(|row| table.get(row));
        let twice = is_open.is_some() && is_held.is_some() || is_new.is_some() && is_new_held.is_some();
        if let (Some(_), Some(held)) = (&is_open, &is_held) {
            held.refuse(P::NutReadTwice {});
        }
        if let (Some(_), Some(new_held)) = (&is_new, &is_new_held) {
            new_held.refuse(P::NutWantedTwice {});
        }
        let none = [is_open, is_held, is_new, is_new_held].iter().all(Option::is_none);
        let zero_fret = ZeroFret::read(&table);
        match &zero_fret {
            May::Absent if none => table.lacks(f!("nut.first_fret_clearance"), Why::NutHeight {}),
            _ => {}
        }
        let refused = twice
            || matches!(zero_fret, May::Unread)
            || [&open, &held, &new, &new_held, &setback]
                .iter()
                .any(|read| matches!(read, May::Unread));
        Some(Self {
            first_fret_clearance: open.given(),
            held_at_3: held.given(),
            new_clearance: new.given(),
            new_held_at_3: new_held.given(),
            setback: setback.given(),
            zero_fret: zero_fret.given(),
            refused,
        })
    }
}

/// `[present]` as read.
#[derive(Default)]
pub(crate) struct Present<'a> {
    /// As written, for what is read of it later.
    pub(crate) table: Option<Table<'a>>,
    pub(crate) action_12: Option<PerString<'a>>,
    /// Bass to treble; `None` where not read.
    pub(crate) cents_12: Option<Got<'a, Vec<Option<f64>>>>,
    pub(crate) contact_from_fret_12: Option<PerString<'a>>,
    /// The old saddle is glued in, if anything is said of it.
    pub(crate) glued: Option<bool>,
}

impl<'a> Present<'a> {
    pub(crate) fn read(node: &Node<'a>) -> Option<Self> {
        let table = node.table()?;
        let cents_12 = table.may(f!("present.cents_12"), |n| Some(n.got(cents(n)?))).given();
        let action_12 = table.strings(f!("present.action_12")).given();
        let contact = f!("present.contact_from_fret_12");
        let contact_from_fret_12 = table.strings(contact).given();
        if cents_12.is_some() && table.get(contact).is_none() {
            table.lacks(contact, Why::CentsNeedContacts {});
        }
        Some(Self {
            action_12,
            cents_12,
            contact_from_fret_12,
            glued: table.may(f!("present.glued"), Node::boolean).given(),
            table: Some(table),
        })
    }

    /// Reports that the present action is missing, unless it was there and refused.
    pub(crate) fn lacks_action(&self, node: &Node, why: Why) {
        let action = f!("present.action_12");
        match &self.table {
            Some(table) if table.get(action).is_none() => table.lacks(action, why),
            Some(_) => {}
            None => node.refuse(P::NeedsPresent { why }),
        }
    }

    /// Reports that a reading of a saddle that stays is missing, unless it was there and refused.
    pub(crate) fn lacks_standing(&self, row: &'static Field, why: Why) {
        // Where cents were read, the missing contact is told already.
        let told = row == f!("present.contact_from_fret_12") && self.cents_12.is_some();
        if let Some(table) = self.table.as_ref().filter(|table| !told && table.get(row).is_none()) {
            table.lacks(row, why);
        }
    }
}

fn cents(node: &Node) -> Option<Vec<Option<f64>>> {
    if node.list().is_none() {
        return node.unexpected();
    };
    let read = gaps(node)?;
    Some(read.into_iter().map(|got| got.map(|got| got.value)).collect())
}

/// What the setbacks are chosen for.
pub(crate) enum Intonation<'a> {
    Octave,
    BestFit,
    BestFitWithNut,
    Offsets(PerString<'a>),
}

/// `[target]` as read.
#[derive(Default)]
pub(crate) struct Target<'a> {
    pub(crate) action_12: Option<PerString<'a>>,
    pub(crate) action_at: May<ActionAt<'a>>,
    pub(crate) intonation: Option<Intonation<'a>>,
}

/// An action wished at another fret than 12.
pub(crate) struct ActionAt<'a> {
    pub(crate) fret: Got<'a, u32>,
    pub(crate) action: PerString<'a>,
    pub(crate) weight: f64,
}

impl<'a> ActionAt<'a> {
    fn read(node: &Node<'a>) -> Option<Self> {
        if !node.is_table() {
            return node.unexpected();
        }
        let table = node.table()?;
        let fret = table
            .may(f!("target.action_at:fret"), |n| Some(n.got(n.whole()?)))
            .given();
        let action = table.strings(f!("target.action_at:action")).given();
        let weight = table.value(f!("target.action_at:weight"));
        let fret = fret?;
        if fret.value == 12 {
            return fret.at.refused(P::WishAtTwelve {});
        }
        Some(Self {
            fret,
            action: action?,
            weight: weight?,
        })
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Word {
    Octave,
    BestFit,
    BestFitWithNut,
    Offsets,
}

const WORDS: [Word; 4] = [Word::Octave, Word::BestFit, Word::BestFitWithNut, Word::Offsets];

impl<'a> Target<'a> {
    /// The strings are solved for a nut setback; `None` where that could not be read.
    pub(crate) fn with_setback(&self) -> Option<bool> {
        let intonation = self.intonation.as_ref()?;
        Some(matches!(intonation, Intonation::BestFitWithNut))
    }

    pub(crate) fn read(node: &Node<'a>) -> Option<Self> {
        let table = node.table()?;
        let action_12 = table.strings(f!("target.action_12")).given();
        let action_at = table.may(f!("target.action_at"), ActionAt::read);
        let word = table.choice(f!("target.intonation"), WORDS).given();
        let row = f!("target.offsets");
        let offsets = table.strings(row).given();
        match (word, table.get(row)) {
            (Some(Word::Offsets), None) => table.lacks(row, Why::Offsets {}),
            (Some(Word::Offsets) | None, _) | (_, None) => {}
            (_, Some(node)) => node.refuse(P::OffsetsUnused {}),
        }
        let intonation = word.and_then(|word| {
            Some(match word {
                Word::Octave => Intonation::Octave,
                Word::BestFit => Intonation::BestFit,
                Word::BestFitWithNut => Intonation::BestFitWithNut,
                Word::Offsets => Intonation::Offsets(offsets?),
            })
        });
        Some(Self {
            action_12,
            action_at,
            intonation,
        })
    }
}

/// `[target]` of a saddle that stays says only whether nut setbacks are wanted.
pub(crate) fn setback_alone(node: Option<Node>) -> Option<bool> {
    let Some(node) = node else { return Some(false) };
    let table = node.table()?;
    for row in [f!("target.action_12"), f!("target.action_at"), f!("target.offsets")] {
        if let Some(node) = table.get(row) {
            node.refuse(P::TargetOfStandingSaddle {});
        }
    }
    let row = f!("target.intonation");
    let Some(intonation) = table.get(row) else {
        table.lacks(row, Why::SetbackOnly {});
        return None;
    };
    if intonation.choice(WORDS)? != Word::BestFitWithNut {
        return intonation.refused(P::IntonationOfStandingSaddle {});
    }
    Some(true)
}
