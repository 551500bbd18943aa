//! What stands beside the heights of a plan at the bench: how sure each is, how proud to leave it, and what the old saddle would lose.

use instrument::{Board, PresentContact, StringLine, SurveyedString, present_ends};
use numerics::math;
use saddle::{Plan, StringPlan};
use serde::Serialize;

use crate::SaddleWork;

/// What stands beside the heights of one saddle.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Heights {
    /// Height to leave the whole saddle proud at first, mm, so that at that chance no string ends too low; 0 where nothing need be; `None`
    /// where the readings leave no instrument to try. It is [`saddle::tolerance::Tolerance::proud`], not what a stroke of the file costs.
    pub proud: Option<f64>,
    /// The chance, 0 to 1.
    pub chance: f64,
    /// Strings, bass to treble.
    pub strings: Vec<StringHeight>,
}

/// What stands beside the height of one string. mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StringHeight {
    /// String number.
    pub number: u32,
    /// So near to the planned height lies, in 95 of 100 such instruments, the one that brings the wanted action.
    pub sure_to: Option<f64>,
    /// What the old saddle's top would have to lose under this string, up its face, to bring the wanted action; negative where it is too
    /// low. `None` where the string was not read on it.
    pub off_old: Option<f64>,
}

impl SaddleWork<'_> {
    /// What stands beside its heights. The sampling is that of `bonewright tolerance`.
    #[must_use]
    pub fn heights(&self) -> Heights {
        let sampling = self.job.tolerance.sampling;
        let sure = self.sureness(sampling, &|_| ()).ok().map(|sure| sure.tolerance);
        let board = self.evidence.likeliest().board;
        let spreads = sure.iter().flat_map(|sure| &sure.strings).zip(&self.plan.strings);
        let sampled = Heights {
            proud: sure.as_ref().map(|sure| sure.proud),
            chance: sampling.confidence,
            strings: spreads
                .map(|(spread, s)| StringHeight {
                    number: s.number,
                    sure_to: Some(
                        Face::of(self.plan, s, &board).height(0.5 * (spread.action.high - spread.action.low)),
                    ),
                    off_old: None,
                })
                .collect(),
        };
        self.heights_as_sure_as(&sampled)
    }

    /// What stands beside its heights, as sure and as proud as those of the same job with another value, which hardly moves that: nothing is
    /// sampled.
    #[must_use]
    pub fn heights_as_sure_as(&self, other: &Heights) -> Heights {
        let there = self.evidence.likeliest();
        let strings = self.plan.strings.iter().map(|s| {
            let read = there.strings.iter().find(|read| read.number == s.number);
            let old = read.and_then(|read| old_line(read, &there.board));
            let known = other.strings.iter().find(|known| known.number == s.number);
            StringHeight {
                number: s.number,
                sure_to: known.and_then(|known| known.sure_to),
                off_old: old.and_then(|old| Face::of(self.plan, s, &there.board).over(&old, &s.line)),
            }
        });
        Heights {
            strings: strings.collect(),
            ..*other
        }
    }
}

/// The line of a string over the old saddle, as read; `None` where nut or action was not.
fn old_line(read: &SurveyedString, board: &Board) -> Option<StringLine> {
    let contact = PresentContact {
        action_12: read.action_12?,
        from_fret_12: 0.0,
    };
    let [nut, over_12] = present_ends(board, &read.run, read.present_nut?, read.nut_x, contact);
    Some(StringLine::through((nut.x, nut.z), (over_12.x, over_12.z)))
}

/// The face of a leaning saddle at a string: how far up it a height over the frets is.
struct Face {
    /// Place of the contact, mm along x.
    x: f64,
    /// Height at the contact for each unit of action at fret 12, with the nut where it is.
    each_action: f64,
    /// Height that a way up the face brings over the string's line, for each unit of it.
    each_up: f64,
}

impl Face {
    /// With the top forward by the lean, a way `d` up the face goes `d sin(lean)` toward the nut, where the line is lower by its slope.
    fn of(plan: &Plan, string: &StringPlan, board: &Board) -> Self {
        let (sin, cos) = math::sin_cos(plan.lean);
        let (x, nut) = (string.position.x, string.nut.x);
        Self {
            x,
            each_action: (x - nut) / (board.fret_x(12, &string.run) - nut),
            each_up: cos + string.line.slope * sin,
        }
    }

    /// Up the face for so much action at fret 12, mm.
    fn height(&self, action: f64) -> f64 {
        action * self.each_action / self.each_up
    }

    /// Up the face from one line to a higher one, mm; `None` if that is no number.
    fn over(&self, high: &StringLine, low: &StringLine) -> Option<f64> {
        let up = (high.z(self.x) - low.z(self.x)) / self.each_up;
        up.is_finite().then_some(up)
    }
}
