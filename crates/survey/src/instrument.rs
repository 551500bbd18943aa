//! Kinds of instrument to begin from: what is usual on each, as answers.

/// A kind of instrument.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Instrument {
    /// Its word among the choices of `ask.kind`.
    pub key: &'static str,
    /// What is usual on it, under the keys of the steps.
    pub answers: &'static [(&'static str, &'static str)],
    /// Keys of `[assumed]`: which of those are figures that a reading would tell better.
    pub assumed: &'static [&'static str],
}

impl Instrument {
    /// The one of this key.
    #[must_use]
    pub fn of(key: &str) -> Option<&'static Self> {
        INSTRUMENTS.iter().find(|instrument| instrument.key == key)
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
        for instrument in &INSTRUMENTS {
            let mut interview = Interview::new(Answers::default(), Profiles::built_in());
            interview.begin(instrument);
            interview.fill(|_| true);
            let steps = interview.steps();
            for (key, text) in instrument.answers {
                let step = steps.iter().find(|step| step.key() == *key);
                let step = step.unwrap_or_else(|| panic!("{}: {key} is not asked", instrument.key));
                let verdict = interview.check(step, text);
                assert_eq!(
                    verdict,
                    AnswerCheck::Keep((*text).to_owned()),
                    "{}: {key}",
                    instrument.key
                );
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
}
