//! `[nut]`, `[present]` and `[target]`: heights and pitch as they are and as they are wanted.

use crate::limits::{self, Limit};
use crate::node::{Got, Node};
use crate::per_string::{PerString, gaps};
use crate::schema::{NUT, PRESENT, TARGET};
use crate::table::Table;

fn lengths<'a>(table: Option<&Table<'a>>, key: &str, count: Option<usize>, limit: &Limit) -> Option<PerString<'a>> {
    let node = table?.get(key)?;
    PerString::read(&node, count, |n| n.length(limit))
}

/// `[nut]` as read.
#[derive(Default)]
pub(crate) struct Nut<'a> {
    pub(crate) first_fret_clearance: Option<PerString<'a>>,
    pub(crate) held_at_3: Option<PerString<'a>>,
    pub(crate) new_clearance: Option<PerString<'a>>,
    pub(crate) new_held_at_3: Option<PerString<'a>>,
    pub(crate) setback: Option<PerString<'a>>,
    /// A key was there but refused, so nothing is said of its absence.
    pub(crate) refused: bool,
}

impl<'a> Nut<'a> {
    pub(crate) fn read(node: &Node<'a>, count: Option<usize>) -> Option<Self> {
        let table = node.table(&NUT)?;
        let read = |key, limit| lengths(Some(&table), key, count, limit);
        let nut = Self {
            first_fret_clearance: read("first_fret_clearance", &limits::FIRST_FRET_CLEARANCE),
            held_at_3: read("held_at_3", &limits::HELD_AT_3),
            new_clearance: read("new_clearance", &limits::FIRST_FRET_CLEARANCE),
            new_held_at_3: read("new_held_at_3", &limits::HELD_AT_3),
            setback: read("setback", &limits::NUT_SETBACK),
            refused: false,
        };
        let open = table.get("first_fret_clearance");
        let held = table.get("held_at_3");
        if let (Some(_), Some(held)) = (&open, &held) {
            held.refuse(
                "Both first_fret_clearance and held_at_3 are given. Keep one: the gap over fret 1 of the open string, or of \
                 the string held at fret 3.",
            );
        }
        let new = table.get("new_clearance");
        let new_held = table.get("new_held_at_3");
        if let (Some(_), Some(new_held)) = (&new, &new_held) {
            new_held.refuse(
                "Both new_clearance and new_held_at_3 are given. Keep one: the gap over fret 1 that the new nut shall give the \
                 open string, or the string held at fret 3.",
            );
        }
        if open.is_none() && held.is_none() && new.is_none() && new_held.is_none() {
            table.lacks(
                "first_fret_clearance",
                "Give it or held_at_3 for a nut that stays, or new_clearance for a new nut.",
            );
        }
        let refused = open.is_some() != nut.first_fret_clearance.is_some()
            || held.is_some() != nut.held_at_3.is_some()
            || new.is_some() != nut.new_clearance.is_some()
            || new_held.is_some() != nut.new_held_at_3.is_some()
            || (new.is_some() && new_held.is_some())
            || table.get("setback").is_some() != nut.setback.is_some()
            || (open.is_some() && held.is_some());
        Some(Self { refused, ..nut })
    }
}

/// `[present]` as read.
#[derive(Default)]
pub(crate) struct Present<'a> {
    table: Option<Table<'a>>,
    pub(crate) action_12: Option<PerString<'a>>,
    /// Bass to treble; `None` where not read.
    pub(crate) cents_12: Option<Got<'a, Vec<Option<f64>>>>,
    pub(crate) contact_from_fret_12: Option<PerString<'a>>,
}

impl<'a> Present<'a> {
    pub(crate) fn read(node: &Node<'a>, count: Option<usize>) -> Option<Self> {
        let table = node.table(&PRESENT)?;
        let cents_12 = table.get("cents_12").and_then(|n| Some(n.got(cents(&n, count)?)));
        let read = |key, limit| lengths(Some(&table), key, count, limit);
        let action_12 = read("action_12", &limits::ACTION_12);
        let contact_from_fret_12 = read("contact_from_fret_12", &limits::FROM_FRET_12);
        if cents_12.is_some() && table.get("contact_from_fret_12").is_none() {
            table.lacks("contact_from_fret_12", "cents_12 needs the present contacts.");
        }
        Some(Self {
            action_12,
            cents_12,
            contact_from_fret_12,
            table: Some(table),
        })
    }

    /// Reports that the present action is missing, unless it was there and refused.
    pub(crate) fn lacks_action(&self, node: &Node, why: &str) {
        match &self.table {
            Some(table) if table.get("action_12").is_none() => table.lacks("action_12", why),
            Some(_) => {}
            None => node.refuse(format!(
                "{why} Add a table [present] with action_12, the action at fret 12 as it is now."
            )),
        }
    }
}

impl Present<'_> {
    /// Reports that a reading of a saddle that stays is missing, unless it was there and refused.
    pub(crate) fn lacks_standing(&self, key: &str, why: &str) {
        // Where cents were read, the missing contact is told already.
        let told = key == "contact_from_fret_12" && self.cents_12.is_some();
        if let Some(table) = self.table.as_ref().filter(|table| !told && table.get(key).is_none()) {
            table.lacks(key, why);
        }
    }
}

fn cents(node: &Node, count: Option<usize>) -> Option<Vec<Option<f64>>> {
    if node.list().is_none() {
        node.refuse(
            "Expected a list of cents from bass to treble, such as [3, 2, \"-\", 1, 4, 1]; \"-\" where none was read.",
        );
        return None;
    };
    let read = gaps(node, count, |part| part.cents(&limits::CENTS_12))?;
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
    pub(crate) intonation: Option<Intonation<'a>>,
}

#[derive(Clone, Copy)]
enum Word {
    Octave,
    BestFit,
    BestFitWithNut,
    Offsets,
}

impl<'a> Target<'a> {
    /// The strings are solved for a nut setback; `None` where that could not be read.
    pub(crate) fn with_setback(&self) -> Option<bool> {
        let intonation = self.intonation.as_ref()?;
        Some(matches!(intonation, Intonation::BestFitWithNut))
    }

    pub(crate) fn read(node: &Node<'a>, count: Option<usize>) -> Option<Self> {
        let table = node.table(&TARGET)?;
        table.need("action_12");
        let word = table.need("intonation").and_then(|n| {
            n.choice(&[
                ("octave", Word::Octave),
                ("best-fit", Word::BestFit),
                ("best-fit-with-nut", Word::BestFitWithNut),
                ("offsets", Word::Offsets),
            ])
        });
        let offsets = lengths(Some(&table), "offsets", count, &limits::OFFSETS);
        match (word, table.get("offsets")) {
            (Some(Word::Offsets), None) => table.lacks("offsets", "intonation = \"offsets\" needs the setbacks."),
            (Some(Word::Offsets) | None, _) | (_, None) => {}
            (_, Some(node)) => node
                .refuse("Offsets are used with intonation = \"offsets\" only. Write that, or leave the offsets out."),
        }
        Some(Self {
            action_12: lengths(Some(&table), "action_12", count, &limits::ACTION_12),
            intonation: word.and_then(|word| {
                Some(match word {
                    Word::Octave => Intonation::Octave,
                    Word::BestFit => Intonation::BestFit,
                    Word::BestFitWithNut => Intonation::BestFitWithNut,
                    Word::Offsets => Intonation::Offsets(offsets?),
                })
            }),
        })
    }
}

/// `[target]` of a saddle that stays says only whether nut setbacks are wanted.
pub(crate) fn setback_alone(node: Option<Node>) -> Option<bool> {
    let Some(node) = node else { return Some(false) };
    let table = node.table(&TARGET)?;
    for key in ["action_12", "offsets"] {
        if let Some(node) = table.get(key) {
            node.refuse(
                "The saddle stays, so the action at fret 12 and its setbacks follow from what stands there. Leave this out; or add \
                 [slot] and [blank] if a saddle is to be made.",
            );
        }
    }
    let Some(intonation) = table.get("intonation") else {
        table.lacks(
            "intonation",
            "The saddle stays, so [target] says only whether the nut is set for intonation. Write \"best-fit-with-nut\" for nut \
             setbacks, or leave [target] out for a nut without them.",
        );
        return None;
    };
    let word = intonation.choice(&[
        ("octave", false),
        ("best-fit", false),
        ("best-fit-with-nut", true),
        ("offsets", false),
    ])?;
    if !word {
        intonation.refuse(
            "The saddle stays, so only the nut can be set for intonation. Write \"best-fit-with-nut\" for nut setbacks, or leave \
             [target] out for a nut without them.",
        );
        return None;
    }
    Some(true)
}
