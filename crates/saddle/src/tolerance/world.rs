//! The made saddle in an instrument that is not quite as read.

use super::sources::{ErrorSource, Where};
use crate::{Plan, SaddleSurvey, StringPlan, StringSurvey};
use instrument::{BlankPoint, Board, BoardRadius, Frame, NutReading, Reading, SlotSurvey, StringLine, StringRun};
use strings::{FRETS, FrettedString, Point, Wrong};

/// Most strings that a plan can have.
pub(crate) const MOST: usize = 12;

/// What a made string shows: action at fret 12 in mm and error there in cents.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Shown {
    pub(crate) action: f64,
    pub(crate) cents: f64,
}

/// One string as made and as it may be. No heap, so that a copy for each sample is cheap.
#[derive(Debug, Clone, Copy)]
struct WorldString {
    string: FrettedString,
    /// What is wrong where its stretch stiffness is.
    wrong: Wrong,
    run: StringRun,
    nut: NutReading,
    /// Where the nut's height is read, and where its contact stands, mm along x.
    nut_read_x: f64,
    nut_x: f64,
    /// What work on a zero fret adds to the height that is read, mm.
    rise: f64,
    made: BlankPoint,
    /// Slopes of the made ridge, db/du and dv/du.
    slopes: (f64, f64),
}

/// An instrument as it may be, with the made saddle. Copy, so a sample starts from the survey without allocating.
#[derive(Debug, Clone, Copy)]
pub(crate) struct World {
    board: Board,
    slot: SlotSurvey,
    lean: f64,
    under: f64,
    /// The first `count` are the instrument's, bass to treble; the others are never looked at.
    strings: [WorldString; MOST],
    count: usize,
}

impl World {
    /// The instrument just as read, with the saddle of its plan. `None` without strings, or with a string whose nut is not
    /// known, which a plan rules out.
    pub(crate) fn as_read(survey: &SaddleSurvey, plan: &Plan) -> Option<Self> {
        let mut slot = survey.slot;
        if let SlotSurvey::Straightedge(ends) = &mut slot {
            for (end, rise) in ends.iter_mut().zip(survey.under_tension.bridge_top) {
                end.bridge_top += rise;
            }
        }
        let string = |s: &StringPlan, from: &StringSurvey| {
            let new = from.new_gap.map(|gap| gap.reading(from.action_12(&survey.board)));
            Some(WorldString {
                string: s.string,
                // A calibration scales both stiffnesses alike.
                wrong: if s.stretch_found {
                    Wrong::Modulus
                } else {
                    from.known.wrong()
                },
                run: s.run,
                nut: new.or(from.present_nut)?,
                // The gap of a new nut is taken where its contact stands at last.
                nut_read_x: if new.is_some() { s.nut.x } else { from.nut_x },
                nut_x: s.nut.x,
                rise: from.zero_fret.unwrap_or(0.0),
                made: s.contact,
                slopes: plan.crown.slopes(s.contact.u),
            })
        };
        let mut strings = [string(plan.strings.first()?, survey.strings.first()?)?; MOST];
        for (place, (s, from)) in strings.iter_mut().zip(plan.strings.iter().zip(&survey.strings)) {
            *place = string(s, from)?;
        }
        Some(Self {
            board: survey.board,
            slot,
            lean: plan.lean,
            under: survey.under,
            strings,
            count: plan.strings.len().min(MOST),
        })
    }

    /// Back to what another world is, without touching the places of strings that are not there.
    pub(crate) fn reset(&mut self, to: &Self) {
        (self.board, self.slot, self.lean, self.under) = (to.board, to.slot, to.lean, to.under);
        self.strings[..to.count].copy_from_slice(&to.strings[..to.count]);
    }

    fn strings(&self) -> &[WorldString] {
        &self.strings[..self.count]
    }

    /// The strings that a source moves.
    fn moved(&mut self, at: Where) -> &mut [WorldString] {
        match at {
            Where::All => &mut self.strings[..self.count],
            Where::One(i) => &mut self.strings[i..=i],
        }
    }

    /// Move one source by `error` (in its own unit: mm, radians, or a share).
    pub(crate) fn shift(&mut self, source: &ErrorSource, error: f64) {
        let chosen = |i: usize| source.at == Where::All || source.at == Where::One(i);
        let at = source.at;
        match source.reading {
            Reading::Relief | Reading::BoardRadius => self.board = reshaped(&self.board, source.reading, error),
            Reading::Lean => self.lean += error,
            Reading::Seating => self.under += error,
            Reading::Clearance => self.moved(at).iter_mut().for_each(|s| match &mut s.nut {
                NutReading::Open { clearance, .. } | NutReading::New { clearance, .. } => *clearance += error,
                NutReading::HeldAtThree { gap } => *gap += error,
                NutReading::ZeroFret { above } => *above += error,
            }),
            Reading::PresentAction => {
                self.moved(at).iter_mut().for_each(|s| {
                    if let NutReading::Open { action_12, .. } = &mut s.nut {
                        *action_12 += error;
                    }
                });
                if let SlotSurvey::Reference(ends) = &mut self.slot {
                    // The outer strings' action also places the reference saddle.
                    let last = self.count.saturating_sub(1);
                    for (end, string) in ends.iter_mut().zip([0, last]) {
                        if chosen(string) {
                            end.action_12 += error;
                        }
                    }
                }
            }
            Reading::Stretch => {
                self.moved(at).iter_mut().for_each(|s| {
                    // A share of itself, kept positive.
                    let factors = s.wrong.factors(error.exp());
                    s.string.model.stiffness = s.string.model.stiffness.factored(factors);
                });
            }
            Reading::MadeHeight => self.moved(at).iter_mut().for_each(|s| s.made.v += error),
            Reading::MadeRidge => self.moved(at).iter_mut().for_each(|s| s.made.b += error),
            reading => match &mut self.slot {
                SlotSurvey::Straightedge(ends) => {
                    for (_, end) in ends.iter_mut().enumerate().filter(|(i, _)| chosen(*i)) {
                        match reading {
                            Reading::SlotEdge => end.edge_from_fret_12 += error,
                            Reading::BridgeTop => end.bridge_top += error,
                            _ => end.depth += error,
                        }
                    }
                }
                SlotSurvey::Reference(ends) => {
                    for (_, end) in ends.iter_mut().enumerate().filter(|(i, _)| chosen(*i)) {
                        match reading {
                            Reading::ReferenceContact => end.contact_from_fret_12 += error,
                            Reading::ReferenceHeight => end.height += error,
                            _ => end.back += error,
                        }
                    }
                }
            },
        }
    }

    /// What each string shows, bass to treble; `None` if the readings no longer make a slot.
    pub(crate) fn shown(&self) -> Option<[Shown; MOST]> {
        let board = &self.board;
        let nut_z = |s: &WorldString| s.nut.height(board, &s.run, s.nut_read_x);
        let (first, last) = (self.strings().first()?, self.strings().last()?);
        let nuts = [first, last].map(|s| (s.nut_read_x, nut_z(s)));
        let slot = self
            .slot
            .slot(board, [first.run, last.run], nuts, self.lean, self.under)
            .ok()?;
        let mut shown = [Shown::default(); MOST];
        for (place, s) in shown.iter_mut().zip(self.strings()) {
            let contact = s.crossing(&slot.frame);
            let nut = Point {
                x: s.nut_x,
                z: nut_z(s) + s.rise,
            };
            let line = StringLine::through((nut.x, nut.z), (contact.x, contact.z));
            let mut string = s.string;
            let crown = Point {
                x: string.crowns[FRETS - 1].x,
                z: board.crown_under(12, &s.run),
            };
            string.crowns[FRETS - 1] = crown;
            *place = Shown {
                action: line.z(crown.x) - crown.z,
                cents: string.cents_at_12(nut, contact),
            };
        }
        Some(shown)
    }
}

impl WorldString {
    /// Where the made ridge, taken straight near the contact, crosses the string's upright plane.
    fn crossing(&self, frame: &Frame) -> Point {
        let along = frame.e_u + frame.e_b * self.slopes.0 + frame.e_v * self.slopes.1;
        let place = frame.to_fret(self.made);
        let aside = place.y - self.run.y(place.x);
        let place = place - along * (aside / (along.y - self.run.slope * along.x));
        Point { x: place.x, z: place.z }
    }
}

/// The board with another relief or radius; the old one if that would be no board.
fn reshaped(board: &Board, reading: Reading, error: f64) -> Board {
    let (mut relief, mut radius) = (board.relief(), board.radius());
    match (reading, &mut radius) {
        (Reading::Relief, _) => relief += error,
        (_, BoardRadius::Conical { nut, fret_12 }) => {
            *nut *= error.exp();
            *fret_12 *= error.exp();
        }
        (_, BoardRadius::Flat) => {}
    }
    board.reshaped(1.0, relief, radius)
}
