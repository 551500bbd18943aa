//! All that was read, round by round, with where it was read and how it stands.

use instrument::{At, NutReading, Of, SurveyedString};
use job::SaddleJob;
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
        let (seen, board) = (told.seen, &told.seen.instrument.board);
        let weights = takes_up(self);
        let weight = |row: usize| weights.as_ref().and_then(|(_, each)| each.get(&row).copied());
        let counted = counted(told, doubted, weight);
        let mut rounds: Vec<Round> = Vec::new();
        for single in counted.chain(struck_out(&seen)) {
            match rounds.iter_mut().find(|round| round.is_like(&single)) {
                Some(round) => single.marks.iter().for_each(|mark| round.take(mark, single.sure_to)),
                None => rounds.push(single),
            }
        }
        for round in &mut rounds {
            round.marks.sort_by_key(|mark| mark.at);
        }
        rounds.sort_by(|a, b| {
            let rest = |round: &Round| (round.of, round.over_made, round.struck_out, round.visit);
            let place = a.station.before(&b.station);
            place.then(rest(a).cmp(&rest(b))).then(a.tool.cmp(&b.tool))
        });
        let lanes = seen.instrument.strings.iter().map(|s| Lane {
            number: s.number,
            y: s.run.y(board.scale_end(&s.run)),
        });
        let zero = self.has_zero_fret().then_some(Along::Fret(0));
        let always = [Some(Along::Nut), zero, Some(Along::Fret(12)), Some(Along::Ridge)];
        let always = always.into_iter().flatten();
        Rounds {
            rounds,
            lanes: lanes.collect(),
            always: always.map(|along| Station::on(board, along)).collect(),
            has_slot: seen.slot.is_some(),
            left_handed: seen.instrument.left_handed,
            weighed_by: weights.map(|(by, _)| by),
        }
    }

    fn has_zero_fret(&self) -> bool {
        let over = |s: &SurveyedString| matches!(s.present_nut, Some(NutReading::ZeroFret { .. }));
        let worked = |made: &SaddleJob| made.survey.strings.iter().any(|s| s.zero_fret.is_some());
        self.job.instrument.strings.iter().any(over) || self.job.saddle.as_ref().is_some_and(worked)
    }
}

/// Each reading that counts, as a round of its own; `weight` is that of a row.
fn counted<'t>(
    told: &'t Told,
    doubted: &'t [Doubted],
    weight: impl Fn(usize) -> Option<f64> + 't,
) -> impl Iterator<Item = Round> + 't {
    let (seen, known, numbers) = (&told.seen, told.known, numbers(&told.seen));
    known.standings().into_iter().filter_map(move |standing| {
        let row = known.rows.get(standing.row)?;
        let (read, (of, at)) = (read_at(told, &numbers, row)?, what(row)?);
        let mark = Mark {
            at: across(of, at, numbers.len()),
            times: 1,
            takes_up: weight(standing.row),
            is_checked: !standing.is_unchecked(),
            belief: belief(doubted, &read),
        };
        Some(Round {
            of,
            tool: read.tool.unwrap_or_else(|| of.usual_tool().to_owned()),
            visit: read.visit,
            over_made: read.over_made,
            struck_out: false,
            station: Station::on(&seen.instrument.board, Along::of(of)),
            sure_to: Some(told_of(of, row.value, total(known, row))),
            marks: vec![mark],
        })
    })
}

/// Each reading that a doubt strikes out, as a round of its own: of the survey, then of what was read beside it.
fn struck_out<'s>(seen: &Seen<'s>) -> impl Iterator<Item = Round> + 's {
    let (instrument, readings) = (seen.instrument, seen.readings);
    let strings = instrument.strings.len();
    let own = readings.struck.iter().map(|&(of, at)| (of, at, of.usual_tool(), 1));
    let further = readings.taken.iter().filter(|taken| taken.doubted);
    let further = further.map(|taken| (taken.of, taken.at, taken.tool.as_str(), taken.visit));
    own.chain(further).map(move |(of, at, tool, visit)| Round {
        of,
        tool: tool.to_owned(),
        visit,
        over_made: false,
        struck_out: true,
        station: Station::on(&instrument.board, Along::of(of)),
        sure_to: None,
        marks: vec![Mark {
            at: across(of, at, strings),
            times: 1,
            takes_up: None,
            is_checked: false,
            belief: Belief::StruckOut,
        }],
    })
}

impl Round {
    fn is_like(&self, other: &Self) -> bool {
        (self.of, &self.tool, self.visit, self.over_made, self.struck_out)
            == (other.of, &other.tool, other.visit, other.over_made, other.struck_out)
    }

    /// Takes up a mark of another round like this, sure to so much.
    fn take(&mut self, other: &Mark, sure_to: Option<f64>) {
        let more = |a: Option<f64>, b: Option<f64>| match (a, b) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        };
        self.sure_to = more(self.sure_to, sure_to);
        match self.marks.iter_mut().find(|mark| mark.at == other.at) {
            None => self.marks.push(*other),
            Some(mark) => {
                mark.times += 1;
                mark.takes_up = more(mark.takes_up, other.takes_up);
                mark.is_checked |= other.is_checked;
                mark.belief = mark.belief.max(other.belief);
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
