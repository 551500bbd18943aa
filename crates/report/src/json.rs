//! The plan as JSON for other programs; every key is described in `JSON.md`.

mod inputs;

use crate::Note;
use inputs::Inputs;
use instrument::{BlankPoint, Vec3};
use saddle::{Bearing, BlankKind, Hold, NutWay, Plan, SaddleSurvey, StringPlan, WaysOut};
use serde::Serialize;

/// Version of the format. It grows when a key changes its meaning or goes; a new key does not change it.
pub(crate) const JSON_VERSION: u32 = 1;

/// The plan, what it was made from, and its notes as one JSON object, at full precision.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn json(title: &str, plan: &Plan, survey: &SaddleSurvey, notes: &[Note]) -> Result<String, serde_json::Error> {
    pretty(&document(title, plan, survey, notes))
}

/// What is said of a string, and by how much where that matters.
#[derive(Serialize)]
pub(crate) struct Say {
    pub(crate) say: &'static str,
    pub(crate) by: Option<f64>,
}

/// A document as text that ends its last line.
pub(crate) fn pretty(document: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(document)?;
    text.push('\n');
    Ok(text)
}

pub(crate) fn document<'a>(
    title: &'a str,
    plan: &'a Plan,
    survey: &'a SaddleSurvey,
    notes: &'a [Note],
) -> Document<'a> {
    Document {
        format: "bonewright-plan",
        version: JSON_VERSION,
        title,
        left_handed: plan.left_handed,
        units: Units {
            length: "mm",
            angle: "rad",
            force: "N",
            pitch: "cents",
            frequency: "Hz",
            linear_density: "g/m",
        },
        frame: FrameOut {
            origin: xyz(plan.frame.origin),
            e_b: xyz(plan.frame.e_b),
            e_u: xyz(plan.frame.e_u),
            e_v: xyz(plan.frame.e_v),
        },
        lean: plan.lean,
        mouth: plan.mouth.map(|[bass, treble]| Mouth {
            bass: xyz(bass),
            treble: xyz(treble),
        }),
        blank: BlankOut {
            kind: match plan.blank.kind {
                BlankKind::Through => "through",
                BlankKind::DropIn => "drop-in",
            },
            material: &plan.blank.material,
            thickness: plan.blank.thickness,
            height: plan.blank.height,
            length: plan.blank.length,
            land: plan.blank.land,
        },
        ends: Ends {
            bass: plan.ends.0,
            treble: plan.ends.1,
        },
        crown: CrownOut {
            rounding: plan.crown.rounding,
            front_fall: plan.crown.front_fall,
            back_fall: plan.crown.back_fall,
        },
        strings: plan.strings.iter().map(string).collect(),
        ways_out: plan.ways_out.as_ref().map(ways),
        notes,
        inputs: inputs::inputs(survey),
    }
}

#[derive(Serialize)]
pub(crate) struct Document<'a> {
    format: &'static str,
    version: u32,
    title: &'a str,
    left_handed: bool,
    units: Units,
    frame: FrameOut,
    lean: f64,
    mouth: Option<Mouth>,
    blank: BlankOut<'a>,
    ends: Ends,
    crown: CrownOut,
    strings: Vec<StringOut<'a>>,
    ways_out: Option<Ways>,
    notes: &'a [Note],
    inputs: Inputs<'a>,
}

#[derive(Serialize)]
struct Units {
    length: &'static str,
    angle: &'static str,
    force: &'static str,
    pitch: &'static str,
    frequency: &'static str,
    linear_density: &'static str,
}

/// A point or direction of the fret frame.
#[derive(Serialize)]
struct Xyz {
    x: f64,
    y: f64,
    z: f64,
}

fn xyz(p: Vec3) -> Xyz {
    Xyz { x: p.x, y: p.y, z: p.z }
}

/// A point of the blank.
#[derive(Serialize)]
pub(crate) struct Buv {
    b: f64,
    u: f64,
    v: f64,
}

pub(crate) fn buv(p: BlankPoint) -> Buv {
    Buv { b: p.b, u: p.u, v: p.v }
}

#[derive(Serialize)]
struct FrameOut {
    origin: Xyz,
    e_b: Xyz,
    e_u: Xyz,
    e_v: Xyz,
}

#[derive(Serialize)]
struct Mouth {
    bass: Xyz,
    treble: Xyz,
}

#[derive(Serialize)]
struct BlankOut<'a> {
    kind: &'static str,
    material: &'a str,
    thickness: f64,
    height: f64,
    length: f64,
    land: f64,
}

#[derive(Serialize)]
struct Ends {
    bass: f64,
    treble: f64,
}

#[derive(Serialize)]
struct CrownOut {
    rounding: f64,
    front_fall: f64,
    back_fall: f64,
}

#[derive(Serialize)]
struct Nut {
    x: f64,
    z: f64,
}

#[derive(Serialize)]
struct Filing {
    forward: f64,
    drop: f64,
    action_loss: f64,
}

#[derive(Serialize)]
struct TerminationOut {
    point: Buv,
    from_planned: f64,
    bearing: &'static str,
    break_angle: Option<f64>,
}

#[derive(Serialize)]
struct StringOut<'a> {
    number: u32,
    note: &'a str,
    contact: Buv,
    wanted: Buv,
    hold: &'static str,
    position: Xyz,
    nut: Nut,
    setback: f64,
    setback_wanted: f64,
    nut_setback: f64,
    action_12: f64,
    action_1: f64,
    cents: [f64; strings::FRETS],
    rms_cents: f64,
    tension: f64,
    calibration: Option<f64>,
    exposure: Option<f64>,
    filing: Filing,
    termination: TerminationOut,
}

/// Name of a hold, as JSON and CSV have it.
pub(crate) fn hold(hold: Hold) -> &'static str {
    match hold {
        Hold::Free => "free",
        Hold::Front => "front",
        Hold::Back => "back",
    }
}

fn string(s: &StringPlan) -> StringOut<'_> {
    let (bearing, break_angle) = match s.termination.bearing {
        Bearing::Bears { break_angle } => ("bears", Some(break_angle)),
        Bearing::Lifted => ("lifted", None),
        Bearing::ExitUnknown => ("exit-unknown", None),
    };
    StringOut {
        number: s.number,
        note: &s.note,
        contact: buv(s.contact),
        wanted: buv(s.wanted),
        hold: hold(s.hold),
        position: xyz(s.position),
        nut: Nut { x: s.nut.x, z: s.nut.z },
        setback: s.setback,
        setback_wanted: s.setback_wanted,
        nut_setback: s.nut_setback,
        action_12: s.action_12,
        action_1: s.action_1,
        cents: s.cents,
        rms_cents: s.rms_cents,
        tension: s.tension,
        calibration: s.calibration,
        exposure: s.exposure,
        filing: Filing {
            forward: s.filing.forward,
            drop: s.filing.drop,
            action_loss: s.filing.action_loss,
        },
        termination: TerminationOut {
            point: buv(s.termination.point),
            from_planned: s.termination.from_planned,
            bearing,
            break_angle,
        },
    }
}

#[derive(Serialize)]
struct Ways {
    slot: SlotOut,
    thicker: ThickerOut,
    nut: Vec<NutOut>,
}

#[derive(Serialize)]
struct SlotOut {
    bass: f64,
    treble: f64,
    furthest: f64,
    fits: bool,
}

#[derive(Serialize)]
struct ThickerOut {
    thickness: f64,
    forward: f64,
    back: f64,
}

#[derive(Serialize)]
struct NutOut {
    string: u32,
    setback: Option<f64>,
    slot_move: f64,
}

fn ways(w: &WaysOut) -> Ways {
    let nut = |n: &NutWay| NutOut {
        string: n.string,
        setback: n.setback,
        slot_move: n.slot_move,
    };
    Ways {
        slot: SlotOut {
            bass: w.slot.bass,
            treble: w.slot.treble,
            furthest: w.slot.furthest,
            fits: w.slot.fits,
        },
        thicker: ThickerOut {
            thickness: w.thicker.thickness,
            forward: w.thicker.forward,
            back: w.thicker.back,
        },
        nut: w.nut.iter().map(nut).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{planned, survey};
    use crate::reference::described_wholly;
    use serde_json::Value;

    fn written(survey: &SaddleSurvey) -> Value {
        let plan = planned(survey);
        let notes = crate::notes(&plan, survey, units::BenchUnit::Thou);
        serde_json::from_str(&json("A title", &plan, survey, &notes).unwrap()).unwrap()
    }

    /// Surveys that between them use every kind of reading.
    fn surveys() -> [SaddleSurvey; 2] {
        let first = survey();
        let mut second = survey();
        second.slot = instrument::SlotSurvey::Reference(
            [instrument::ReferenceEnd {
                contact_from_fret_12: 308.0,
                action_12: 2.4,
                height: 8.0,
                back: 1.6,
                depth: Some(5.0),
            }; 2],
        );
        second.board = instrument::Board::new(610.0, 12, 0.18, instrument::BoardRadius::Flat).unwrap();
        second.strings[0].measured = Some(saddle::CentsReading {
            cents_12: 3.0,
            contact_from_fret_12: 309.0,
            action_12: 2.9,
        });
        second.strings[1].present_nut = Some(instrument::NutReading::HeldAtThree { gap: 0.1 });
        second.strings[2].criterion = strings::Criterion::Offset(2.0);
        second.strings[3].model.stiffness = strings::Stiffness::from_response(24.0);
        [first, second]
    }

    #[test]
    fn the_reference_names_every_key_and_no_other() {
        described_wholly("bonewright-plan", surveys().iter().map(written));
    }

    #[test]
    fn figures_come_back_to_the_last_bit() {
        let survey = survey();
        let plan = planned(&survey);
        let value = written(&survey);
        assert_eq!(value["format"], "bonewright-plan");
        assert_eq!(value["version"], JSON_VERSION);
        for (s, out) in plan.strings.iter().zip(value["strings"].as_array().unwrap()) {
            assert_eq!(out["contact"]["b"].as_f64(), Some(s.contact.b));
            assert_eq!(out["contact"]["u"].as_f64(), Some(s.contact.u));
            assert_eq!(out["contact"]["v"].as_f64(), Some(s.contact.v));
            assert_eq!(out["position"]["x"].as_f64(), Some(s.position.x));
            assert_eq!(out["cents"][11].as_f64(), Some(s.cents[11]));
            assert_eq!(out["tension"].as_f64(), Some(s.tension));
        }
        assert_eq!(value["strings"][0]["hold"], "back");
        assert_eq!(
            value["ways_out"]["slot"]["bass"].as_f64(),
            Some(plan.ways_out.unwrap().slot.bass)
        );
        assert_eq!(value["frame"]["origin"]["x"].as_f64(), Some(plan.frame.origin.x));
    }

    /// An outside program can find the line of each string again from the inputs alone.
    #[test]
    fn the_inputs_rebuild_the_strings() {
        let value = written(&survey());
        for (out, given) in value["strings"]
            .as_array()
            .unwrap()
            .iter()
            .zip(value["inputs"]["strings"].as_array().unwrap())
        {
            let f = |v: &Value| v.as_f64().unwrap();
            // Tension by T = mu (2 L f)^2 with L from nut to saddle contact in side view.
            let (dx, dz) = (
                f(&out["position"]["x"]) - f(&out["nut"]["x"]),
                f(&out["position"]["z"]) - f(&out["nut"]["z"]),
            );
            let tension = 4e-9 * f(&given["linear_density"]) * (dx * dx + dz * dz) * f(&given["frequency"]).powi(2);
            assert!((tension - f(&out["tension"])).abs() < 1e-9);
            let y = f(&given["run"]["nut"]) + f(&given["run"]["slope"]) * f(&out["position"]["x"]);
            assert!((y - f(&out["position"]["y"])).abs() < 1e-9);
        }
    }
}
