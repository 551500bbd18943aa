//! Invented instruments with all that the sheets show.

use crate::texts::words;
use fixtures::{Guitar, PARLOUR, exit};
use instrument::StringRun;
use proptest::prelude::*;
use saddle::{Plan, SaddleSurvey};
use strings::Criterion;

/// A guitar of one string or more, what its saddle is made of, and whether it is known where the strings leave the bridge.
#[derive(Debug, Clone)]
pub struct Invented {
    pub guitar: Guitar,
    /// Within a course of two, centre to centre, mm; 0 for single strings. Two strings and odd counts stay single.
    pub pair: f64,
    pub material: String,
    pub exit: bool,
}

/// Strings of any count have room in this spread, mm.
const ROOMY: (f64, f64) = (100.0, 100.0);

/// Places of strings, evenly or in courses of two, bass to treble, mm. They may touch: text must keep clear all the same.
fn places(spread: f64, pair: f64, count: usize) -> impl Iterator<Item = f64> {
    let paired = pair > 0.0 && count > 2 && count.is_multiple_of(2);
    (0..count).map(move |i| {
        if paired {
            let pitch = (spread - pair) / (count / 2 - 1) as f64;
            -0.5 * spread + pitch * (i / 2) as f64 + pair * (i % 2) as f64
        } else {
            spread * (i as f64 / (count - 1) as f64 - 0.5)
        }
    })
}

impl From<Guitar> for Invented {
    fn from(guitar: Guitar) -> Self {
        Self {
            guitar,
            pair: 0.0,
            material: "bone".to_owned(),
            exit: true,
        }
    }
}

impl Invented {
    pub fn survey(&self) -> SaddleSurvey {
        let strings = self.guitar.strings.max(2);
        let roomy = Guitar {
            strings,
            spread: ROOMY,
            ..self.guitar
        };
        let mut survey = roomy.survey(Criterion::Octave);
        let (nut, saddle) = self.guitar.spread;
        let places = |spread| places(spread, self.pair, strings);
        for (s, (nut, saddle)) in survey.strings.iter_mut().zip(places(nut).zip(places(saddle))) {
            s.run = StringRun::between(nut, saddle, self.guitar.scale);
        }
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
                    lean,
                    length: spread + more,
                    thickness,
                    edge: (PARLOUR.edge.0 + edge, PARLOUR.edge.1 + edge),
                    drop_in: flags[0],
                    stepped: flags[1],
                    left_handed: flags[2],
                    ..sized(spread, depth)
                },
                pair,
                exit: flags[3],
                material: words(material),
            },
        )
}
