//! What a repairer should know beside the figures, in plain words.

mod fit;
mod frets;
mod note;
mod string_ends;

use crate::held::held;
use saddle::{Plan, SaddleSurvey};
use units::BenchUnit;

pub use note::{Note, NoteTopic};

/// Notes on a plan, what stops the work first. `survey` is what the plan was made from.
#[must_use]
pub fn notes(plan: &Plan, survey: &SaddleSurvey, bench: BenchUnit) -> Vec<Note> {
    let mut notes = Vec::new();
    notes.extend(fit::blank_height(plan, bench));
    notes.extend(held(plan, bench));
    notes.extend(frets::first_fret(plan, bench));
    notes.extend(frets::touching(plan, survey));
    notes.extend(fit::exposure(plan, bench));
    notes.extend(fit::slot_depth(plan));
    notes.extend(string_ends::ends(plan, bench));
    notes.extend(string_ends::break_angles(plan));
    notes.extend(frets::calibrations(plan));
    notes.extend(frets::nut(plan, survey, bench));
    notes.extend(fit::falls(plan, survey));
    if plan.left_handed {
        let text = "Left-handed: bass and treble are the instrument's own. Sheets and programs are mirrored, so that they lie on the work as they are.";
        notes.push(Note::new(NoteTopic::LeftHanded, text.to_owned()));
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{planned, survey};

    fn about(notes: &[Note], topic: NoteTopic) -> String {
        let found: Vec<&str> = notes
            .iter()
            .filter(|n| n.topic == topic)
            .map(|n| n.text.as_str())
            .collect();
        found.join("\n")
    }

    fn noted(survey: &SaddleSurvey) -> Vec<Note> {
        notes(&planned(survey), survey, BenchUnit::Thou)
    }

    #[test]
    fn held_strings_carry_three_ways_out_with_their_figures() {
        let survey = survey();
        let plan = planned(&survey);
        let ways = plan.ways_out.unwrap();
        let notes = noted(&survey);
        let note = notes.iter().find(|n| n.topic == NoteTopic::Held).unwrap();
        assert!(note.text.contains("Strings 6 and 2 are held"), "{}", note.text);
        assert!(note.text.contains("string 6 stays 1.8 cents sharp"), "{}", note.text);
        let shown = |mm: f64| BenchUnit::Millimetre.show(mm.abs());
        assert_eq!(note.points.len(), 3);
        assert!(note.points[0].contains(&shown(ways.slot.bass)) && note.points[0].contains(&shown(ways.slot.treble)));
        assert!(note.points[1].contains(&shown(ways.thicker.thickness)));
        assert!(note.points[1].contains(&shown(ways.thicker.back)));
        for way in &ways.nut {
            assert!(note.points[2].contains(&shown(way.setback.unwrap())));
        }
        assert!(note.points[0].contains("cannot be undone") && note.points[1].contains("cannot be put back"));
    }

    #[test]
    fn a_held_string_whose_nut_moves_counts_from_the_moved_nut() {
        let mut survey = survey();
        for string in &mut survey.strings {
            string.criterion = strings::Criterion::BestFitWithNut;
        }
        let plan = planned(&survey);
        let notes = noted(&survey);
        let way = &notes.iter().find(|n| n.topic == NoteTopic::Held).unwrap().points[2];
        assert!(way.contains("from where this plan has it"), "{way}");
        let held = &plan.ways_out.unwrap().nut[0];
        let at = plan
            .strings
            .iter()
            .find(|s| s.number == held.string)
            .unwrap()
            .nut_setback;
        let change = BenchUnit::Thou.show((held.setback.unwrap() - at).abs());
        assert!(way.contains(&format!("string {} by {change}", held.string)), "{way}");
    }

    #[test]
    fn a_plan_without_faults_has_no_complaints() {
        let mut survey = survey();
        survey.blank.thickness = 4.5;
        let quiet = [NoteTopic::Crown];
        let left: Vec<Note> = noted(&survey)
            .into_iter()
            .filter(|n| !quiet.contains(&n.topic))
            .collect();
        assert_eq!(left, []);
    }

    #[test]
    fn a_low_blank_is_told() {
        let mut survey = survey();
        survey.blank.height = 8.0;
        assert!(about(&noted(&survey), NoteTopic::BlankHeight).contains("too low"));
        let plan = planned(&survey);
        let top = plan
            .strings
            .iter()
            .map(|s| plan.crown.silhouette(s.contact.u))
            .fold(0.0, f64::max);
        survey.blank.height = top + 0.2;
        assert!(about(&noted(&survey), NoteTopic::BlankHeight).contains("clean up"));
        survey.blank.height = top + 0.4;
        assert_eq!(about(&noted(&survey), NoteTopic::BlankHeight), "");
    }

    #[test]
    fn exposure_is_judged() {
        let with = |bass: f64, treble: f64| {
            let mut survey = survey();
            if let instrument::SlotSurvey::Straightedge(ends) = &mut survey.slot {
                ends[0].bridge_top = bass;
                ends[1].bridge_top = treble;
            }
            about(&noted(&survey), NoteTopic::Exposure)
        };
        assert!(with(-2.0, -2.0).contains("more than"), "{}", with(-2.0, -2.0));
        assert_eq!(with(0.5, 0.5), "");
        assert!(with(3.0, 3.0).contains("Common practice"), "{}", with(3.0, 3.0));
        assert!(with(4.0, 3.2).contains("less than"), "{}", with(4.0, 3.2));
        assert!(
            with(6.0, 6.0).contains("at or below the bridge top"),
            "{}",
            with(6.0, 6.0)
        );
        let mut survey = survey();
        survey.slot = instrument::SlotSurvey::Reference(
            [instrument::ReferenceEnd {
                contact_from_fret_12: 308.0,
                action_12: 2.4,
                height: 8.0,
                back: 1.6,
                depth: None,
            }; 2],
        );
        assert!(about(&noted(&survey), NoteTopic::Exposure).contains("not known"));
    }

    #[test]
    fn what_happens_behind_the_saddle_is_told() {
        let mut survey = survey();
        let exit = survey.exit.as_mut().unwrap();
        for end in exit.iter_mut() {
            end.above_bridge_top = 2.0;
        }
        assert!(about(&noted(&survey), NoteTopic::BreakAngle).contains("12 degrees"));
        for end in survey.exit.as_mut().unwrap() {
            end.above_bridge_top = 9.0;
        }
        assert!(about(&noted(&survey), NoteTopic::StringEnd).contains("press"));
        survey.exit = None;
        assert!(about(&noted(&survey), NoteTopic::BreakAngle).contains("not known"));
    }

    #[test]
    fn strings_on_frets_are_told() {
        let mut survey = survey();
        for string in &mut survey.strings {
            string.new_clearance = Some(0.05);
        }
        let low = noted(&survey);
        assert!(about(&low, NoteTopic::FirstFret).contains("small"), "{low:?}");
        assert!(about(&low, NoteTopic::Nut).contains("new nut"));
        for string in &mut survey.strings {
            string.new_clearance = Some(-0.05);
        }
        assert!(about(&noted(&survey), NoteTopic::FirstFret).contains("lie on fret 1"));
        // A back-bow of 1 mm lifts the middle of the board into the strings.
        survey.board = instrument::Board::new(610.0, 12, -1.5, survey.board.radius()).unwrap();
        for string in &mut survey.strings {
            string.new_clearance = Some(0.2);
        }
        assert!(about(&noted(&survey), NoteTopic::Buzz).contains("fret"));
    }

    #[test]
    fn calibration_and_nut_setbacks_are_told() {
        let mut survey = survey();
        survey.strings[0].measured = Some(saddle::CentsReading {
            cents_12: 3.0,
            contact_from_fret_12: 309.0,
            action_12: 2.9,
        });
        survey.strings[1].criterion = strings::Criterion::BestFitWithNut;
        let notes = noted(&survey);
        assert!(about(&notes, NoteTopic::Calibration).contains("string 6"), "{notes:?}");
        assert!(about(&notes, NoteTopic::Nut).contains("string 5"), "{notes:?}");
    }
}
