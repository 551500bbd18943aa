//! Kinds of instrument to begin from: what is usual on each, as answers.

use job::{Field, Kind, Tool};
use units::{BenchUnit, LengthUnit, parse_length};

/// A kind of instrument.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Instrument {
    /// Its word among the choices of `ask.kind`.
    pub key: &'static str,
    /// What is usual on it, under the keys of the steps; lengths in mm.
    pub answers: &'static [(&'static str, &'static str)],
    /// Keys of `[assumed]`: which of those are figures that a reading would tell better.
    pub assumed: &'static [&'static str],
}

impl Instrument {
    /// What is usual on it, in a line: each question with its answer as this bench writes it, where the survey would ask for one.
    #[must_use]
    pub fn words(&self, bench: BenchUnit) -> String {
        let mut told: Vec<(&str, String)> = Vec::new();
        for (key, text) in self.answers.iter().filter(|(key, _)| !key.starts_with("ask.")) {
            let text = usual_in(key, text, bench);
            match (asked(key), told.last_mut()) {
                (Some(question), Some((title, texts))) if question.title == *title => *texts += &format!(" and {text}"),
                (Some(question), _) => told.push((question.title, text)),
                (None, _) => {}
            }
        }
        let told: Vec<String> = told
            .iter()
            .map(|(title, text)| format!("{}: {text}", title.to_lowercase()))
            .collect();
        told.join("; ")
    }

    /// The one of this key.
    #[must_use]
    pub fn of(key: &str) -> Option<&'static Self> {
        INSTRUMENTS.iter().find(|instrument| instrument.key == key)
    }
}

/// The question of the step of this key.
fn asked(key: &str) -> Option<&'static Field> {
    let whole = key.strip_suffix(".bass").or(key.strip_suffix(".treble")).unwrap_or(key);
    crate::questions().find(|question| whole == question.key)
}

/// What is usual at the step of this key, as this bench writes it: an action by its rule, a radius as inch gauges are marked.
pub(crate) fn usual_in(key: &str, text: &str, bench: BenchUnit) -> String {
    let length = asked(key).filter(|question| question.kind == Kind::Length && !bench.is_metric());
    let mm = parse_length(text, LengthUnit::Millimetre);
    match (length.map(|question| question.tool), mm) {
        (Some(Tool::RadiusGauge), Ok(mm)) => bench.gauge(mm),
        (Some(Tool::Rule), Ok(mm)) => bench.action().show(mm),
        (Some(_), Ok(mm)) => bench.show(mm),
        _ => text.to_owned(),
    }
}

/// The question that chooses one.
pub(crate) const KIND: &str = "ask.kind";
const BOARD: &[&str] = &["assumed.board_radius"];

/// The kinds. Actions are those of `target.action_12`'s help and of the examples; fret at the joint, board and radius are what most of the
/// kind have (common practice, no source). The nut is read with the string held at fret 3, which needs no other reading.
pub const INSTRUMENTS: [Instrument; 8] = [
    Instrument {
        key: "flat-top",
        answers: &[
            ("strings.set", "light bronze 12-53"),
            ("instrument.joint_fret", "14"),
            ("ask.nut_reading", "held at 3"),
            ("ask.board", "one radius"),
            ("instrument.board_radius", "406 mm"),
            ("target.action_12.bass", "2.4 mm"),
            ("target.action_12.treble", "1.8 mm"),
            ("blank.kind", "drop-in"),
        ],
        assumed: BOARD,
    },
    Instrument {
        key: "parlour",
        answers: &[
            ("strings.set", "extra light bronze 11-52"),
            ("instrument.joint_fret", "12"),
            ("ask.nut_reading", "held at 3"),
            ("ask.board", "one radius"),
            ("instrument.board_radius", "330 mm"),
            ("target.action_12.bass", "2.4 mm"),
            ("target.action_12.treble", "1.9 mm"),
            ("blank.kind", "through"),
        ],
        assumed: BOARD,
    },
    Instrument {
        key: "twelve-string",
        answers: &[
            ("strings.set", "light bronze 12-string"),
            ("instrument.joint_fret", "14"),
            ("ask.nut_reading", "held at 3"),
            ("ask.board", "one radius"),
            ("instrument.board_radius", "406 mm"),
            ("target.action_12.bass", "2.4 mm"),
            ("target.action_12.treble", "1.9 mm"),
            ("blank.kind", "drop-in"),
        ],
        assumed: BOARD,
    },
    Instrument {
        key: "nylon",
        answers: &[
            ("strings.set", "nylon normal tension"),
            ("instrument.joint_fret", "12"),
            ("ask.nut_reading", "held at 3"),
            ("ask.board", "flat"),
            ("target.action_12.bass", "4 mm"),
            ("target.action_12.treble", "3 mm"),
            ("bridge.string_exit", "tie block"),
            ("blank.kind", "drop-in"),
        ],
        assumed: &[],
    },
    Instrument {
        key: "ukulele",
        answers: &[
            ("strings.set", "soprano-concert ukulele GCEA"),
            ("instrument.joint_fret", "12"),
            ("ask.nut_reading", "held at 3"),
            ("ask.board", "flat"),
            ("target.action_12.bass", "2.4 mm"),
            ("target.action_12.treble", "2.2 mm"),
            ("bridge.string_exit", "tie block"),
            ("blank.kind", "drop-in"),
        ],
        assumed: &[],
    },
    Instrument {
        key: "tenor-ukulele",
        answers: &[
            ("strings.set", "tenor ukulele gCEA"),
            ("instrument.joint_fret", "14"),
            ("ask.nut_reading", "held at 3"),
            ("ask.board", "flat"),
            ("target.action_12.bass", "2.6 mm"),
            ("target.action_12.treble", "2.3 mm"),
            ("bridge.string_exit", "tie block"),
            ("blank.kind", "drop-in"),
        ],
        assumed: &[],
    },
    Instrument {
        key: "baritone-ukulele",
        answers: &[
            ("strings.set", "baritone ukulele DGBE"),
            ("instrument.joint_fret", "14"),
            ("ask.nut_reading", "held at 3"),
            ("ask.board", "flat"),
            ("target.action_12.bass", "2.8 mm"),
            ("target.action_12.treble", "2.4 mm"),
            ("bridge.string_exit", "tie block"),
            ("blank.kind", "drop-in"),
        ],
        assumed: &[],
    },
    Instrument {
        key: "mandolin",
        answers: &[
            ("strings.set", "light bronze mandolin 8-string"),
            ("instrument.joint_fret", "12"),
            ("ask.nut_reading", "held at 3"),
            ("ask.board", "one radius"),
            ("instrument.board_radius", "305 mm"),
            ("target.action_12.bass", "1.7 mm"),
            ("target.action_12.treble", "1.4 mm"),
            ("blank.kind", "through"),
        ],
        assumed: BOARD,
    },
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{AnswerCheck, Answers, Interview, Station};
    use job::Profiles;

    /// Everything that is usual on a kind is an answer that the survey asks for and takes without a doubt.
    #[test]
    fn what_is_usual_is_told_in_a_line() {
        let words = INSTRUMENTS[0].words(BenchUnit::METRIC);
        assert!(
            words.starts_with("string set: light bronze 12-53; fret at the body joint: 14; "),
            "{words}"
        );
        assert!(words.contains("action wanted at fret 12: 2.4 mm and 1.8 mm"), "{words}");
        for (bench, action) in [
            (BenchUnit::THOU, "94.5 thou and 71.0 thou"),
            (BenchUnit::IMPERIAL, "6/64 in and 4.5/64 in"),
        ] {
            let words = INSTRUMENTS[0].words(bench);
            assert!(
                words.contains(&format!("action wanted at fret 12: {action}")) && words.contains("board radius: 16 in"),
                "{words}"
            );
        }
    }

    /// The question offers these and "other", no more.
    #[test]
    fn the_question_offers_every_kind() {
        let asked = crate::questions().find(|question| question.key == KIND).unwrap();
        let crate::Kind::Choice(offered) = asked.kind else {
            panic!("{KIND} is no choice")
        };
        let offered: Vec<&str> = offered.iter().map(|(word, _)| *word).collect();
        let kinds = INSTRUMENTS.iter().map(|instrument| instrument.key);
        assert_eq!(offered, kinds.chain(["other"]).collect::<Vec<_>>());
    }

    #[test]
    fn what_is_usual_is_taken_without_a_doubt() {
        for (instrument, unit) in INSTRUMENTS
            .iter()
            .flat_map(|one| ["mm", "thou"].map(|unit| (one, unit)))
        {
            let mut interview = Interview::new(Answers::default(), Profiles::built_in());
            interview.answers.set("unit", unit);
            interview.begin(instrument);
            interview.fill(|_| true);
            let steps = interview.steps();
            for (key, text) in instrument.answers {
                let step = steps.iter().find(|step| step.key() == *key);
                let step = step.unwrap_or_else(|| panic!("{}: {key} is not asked", instrument.key));
                let text = usual_in(key, text, interview.bench());
                assert_eq!(interview.answers.given(key), Some(text.as_str()));
                let verdict = interview.check(step, &text);
                assert_eq!(verdict, AnswerCheck::Keep(text.clone()), "{}: {key}", instrument.key);
                assert!(
                    !step.question.strings_off && step.question.station != Station::Slot,
                    "{key} is a reading"
                );
            }
            for key in instrument.assumed {
                let assumed = steps.iter().filter(|step| interview.is_assumed(step));
                assert_eq!(assumed.count(), 1, "{}: {key}", instrument.key);
            }
            assert!(interview.job_text().contains("[assumed]") != instrument.assumed.is_empty());
        }
    }

    /// The unit is asked after the kind: what is usual is written anew then, and what somebody gave is left alone.
    #[test]
    fn what_is_usual_is_written_as_the_bench_reads() {
        let mut interview = Interview::new(Answers::default(), Profiles::built_in());
        interview.begin(&INSTRUMENTS[0]);
        interview.answers.set(KIND, INSTRUMENTS[0].key);
        interview.answers.set("target.action_12.treble", "0.075 in");
        let keys = [
            "target.action_12.bass",
            "target.action_12.treble",
            "instrument.board_radius",
        ];
        for (key, answer, written) in [
            ("unit", "thou", ["94.5 thou", "0.075 in", "16 in"]),
            ("bench", "imperial", ["6/64 in", "0.075 in", "16 in"]),
            ("unit", "in", ["6/64 in", "0.075 in", "16 in"]),
            ("bench", "metric", ["2.4 mm", "0.075 in", "406 mm"]),
        ] {
            let step = interview.steps().into_iter().find(|step| step.key() == key).unwrap();
            interview.answer(&step, answer);
            assert_eq!(
                keys.map(|key| interview.answers.given(key).unwrap()),
                written,
                "{key} {answer}"
            );
            let radius = interview
                .steps()
                .into_iter()
                .find(|step| step.key() == keys[2])
                .unwrap();
            assert!(interview.is_assumed(&radius));
        }
        let relief = interview
            .steps()
            .into_iter()
            .find(|step| step.key() == "instrument.relief:gap")
            .unwrap();
        assert_eq!(interview.assumable(&relief).as_deref(), Some("0.2 mm"));
        interview.answers.set("bench", "thou");
        assert_eq!(interview.assumable(&relief).as_deref(), Some("8.0 thou"));
    }
}
