//! What a repairer should know beside the figures, in plain words.

mod note;

use crate::assess::fork_words;
use crate::doubted::doubt_note;
use crate::figures::{degrees, fixed, length, list, sentence, strings};
use crate::heard::not_it_note;
use crate::held::held;
use assess::{Bound, Source};
use instrument::Of;
use saddle::Plan;
use units::BenchUnit;
use work::Remark;

pub use note::{Note, NoteTopic};

/// Remarks on a plan as notes.
#[must_use]
pub fn notes(remarks: &[Remark], plan: &Plan, bench: BenchUnit) -> Vec<Note> {
    remarks.iter().filter_map(|remark| note(remark, plan, bench)).collect()
}

/// Who asks for a limit: `Common practice wants`, `The job wants`.
fn asks(limit: Bound) -> &'static str {
    match limit.source {
        Source::Job => "The job wants",
        Source::Published(_) | Source::CommonPractice | Source::Own(_) => "Common practice wants",
    }
}

/// Whose a limit is, behind its figure.
fn whose(limit: Bound) -> &'static str {
    match limit.source {
        Source::Job => "that the job sets",
        Source::Published(_) | Source::CommonPractice | Source::Own(_) => "of a published magazine column (2013)",
    }
}

/// What is said of something unsafe that the job accepts.
fn taken(accepted: bool) -> &'static str {
    if accepted {
        " The job accepts this: see the caution."
    } else {
        ""
    }
}

/// Strings each with a figure: `string 6 by 1.10`.
fn each<T>(figures: &[(u32, T)], words: impl Fn(&T) -> String) -> String {
    let names: Vec<String> = figures
        .iter()
        .map(|(n, figure)| format!("string {n} {}", words(figure)))
        .collect();
    list(&names)
}

fn note(remark: &Remark, plan: &Plan, bench: BenchUnit) -> Option<Note> {
    let show = |mm: f64| length(bench, mm);
    let (topic, text) = match remark {
        Remark::Held => return held(plan, bench),
        Remark::Doubted(doubted) => return Some(doubt_note(doubted, bench)),
        Remark::NotTheString(strings) => return Some(not_it_note(strings)),
        Remark::Assumed(figures) => {
            let one_radius = !figures.iter().any(|(of, _)| *of == Of::RadiusAt12);
            let words = |(of, value): &(Of, f64)| match of {
                Of::Relief => format!("the relief is {}", show(*value)),
                Of::RadiusAtNut if one_radius => format!("the board's radius is {}", bench.gauge(*value)),
                Of::RadiusAtNut => format!("the board's radius at the nut is {}", bench.gauge(*value)),
                _ => format!("its radius at fret 12 is {}", bench.gauge(*value)),
            };
            let each: Vec<String> = figures.iter().map(words).collect();
            (
                NoteTopic::Reading,
                format!("Assumed, not read: {}. The plan is so much less sure; a reading takes its place.", list(&each)),
            )
        }
        Remark::NotYet(fork) => (
            NoteTopic::Remedy,
            format!("{} \"bonewright assess\" says why, and what to do.", fork_words(fork, false)),
        ),
        Remark::BlankLow { top, wanted } => (
            NoteTopic::BlankHeight,
            format!(
                "The blank is too low: the crown stands {} high, the blank {}. Take a blank at least {} high.",
                show(*top),
                show(plan.blank.height),
                show(*wanted),
            ),
        ),
        Remark::BlankScant { spare, least } => (
            NoteTopic::BlankHeight,
            format!(
                "The blank stands only {} above the crown. Common practice leaves at least {} to clean up.",
                show(*spare),
                show(*least),
            ),
        ),
        Remark::OnFirstFret(lying) => (
            NoteTopic::FirstFret,
            format!(
                "{} will lie on fret 1 with this action. {}, or raise the target action.",
                sentence(&strings(lying)),
                if plan.zero_fret { "Set higher wire at the zero fret or level the frets" } else { "Raise the nut" },
            ),
        ),
        Remark::FirstFretLow { strings: low, least, limit } => (
            NoteTopic::FirstFret,
            format!(
                "The gap over fret 1 is small on {}; the least is {}. Under {} an open string is likely to buzz ({}).{}",
                strings(low),
                show(*least),
                show(limit.value),
                if limit.source == Source::Job { "set in the job" } else { "common practice" },
                if plan.zero_fret { " Set higher wire at the zero fret, or level the frets." } else { "" },
            ),
        ),
        Remark::Touching(touched) => {
            let touch = |(string, held, fret): &(u32, u32, u32)| match held {
                0 => format!("string {string}, open, touches fret {fret}"),
                held => format!("string {string}, held at fret {held}, touches fret {fret}"),
            };
            let touched: Vec<String> = touched.iter().map(touch).collect();
            (
                NoteTopic::Buzz,
                format!(
                    "Even at rest {}. It will buzz: look at relief, frets and target action.",
                    list(&touched)
                ),
            )
        }
        Remark::NothingInSlot { strings: none, under } => (
            NoteTopic::SlotDepth,
            format!(
                "Nothing of the saddle would stand in the slot under {}: with {} under it, it stands on the bridge top or over it. Take out what lies under the saddle, deepen the slot, or read its depth again.",
                strings(none),
                show(*under),
            ),
        ),
        Remark::UnderBottom(under) => (
            NoteTopic::BlankHeight,
            format!(
                "The contact of {} lies at or under the blank's bottom edge: there is no saddle so low. Look at the action, the neck's angle and the depth of the slot.",
                strings(under)
            ),
        ),
        Remark::OffBlank(off) => (
            NoteTopic::Held,
            format!(
                "The contact of {} lies outside the blank: no saddle of this size carries it. Look at the blank's length and thickness, its bass end, and the spread of the strings.",
                strings(off)
            ),
        ),
        Remark::InBlend(strings_lost) => (
            NoteTopic::Ends,
            format!(
                "{} would stand in the blended part of an end, which takes the crown down below the contact. Look at blank.wings and blank.bass_end; else let the contour meet the crown further out, or use a longer blank.",
                sentence(&strings(strings_lost))
            ),
        ),
        Remark::WingsStop(ends) => {
            let each: Vec<String> = ends.iter().map(|(end, by)| format!("at the {end} {} below it", show(*by))).collect();
            (
                NoteTopic::Ends,
                format!(
                    "The contour of the blended ends stops short of the crown: {}. The top would have a step there. Add a place further in, where the end meets the crown.",
                    list(&each)
                ),
            )
        }
        Remark::FrontWall { share, limit, accepted } => (
            NoteTopic::FrontWall,
            format!(
                "The saddle presses on the front wall of the slot with {} % of what the wood bears across the grain; {} {} %. The bridge may split there. A lower exposure, a deeper slot or a snug blank eases it.{}",
                fixed(100.0 * share, 0),
                if limit.source == Source::Job { "the job sets" } else { "the most is" },
                fixed(100.0 * limit.value, 0),
                taken(*accepted),
            ),
        ),
        Remark::ExposureUnknown => (
            NoteTopic::Exposure,
            "The exposure is not known: it needs the depth of the slot at both ends.".to_owned(),
        ),
        Remark::Sunk(sunk) => (
            NoteTopic::Exposure,
            format!(
                "The contact of {} lies at or below the bridge top. No saddle can carry it there: look at the neck's angle, the bridge and the readings.",
                strings(sunk)
            ),
        ),
        Remark::ExposureLow { mean, limit } if limit.source == Source::CommonPractice => (
            NoteTopic::Exposure,
            format!(
                "Rather low saddle: the average exposure is {}. {} at least {}.",
                show(*mean),
                asks(*limit),
                show(limit.value)
            ),
        ),
        Remark::ExposureLow { mean, limit } => (
            NoteTopic::Exposure,
            format!(
                "Low saddle: the average exposure is {}, less than the {} {}. The strings may seat weakly.",
                show(*mean),
                show(limit.value),
                whose(*limit),
            ),
        ),
        Remark::ExposureHigh { mean, limit } => (
            NoteTopic::Exposure,
            format!(
                "High saddle: the average exposure is {}, more than the {} {}. It loads the front wall of the slot.",
                show(*mean),
                show(limit.value),
                whose(*limit),
            ),
        ),
        Remark::LittleInSlot { strings: few, limit, is_unsafe, accepted } => (
            NoteTopic::SlotDepth,
            match limit.source {
                Source::Job => format!(
                    "Less than {} % of the saddle's height stands in the slot under {}. The job wants at least that, or the saddle tips forward.{}",
                    fixed(100.0 * limit.value, 0),
                    strings(few),
                    taken(*accepted),
                ),
                _ if *is_unsafe => format!(
                    "Less than a third of the saddle's height stands in the slot under {}. Common practice wants half. It tips forward, and may split the bridge.{}",
                    strings(few),
                    taken(*accepted),
                ),
                Source::Published(_) | Source::CommonPractice | Source::Own(_) => format!(
                    "Less than half of the saddle's height stands in the slot under {}. Common practice wants at least half, or the saddle tips forward.",
                    strings(few)
                ),
            },
        ),
        Remark::Lifted(lifted) => {
            let one = lifted.len() == 1;
            (
                NoteTopic::StringEnd,
                format!(
                    "{} {} not press on the saddle: {} straight from the {} to where the bridge holds {}. Ramp the holes, or look at the bridge readings again.",
                    sentence(&strings(lifted)),
                    if one { "does" } else { "do" },
                    if one { "it runs" } else { "they run" },
                    if plan.zero_fret { "zero fret" } else { "nut" },
                    if one { "it" } else { "them" },
                ),
            )
        }
        Remark::OffPlan(off) => (
            NoteTopic::StringEnd,
            format!(
                "Pulled taut over the crown, these end away from their planned contacts: {}. Give the crown more fall or a smaller rounding.",
                each(off, |mm| show(*mm))
            ),
        ),
        Remark::BreakUnknown => (
            NoteTopic::BreakAngle,
            "The break angles are not known: they need the [bridge] readings and the depth of the slot.".to_owned(),
        ),
        Remark::BreakLow { strings: low, limit } => (
            NoteTopic::BreakAngle,
            format!(
                "Small break angle, in degrees: {}. {} at least {} degrees; less may leave the strings loose on the saddle.",
                each(low, |angle| fixed(angle.to_degrees(), 1)),
                asks(*limit),
                numerics::trimmed(limit.value.to_degrees(), 1),
            ),
        ),
        Remark::Calibrated { strings: used, far } => {
            let mut text = format!(
                "The cents readings were used. They scale the stretch of {}.",
                each(used, |factor| format!("by {}", fixed(*factor, 2)))
            );
            if !far.is_empty() {
                text += &format!(
                    " That is far from 1 for {}: read the cents again, and check the gauge, the core and the present action.",
                    strings(far)
                );
            }
            (NoteTopic::Calibration, text)
        }
        Remark::NewNut(new) => (
            NoteTopic::Nut,
            format!(
                "The plan counts on a new nut for {}, cut to the gap at fret 1 that the table shows. With the present nut this saddle is wrong.",
                if new.is_empty() { "every string".to_owned() } else { strings(new) }
            ),
        ),
        Remark::NutMoves(moves) => {
            let moved = |mm: &f64| {
                let way = if *mm < 0.0 { "toward the bridge" } else { "away from the bridge" };
                format!("by {} {way}", show(mm.abs()))
            };
            (
                NoteTopic::Nut,
                format!(
                    "The plan counts on these moves of the contacts at the nut, {}: {}. Without them this saddle is wrong.",
                    if plan.strings.iter().all(|s| s.nut_path.keeps_height()) {
                        "at their present height"
                    } else {
                        "at the height that gives the wanted gap over fret 1 there"
                    },
                    each(moves, moved)
                ),
            )
        }
        Remark::ZeroFretWork(rises) => {
            let moved = |mm: &f64| match *mm {
                mm if mm.abs() < 0.0005 => "as it is".to_owned(),
                mm if mm < 0.0 => format!("{} down", show(-mm)),
                mm => format!("{} up", show(mm)),
            };
            let ends = rises.first().zip(rises.last());
            let mm = || rises.iter().map(|(_, mm)| *mm);
            let by = match ends {
                Some(((_, first), _)) if mm().all(|mm| (mm - first).abs() < 0.0005) => moved(first),
                Some(((bass, first), (treble, last))) if mm().is_sorted() || mm().rev().is_sorted() => {
                    format!("{} at string {bass} to {} at string {treble}", moved(first), moved(last))
                }
                _ => each(rises, moved),
            };
            (
                NoteTopic::Nut,
                format!("The plan counts on work on the zero fret, its crown {by}. With the zero fret as it is now this saddle is wrong: do that first, and read the gap over fret 1 against the table."),
            )
        }
        Remark::FallsChosen([front, back]) => {
            let fall = |side: &str, angle: &Option<f64>| angle.map(|angle| format!("a {side} fall of {}", degrees(angle)));
            let chosen: Vec<String> = fall("front", front).into_iter().chain(fall("back", back)).collect();
            (
                NoteTopic::Crown,
                format!(
                    "{}: enough for every string to end on the ridge, with some to spare.",
                    sentence(&format!("the plan chose {}", chosen.join(" and ")))
                ),
            )
        }
        Remark::LeftHanded => (
            NoteTopic::LeftHanded,
            "Left-handed: bass and treble are the instrument's own. Sheets and programs are mirrored, so that they lie on the work as they are.".to_owned(),
        ),
    };
    Some(Note::new(topic, remark.severity(), text))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::signed;
    use crate::fixture::{planned, survey};
    use assess::Facts;
    use saddle::Way;

    fn about(notes: &[Note], topic: NoteTopic) -> String {
        let found: Vec<&str> = notes
            .iter()
            .filter(|n| n.topic == topic)
            .map(|n| n.text.as_str())
            .collect();
        found.join("\n")
    }

    fn noted(survey: &saddle::SaddleSurvey) -> Vec<Note> {
        let plan = planned(survey);
        notes(&Remark::of(&plan, survey, &Facts::default()), &plan, BenchUnit::THOU)
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
        let shown = |mm: f64| BenchUnit::METRIC.show(mm.abs());
        assert_eq!(note.points.len(), 3);
        let point = |way| {
            let place = ways.order.iter().position(|left| left.way == way).unwrap();
            let left = ways.order[place].worst;
            let worst = format!(
                "string {} is then furthest off at fret {}: {}",
                left.string,
                left.fret,
                signed(left.cents, 1)
            );
            assert!(note.points[place].contains(&worst), "{} {worst}", note.points[place]);
            &note.points[place]
        };
        let (slot, thicker, nut) = (point(Way::Slot), point(Way::Thicker), point(Way::Nut));
        assert!(slot.contains(&shown(ways.slot.bass)) && slot.contains(&shown(ways.slot.treble)));
        assert!(thicker.contains(&shown(ways.thicker.thickness)) && thicker.contains(&shown(ways.thicker.back)));
        for way in &ways.nut {
            assert!(nut.contains(&shown(way.setback.unwrap())), "{nut}");
            let [.., five] = way.cents_1_to_5;
            let left = format!(
                "{} at frets 1 to 5 and {} at 12",
                signed(five, 1),
                signed(way.cents_12, 1)
            );
            assert!(nut.contains(&left), "{nut} {left}");
        }
        assert_eq!(nut.contains("is not proposed"), ways.nut.iter().any(|way| way.capped));
        assert!(slot.contains("cannot be undone") && thicker.contains("cannot be put back"));
    }

    /// An error that the job's tolerance allows asks for no way out, and is told all the same.
    #[test]
    fn a_held_string_within_the_tolerance_asks_for_nothing() {
        let mut survey = survey();
        let text = |survey: &saddle::SaddleSurvey| {
            let notes = noted(survey);
            let note = notes.iter().find(|n| n.topic == NoteTopic::Held).unwrap();
            (note.text.clone(), note.points.len())
        };
        survey.good_cents = 2.0;
        let (some, points) = text(&survey);
        assert!(
            some.contains("string 6 stays 1.8 cents sharp") && some.contains("Within the job's tolerance: string 6."),
            "{some}"
        );
        assert_eq!(points, 3);
        survey.good_cents = 9.0;
        let (none, points) = text(&survey);
        assert!(
            none.contains("nothing need be done") && !none.contains("ways out"),
            "{none}"
        );
        assert_eq!(points, 0);
    }

    #[test]
    fn a_held_string_whose_nut_moves_counts_from_the_moved_nut() {
        let mut survey = survey();
        for string in &mut survey.strings {
            string.criterion = strings::Criterion::BestFitWithNut;
        }
        let plan = planned(&survey);
        let notes = noted(&survey);
        let points = &notes.iter().find(|n| n.topic == NoteTopic::Held).unwrap().points;
        let way = points.iter().find(|point| point.contains("nut setback")).unwrap();
        assert!(way.contains("from where this plan has it"), "{way}");
        let held = &plan.ways_out.unwrap().nut[0];
        let at = plan
            .strings
            .iter()
            .find(|s| s.number == held.string)
            .unwrap()
            .nut_setback;
        let change = BenchUnit::THOU.show((held.setback.unwrap() - at).abs());
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
            string.new_gap = Some(instrument::NewGap::Open(0.05));
        }
        let low = noted(&survey);
        assert!(about(&low, NoteTopic::FirstFret).contains("small"), "{low:?}");
        assert!(about(&low, NoteTopic::Nut).contains("new nut"));
        for string in &mut survey.strings {
            string.new_gap = Some(instrument::NewGap::Open(-0.05));
        }
        assert!(about(&noted(&survey), NoteTopic::FirstFret).contains("lie on fret 1"));
        // A back-bow of 1 mm lifts the middle of the board into the strings.
        survey.board = instrument::Board::new(610.0, 12, -1.5, survey.board.radius()).unwrap();
        for string in &mut survey.strings {
            string.new_gap = Some(instrument::NewGap::Open(0.2));
        }
        assert!(about(&noted(&survey), NoteTopic::Buzz).contains("fret"));
    }

    #[test]
    fn calibration_and_nut_setbacks_are_told() {
        let mut survey = survey();
        survey.strings[0].measured = Some(instrument::CentsReading {
            cents_12: 3.0,
            contact_from_fret_12: 309.0,
            action_12: 2.9,
        });
        survey = survey.by(&survey.evidence(&instrument::Uncertainty::default()).unwrap());
        survey.strings[1].criterion = strings::Criterion::BestFitWithNut;
        let notes = noted(&survey);
        assert!(about(&notes, NoteTopic::Calibration).contains("string 6"), "{notes:?}");
        let moved = about(&notes, NoteTopic::Nut);
        assert!(
            moved.contains("string 5") && moved.contains("at their present height"),
            "{notes:?}"
        );
        survey.strings[1].new_gap = Some(instrument::NewGap::Open(0.5));
        let moved = about(&noted(&survey), NoteTopic::Nut);
        assert!(
            moved.contains("at the height that gives the wanted gap over fret 1"),
            "{moved}"
        );
    }
}
