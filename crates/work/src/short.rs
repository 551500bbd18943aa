//! Short questions, for which no job is needed: two to four values, one answer.

use instrument::Uncertainty;
use job::{ProblemKind, Quantity, Range, fields, judged};
use saddle::{Bare, BareFiled, BareLowered, BareSlot};
use serde::Serialize;

/// What is asked. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "question")]
pub enum ShortAsk {
    /// A contact is filed so far toward the nut; away from it negative.
    Filed {
        /// The move.
        forward: f64,
    },
    /// Fret 12 is sharp by so many cents; flat negative.
    Sharp {
        /// Cents.
        cents: f64,
    },
    /// The action at a fret is to come down by so much from the saddle; up negative.
    Action {
        /// By how much.
        down: f64,
        /// The fret.
        fret: u32,
    },
    /// The gap over fret 1 is too high by so much; too low negative.
    Gap {
        /// By how much.
        high: f64,
    },
    /// The relief becomes so much more; less negative.
    Relief {
        /// By how much, at mid-span between fret 1 and the joint.
        more: f64,
    },
}

/// What comes of it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "answer")]
pub enum ShortAnswer {
    /// Of [`ShortAsk::Filed`].
    Filed(BareFiled),
    /// Of [`ShortAsk::Sharp`].
    Moved {
        /// The move that puts it right, by the lengths alone.
        moved: BareFiled,
        /// How far the contact would move for what a tuner and the body leave unsure of one reading, mm: one standard uncertainty.
        sure_to: f64,
    },
    /// Of [`ShortAsk::Action`].
    Lowered(BareLowered),
    /// Of [`ShortAsk::Gap`].
    Slot(BareSlot),
    /// Of [`ShortAsk::Relief`].
    Relief {
        /// What the action at fret 12 rises by, mm; falls negative.
        at_12: f64,
    },
}

/// A question with its answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Short {
    /// What was asked.
    pub ask: ShortAsk,
    /// What was taken of the string.
    pub bare: Bare,
    /// What comes of it.
    pub answer: ShortAnswer,
    /// What of it is doubtful, each with its name.
    pub doubts: Vec<(&'static str, ProblemKind)>,
}

/// A figure of a short question that cannot be: its name, and what is wrong with it.
#[derive(Debug, Clone, PartialEq)]
pub struct ShortRefusal(pub Vec<(&'static str, ProblemKind)>);

/// What is taken where a question does not say: a flat-top guitar of 25.4 in scale as makers' pages set it up (common practice, no
/// source), a saddle that stands upright with a flat top and its contact at the scale's end.
pub const USUAL: Bare = Bare {
    scale: 25.4 * 25.4,
    setback: 0.0,
    lean: 0.0,
    fall: 0.0,
    action_12: 25.4 * 6.0 / 64.0,
    gap_1: 0.0254 * 20.0,
    joint_fret: 14,
};

/// What of a figure is allowed and usual, where no field of the job file says it. Common practice, no source: they stop slips of the pen.
const MOVE: Range = change(
    10.0,
    2.5,
    "A saddle is {2 mm} to {6 mm} thick, and its contact moves by less.",
);
const DOWN: Range = change(10.0, 2.5, "It is by how much the action is to change, not the action.");
const HIGH: Range = change(2.0, 0.5, "It is by how much the gap over fret 1 is off, not the gap.");
const MORE: Range = change(2.0, 0.5, "It is by how much the relief changes, not the relief.");
const SETBACK: Range = Range {
    least: -5.0,
    most: 20.0,
    usual: (-1.0, 8.0),
    hint: "It is how far beyond the scale's end the string ends on the saddle.",
};
const FRET: Range = Range {
    least: 2.0,
    most: 24.0,
    usual: (2.0, 24.0),
    hint: "It is the number of a fret.",
};

/// A change by at most so much either way, usually by at most `usual`, mm.
const fn change(most: f64, usual: f64, hint: &'static str) -> Range {
    Range {
        least: -most,
        most,
        usual: (-usual, usual),
        hint,
    }
}

impl ShortAsk {
    /// Answers it of a string so taken.
    ///
    /// # Errors
    /// [`ShortRefusal`] with every figure that is out of what is possible.
    pub fn answered(self, bare: Bare) -> Result<Short, ShortRefusal> {
        let (wrong, doubts): (Vec<_>, Vec<_>) = self
            .figures(&bare)
            .into_iter()
            .filter_map(|(name, range, value, kind)| Some((name, judged(&range, value, kind)?)))
            .partition(|(_, problem)| matches!(problem, ProblemKind::Outside { .. }));
        if !wrong.is_empty() {
            return Err(ShortRefusal(wrong));
        }
        // The ranges hold what a board can be.
        let answer = self.worked_out(&bare).map_err(|_| ShortRefusal(Vec::new()))?;
        Ok(Short {
            ask: self,
            bare,
            answer,
            doubts,
        })
    }

    fn worked_out(self, bare: &Bare) -> Result<ShortAnswer, instrument::BoardError> {
        Ok(match self {
            Self::Filed { forward } => ShortAnswer::Filed(bare.filed(forward)?),
            Self::Sharp { cents } => {
                let unsure = Uncertainty::default().cents.total();
                let (moved, more) = (bare.flattened(cents)?, bare.flattened(cents + unsure)?);
                ShortAnswer::Moved {
                    moved,
                    sure_to: (more.forward - moved.forward).abs(),
                }
            }
            Self::Action { down, fret } => ShortAnswer::Lowered(bare.lowered(fret, down)?),
            Self::Gap { high } => ShortAnswer::Slot(bare.slotted(high)?),
            Self::Relief { more } => ShortAnswer::Relief {
                at_12: bare.relieved(more)?,
            },
        })
    }

    /// Every figure that the answer hangs on, with its name and what is allowed.
    fn figures(self, bare: &Bare) -> Vec<Figure> {
        let length = |name, range, mm| (name, range, mm, Quantity::Length as fn(f64) -> Quantity);
        let angle = |name, key, radians: f64| {
            (
                name,
                of(key),
                radians.to_degrees(),
                Quantity::Angle as fn(f64) -> Quantity,
            )
        };
        let plain: fn(f64) -> Quantity = |n| Quantity::Number(n, "");
        let mut all = vec![
            length("scale", of("instrument.scale"), bare.scale),
            length("setback", SETBACK, bare.setback),
            angle("lean", "slot.lean", bare.lean),
            angle("fall", "crown.front_fall", bare.fall),
            length("action", of("present.action_12"), bare.action_12),
            length("gap", of("nut.first_fret_clearance"), bare.gap_1),
            ("joint", of("instrument.joint_fret"), f64::from(bare.joint_fret), plain),
        ];
        match self {
            Self::Filed { forward } => all.push(length("move", MOVE, forward)),
            Self::Sharp { cents } => all.push(("cents", of("present.cents_12"), cents, Quantity::Cents)),
            Self::Action { down, fret } => {
                all.push(length("change", DOWN, down));
                all.push(("fret", FRET, f64::from(fret), plain));
            }
            Self::Gap { high } => all.push(length("change", HIGH, high)),
            Self::Relief { more } => all.push(length("change", MORE, more)),
        }
        // A flat top has no fall to be judged.
        all.retain(|(name, ..)| *name != "fall" || bare.fall != 0.0);
        all
    }
}

/// A figure: its name, what is allowed, its value in the range's unit, and what makes words of it.
type Figure = (&'static str, Range, f64, fn(f64) -> Quantity);

/// What a field of the job file allows; everything where there is none of that name.
fn of(key: &str) -> Range {
    let found = fields().find(|field| field.key == key);
    found.map_or(
        Range {
            least: f64::NEG_INFINITY,
            most: f64::INFINITY,
            usual: (f64::NEG_INFINITY, f64::INFINITY),
            hint: "",
        },
        |field| field.range,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(ask: ShortAsk, change: impl Fn(&mut Bare)) -> Result<Short, ShortRefusal> {
        let mut bare = USUAL;
        change(&mut bare);
        ask.answered(bare)
    }

    #[test]
    fn every_field_that_is_named_is_one() {
        for key in [
            "instrument.scale",
            "slot.lean",
            "crown.front_fall",
            "present.action_12",
            "nut.first_fret_clearance",
            "instrument.joint_fret",
            "present.cents_12",
        ] {
            assert!(of(key).least.is_finite(), "{key}");
        }
    }

    /// What a master would say of the figures: sound, doubtful, impossible.
    #[test]
    fn figures_are_judged() {
        use ShortAsk::*;
        let named = |found: &[(&'static str, ProblemKind)]| found.iter().map(|(name, _)| *name).collect::<Vec<_>>();
        type Change = fn(&mut Bare);
        let table: [(ShortAsk, Change, &[&str], &[&str]); 10] = [
            (
                Filed { forward: 0.79375 },
                |b| b.lean = 18_f64.to_radians(),
                &["lean"],
                &[],
            ),
            (Filed { forward: 0.79375 }, |b| b.lean = 9_f64.to_radians(), &[], &[]),
            (Filed { forward: -0.4 }, |_| (), &[], &[]),
            (Filed { forward: 4.0 }, |_| (), &["move"], &[]),
            (Filed { forward: 25.4 }, |_| (), &[], &["move"]),
            (Sharp { cents: 4.0 }, |_| (), &[], &[]),
            (Sharp { cents: 400.0 }, |b| b.scale = 25.4, &[], &["scale", "cents"]),
            (Action { down: 0.4, fret: 12 }, |_| (), &[], &[]),
            (Gap { high: 0.1 }, |_| (), &[], &[]),
            (Relief { more: 0.1 }, |_| (), &[], &[]),
        ];
        for (ask, change, doubtful, wrong) in table {
            match asked(ask, change) {
                Ok(short) => {
                    assert!(wrong.is_empty(), "{ask:?}");
                    assert_eq!(named(&short.doubts), doubtful, "{ask:?}");
                }
                Err(ShortRefusal(found)) => assert_eq!(named(&found), wrong, "{ask:?}"),
            }
        }
    }

    /// A tuner's 3 cents are about 1.1 mm at this scale: 2.7 cents a millimetre (derived).
    #[test]
    fn a_tuner_leaves_a_millimetre() {
        let Ok(Short {
            answer: ShortAnswer::Moved { moved, sure_to },
            ..
        }) = asked(ShortAsk::Sharp { cents: 4.0 }, |_| ())
        else {
            panic!("no move");
        };
        assert!((moved.forward + 4.0 / 2.683).abs() < 0.02, "{moved:?}");
        assert!((sure_to - 3.0 / 2.683).abs() < 0.03, "{sure_to}");
    }
}
