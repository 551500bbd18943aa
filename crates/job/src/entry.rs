//! What a job has beside its survey, a form at a time: rounds of readings, readings that are not believed, other tunings, single strings,
//! several saddles.
//!
//! A form is a list of [`FormField`](crate::FormField)s; their keys are the places that problems name, within the table: `depth.bass`, `action_12[3]`,
//! `slot.reference.height`. What is typed goes into the job's text by its one [`Edit`](crate::Edit), and is judged by its one reader.

mod kept;
mod kind;
mod reading;
mod rows;
mod shape;

pub use kept::{EntryFault, EntryKept, entries, kept_entry, without_entry};
pub use kind::{EntryKind, EntryPlace};
pub use reading::{entry_question, reading_key};
pub use rows::{EntryAbout, entry_fields};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::form::FormTyped;
    use crate::{Profiles, Severity, read};

    const PARLOUR: &str = include_str!("../../../examples/parlour.toml");
    const SPLIT: &str = include_str!("../../../examples/split-saddle.toml");

    /// A kind, which of it, what is typed, and where it is told or how it is written.
    type Case<'a> = (EntryKind, Option<EntryPlace>, &'a [(&'a str, &'a str)], &'a str);

    fn strings() -> Vec<(u32, String)> {
        let notes = ["E2", "A2", "D3", "G3", "B3", "E4"];
        (1..=6).rev().zip(notes.map(str::to_owned)).collect()
    }

    fn kept(text: &str, kind: EntryKind, at: Option<EntryPlace>, changes: &[(&str, &str)]) -> EntryKept {
        let (profiles, strings) = (Profiles::built_in(), strings());
        let about = EntryAbout {
            strings: &strings,
            profiles: &profiles,
        };
        let mut typed = entries(text, kind, &about)
            .into_iter()
            .find(|(place, _)| Some(*place) == at)
            .map_or_else(FormTyped::new, |(_, typed)| typed);
        for (key, change) in changes {
            typed.set(key, change);
        }
        let fields = entry_fields(kind, &about, &typed);
        for (key, _) in changes {
            assert!(fields.iter().any(|field| field.key == *key), "{key}: {fields:?}");
        }
        kept_entry(text, kind, at, &typed, &about, &profiles).unwrap()
    }

    fn sound(kept: EntryKept) -> String {
        assert_eq!(kept.faults, [], "{}", kept.text);
        kept.text
    }

    #[test]
    fn a_round_is_added_read_and_changed_and_the_rest_stays() {
        let with = sound(kept(
            PARLOUR,
            EntryKind::Round,
            None,
            &[
                ("with", "stepped gauges"),
                ("visit", "2"),
                ("action_12[1]", "0.109"),
                ("action_12[6]", "5.5/64"),
                ("relief.gap", "9 thou"),
                ("relief.fret", "7"),
                ("action_at[1].fret", "7"),
                ("action_at[1].action[1]", "75 thou"),
                ("cents_12[2]", "3 cents"),
                ("bridge_top.bass", "15 thou"),
                ("bridge_top.treble", "25 thou"),
            ]
            .iter()
            .filter(|(key, _)| *key != "with" && !key.starts_with("cents"))
            .copied()
            .collect::<Vec<_>>(),
        ));
        assert!(with.starts_with(PARLOUR.trim_end()), "{with}");
        let job = read(&with, &Profiles::built_in()).unwrap().job;
        // The old saddle's own readings stand in the survey; two actions, a relief, one action at 7, two bridge tops.
        let visit: Vec<_> = job.readings.taken.iter().filter(|taken| taken.visit == 2).collect();
        assert_eq!(visit.len(), 6, "{visit:?}");
        assert!(
            with.contains("action_12 = [0.109, \"-\", \"-\", \"-\", \"-\", \"5.5/64\"]"),
            "{with}"
        );
        // A remark of a hand stays, and what is not changed is not written again.
        let by_hand = with.replace("visit = 2", "visit = 2 # after the rain");
        let again = sound(kept(&by_hand, EntryKind::Round, Some(1), &[]));
        assert_eq!(again, by_hand);
        let changed = sound(kept(
            &by_hand,
            EntryKind::Round,
            Some(1),
            &[("action_12[6]", ""), ("visit", "3")],
        ));
        assert!(
            changed.contains("visit = 3 # after the rain")
                && changed.contains("action_12 = [0.109, \"-\", \"-\", \"-\", \"-\", \"-\"]"),
            "{changed}"
        );
        assert_eq!(
            without_entry(&changed, EntryKind::Round, 1).unwrap().trim_end(),
            PARLOUR.trim_end()
        );
    }

    #[test]
    fn the_second_of_two_rounds_is_the_one_that_is_changed() {
        let two = format!("{PARLOUR}\n[[readings]]\nlean = \"2 deg\"\n\n[[readings]]\nlean = \"2.1 deg\"\n");
        let changed = sound(kept(&two, EntryKind::Round, Some(2), &[("lean", "2.2 deg")]));
        assert_eq!(changed, two.replace("2.1 deg", "2.2 deg"));
        let first = without_entry(&two, EntryKind::Round, 2).unwrap();
        assert!(first.contains("\"2 deg\"") && !first.contains("2.1 deg"), "{first}");
    }

    #[test]
    fn what_is_wrong_stands_at_its_field() {
        use EntryKind::{Doubt, Round, Saddle, String, Tuning};
        let table: &[Case] = &[
            (Round, None, &[("action_12[3]", "x")], "action_12[3]"),
            (Round, None, &[("action_12[6]", "0.9")], "action_12[6]"),
            (
                Round,
                None,
                &[("bridge_top.bass", "9 in"), ("bridge_top.treble", "0.02")],
                "bridge_top.bass",
            ),
            (Round, None, &[("bridge_top.bass", "0.02")], "bridge_top.treble"),
            (Round, None, &[("visit", "2")], ""),
            (Round, None, &[("with", "tuner"), ("lean", "2 deg")], "lean"),
            (Round, None, &[("lean", "2 deg"), ("sure_to", "3 cents")], "sure_to"),
            (Round, None, &[("action_at[1].action[1]", "0.1")], "action_at[1].fret"),
            (
                Round,
                None,
                &[("cents_at[1].fret", "30"), ("cents_at[1].cents[1]", "3")],
                "cents_at[1].fret",
            ),
            (Doubt, None, &[("action_12", "9")], "action_12"),
            (Doubt, None, &[("action_12", "some")], "action_12"),
            (Tuning, None, &[("tuning", "D2 H2 D3 G3 A3 D4")], "tuning"),
            (Tuning, None, &[("weight", "2")], ""),
            (
                Tuning,
                None,
                &[("set", "nylon normal tension"), ("weight", "-1")],
                "weight",
            ),
            (String, Some(6), &[("core", "3 mm")], "core"),
            (String, Some(6), &[("gauge", "3")], "gauge"),
            (Saddle, None, &[("name", "nut"), ("strings", "6 5 4")], "name"),
        ];
        for (kind, at, changes, key) in table {
            let kept = kept(PARLOUR, *kind, *at, changes);
            let refused = |problem: &crate::Problem| problem.severity == Severity::Error;
            assert!(kept.is_refused(), "{changes:?}: {}", kept.text);
            assert!(
                kept.faults.iter().any(|(at, problem)| at == key && refused(problem)),
                "{changes:?} {key}: {:?}",
                kept.faults
            );
        }
    }

    #[test]
    fn doubts_tunings_and_single_strings_come_back_as_they_were_typed() {
        use EntryKind::{Doubt, String, Tuning};
        let table: &[Case] = &[
            (
                Doubt,
                None,
                &[("action_12", "6 1"), ("depth", "bass"), ("lean", "all")],
                "action_12 = [6, 1]",
            ),
            (Doubt, None, &[("action_12", "all")], "action_12 = true"),
            (
                Tuning,
                None,
                &[("tuning", "D2 A2 D3 G3 A3 D4"), ("weight", "0.5")],
                "tuning = [\"D2\", \"A2\"",
            ),
            (
                Tuning,
                None,
                &[("set", "extra light bronze 10-47")],
                "set = \"extra light bronze 10-47\"",
            ),
            (
                String,
                Some(5),
                &[("core", "0.017 in"), ("stretch_factor", "1.1")],
                "stretch_factor = 1.1",
            ),
        ];
        let (profiles, strings) = (Profiles::built_in(), strings());
        let about = EntryAbout {
            strings: &strings,
            profiles: &profiles,
        };
        for (kind, at, changes, line) in table {
            let text = sound(kept(PARLOUR, *kind, *at, changes));
            assert!(text.contains(line), "{text}");
            let found = entries(&text, *kind, &about);
            let of = at.map_or_else(|| found.last(), |at| found.iter().find(|(place, _)| *place == at));
            let typed = &of.unwrap().1;
            for (key, change) in *changes {
                assert_eq!(&typed.get(key), change, "{key}");
            }
        }
        // A string that is as in the set again has no table.
        let text = sound(kept(PARLOUR, String, Some(6), &[("core", ""), ("core_shape", "")]));
        assert!(
            entries(&text, String, &about).iter().all(|(place, _)| *place != 6),
            "{text}"
        );
        let with = sound(kept(PARLOUR, Doubt, None, &[("lean", "all")]));
        let none = sound(kept(&with, Doubt, Some(1), &[("lean", "")]));
        assert!(!none.contains("[doubt]"), "{none}");
    }

    #[test]
    fn one_of_several_saddles_is_changed_where_it_stands() {
        let same = sound(kept(SPLIT, EntryKind::Saddle, Some(2), &[]));
        assert_eq!(same, SPLIT);
        let changes = [("slot.depth.bass", "5.1"), ("blank.length", "20.7"), ("crown.kind", "")];
        let changed = kept(SPLIT, EntryKind::Saddle, Some(2), &changes[..2]);
        assert!(!changed.is_refused(), "{:?}", changed.faults);
        assert!(
            changed.text.contains("depth = { bass = 5.1, treble = 5 }") && changed.text.contains("length = 20.7"),
            "{}",
            changed.text
        );
        assert!(read(&changed.text, &Profiles::built_in()).is_ok());
        let bare = SPLIT.split("[[saddle]]").next().unwrap();
        let first = kept(
            bare,
            EntryKind::Saddle,
            None,
            &[("name", "bass"), ("strings", "6 5 4 3"), ("slot.length", "44")],
        );
        assert!(first.text.contains("[saddle.slot]\nlength = 44"), "{}", first.text);
        let second = kept(
            &first.text,
            EntryKind::Saddle,
            None,
            &[("name", "treble"), ("strings", "2 1")],
        );
        assert_eq!(second.place, 2);
        let place = second.text.rfind("[[saddle]]").unwrap();
        assert!(second.text.find("[saddle.slot]").unwrap() < place, "{}", second.text);
    }

    #[test]
    fn a_form_has_no_more_fields_than_the_job_has_strings() {
        let (profiles, strings) = (Profiles::built_in(), strings());
        let about = EntryAbout {
            strings: &strings,
            profiles: &profiles,
        };
        let fields = |carried: &str| {
            let mut typed = FormTyped::new();
            typed.set("strings", carried);
            entry_fields(EntryKind::Saddle, &about, &typed).len()
        };
        assert!(fields("6") < fields("6 5 4 3 2 1"));
        assert_eq!(fields(&"6 ".repeat(100_000)), fields("6 5 4 3 2 1"));
    }

    /// What the examples and the jobs of the tests have beside their survey is in the forms, and kept unchanged it stays as it was written.
    #[test]
    fn what_is_kept_unchanged_stays() {
        let mut seen = 0;
        for text in [PARLOUR, SPLIT, include_str!("../../../examples/twelve-string.toml")] {
            let profiles = Profiles::built_in();
            let job = read(text, &profiles).unwrap().job;
            let strings: Vec<(u32, String)> = job
                .instrument
                .strings
                .iter()
                .map(|s| (s.number, s.note.clone()))
                .collect();
            let about = EntryAbout {
                strings: &strings,
                profiles: &profiles,
            };
            for kind in EntryKind::ALL {
                for (at, typed) in entries(text, kind, &about) {
                    let kept = kept_entry(text, kind, Some(at), &typed, &about, &profiles).unwrap();
                    assert_eq!((kept.text.as_str(), kept.faults), (text, Vec::new()));
                    seen += 1;
                }
            }
        }
        assert!(seen > 2, "{seen}");
    }

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig::with_cases(32))]
        /// Nothing that is typed into any field ends anything, and a text that is kept can be read again.
        #[test]
        fn any_text_is_kept_or_told(text in "\\PC{0,12}|-|[0-9./ -]{1,8}", at in 0..400usize) {
            let (profiles, strings) = (Profiles::built_in(), strings());
            let about = EntryAbout { strings: &strings, profiles: &profiles };
            for kind in EntryKind::ALL {
                let fields = entry_fields(kind, &about, &FormTyped::new());
                let mut typed = FormTyped::new();
                typed.set(&fields[at % fields.len()].key, &text);
                let place = (kind == EntryKind::String).then_some(3);
                let kept = kept_entry(PARLOUR, kind, place, &typed, &about, &profiles).unwrap();
                proptest::prop_assert!(kept.text.parse::<toml::Table>().is_ok(), "{}", kept.text);
                proptest::prop_assert!(kept.is_refused() || read(&kept.text, &profiles).is_ok() || kind == EntryKind::Saddle);
            }
        }
    }
}
