//! What every row would be at a state, with its derivatives.

use crate::lanes::{LANES, Lanes, MADE_BACK, MADE_HEIGHT, MADE_SEAT, NEW_SLOT, STRAIGHTEDGE, THIRD, figures};
use crate::rows::base;
use crate::string::{exposed, over_bridge};
use crate::{Figure, Missed, OverMade, Row, Scene, StringThere, Strung, There, What};
use evidence::Model;
use instrument::{At, Frame, NutReading, Of, SlotSurvey, StringLine, StringRun};
use nalgebra::{DMatrix, DVector};
use numerics::{DualStruct, Real, Slope};
use std::cell::OnceCell;
use std::rc::Rc;

/// The rows of a scene, as a model of their figures.
pub(crate) struct Rowed<'a> {
    pub(crate) scene: Scene<'a>,
    pub(crate) rows: &'a [Row],
    pub(crate) strung: &'a [Strung],
    pub(crate) figures: &'a [Figure],
}

/// Where each lane's figure stands among these, which are in order.
pub(crate) fn lanes(among: &[Figure], string: usize, strings: usize, visit: u32) -> Lanes {
    figures(string, strings, visit).map(|figure| {
        let at = among.binary_search(&figure?).ok()?;
        u16::try_from(at).ok()
    })
}

/// The figure of a lane, with its own derivative where the state has it.
fn off<'s>(state: &'s [f64], lanes: &'s Lanes) -> impl Fn(usize) -> Slope<LANES> + 's {
    move |lane| match lanes[lane] {
        Some(at) => Slope::from_re(state[usize::from(at)]).derivative(lane),
        None => Slope::from_re(0.0),
    }
}

/// How far the figure of a lane is off.
pub(crate) fn plainly<'s>(state: &'s [f64], lanes: &'s Lanes) -> impl Fn(usize) -> f64 + 's {
    move |lane| lanes[lane].map_or(0.0, |at| state[usize::from(at)])
}

/// The whole instrument on one visit; the made saddle's frame is worked out where a row asks for it.
struct Visit {
    there: Option<There<Slope<LANES>>>,
    made: OnceCell<Option<Frame<Slope<LANES>>>>,
}

/// One string on one visit, worked out where a row asks for it.
struct Worked {
    lanes: Lanes,
    visit: Rc<Visit>,
    string: OnceCell<Option<StringThere<Slope<LANES>>>>,
    made: OnceCell<Option<OverMade<Slope<LANES>>>>,
}

impl Model for Rowed<'_> {
    fn states(&self) -> usize {
        self.figures.len()
    }

    fn expect(&self, state: &[f64], expected: &mut DVector<f64>, slopes: &mut DMatrix<f64>) {
        let strings = self.scene.instrument.strings.len();
        let mut worked: Vec<((usize, u32), Worked)> = Vec::new();
        let mut visits: Vec<(u32, Rc<Visit>)> = Vec::new();
        for (i, row) in self.rows.iter().enumerate() {
            let mut plain = 0.0;
            let mut of = |figure: Figure, slope: f64| {
                if let Ok(at) = self.figures.binary_search(&figure) {
                    plain += slope * state[at];
                    slopes[(i, at)] += slope;
                }
            };
            if let Some((shares, times)) = row.shares {
                of(shares, times);
            }
            match row.what {
                What::Before(figure) => of(figure, 1.0),
                What::Between { inner, outer, share } => {
                    of(inner, 1.0);
                    of(outer[0], share - 1.0);
                    of(outer[1], -share);
                }
                What::Tied { string, times } => {
                    of(Figure::Bending(string), 1.0);
                    of(Figure::Axial(string), -times);
                }
                What::Read(..) | What::Strung(..) => {
                    if let What::Read(kind, at) = row.what
                        && let Some((figure, value)) = base(&self.scene, kind, at).filter(|_| row.visit == 1)
                    {
                        of(figure, 1.0);
                        expected[i] = value;
                        if kind == Of::BridgeTop {
                            of(Figure::Straightedge, 1.0);
                        }
                        expected[i] += plain;
                        continue;
                    }
                    let string = match row.what {
                        What::Read(_, At::End(1..)) => strings.saturating_sub(1),
                        What::Read(_, At::String(string)) | What::Strung(_, string) => string,
                        _ => 0,
                    };
                    let key = (string, row.visit);
                    let place = worked.iter().position(|(known, _)| *known == key).unwrap_or_else(|| {
                        let lanes = lanes(self.figures, string, strings, row.visit);
                        let off = off(state, &lanes);
                        // What is the whole instrument's is the same in every string's lanes.
                        let known = visits.iter().find(|(visit, _)| *visit == row.visit);
                        let visit = known.map(|(_, visit)| Rc::clone(visit)).unwrap_or_else(|| {
                            let there = self.scene.there(&off, row.visit > 1).ok();
                            let made = OnceCell::new();
                            let visit = Rc::new(Visit { there, made });
                            visits.push((row.visit, Rc::clone(&visit)));
                            visit
                        });
                        drop(off);
                        let (string, made) = (OnceCell::new(), OnceCell::new());
                        worked.push((
                            key,
                            Worked {
                                lanes,
                                visit,
                                string,
                                made,
                            },
                        ));
                        worked.len() - 1
                    });
                    let (_, work) = &worked[place];
                    let found = self.reading(row.what, string, work, state);
                    let Some(found) = found else {
                        expected[i] = f64::NAN;
                        continue;
                    };
                    expected[i] = found.re();
                    if let Some(eps) = &found.eps.0 {
                        for (lane, at) in work.lanes.iter().enumerate() {
                            if let Some(at) = at {
                                slopes[(i, usize::from(*at))] += eps[lane];
                            }
                        }
                    }
                }
            }
            expected[i] += plain;
        }
    }
}

impl Rowed<'_> {
    /// What a reading would be; `None` where it cannot be taken of this instrument.
    fn reading(&self, what: What, string: usize, work: &Worked, state: &[f64]) -> Option<Slope<LANES>> {
        let off = off(state, &work.lanes);
        let there = work.visit.there.as_ref()?;
        let (of, at) = match what {
            What::Read(of, at) => (of, at),
            What::Strung(of, i) => {
                let frame = || work.visit.made.get_or_init(|| made_frame(&self.scene, there, &off));
                let over = || on_made(&self.scene, i, self.strung.get(i)?, there, frame().as_ref()?, &off);
                return strung(&self.scene, of, i, work.made.get_or_init(over).as_ref()?, there);
            }
            _ => return None,
        };
        let line = work.string.get_or_init(|| self.scene.string(string, there, &off));
        expected(&self.scene, of, at, string, there, line.as_ref(), &off)
    }
}

/// What a reading would be over the made saddle.
fn strung<R: Real>(scene: &Scene, of: Of, string: usize, over: &OverMade<R>, there: &There<R>) -> Option<R> {
    let run = scene.instrument.strings.get(string)?.run;
    match of {
        Of::Action { fret } => Some(over.string.line.action(&there.board, &run, fret)),
        Of::Clearance => Some(over.string.line.action(&there.board, &run, 1)),
        Of::Cents { fret } => {
            let fretted = scene.over_fret(string, fret, there, over.string.model)?;
            Some(fretted.cents_at(fret, over.string.nut, over.contact))
        }
        _ => None,
    }
}

/// Frame of the made saddle as it stands.
pub(crate) fn made_frame<R: Real>(scene: &Scene, there: &There<R>, off: &impl Fn(usize) -> R) -> Option<Frame<R>> {
    scene.made_frame(&scene.slot?, &there.board, off).ok()
}

/// A string over the made saddle, whose frame is this.
pub(crate) fn on_made<R: Real>(
    scene: &Scene,
    string: usize,
    strung: &Strung,
    there: &There<R>,
    frame: &Frame<R>,
    off: &impl Fn(usize) -> R,
) -> Option<OverMade<R>> {
    let share = scene.share(string);
    let seat = off(MADE_SEAT[0]) * (1.0 - share) + off(MADE_SEAT[1]) * share;
    let missed = Missed {
        height: off(MADE_HEIGHT) + seat,
        back: off(MADE_BACK),
        slot: off(NEW_SLOT),
    };
    scene.over_made(string, &strung.made, &missed, frame, there, off)
}

/// What a reading would be of the instrument at a state.
fn expected<R: Real>(
    scene: &Scene,
    of: Of,
    at: At,
    string: usize,
    there: &There<R>,
    line: Option<&StringThere<R>>,
    off: &impl Fn(usize) -> R,
) -> Option<R> {
    let board = &there.board;
    let run = scene.instrument.strings.get(string)?.run;
    let mouth = |end: usize| there.slot.as_ref()?.mouth.as_ref()?.get(end).copied();
    match of {
        Of::NutTo12 => Some(board.fret_x(12, &StringRun::CENTRE)),
        Of::Relief => Some(board.relief()),
        Of::RadiusAtNut | Of::RadiusAt12 => match board.radius() {
            instrument::BoardRadius::Flat => None,
            instrument::BoardRadius::Conical { nut, fret_12 } => {
                Some(if of == Of::RadiusAtNut { nut } else { fret_12 })
            }
        },
        Of::Clearance => Some(line?.line.action(board, &run, 1)),
        Of::HeldAtThree => {
            let nut = line?.nut;
            let three = (board.fret_x(3, &run), board.crown_under(3, &run));
            Some(StringLine::through((nut.x, nut.z), three).action(board, &run, 1))
        }
        Of::ZeroFret => {
            let level = NutReading::ZeroFret { above: R::from(0.0) };
            let nut = line?.nut;
            Some(nut.z - level.height(board, &run, nut.x))
        }
        Of::Action { fret } => Some(line?.line.action(board, &run, fret)),
        Of::SlotEdge => {
            let At::End(end) = at else { return None };
            Some(mouth(end)?.x - board.fret_x(12, &run))
        }
        Of::BridgeTop => {
            let At::End(end) = at else { return None };
            let mouth = mouth(end)?;
            Some(mouth.z - board.straightedge(&run, mouth.x) + off(STRAIGHTEDGE))
        }
        Of::SlotDepth => {
            let At::End(end) = at else { return None };
            match scene.slot?.slot {
                // The slot's own figure; the saddle's bottom edge lies over its floor by what is under it.
                SlotSurvey::Straightedge(ends) => Some(off(*THIRD.get(end)?) + ends.get(end)?.depth),
                SlotSurvey::Reference(_) => Some(there.slot.as_ref()?.frame.to_blank(mouth(end)?).v),
            }
        }
        // The survey's own figure; another visit finds the same.
        Of::Lean => Some(off(crate::lanes::LEAN) + scene.slot?.lean),
        Of::Contact => {
            let x = match scene.met(string, there, line?, off) {
                Some(met) => met.line.x,
                None => contact_without_slot(scene, string, there, off)?,
            };
            Some(x - board.fret_x(12, &run))
        }
        Of::SaddleHeight => Some(scene.height(string, scene.met(string, there, line?, off)?.ridge, off)),
        Of::SaddleBack => Some(scene.met(string, there, line?, off)?.ridge.b),
        Of::Exposure => exposed(there.slot.as_ref()?, scene.met(string, there, line?, off)?.ridge),
        Of::OverBridge => over_bridge(there.slot.as_ref()?, &run, &line?.line),
        Of::Cents { fret } => {
            let here = line?;
            let saddle = match scene.met(string, there, here, off) {
                Some(met) => met.line,
                None => {
                    let x = contact_without_slot(scene, string, there, off)?;
                    strings::Point { x, z: here.line.z(x) }
                }
            };
            let fretted = scene.over_fret(string, fret, there, here.model)?;
            Some(fretted.cents_at(fret, here.nut, saddle))
        }
        Of::Inharmonicity => {
            let here = line?;
            let x = there.board.scale_end(&run);
            let fretted = scene.over_fret(string, 12, there, here.model)?;
            Some(fretted.inharmonicity(here.nut, strings::Point { x, z: here.line.z(x) }))
        }
    }
}

fn contact_without_slot<R: Real>(
    scene: &Scene,
    string: usize,
    there: &There<R>,
    off: &impl Fn(usize) -> R,
) -> Option<R> {
    let s = scene.instrument.strings.get(string)?;
    let from_12 = off(crate::lanes::CONTACT) + s.contact_from_fret_12?;
    Some(there.board.fret_x(12, &s.run) + from_12)
}
