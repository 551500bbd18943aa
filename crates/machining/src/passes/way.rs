//! A toolpath being made: runs, descents and lifts of one cutter.

use super::{Move, Toolpath};
use crate::{Cutter, Feeds, Setup};
use numerics::math;

/// Passes stray from the exact cutter location by no more than this between two points, mm.
pub const CHORD: f64 = 0.001;

/// Length of a descent through air at the plunging feed, and of a run-in beside the stock, mm.
pub(crate) const GAP: f64 = 1.0;

/// Share of the machine's highest feed in Z that moves use: the program's rounded figures may be a little steeper.
const UPRIGHT: f64 = 0.97;

/// Builds moves that never go sideways below the safe height at rapid rate.
pub(crate) struct Way<'a> {
    setup: &'a Setup,
    pub(super) feeds: &'a Feeds,
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

    pub(super) fn at(&self) -> Option<[f64; 3]> {
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
        let across = math::hypot(to[0] - at[0], to[1] - at[1]);
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
        let (along, up) = (math::hypot(to[0] - from[0], to[1] - from[1]), (to[2] - from[2]).abs());
        if along == 0.0 && up == 0.0 {
            return;
        }
        let share = up / math::hypot(along, up);
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
