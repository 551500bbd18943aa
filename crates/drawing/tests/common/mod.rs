//! Invented instruments for tests of the sheets: worked example A of the saddle crate's tests (an invented parlour
//! guitar with a through saddle that leans forward), opened up to other counts of strings, spreads and blanks.

#![allow(clippy::unwrap_used, clippy::cast_possible_truncation, dead_code)] // test code outside #[test] functions

pub mod texts;

use instrument::{Board, BoardRadius, NutReading, SlotEnd, SlotSurvey, StringRun};
use saddle::{Blank, BlankKind, CrownSpec, Plan, Ridge, SaddleSurvey, StringSurvey, TensionChange, plan};
use strings::{Core, CoreShape, Criterion, Material, Winding, plain, wound};

/// Bass to treble: note, Hz, gauge mm, core mm (0: plain), first-fret clearance, action at 12 now, target.
const SET: [(&str, [f64; 6]); 6] = [
    ("E2", [82.4069, 1.35, 0.45, 0.55, 2.9, 2.4]),
    ("A2", [110.0, 1.07, 0.4, 0.52, 2.75, 2.3]),
    ("D3", [146.8324, 0.81, 0.36, 0.48, 2.6, 2.2]),
    ("G3", [195.9977, 0.61, 0.33, 0.45, 2.45, 2.1]),
    ("B3", [246.9417, 0.41, 0.0, 0.4, 2.3, 2.0]),
    ("E4", [329.6276, 0.3, 0.0, 0.36, 2.2, 1.9]),
];

/// What varies.
#[derive(Debug, Clone)]
pub struct Invented {
    pub strings: usize,
    /// Every two strings stand this close, mm; 0 for even spacing.
    pub pair: f64,
    /// Outer strings, centre to centre, mm.
    pub spread: f64,
    pub lean: f64,
    pub length: f64,
    pub thickness: f64,
    pub depth: f64,
    /// The slot's edge moved back by this, mm.
    pub edge: f64,
    pub drop_in: bool,
    pub stepped: bool,
    pub left_handed: bool,
    pub material: String,
    pub exit: bool,
}

impl Default for Invented {
    fn default() -> Self {
        Self {
            strings: 6,
            pair: 0.0,
            spread: 55.0,
            lean: 9.0,
            length: 75.0,
            thickness: 3.2,
            depth: 5.4,
            edge: 0.0,
            drop_in: false,
            stepped: false,
            left_handed: false,
            material: "bone".to_owned(),
            exit: true,
        }
    }
}

fn places(of: &Invented, spread: f64) -> Vec<f64> {
    let n = of.strings;
    if n == 1 {
        return vec![0.0];
    }
    let even = |i: usize, n: usize| spread * (i as f64 / (n - 1) as f64 - 0.5);
    if of.pair > 0.0 && n.is_multiple_of(2) && n > 2 {
        let courses = n / 2;
        let pitch = (spread - of.pair) / (courses - 1) as f64;
        return (0..n)
            .map(|i| -0.5 * spread + pitch * (i / 2) as f64 + of.pair * (i % 2) as f64)
            .collect();
    }
    (0..n).map(|i| even(i, n)).collect()
}

pub fn survey(of: &Invented) -> SaddleSurvey {
    let (nut, saddle) = (places(of, 0.66 * of.spread), places(of, of.spread));
    let strings = (0..of.strings).map(|i| {
        let share = i as f64 / (of.strings.max(2) - 1) as f64;
        let (note, [frequency, gauge, core, clearance, now, target]) = SET[(5.0 * share).round() as usize];
        let core = Core {
            size: core,
            shape: CoreShape::Round,
            material: Material::STEEL,
        };
        let model = if core.size == 0.0 {
            plain(gauge, Material::STEEL)
        } else {
            wound(gauge, core, Winding { density: 8.8 })
        };
        StringSurvey {
            number: (of.strings - i) as u32,
            note: note.to_owned(),
            model: model.unwrap(),
            frequency,
            run: StringRun::between(nut[i], saddle[i], 610.0),
            present_nut: Some(NutReading::Open {
                clearance,
                action_12: now,
            }),
            new_clearance: None,
            nut_x: 0.0,
            target_action: target,
            criterion: Criterion::Octave,
            measured: None,
            stretch_found: false,
        }
    });
    let end = |edge_from_fret_12, bridge_top, depth| SlotEnd {
        edge_from_fret_12,
        bridge_top,
        depth,
    };
    SaddleSurvey {
        board: Board::new(
            610.0,
            12,
            0.18,
            BoardRadius::Conical {
                nut: 300.0,
                fret_12: 350.0,
            },
        )
        .unwrap(),
        strings: strings.collect(),
        press: 0.0,
        slot: SlotSurvey::Straightedge([
            end(306.9 + of.edge, 1.2, of.depth + 0.1),
            end(304.6 + of.edge, 1.4, of.depth - 0.1),
        ]),
        lean: of.lean.to_radians(),
        under_tension: TensionChange::default(),
        under: 0.0,
        slot_width: None,
        slot_length: None,
        exit: of.exit.then_some(
            [saddle::ExitEnd {
                behind_slot: 12.0,
                above_bridge_top: 0.0,
            }; 2],
        ),
        blank: Blank {
            kind: if of.drop_in {
                BlankKind::DropIn
            } else {
                BlankKind::Through
            },
            material: of.material.clone(),
            thickness: of.thickness,
            height: of.depth + 6.6,
            length: of.length,
            bass_end: None,
            land: 0.35,
        },
        crown: CrownSpec {
            ridge: if of.stepped { Ridge::Stepped } else { Ridge::Smooth },
            rounding: 0.5,
            front_fall: None,
            back_fall: None,
        },
        left_handed: of.left_handed,
    }
}

/// The plan; for one string that of two with the treble left out, because one string does not fix a slot's direction.
pub fn planned(of: &Invented) -> Plan {
    let strings = of.strings;
    let mut plan = plan(&survey(&Invented {
        strings: strings.max(2),
        ..of.clone()
    }))
    .unwrap();
    plan.strings.truncate(strings);
    plan
}
