//! The plan as JSON for other programs; every key is described in `JSON.md`.

mod inputs;

use crate::Note;
use inputs::Inputs;
use instrument::{Frame, Vec3};
use saddle::{Blank, Crown, Plan, SaddleSurvey, StringPlan, WaysOut, Wishes};
use serde::Serialize;
use work::Heights;

/// Version of the format. It grows when a key changes its meaning or goes; a new key does not change it.
pub(crate) const JSON_VERSION: u32 = 1;

/// The plan, what it was made from, and its notes as one JSON object, at full precision.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn json(
    title: &str,
    plan: &Plan,
    heights: Option<&Heights>,
    survey: &SaddleSurvey,
    wishes: Option<&Wishes>,
    notes: &[Note],
) -> Result<String, serde_json::Error> {
    pretty(&document(title, plan, heights, survey, wishes, notes))
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
    heights: Option<&'a Heights>,
    survey: &'a SaddleSurvey,
    wishes: Option<&'a Wishes>,
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
        frame: &plan.frame,
        lean: plan.lean,
        mouth: plan.mouth.map(|mouth| mouth.map(Xyz).into()),
        blank: &plan.blank,
        ends: <[f64; 2]>::from(plan.ends).into(),
        crown: &plan.crown,
        strings: &plan.strings,
        heights,
        ways_out: plan.ways_out.as_ref(),
        wishes,
        notes,
        inputs: survey.into(),
    }
}

#[derive(Serialize)]
pub(crate) struct Document<'a> {
    format: &'static str,
    version: u32,
    title: &'a str,
    left_handed: bool,
    units: Units,
    frame: &'a Frame,
    lean: f64,
    mouth: Option<Ends<Xyz>>,
    blank: &'a Blank,
    ends: Ends<f64>,
    crown: &'a Crown,
    strings: &'a [StringPlan],
    #[serde(skip_serializing_if = "Option::is_none")]
    heights: Option<&'a Heights>,
    ways_out: Option<&'a WaysOut>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wishes: Option<&'a Wishes>,
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

#[derive(Serialize)]
struct Xyz(#[serde(serialize_with = "instrument::xyz")] Vec3);

#[derive(Serialize)]
struct Ends<T> {
    bass: T,
    treble: T,
}

impl<T> From<[T; 2]> for Ends<T> {
    fn from([bass, treble]: [T; 2]) -> Self {
        Self { bass, treble }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{planned, survey};
    use crate::reference::described_wholly;
    use numerics::math;
    use serde_json::Value;

    fn written(survey: &SaddleSurvey) -> Value {
        let plan = planned(survey);
        let notes = crate::notes(
            &work::Remark::of(&plan, survey, &assess::Facts::default()),
            &plan,
            units::BenchUnit::THOU,
        );
        let wishes = Wishes::of(survey, survey, &plan);
        serde_json::from_str(&json("A title", &plan, Some(&heights()), survey, wishes.as_ref(), &notes).unwrap())
            .unwrap()
    }

    fn heights() -> Heights {
        Heights {
            proud: Some(0.2),
            chance: 0.95,
            strings: vec![work::StringHeight {
                number: 6,
                sure_to: Some(0.3),
                off_old: Some(-0.1),
            }],
        }
    }

    /// Surveys that between them use every kind of reading.
    fn surveys() -> [SaddleSurvey; 2] {
        let mut first = survey();
        let measured: Vec<f64> = (1..=12)
            .map(|n| 610.2 * (1.0 - math::exp2(-f64::from(n) / 12.0)))
            .collect();
        let frets = instrument::Frets::square(&instrument::FretPlaces::measured(610.0, &measured));
        let board = instrument::Board::with_frets(frets, 12, 0.18, first.board.radius()).unwrap();
        first.board = board.worn([0.05; 36]);
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
        second.strings[0].measured = Some(instrument::CentsReading {
            cents_12: 3.0,
            contact_from_fret_12: 309.0,
            action_12: 2.9,
        });
        second.strings[0].present_nut = Some(instrument::NutReading::Open {
            clearance: 0.4,
            action_12: 2.9,
        });
        second.strings[5].present_nut = second.strings[0].present_nut;
        let read = second.strings[0].measured;
        second = second.by(&second.evidence(&instrument::Uncertainty::default()).unwrap());
        second.strings[0].measured = read;
        second.strings[1].present_nut = Some(instrument::NutReading::HeldAtThree { gap: 0.1 });
        second.strings[4].present_nut = Some(instrument::NutReading::ZeroFret { above: 0.4 });
        second.strings[4].zero_fret = Some(-0.1);
        second.strings[2].criterion = strings::Criterion::Offset(2.0);
        second.strings[4].action_at = Some(saddle::ActionWish {
            fret: 5,
            action: 1.2,
            weight: 0.5,
        });
        for string in &mut second.strings {
            string.also.push(saddle::AlsoString {
                name: "other".to_owned(),
                weight: 2.0,
                note: "D2".to_owned(),
                frequency: 0.9 * string.frequency,
                model: Some(string.model),
            });
        }
        second.strings[3].model.stiffness = strings::Stiffness::from_response(24.0);
        second.blank.given_end_radius = Some(1.0);
        let wing = [(0.0, 4.0), (4.0, 9.0)];
        second.blank.wings = saddle::Wings::new(&wing, &wing).ok();
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
            Some(plan.ways_out.as_ref().unwrap().slot.bass)
        );
        let ways = plan.ways_out.unwrap();
        let out = &value["ways_out"];
        assert_eq!(out["nut"][0]["cents_12"].as_f64(), Some(ways.nut[0].cents_12));
        assert_eq!(
            out["nut"][0]["cents_1_to_5"][4].as_f64(),
            Some(ways.nut[0].cents_1_to_5[4])
        );
        assert_eq!(out["nut"][0]["capped"].as_bool(), Some(ways.nut[0].capped));
        for (left, out) in ways.order.iter().zip(out["order"].as_array().unwrap()) {
            assert_eq!(out["way"], ["slot", "thicker", "nut"][left.way as usize]);
            assert_eq!(out["reversible"].as_bool(), Some(left.reversible));
            assert_eq!(out["worst"]["cents"].as_f64(), Some(left.worst.cents));
            assert_eq!(out["worst"]["fret"].as_u64(), Some(left.worst.fret.into()));
            assert_eq!(out["worst"]["string"].as_u64(), Some(left.worst.string.into()));
        }
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
            let tension =
                4e-9 * f(&given["linear_density"]) * (dx * dx + dz * dz) * math::powi(f(&given["frequency"]), 2);
            assert!((tension - f(&out["tension"])).abs() < 1e-9);
            let y = f(&given["run"]["nut"]) + f(&given["run"]["slope"]) * f(&out["position"]["x"]);
            assert!((y - f(&out["position"]["y"])).abs() < 1e-9);
        }
    }
}
