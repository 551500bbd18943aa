//! What of a survey does not fit.

use instrument::{At, Of};
use known::{Evidence, Figure, Kind, Known, Row, Seen, Slips, What};
use saddle::Fit;

/// Where a reading was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// On the instrument as a whole.
    Whole,
    /// At an end of the slot: 0 bass, 1 treble.
    End(usize),
    /// On a string, by its number.
    String(u32),
}

/// A reading.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadAt {
    /// What it is of.
    pub of: Of,
    /// Where it was taken.
    pub place: Place,
    /// What was read, in its own unit.
    pub value: f64,
    /// Name of the tool, of a further reading; `None` for one of the survey itself.
    pub tool: Option<String>,
    /// The visit, from 1.
    pub visit: u32,
    /// Whether it was read after stringing up, over the saddle that was made.
    pub over_made: bool,
}

/// What may be wrong.
#[derive(Debug, Clone, PartialEq)]
pub enum Wrong {
    /// A reading.
    Reading(ReadAt),
    /// A string is not what it is said to be: core, modulus or mass.
    NotTheSet(u32),
    /// The body pulls the pitch of a string.
    Pull(u32),
    /// An inner string is not where the outer ones put it.
    NotBetween(u32, Of),
    /// A tool reads all of one kind too high or too low.
    Tool(String, Of),
    /// The contact of a string is not on the saddle as it is taken.
    Contact(u32),
    /// The present saddle stands off the slot's floor, at an end: 0 bass, 1 treble.
    Seat(usize),
    /// The straightedge on the frets reads wrong at the saddle.
    Straightedge,
    /// The slot's floor is bowed.
    Floor,
    /// How the ends of the strings hold.
    Ends,
    /// The stand-off of the strings over the ridge.
    StandOff,
    /// Neck or top moved by this visit.
    Moved(u32),
    /// The saddle was not made or seated as planned, or the neck moved since the survey.
    Made,
}

/// What may be wrong, and by how much.
#[derive(Debug, Clone, PartialEq)]
pub struct Charge {
    /// What.
    pub what: Wrong,
    /// Of a reading: by how much it is more than the others allow, in its own unit. Of all else: by how much it would be off from what is
    /// taken, up positive; what is a factor, by its logarithm.
    pub over: f64,
    /// Standard uncertainty of that.
    pub sure_to: f64,
}

/// A slip of a kind, over the readings that it moved.
#[derive(Debug, Clone, PartialEq)]
pub struct SlipOfKind {
    /// Its kind.
    pub kind: Kind,
    /// Its readings.
    pub readings: Vec<ReadAt>,
}

/// Something that does not fit the rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubted {
    /// What may be wrong, the likeliest first; the readings cannot tell which.
    pub charges: Vec<Charge>,
    /// The slip of a kind that explains it as well.
    pub slip: Option<SlipOfKind>,
}

/// What of all that was read does not fit, the furthest off first.
pub(crate) fn doubted(evidence: &Evidence) -> Vec<Doubted> {
    let seen = evidence.seen();
    let known = &evidence.known;
    all(&Told { seen, known }, known.slips(&seen))
}

/// The same of readings after stringing up and all before them.
pub(crate) fn doubted_after(fit: &Fit) -> Vec<Doubted> {
    let (seen, known) = (fit.after.seen(), &fit.after.known);
    all(&Told { seen, known }, fit.slips.clone())
}

impl Doubted {
    /// Whether a reading of this string over the made saddle may be what is wrong.
    #[must_use]
    pub fn is_of_made(&self, string: u32) -> bool {
        self.of_made().any(|reading| reading.place == Place::String(string))
    }

    /// Whether it may be that this string, by its number, is not what the job says.
    pub(crate) fn is_of_kind(&self, string: u32) -> bool {
        self.charges.iter().any(|charge| match &charge.what {
            Wrong::NotTheSet(number) => *number == string,
            Wrong::Reading(reading) => reading.of == Of::Inharmonicity && reading.place == Place::String(string),
            _ => false,
        })
    }

    /// Whether the same is likeliest to be wrong.
    #[must_use]
    pub fn is_of_same(&self, other: &Self) -> bool {
        let first = |doubted: &Self| doubted.charges.first().map(|charge| charge.what.clone());
        first(self) == first(other)
    }

    /// Readings over the made saddle that may be what is wrong.
    pub fn of_made(&self) -> impl Iterator<Item = &ReadAt> {
        let charged = self.charges.iter().filter_map(|charge| match &charge.what {
            Wrong::Reading(reading) => Some(reading),
            _ => None,
        });
        let slipped = self.slip.iter().flat_map(|slip| &slip.readings);
        charged.chain(slipped).filter(|reading| reading.over_made)
    }
}

/// The same of readings that contradict each other so much that no instrument is near them.
pub(crate) fn contradicted(seen: &Seen) -> Vec<Doubted> {
    Known::contradicted(seen).map_or_else(
        |_| Vec::new(),
        |(known, slips)| {
            all(
                &Told {
                    seen: *seen,
                    known: &known,
                },
                slips,
            )
        },
    )
}

/// What was read, and the rows that it made.
pub(crate) struct Told<'a> {
    pub(crate) seen: Seen<'a>,
    pub(crate) known: &'a Known,
}

fn all(told: &Told, slips: Slips) -> Vec<Doubted> {
    let Slips { doubts, .. } = slips;
    let numbers = numbers(&told.seen);
    let row = |row: usize| told.known.rows.get(row);
    let half = told.seen.slot.map(|slot| 0.5 * slot.thickness);
    let one = |doubt: known::Doubt| {
        let mut charges: Vec<Charge> = Vec::new();
        for suspect in &doubt.suspects {
            let what = row(suspect.row).and_then(|row| wrong(told, &numbers, row));
            let is_likely = |what: &Wrong| match what {
                // Another string than the one named is off by anything.
                Wrong::NotTheSet(_) => true,
                // No string ends off its saddle.
                Wrong::Contact(_) => half.is_none_or(|half| suspect.over.abs() <= half),
                _ => !doubt.is_far_fetched(suspect),
            };
            let is_new = |what: &Wrong| charges.iter().all(|charge| charge.what != *what);
            if let Some(what) = what.filter(|what| is_likely(what) && is_new(what)) {
                // What is known beforehand was "read" as nought.
                let up = if matches!(what, Wrong::Reading(_)) { 1.0 } else { -1.0 };
                charges.push(Charge {
                    over: up * suspect.over,
                    what,
                    sure_to: suspect.sure_to,
                });
            }
        }
        let slip = doubt.named.map(|named| SlipOfKind {
            kind: named.kind,
            readings: named
                .rows
                .iter()
                .filter_map(|(moved, _)| read_at(told, &numbers, row(*moved)?))
                .collect(),
        });
        Doubted { charges, slip }
    };
    doubts.into_iter().map(one).collect()
}

pub(crate) fn numbers(seen: &Seen) -> Vec<u32> {
    seen.instrument.strings.iter().map(|s| s.number).collect()
}

pub(crate) fn read_at(told: &Told, numbers: &[u32], row: &Row) -> Option<ReadAt> {
    let (of, at, over_made) = match row.what {
        What::Read(of, at) => (of, at, false),
        What::Strung(of, string) => (of, At::String(string), true),
        _ => return None,
    };
    let taken = row.taken.and_then(|taken| told.seen.readings.taken.get(taken));
    Some(ReadAt {
        of,
        place: match at {
            At::Whole => Place::Whole,
            At::End(end) => Place::End(end),
            At::String(string) => Place::String(*numbers.get(string)?),
        },
        value: row.value,
        tool: taken.map(|taken| taken.tool.clone()),
        visit: row.visit,
        over_made,
    })
}

fn wrong(told: &Told, numbers: &[u32], row: &Row) -> Option<Wrong> {
    let string = |at: usize| numbers.get(at).copied();
    Some(match row.what {
        What::Read(..) | What::Strung(..) => Wrong::Reading(read_at(told, numbers, row)?),
        What::Tied { string: at, .. } => Wrong::NotTheSet(string(at)?),
        What::Between { inner, .. } => match inner {
            Figure::Nut(at) => Wrong::NotBetween(string(at)?, Of::Clearance),
            Figure::Action(at) => Wrong::NotBetween(string(at)?, Of::Action { fret: 12 }),
            Figure::Contact(at) => Wrong::NotBetween(string(at)?, Of::Contact),
            _ => return None,
        },
        What::Before(figure) => match figure {
            Figure::Axial(at) | Figure::Bending(at) | Figure::Mass(at) => Wrong::NotTheSet(string(at)?),
            Figure::Pull(at) | Figure::MadePull(at) => Wrong::Pull(string(at)?),
            Figure::Contact(at) => Wrong::Contact(string(at)?),
            Figure::Tool(tool, of) => Wrong::Tool(told.known.tools.get(tool)?.clone(), of),
            Figure::OldSeat(end) => Wrong::Seat(end),
            Figure::Straightedge => Wrong::Straightedge,
            Figure::FloorBow => Wrong::Floor,
            Figure::Ends => Wrong::Ends,
            Figure::StandOff => Wrong::StandOff,
            Figure::Risen | Figure::MadeSeat(_) | Figure::MadeHeight(_) | Figure::MadeBack(_) | Figure::NewSlot(_) => {
                Wrong::Made
            }
            Figure::NeckDrift(visit) | Figure::TopDrift(visit) => Wrong::Moved(visit),
            // These are read, and not known beforehand.
            Figure::Stretch
            | Figure::Relief
            | Figure::RadiusAtNut
            | Figure::RadiusAt12
            | Figure::Lean
            | Figure::SlotPlace(_)
            | Figure::SlotHeight(_)
            | Figure::SlotThird(_)
            | Figure::ReferenceDepth(_)
            | Figure::Nut(_)
            | Figure::Action(_) => return None,
        },
    })
}
