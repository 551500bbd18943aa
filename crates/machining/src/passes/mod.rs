//! Toolpaths: what each cutter does, in order.

mod finish;
mod flat;
mod follow;
mod groove;
mod rough;
mod round;

use crate::outline::OutlineError;
use crate::{Cutter, CutterError, FeedError, FeedNote, Feeds, Part, Setup, SetupKind, Surface, SurfaceError};
use saddle::Plan;
use thiserror::Error;

/// Passes stray from the exact cutter location by no more than this between two points, mm.
pub const CHORD: f64 = 0.001;
/// Length of a descent through air at the plunging feed, and of a run-in beside the stock, mm.
pub(crate) const GAP: f64 = 1.0;
/// Cutters keep this far above the jaws, mm.
pub(crate) const OVER_JAW: f64 = 0.3;

/// Share of the machine's highest feed in Z that moves use: the program's rounded figures may be a little steeper.
const UPRIGHT: f64 = 0.97;

/// One move of the tip, program coordinates, mm and mm/min.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Move {
    /// As fast as the machine can.
    Rapid([f64; 3]),
    /// Straight at a feed.
    Line {
        /// End.
        to: [f64; 3],
        /// Feed.
        feed: f64,
    },
    /// Along a circle in XY at a feed; Z goes evenly from start to end. Never a whole turn: an arc whose ends meet is no move.
    Arc {
        /// End.
        to: [f64; 3],
        /// Centre.
        centre: [f64; 2],
        /// Clockwise as seen from above.
        clockwise: bool,
        /// Feed.
        feed: f64,
    },
}

impl Move {
    /// Where the move ends.
    #[must_use]
    pub fn to(&self) -> [f64; 3] {
        match self {
            Self::Rapid(to) | Self::Line { to, .. } | Self::Arc { to, .. } => *to,
        }
    }
}

/// All that one cutter does, from the safe height to the safe height.
#[derive(Debug, Clone, PartialEq)]
pub struct Toolpath {
    /// What it is for, in plain words.
    pub purpose: &'static str,
    /// The cutter.
    pub cutter: Cutter,
    /// Speed and feeds.
    pub feeds: Feeds,
    /// The moves.
    pub moves: Vec<Move>,
}

/// Toolpaths of one setup, and what the operator should know.
#[derive(Debug, Clone, PartialEq)]
pub struct Toolpaths {
    /// In order.
    pub paths: Vec<Toolpath>,
    /// Remarks in plain words.
    pub notes: Vec<String>,
}

/// Why no toolpath is right.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PassError {
    /// The stock does not hold the blank.
    #[error(transparent)]
    Surface(#[from] SurfaceError),
    /// An impossible cutter.
    #[error(transparent)]
    Cutter(#[from] CutterError),
    /// No right feed.
    #[error(transparent)]
    Feed(#[from] FeedError),
    /// The outline cannot be offset.
    #[error(transparent)]
    Outline(#[from] OutlineError),
    /// The crown is finished with a ball.
    #[error("{cutter} cannot finish the crown: it takes a ball or a tapered ball")]
    Finisher {
        /// Its name.
        cutter: String,
    },
    /// Levels are cut with a flat end.
    #[error("{cutter} cannot rough in levels: it takes a flat cutter")]
    Rougher {
        /// Its name.
        cutter: String,
    },
    /// The jaws are in the way.
    #[error(
        "the cut goes down to Z {lowest:.2} mm and the jaws stand up to Z {jaw:.2} mm: let less of the blank into the jaws, on a higher parallel"
    )]
    Jaws {
        /// Lowest cut, mm.
        lowest: f64,
        /// Top of the jaws, mm.
        jaw: f64,
    },
    /// The jaws cover what a saw is to reach.
    #[error(
        "the saw goes down to X {lowest:.2} mm and the jaws cover the nut up to X {jaw:.2} mm: let it stand farther out past them"
    )]
    JawsBeside {
        /// Lowest cut over the seat, mm.
        lowest: f64,
        /// How far the jaws cover the nut up from its seat, mm.
        jaw: f64,
    },
    /// A figure of the setup is not usable.
    #[error("the {what} is not a usable length")]
    Figure {
        /// Which.
        what: &'static str,
    },
    /// No slot of the nut takes any of the cutters.
    #[error(
        "no slot of this nut takes a {0} of the job: they are narrower or shallower than that. Start the slots by hand"
    )]
    NoGroove(&'static str),
    /// A saddle is not cut on end.
    #[error("a saddle is cut on edge and flat; only the slots of a nut are sawn on end")]
    OnEnd,
    /// On edge the blank stands in a vise; flat it lies on tape.
    #[error("{0}")]
    Holding(&'static str),
}

/// Toolpaths for `part` in `setup`; a nut on edge or on end is [`outlined`](crate::outlined) before.
///
/// Roughing climbs (the material on the right of the tool's way, the spindle turning clockwise); finishing goes to and fro,
/// because the little that it takes matters less than the time in the air.
///
/// # Errors
/// [`PassError`] if stock, cutters, holding or figures do not allow it.
pub fn toolpaths<'a>(part: impl Into<Part<'a>>, setup: &Setup) -> Result<Toolpaths, PassError> {
    setup.rougher.check()?;
    for (value, what) in [
        (setup.clearance, "clearance"),
        (setup.material.step_down, "step down"),
        (setup.material.step_over, "step over"),
    ] {
        if !(value.is_finite() && value > 0.0) {
            return Err(PassError::Figure { what });
        }
    }
    if !(setup.rough_allowance.is_finite() && setup.rough_allowance >= 0.0) {
        return Err(PassError::Figure { what: "allowance" });
    }
    let part = part.into();
    match (part, setup.kind) {
        (_, SetupKind::Flat) => flat::toolpaths(part, setup),
        (Part::Saddle(plan), SetupKind::OnEdge) => on_edge(plan, setup),
        (Part::Saddle(_), SetupKind::OnEnd) => Err(PassError::OnEnd),
        (Part::Nut(plan), SetupKind::OnEdge | SetupKind::OnEnd) => groove::toolpaths(plan, setup),
    }
}

fn on_edge(plan: &Plan, setup: &Setup) -> Result<Toolpaths, PassError> {
    setup.finisher.check()?;
    if !(setup.scallop.is_finite() && setup.scallop > 0.0) {
        return Err(PassError::Figure { what: "scallop height" });
    }
    let surface = Surface::new(plan, setup)?;
    let mut notes = Vec::new();
    let (rough, left) = rough::path(&surface, setup, &mut notes)?;
    let paths = vec![rough, finish::path(&surface, setup, left, &mut notes)?];
    let said = paths.iter().flat_map(|p| &p.feeds.notes).map(FeedNote::to_string);
    let notes = said.chain(notes).collect();
    Ok(Toolpaths { paths, notes })
}

/// Builds moves that never go sideways below the safe height at rapid rate.
pub(crate) struct Way<'a> {
    setup: &'a Setup,
    feeds: &'a Feeds,
    safe: f64,
    moves: Vec<Move>,
}

impl<'a> Way<'a> {
    pub(crate) fn new(setup: &'a Setup, feeds: &'a Feeds) -> Self {
        Self {
            setup,
            feeds,
            safe: setup.safe_z(),
            moves: Vec::new(),
        }
    }

    fn at(&self) -> Option<[f64; 3]> {
        self.moves.last().map(Move::to)
    }

    /// Up, over and down to `to`; at rapid rate to `clear` (a height known to be in the air), then at the plunging feed.
    pub(crate) fn enter(&mut self, to: [f64; 3], clear: f64) {
        self.leave();
        self.moves.push(Move::Rapid([to[0], to[1], self.safe]));
        let clear = clear.max(to[2] + GAP);
        if clear < self.safe {
            self.moves.push(Move::Rapid([to[0], to[1], clear]));
        }
        self.moves.push(Move::Line {
            to,
            feed: self.feeds.plunge,
        });
    }

    /// As [`enter`](Self::enter), but up only to `over` (a height known to be in the air all the way) and across at the feed, where that is
    /// sooner.
    pub(crate) fn hop(&mut self, to: [f64; 3], over: f64, clear: f64) {
        let Some(at) = self.at() else {
            return self.enter(to, clear);
        };
        let (over, clear) = (over.max(at[2]), clear.max(to[2] + GAP));
        let [x, y, z] = self.setup.machine.rapid;
        let across = (to[0] - at[0]).hypot(to[1] - at[1]);
        let low = (over - at[2] + (over - clear).max(0.0)) / z + across / self.feeds.cut;
        let high = (2.0 * self.safe - at[2] - clear) / z + across / x.min(y);
        if over >= self.safe || low >= high {
            return self.enter(to, clear);
        }
        if over > at[2] {
            self.moves.push(Move::Rapid([at[0], at[1], over]));
        }
        self.cut([to[0], to[1], over]);
        if clear < over {
            self.moves.push(Move::Rapid([to[0], to[1], clear]));
        }
        self.moves.push(Move::Line {
            to,
            feed: self.feeds.plunge,
        });
    }

    /// Straight up to the safe height.
    pub(crate) fn leave(&mut self) {
        if let Some([x, y, z]) = self.at()
            && z < self.safe
        {
            self.moves.push(Move::Rapid([x, y, self.safe]));
        }
    }

    /// Straight at `feed`, slowed where the machine's Z is slower.
    pub(crate) fn line(&mut self, to: [f64; 3], feed: f64) {
        let Some(from) = self.at() else { return };
        let (along, up) = ((to[0] - from[0]).hypot(to[1] - from[1]), (to[2] - from[2]).abs());
        if along == 0.0 && up == 0.0 {
            return;
        }
        let share = up / along.hypot(up);
        let limit = UPRIGHT * self.setup.machine.feed_most[2] / share;
        self.moves.push(Move::Line {
            to,
            feed: feed.min(limit),
        });
    }

    pub(crate) fn cut(&mut self, to: [f64; 3]) {
        self.line(to, self.feeds.cut);
    }

    pub(crate) fn arc(&mut self, to: [f64; 3], centre: [f64; 2], clockwise: bool, feed: f64) {
        self.moves.push(Move::Arc {
            to,
            centre,
            clockwise,
            feed,
        });
    }

    pub(crate) fn finish(mut self, purpose: &'static str, cutter: &Cutter) -> Toolpath {
        self.leave();
        Toolpath {
            purpose,
            cutter: cutter.clone(),
            feeds: self.feeds.clone(),
            moves: self.moves,
        }
    }
}

/// Highest jaw, if any.
pub(crate) fn jaw_top(setup: &Setup) -> Option<f64> {
    setup.jaws().iter().map(|j| j.top).reduce(f64::max)
}

/// Levels from `top` (left out) down to `bottom`, no two further apart than `step`.
pub(crate) fn levels(top: f64, bottom: f64, step: f64) -> Vec<f64> {
    let mut count = 1u32;
    while (top - bottom) / f64::from(count) > step && count < 10_000 {
        count += 1;
    }
    (1..=count)
        .map(|i| top + (bottom - top) * f64::from(i) / f64::from(count))
        .collect()
}
