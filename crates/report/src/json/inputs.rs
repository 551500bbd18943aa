//! What the plan was made from, so that another program can solve it again.

use instrument::{BoardRadius, NutReading, SlotSurvey};
use saddle::{Ridge, SaddleSurvey, StringSurvey};
use serde::Serialize;
use strings::{Criterion, Stiffness};

#[derive(Serialize)]
pub(super) struct Inputs<'a> {
    board: BoardIn,
    press: f64,
    strings: Vec<StringIn<'a>>,
    slot: Slot,
    bridge: Option<[Exit; 2]>,
    crown: CrownIn,
    bass_end: Option<f64>,
}

#[derive(Serialize)]
struct BoardIn {
    scale: f64,
    joint_fret: u32,
    relief: f64,
    radius: Option<Radius>,
}

#[derive(Serialize)]
struct Radius {
    nut: f64,
    fret_12: f64,
}

#[derive(Serialize)]
struct StringIn<'a> {
    number: u32,
    note: &'a str,
    frequency: f64,
    outer_diameter: f64,
    linear_density: f64,
    stiffness: StiffnessIn,
    run: Run,
    present_nut: Option<NutIn>,
    new_clearance: Option<f64>,
    nut_x: f64,
    target_action: f64,
    intonation: &'static str,
    offset: Option<f64>,
    measured: Option<MeasuredIn>,
}

#[derive(Serialize)]
struct StiffnessIn {
    by: &'static str,
    axial: Option<f64>,
    bending: Option<f64>,
    kappa: Option<f64>,
}

#[derive(Serialize)]
struct Run {
    nut: f64,
    slope: f64,
}

#[derive(Serialize)]
struct NutIn {
    by: &'static str,
    gap_1: f64,
    action_12: Option<f64>,
}

#[derive(Serialize)]
struct MeasuredIn {
    cents_12: f64,
    contact_from_fret_12: f64,
    action_12: f64,
}

#[derive(Serialize)]
struct Slot {
    read_by: &'static str,
    lean: f64,
    lean_under_tension: f64,
    bridge_top_under_tension: [f64; 2],
    under: f64,
    width: Option<f64>,
    length: Option<f64>,
    straightedge: Option<[Straightedge; 2]>,
    reference: Option<[Reference; 2]>,
}

#[derive(Serialize)]
struct Straightedge {
    edge_from_fret_12: f64,
    bridge_top: f64,
    depth: f64,
}

#[derive(Serialize)]
struct Reference {
    contact_from_fret_12: f64,
    action_12: f64,
    height: f64,
    back: f64,
    depth: Option<f64>,
}

#[derive(Serialize)]
struct Exit {
    behind_slot: f64,
    above_bridge_top: f64,
}

#[derive(Serialize)]
struct CrownIn {
    ridge: &'static str,
    rounding: f64,
    front_fall: Option<f64>,
    back_fall: Option<f64>,
}

pub(super) fn inputs(survey: &SaddleSurvey) -> Inputs<'_> {
    let board = &survey.board;
    Inputs {
        board: BoardIn {
            scale: board.scale(),
            joint_fret: board.joint_fret(),
            relief: board.relief(),
            radius: match board.radius() {
                BoardRadius::Flat => None,
                BoardRadius::Conical { nut, fret_12 } => Some(Radius { nut, fret_12 }),
            },
        },
        press: survey.press,
        strings: survey.strings.iter().map(string).collect(),
        slot: slot(survey),
        bridge: survey.exit.map(|ends| {
            ends.map(|end| Exit {
                behind_slot: end.behind_slot,
                above_bridge_top: end.above_bridge_top,
            })
        }),
        crown: CrownIn {
            ridge: match survey.crown.ridge {
                Ridge::Smooth => "smooth",
                Ridge::Stepped => "stepped",
            },
            rounding: survey.crown.rounding,
            front_fall: survey.crown.front_fall,
            back_fall: survey.crown.back_fall,
        },
        bass_end: survey.blank.bass_end,
    }
}

fn string(s: &StringSurvey) -> StringIn<'_> {
    let (intonation, offset) = match s.criterion {
        Criterion::Offset(setback) => ("offsets", Some(setback)),
        Criterion::Octave => ("octave", None),
        Criterion::BestFit => ("best-fit", None),
        Criterion::BestFitWithNut => ("best-fit-with-nut", None),
    };
    StringIn {
        number: s.number,
        note: &s.note,
        frequency: s.frequency,
        outer_diameter: s.model.outer_diameter,
        linear_density: s.model.linear_density,
        stiffness: match s.model.stiffness {
            Stiffness::Elastic { axial, bending } => StiffnessIn {
                by: "construction",
                axial: Some(axial),
                bending: Some(bending),
                kappa: None,
            },
            Stiffness::Measured { kappa } => StiffnessIn {
                by: "stretch-response",
                axial: None,
                bending: None,
                kappa: Some(kappa),
            },
        },
        run: Run {
            nut: s.run.nut,
            slope: s.run.slope,
        },
        present_nut: s.present_nut.map(|nut| match nut {
            NutReading::Open { clearance, action_12 } | NutReading::New { clearance, action_12 } => NutIn {
                by: "open-gaps",
                gap_1: clearance,
                action_12: Some(action_12),
            },
            NutReading::HeldAtThree { gap } => NutIn {
                by: "held-at-3",
                gap_1: gap,
                action_12: None,
            },
        }),
        new_clearance: s.new_clearance,
        nut_x: s.nut_x,
        target_action: s.target_action,
        intonation,
        offset,
        measured: s.measured.map(|m| MeasuredIn {
            cents_12: m.cents_12,
            contact_from_fret_12: m.contact_from_fret_12,
            action_12: m.action_12,
        }),
    }
}

fn slot(survey: &SaddleSurvey) -> Slot {
    let (read_by, straightedge, reference) = match survey.slot {
        SlotSurvey::Straightedge(ends) => {
            let end = |e: instrument::SlotEnd| Straightedge {
                edge_from_fret_12: e.edge_from_fret_12,
                bridge_top: e.bridge_top,
                depth: e.depth,
            };
            ("straightedge", Some(ends.map(end)), None)
        }
        SlotSurvey::Reference(ends) => {
            let end = |e: instrument::ReferenceEnd| Reference {
                contact_from_fret_12: e.contact_from_fret_12,
                action_12: e.action_12,
                height: e.height,
                back: e.back,
                depth: e.depth,
            };
            ("reference-saddle", None, Some(ends.map(end)))
        }
    };
    Slot {
        read_by,
        lean: survey.lean,
        lean_under_tension: survey.under_tension.lean,
        bridge_top_under_tension: survey.under_tension.bridge_top,
        under: survey.under,
        width: survey.slot_width,
        length: survey.slot_length,
        straightedge,
        reference,
    }
}
