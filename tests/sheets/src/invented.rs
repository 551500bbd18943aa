//! Invented instruments with all that the sheets show.

use crate::texts::words;
use fixtures::{Guitar, PARLOUR, exit};
use instrument::SpacingRule;
use proptest::prelude::*;
use saddle::{Plan, SaddleSurvey};
use strings::Criterion;

/// A guitar of one string or more, what its saddle is made of, and whether it is known where the strings leave the bridge.
#[derive(Debug, Clone)]
pub struct Invented {
    pub guitar: Guitar,
    pub material: String,
    pub exit: bool,
}

impl From<Guitar> for Invented {
    fn from(guitar: Guitar) -> Self {
        Self {
            guitar,
            material: "bone".to_owned(),
            exit: true,
        }
    }
}

impl Invented {
    pub fn survey(&self) -> SaddleSurvey {
        let wide = Guitar {
            strings: self.guitar.strings.max(2),
            ..self.guitar
        };
        let mut survey = wide.survey(Criterion::Octave);
        survey.blank.material.clone_from(&self.material);
        survey.exit = if self.exit { exit(12.0) } else { None };
        survey
    }

    /// The plan, if there is one; for one string that of two with the treble left out, because one string does not fix a slot's
    /// direction.
    pub fn try_plan(&self) -> Option<Plan> {
        let mut plan = saddle::plan(&self.survey()).ok()?;
        plan.strings.truncate(self.guitar.strings);
        Some(plan)
    }

    pub fn plan(&self) -> Plan {
        self.try_plan().unwrap()
    }
}

/// The parlour guitar's plan.
pub fn parlour() -> Plan {
    Invented::from(PARLOUR).plan()
}

/// The parlour guitar as wide as this at the saddle and with a slot so deep; mm.
pub fn sized(spread: f64, depth: f64) -> Guitar {
    Guitar {
        spread: (0.66 * spread, spread),
        at_nut: SpacingRule::EqualCentres, // any count of strings has room
        depth: (depth + 0.1, depth - 0.1),
        height: depth + 6.6,
        ..PARLOUR
    }
}

pub fn invented() -> impl Strategy<Value = Invented> {
    let even_or_pairs = prop_oneof![Just(0.0), 1.6..3.5f64];
    (
        (1usize..=12, even_or_pairs, 18.0..90.0f64, -16.0..17.0f64, 4.0..45.0f64),
        (2.0..6.5f64, 2.0..9.0f64, -3.0..3.0f64),
        (any::<[bool; 4]>(), 0usize..12),
    )
        .prop_map(
            |((strings, pair, spread, lean, more), (thickness, depth, edge), (flags, material))| Invented {
                guitar: Guitar {
                    strings,
                    pair,
                    lean,
                    length: spread + more,
                    thickness,
                    edge: (PARLOUR.edge.0 + edge, PARLOUR.edge.1 + edge),
                    drop_in: flags[0],
                    stepped: flags[1],
                    left_handed: flags[2],
                    ..sized(spread, depth)
                },
                exit: flags[3],
                material: words(material),
            },
        )
}
