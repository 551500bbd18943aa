//! All that was read, round by round, with where it was read and how it stands.

use instrument::{At, NutReading, Of, SurveyedString};
use known::{Known, KnownError, Row, Seen};

use crate::doubted::{Doubted, ReadAt, Told, Wrong, numbers, read_at};
use crate::station::{Along, Station, across};
use crate::takes_up::{WeighedBy, takes_up, total};
use crate::{Planned, Refusal};

/// Whether a reading is believed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Belief {
    /// It fits the others, or nothing says that it does not.
    Counted,
    /// It may be what does not fit: the readings cannot tell it from the likeliest.
    Suspected,
    /// It is the likeliest of what does not fit.
    Doubted,
    /// A doubt in the job strikes it out: it is not counted.
    StruckOut,
}

/// One place of a round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// Where across. What is read at an end of the present saddle stands on the outer string.
    pub at: At,
    /// How often it was read there, 1 or more.
    pub times: usize,
    /// How far one standard uncertainty of it by itself moves what it bears on most, over the tolerance: action or pitch at fret 12 of a string
    /// over a saddle that is made, the stack to which a nut's slot is cut over one that stays. `None` where it is not counted, or nothing is planned.
    pub takes_up: Option<f64>,
    /// Whether a slip in it would show in other readings.
    pub is_checked: bool,
    /// Whether it is believed.
    pub belief: Belief,
}

/// Readings of one kind, with one tool, on one visit: those that count, or those that are struck out.
#[derive(Debug, Clone, PartialEq)]
pub struct Round {
    /// What was read.
    pub of: Of,
    /// With which tool: for a reading of the survey itself the usual one.
    pub tool: String,
    /// The visit, from 1.
    pub visit: u32,
    /// Whether it was read after stringing up, over the saddle that was made.
    pub over_made: bool,
    /// Whether a doubt in the job strikes it out.
    pub struck_out: bool,
    /// Where along.
    pub station: Station,
    /// Standard uncertainty of the least sure of them, with what it shares with others, in its own unit; of a radius and of inharmonicity a
    /// share of itself. `None` where none is counted.
    pub sure_to: Option<f64>,
    /// Where across: bass to treble.
    pub marks: Vec<Mark>,
}

/// A string as it lies in a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lane {
    /// Its number.
    pub number: u32,
    /// From the centre line at the end of its scale length, toward the treble side, mm.
    pub y: f64,
}

/// All that was read of an instrument.
#[derive(Debug, Clone, PartialEq)]
pub struct Rounds {
    /// From the nut back.
    pub rounds: Vec<Round>,
    /// Strings, bass to treble.
    pub lanes: Vec<Lane>,
    /// Nut, a zero fret if it has one, fret 12 and ridge: they are there whatever was read.
    pub always: Vec<Station>,
    /// Whether a slot was read.
    pub has_slot: bool,
    /// Whether pictures are mirrored.
    pub left_handed: bool,
    /// What [`Mark::takes_up`] is told against; `None` where nothing is planned.
    pub weighed_by: Option<WeighedBy>,
}

impl Rounds {
    /// How many places were read.
    #[must_use]
    pub fn places(&self) -> usize {
        self.rounds.iter().map(|round| round.marks.len()).sum()
    }
}

/// Least share by which a reading is told to take up the tolerance. Our own choice: under it no single reading is worth a word.
pub const TAKES_UP: f64 = 0.05;

impl Planned {
    /// The jobs that were surveyed each by itself: this one, or that of each of several saddles.
    #[must_use]
    pub fn surveyed(&self) -> Vec<&Self> {
        if self.is_split() {
            self.saddles().collect()
        } else {
            vec![self]
        }
    }

    /// All that was read of this job's instrument, also where the readings contradict each other so much that no instrument is near them; `None`
    /// where they do not tell one, and for several saddles, each of which has its own.
    #[must_use]
    pub fn rounds(&self) -> Option<Rounds> {
        if let Some(evidence) = &self.evidence {
            let (seen, known) = (evidence.seen(), &evidence.known);
            return Some(self.rounds_of(&Told { seen, known }, &self.doubted));
        }
        let unread = self.refusals.iter().find_map(|refusal| match refusal {
            Refusal::Readings(unread) if unread.error == KnownError::NotSettled => Some(unread),
            _ => None,
        })?;
        let slot = self.job.saddle.as_ref().map(|made| made.survey.slot_seen());
        let seen = Seen {
            instrument: &self.job.instrument,
            slot,
            readings: &self.job.readings,
            unsure: &self.job.uncertainty,
            strung: &[],
        };
        let (known, _) = Known::contradicted(&seen).ok()?;
        Some(self.rounds_of(&Told { seen, known: &known }, &unread.doubted))
    }

    fn rounds_of(&self, told: &Told, doubted: &[Doubted]) -> Rounds {
        let (seen, known) = (told.seen, told.known);
        let numbers = numbers(&seen);
        let weights = takes_up(self);
        let strings = seen.instrument.strings.len();
        let mut all = Vec::new();
        for standing in known.standings() {
            let row_number = standing.row;
            let of_row = |row: &Row| {
                let read = read_at(told, &numbers, row)?;
                let (of, at) = what(row)?;
                Some(Single {
                    of,
                    at,
                    tool: read.tool.clone().unwrap_or_else(|| of.usual_tool().to_owned()),
                    visit: read.visit,
                    over_made: read.over_made,
                    sure_to: Some(told_of(of, row.value, total(known, row))),
                    takes_up: weights.as_ref().and_then(|(_, each)| each.get(&row_number).copied()),
                    is_checked: !standing.is_unchecked(),
                    belief: belief(doubted, &read),
                })
            };
            all.extend(known.rows.get(row_number).and_then(of_row));
        }
        let struck = |of: Of, at: At, tool: String, visit: u32| Single {
            of,
            at,
            tool,
            visit,
            over_made: false,
            sure_to: None,
            takes_up: None,
            is_checked: false,
            belief: Belief::StruckOut,
        };
        let own = seen.readings.struck.iter();
        all.extend(own.map(|&(of, at)| struck(of, at, of.usual_tool().to_owned(), 1)));
        let further = seen.readings.taken.iter().filter(|taken| taken.doubted);
        all.extend(further.map(|taken| struck(taken.of, taken.at, taken.tool.clone(), taken.visit)));
        let board = &seen.instrument.board;
        let mut rounds: Vec<Round> = Vec::new();
        for single in all {
            let at = across(single.of, single.at, strings);
            let same = rounds.iter().position(|round| {
                (round.of, &round.tool, round.visit, round.over_made, round.struck_out)
                    == (
                        single.of,
                        &single.tool,
                        single.visit,
                        single.over_made,
                        single.struck_out(),
                    )
            });
            let round = same.unwrap_or_else(|| {
                rounds.push(Round {
                    of: single.of,
                    tool: single.tool.clone(),
                    visit: single.visit,
                    over_made: single.over_made,
                    struck_out: single.struck_out(),
                    station: Station::on(board, Along::of(single.of)),
                    sure_to: None,
                    marks: Vec::new(),
                });
                rounds.len() - 1
            });
            rounds[round].take(at, &single);
        }
        for round in &mut rounds {
            round.marks.sort_by_key(|mark| mark.at);
        }
        rounds.sort_by(|a, b| {
            let place = a.station.before(&b.station).then(a.of.cmp(&b.of));
            place
                .then(a.over_made.cmp(&b.over_made))
                .then(a.struck_out.cmp(&b.struck_out))
                .then(a.visit.cmp(&b.visit))
                .then(a.tool.cmp(&b.tool))
        });
        let lanes = seen.instrument.strings.iter().map(|s| Lane {
            number: s.number,
            y: s.run.y(board.scale_end(&s.run)),
        });
        let over_zero = |s: &SurveyedString| matches!(s.present_nut, Some(NutReading::ZeroFret { .. }));
        let planned = self.job.saddle.as_ref().map(|made| &made.survey.strings);
        let zero = seen.instrument.strings.iter().any(over_zero)
            || planned.is_some_and(|strings| strings.iter().any(|s| s.zero_fret.is_some()));
        let always = [
            Some(Along::Nut),
            zero.then_some(Along::Fret(0)),
            Some(Along::Fret(12)),
            Some(Along::Ridge),
        ];
        Rounds {
            rounds,
            lanes: lanes.collect(),
            always: always
                .into_iter()
                .flatten()
                .map(|along| Station::on(board, along))
                .collect(),
            has_slot: seen.slot.is_some(),
            left_handed: seen.instrument.left_handed,
            weighed_by: weights.map(|(by, _)| by),
        }
    }
}

/// One reading before it is put to its like.
struct Single {
    of: Of,
    at: At,
    tool: String,
    visit: u32,
    over_made: bool,
    sure_to: Option<f64>,
    takes_up: Option<f64>,
    is_checked: bool,
    belief: Belief,
}

impl Single {
    fn struck_out(&self) -> bool {
        self.belief == Belief::StruckOut
    }
}

impl Round {
    fn take(&mut self, at: At, single: &Single) {
        let more = |a: Option<f64>, b: Option<f64>| match (a, b) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        };
        self.sure_to = more(self.sure_to, single.sure_to);
        match self.marks.iter_mut().find(|mark| mark.at == at) {
            None => self.marks.push(Mark {
                at,
                times: 1,
                takes_up: single.takes_up,
                is_checked: single.is_checked,
                belief: single.belief,
            }),
            Some(mark) => {
                mark.times += 1;
                mark.takes_up = more(mark.takes_up, single.takes_up);
                mark.is_checked |= single.is_checked;
                mark.belief = mark.belief.max(single.belief);
            }
        }
    }
}

fn what(row: &Row) -> Option<(Of, At)> {
    match row.what {
        known::What::Read(of, at) => Some((of, at)),
        known::What::Strung(of, string) => Some((of, At::String(string))),
        known::What::Before(_) | known::What::Between { .. } | known::What::Tied { .. } => None,
    }
}

/// As a round tells it.
fn told_of(of: Of, value: f64, total: f64) -> f64 {
    match of {
        Of::RadiusAtNut | Of::RadiusAt12 | Of::Inharmonicity if value != 0.0 => total / value.abs(),
        _ => total,
    }
}

/// Whether a reading is among those that do not fit.
fn belief(doubted: &[Doubted], read: &ReadAt) -> Belief {
    let of = |doubt: &Doubted| {
        let first = doubt.charges.first().map(|charge| &charge.what);
        let is = |what: &Wrong| matches!(what, Wrong::Reading(other) if other == read);
        let listed = doubt
            .slip
            .iter()
            .flat_map(|slip| &slip.readings)
            .any(|other| other == read);
        if listed || first.is_some_and(is) {
            Belief::Doubted
        } else if doubt.charges.iter().any(|charge| is(&charge.what)) {
            Belief::Suspected
        } else {
            Belief::Counted
        }
    };
    doubted.iter().map(of).max().unwrap_or(Belief::Counted)
}
