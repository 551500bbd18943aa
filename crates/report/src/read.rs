//! What was read, round by round, and what the marks of its picture mean.

use crate::figures::{cents_of, fixed, sentence};
use crate::taken::{places, sure_to};
use instrument::At;
use units::BenchUnit;
use work::{Belief, Mark, Round, Rounds, TAKES_UP, WeighedBy, of_words};

/// The words at a picture of what was read.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadWords {
    /// Its heading.
    pub heading: &'static str,
    /// How it is drawn.
    pub how: &'static str,
    /// A line a round, in the order of [`Rounds::rounds`]; the picture numbers them from 1.
    pub lines: Vec<String>,
    /// What its marks mean, each with a mark as it is drawn.
    pub legend: Vec<(Mark, String)>,
}

/// The words for these readings, lengths in `bench`.
#[must_use]
pub fn read_words(read: &Rounds, bench: BenchUnit) -> ReadWords {
    let numbers: Vec<u32> = read.lanes.iter().map(|lane| lane.number).collect();
    ReadWords {
        heading: "What was read",
        how: "From above and from the side, nut to the left. Each number is a round of readings; its marks stand where they were taken. \
              Only the order is true: nothing is to scale.",
        lines: read.rounds.iter().map(|round| line(round, &numbers, bench)).collect(),
        legend: legend(read, bench),
    }
}

fn line(round: &Round, numbers: &[u32], bench: BenchUnit) -> String {
    let at = |marks: &mut dyn Iterator<Item = &Mark>| {
        let at: Vec<At> = marks.map(|mark| mark.at).collect();
        places(&at, numbers)
    };
    let mut text = sentence(&of_words(round.of));
    if let Some(place) = at(&mut round.marks.iter()) {
        text += &format!(", {place}");
    }
    if round.over_made {
        text += ", after stringing up";
    }
    text += &format!(": {}", round.tool);
    if round.visit > 1 {
        text += &format!(" on visit {}", round.visit);
    }
    if let Some(sure) = round.sure_to {
        text += &format!(", sure to {}", sure_to(round.of, sure, bench));
    }
    text += &times(&round.marks);
    if round.struck_out {
        return text + "; struck out, not counted";
    }
    let most = round.marks.iter().filter_map(|mark| mark.takes_up).fold(0.0, f64::max);
    if most >= TAKES_UP {
        text += &format!(". Takes up {} %", fixed(100.0 * most, 0));
    }
    for (belief, words) in [
        (Belief::Doubted, "Does not fit the others"),
        (Belief::Suspected, "Or this one does not fit"),
    ] {
        let of = round.marks.iter().filter(|mark| mark.belief == belief);
        let of: Vec<Mark> = of.copied().collect();
        if of.is_empty() {
            continue;
        }
        text += &format!(". {words}");
        // Where only some of them are meant.
        if of.len() < round.marks.len()
            && let Some(place) = at(&mut of.iter())
        {
            text += &format!(": {place}");
        }
    }
    text
}

/// How often each was read, where that is more than once.
fn times(marks: &[Mark]) -> String {
    let most = marks.iter().map(|mark| mark.times).max().unwrap_or(1);
    let words = |times: usize| match times {
        2 => "twice".to_owned(),
        times => format!("{times} times"),
    };
    match marks.iter().map(|mark| mark.times).min() {
        _ if most < 2 => String::new(),
        Some(least) if least == most => format!(", read {}", words(most)),
        _ => format!(", read up to {}", words(most)),
    }
}

/// What each kind of mark says, of those that are drawn; thin and thick lines always.
fn legend(read: &Rounds, bench: BenchUnit) -> Vec<(Mark, String)> {
    let plain = Mark {
        at: At::Whole,
        times: 1,
        takes_up: Some(0.0),
        is_checked: false,
        belief: Belief::Counted,
    };
    let marks = || read.rounds.iter().flat_map(|round| &round.marks);
    let mut all = Vec::new();
    let tolerance = match read.weighed_by {
        None => None,
        Some(WeighedBy::Saddle(band)) => Some(format!(
            "action at fret 12 within {}, its pitch within {}",
            bench.show(band.action),
            cents_of(band.cents)
        )),
        Some(WeighedBy::Slots(mm)) => Some(format!("a slot's floor within {}", bench.show(mm))),
    };
    if let Some(tolerance) = tolerance {
        all.push((plain, "Thin line: sure enough.".to_owned()));
        all.push((
            Mark {
                takes_up: Some(1.0),
                ..plain
            },
            format!(
                "Thick line: unsure. By itself it takes up 100 % of the tolerance ({tolerance}); half as thick, 25 %."
            ),
        ));
    }
    if read.weighed_by.is_none() {
        let words = "All lines alike: nothing is planned by which a reading could be weighed.";
        all.push((plain, words.to_owned()));
    }
    if marks().any(|mark| mark.is_checked && mark.belief != Belief::StruckOut) {
        all.push((
            Mark {
                is_checked: true,
                ..plain
            },
            "With a dot: a slip in it would show in other readings.".to_owned(),
        ));
        if marks().any(|mark| !mark.is_checked && mark.belief != Belief::StruckOut) {
            all.push((plain, "Without a dot: nothing else would show a slip in it.".to_owned()));
        }
    } else {
        all.push((
            plain,
            "No dot in any: nothing is read twice over that would show a slip.".to_owned(),
        ));
    }
    for (belief, words) in [
        (
            Belief::Doubted,
            "Crossed out: it does not fit the others. Take it again before you cut.",
        ),
        (
            Belief::Suspected,
            "Struck through: it may be this one that does not fit; the readings cannot tell which.",
        ),
        (
            Belief::StruckOut,
            "Dashed and struck: struck out in the job, not counted.",
        ),
    ] {
        if marks().any(|mark| mark.belief == belief) {
            all.push((Mark { belief, ..plain }, words.to_owned()));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use instrument::{Board, BoardRadius, Of};
    use saddle::tolerance::Band;
    use work::{Along, Lane, Station};

    fn mark(string: usize, belief: Belief) -> Mark {
        Mark {
            at: At::String(string),
            times: 1,
            takes_up: Some(0.31),
            is_checked: true,
            belief,
        }
    }

    fn round(of: Of, tool: &str, marks: Vec<Mark>) -> Round {
        let board = Board::new(650.0, 14, 0.2, BoardRadius::Flat).unwrap();
        Round {
            of,
            tool: tool.to_owned(),
            visit: 1,
            over_made: false,
            struck_out: false,
            station: Station::on(&board, Along::of(of)),
            sure_to: Some(0.05),
            marks,
        }
    }

    fn rounds(rounds: Vec<Round>) -> Rounds {
        Rounds {
            rounds,
            lanes: (0..6)
                .map(|i| Lane {
                    number: 6 - i,
                    y: f64::from(i),
                })
                .collect(),
            always: Vec::new(),
            has_slot: true,
            left_handed: false,
            weighed_by: Some(WeighedBy::Saddle(Band::default())),
        }
    }

    const NONE: Belief = Belief::Counted;

    #[test]
    fn a_round_is_told_with_place_tool_sureness_and_what_it_takes_up() {
        let every = |of, tool: &str| round(of, tool, (0..6).map(|i| mark(i, NONE)).collect());
        let action = Round {
            visit: 2,
            ..every(Of::Action { fret: 5 }, "feelers")
        };
        let lean = Round {
            sure_to: Some(1.0_f64.to_radians()),
            marks: vec![Mark {
                at: At::Whole,
                times: 2,
                takes_up: Some(0.049),
                ..mark(0, NONE)
            }],
            ..round(Of::Lean, "eye", Vec::new())
        };
        let made = Round {
            over_made: true,
            ..round(
                Of::Clearance,
                "feelers",
                vec![
                    Mark {
                        times: 3,
                        ..mark(0, NONE)
                    },
                    mark(5, NONE),
                ],
            )
        };
        let words = read_words(&rounds(vec![action, lean, made]), BenchUnit::METRIC);
        assert_eq!(
            words.lines,
            [
                "Action at fret 5, every string: feelers on visit 2, sure to 0.05 mm. Takes up 31 %",
                "Lean: eye, sure to 1.0 degrees, read twice",
                "Gap over fret 1, strings 6 and 1, after stringing up: feelers, sure to 0.05 mm, read up to 3 times. Takes up 31 %",
            ]
        );
    }

    #[test]
    fn what_does_not_fit_is_told_with_its_string_and_what_is_struck_out_without_sureness() {
        let light = |belief| Mark {
            takes_up: None,
            ..mark(2, belief)
        };
        let doubted = round(
            Of::SaddleHeight,
            "caliper",
            vec![
                light(NONE),
                Mark {
                    at: At::String(3),
                    ..light(Belief::Doubted)
                },
            ],
        );
        let suspected = round(Of::OverBridge, "caliper", vec![light(Belief::Suspected)]);
        let struck = Round {
            struck_out: true,
            sure_to: None,
            marks: vec![light(Belief::StruckOut)],
            ..round(Of::Exposure, "depth rod", Vec::new())
        };
        let words = read_words(&rounds(vec![doubted, suspected, struck]), BenchUnit::METRIC);
        assert_eq!(
            words.lines,
            [
                "Height of the present saddle, strings 4 and 3: caliper, sure to 0.05 mm. Does not fit the others: string 3",
                "Height of the string over the bridge, string 4: caliper, sure to 0.05 mm. Or this one does not fit",
                "Exposure of the present saddle, string 4: depth rod; struck out, not counted",
            ]
        );
    }

    /// Each kind of mark that is drawn is explained, and none that is not.
    #[test]
    fn the_legend_explains_what_is_drawn() {
        let legend = |marks: Vec<Mark>| {
            let words = read_words(&rounds(vec![round(Of::Clearance, "feelers", marks)]), BenchUnit::THOU);
            let kinds = words
                .legend
                .into_iter()
                .map(|(sample, text)| (sample.belief, sample.is_checked, text));
            kinds.collect::<Vec<_>>()
        };
        let all = legend(vec![
            mark(0, Belief::Doubted),
            mark(1, Belief::Suspected),
            Mark {
                is_checked: false,
                ..mark(2, NONE)
            },
            mark(3, Belief::StruckOut),
        ]);
        let drawn: Vec<(Belief, bool)> = all.iter().map(|(belief, checked, _)| (*belief, *checked)).collect();
        assert_eq!(
            drawn,
            [
                (NONE, false),
                (NONE, false),
                (NONE, true),
                (NONE, false),
                (Belief::Doubted, false),
                (Belief::Suspected, false),
                (Belief::StruckOut, false),
            ]
        );
        assert!(
            all[1]
                .2
                .contains("(action at fret 12 within 4.0 thou, its pitch within 3.0 cents)"),
            "{}",
            all[1].2
        );
        let plain = legend(vec![Mark {
            is_checked: false,
            ..mark(0, NONE)
        }]);
        assert_eq!(plain.len(), 3);
        assert!(plain[2].2.starts_with("No dot in any"));
    }
}
