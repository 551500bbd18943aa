//! What becomes of wishes that share a line or a contact: tables for a page, lines for a sheet.

use crate::columns::{in_both, names};
use crate::figures::{fixed, length, sentence, signed};
use crate::grid::{Group, grid};
use crate::wrap::wrapped;
use numerics::trimmed;
use saddle::{ActionLeft, StringActions, TunedString, Tuning, Wishes};
use units::BenchUnit;

/// What is said of figures that are of the main one of several tunings alone.
pub(crate) const MAIN_ALONE: &str = "This is of the main tuning.";

/// Decimals of a weight.
const WEIGHT: usize = 3;

/// What the tables of tunings show.
pub const TUNINGS_WORDS: &str = "One contact of each string serves all of these, each by its weight. Cents at fret 12, sharp is plus, and the root mean square over frets 1 to 12. Alone: what a contact for that tuning alone would leave. Loses: by how much what the intonation looks at is worse than that.";
/// What the table of actions shows.
pub const ACTIONS_WORDS: &str = "A string is straight: its line comes as near to both wishes as their weights ask. Off: what the wish loses, plus where the string will stand higher.";

/// `Main tuning, weight 1`, `"Down a tone", weight 0.5`.
#[must_use]
pub fn tuning_head(tuning: &Tuning) -> String {
    let name = tuning.name.as_ref().map(|name| format!("\"{name}\""));
    let name = name.unwrap_or_else(|| "main tuning".to_owned());
    sentence(&format!("{name}, weight {}", trimmed(tuning.weight, WEIGHT)))
}

/// The weight of a wish.
#[must_use]
pub fn weight(wish: &ActionLeft) -> String {
    trimmed(wish.weight, WEIGHT)
}

/// The tables, at most [`crate::WIDTH`] columns wide.
pub(crate) fn tables(wishes: &Wishes, bench: BenchUnit) -> String {
    let mut text = String::new();
    if !wishes.actions.is_empty() {
        text += &format!("\nACTION WISHED AT TWO FRETS\n\n{}", actions(&wishes.actions, bench));
        text += &wrapped(ACTIONS_WORDS, "", "");
    }
    if !wishes.tunings.is_empty() {
        text += "\nFOR EVERY TUNING\n";
        for tuning in &wishes.tunings {
            text += "\n";
            text += &wrapped(&tuning_head(tuning), "", "");
            text += &tuned(tuning);
        }
        text += &wrapped(TUNINGS_WORDS, "", "");
    }
    text
}

fn actions(strings: &[StringActions], bench: BenchUnit) -> String {
    let each = || strings.iter().flat_map(|s| s.wishes.iter().map(move |wish| (s, wish)));
    let column = |head: &[&str], value: fn(&ActionLeft) -> f64| {
        in_both(bench.action(), head, each().map(|(_, w)| Some(value(w))))
    };
    let off = |unit: BenchUnit| each().map(move |(_, wish)| unit.signed(wish.off));
    grid(&[
        names(each().map(|(s, _)| (s.number, s.note.as_str()))),
        Group::new(&["fret"]).column("", each().map(|(_, wish)| wish.fret.to_string())),
        Group::new(&["weight"]).column("", each().map(|(_, wish)| weight(wish))),
        column(&["wanted"], |wish| wish.wanted),
        column(&["will be"], |wish| wish.planned),
        Group::new(&["off"])
            .column(bench.name(), off(bench))
            .column(bench.other().name(), off(bench.other())),
    ])
}

fn tuned(tuning: &Tuning) -> String {
    let each = || tuning.strings.iter();
    let cents = |head: &str, value: fn(&TunedString) -> [f64; 2]| {
        Group::new(&[head])
            .column("at 12", each().map(|s| signed(value(s)[0], 1)))
            .column("1 to 12", each().map(|s| fixed(value(s)[1], 1)))
    };
    grid(&[
        names(each().map(|s| (s.number, s.note.as_str()))),
        cents("cents", |s| [s.cents_12, s.rms_cents]),
        cents("alone", |s| [s.alone.cents_12, s.alone.rms_cents]),
        Group::new(&["loses"]).column("cents", each().map(|s| fixed(s.loses, 1))),
        Group::new(&["tension"]).column("N", each().map(|s| fixed(s.tension, 1))),
    ])
}

/// The same for a sheet: a line for each string's actions, and one for each tuning.
#[must_use]
pub fn wish_lines(wishes: &Wishes, bench: BenchUnit) -> Vec<String> {
    let wish = |wish: &ActionLeft| {
        format!(
            "at fret {} (weight {}) wanted {}, will be {}, off by {} {}",
            wish.fret,
            weight(wish),
            length(bench.action(), wish.wanted),
            length(bench.action(), wish.planned),
            bench.signed(wish.off),
            bench.name(),
        )
    };
    let action = |s: &StringActions| {
        let [twelve, other] = &s.wishes;
        format!("Action of string {}: {}; {}.", s.number, wish(twelve), wish(other))
    };
    let string = |s: &TunedString| {
        format!(
            "{} {} {} at 12, {} over 1 to 12, loses {}",
            s.number,
            s.note,
            signed(s.cents_12, 1),
            fixed(s.rms_cents, 1),
            fixed(s.loses, 1),
        )
    };
    let tuning = |tuning: &Tuning| {
        let strings: Vec<String> = tuning.strings.iter().map(string).collect();
        format!("{}, cents: {}.", tuning_head(tuning), strings.join("; "))
    };
    let actions = wishes.actions.iter().map(action);
    actions.chain(wishes.tunings.iter().map(tuning)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::WIDTH;
    use crate::fixture::{planned, survey, twelve};
    use saddle::{ActionWish, AlsoString, SaddleSurvey};

    fn wished(mut survey: SaddleSurvey) -> SaddleSurvey {
        for string in &mut survey.strings {
            string.action_at = Some(ActionWish {
                fret: 24,
                action: 3.25,
                weight: 0.125,
            });
            for (name, weight) in [("down a whole tone and named at some length", 0.5), ("other", 3.0)] {
                string.also.push(AlsoString {
                    name: name.to_owned(),
                    weight,
                    note: "D2".to_owned(),
                    frequency: 0.89 * string.frequency,
                    model: (weight > 1.0).then_some(string.model),
                });
            }
        }
        survey
    }

    fn told(survey: &SaddleSurvey) -> Wishes {
        Wishes::of(survey, survey, &planned(survey)).unwrap()
    }

    #[test]
    fn nothing_is_said_where_nothing_shares() {
        let survey = survey();
        assert_eq!(Wishes::of(&survey, &survey, &planned(&survey)), None);
    }

    #[test]
    fn fits_eighty_columns_in_every_unit() {
        for survey in [wished(survey()), wished(twelve())] {
            for bench in BenchUnit::ALL {
                for line in tables(&told(&survey), bench).lines() {
                    assert!(line.chars().count() <= WIDTH, "{line}");
                    assert!(!line.ends_with(' '), "{line}");
                }
            }
        }
    }

    /// Every figure stands in its row, in the table as on the sheet.
    #[test]
    fn every_string_has_its_figures() {
        let wishes = told(&wished(survey()));
        let bench = BenchUnit::METRIC;
        let text = tables(&wishes, bench);
        let lines = wish_lines(&wishes, bench);
        let rows = |start: &str| -> Vec<String> {
            let rows = text.lines().filter(|line| line.trim_start().starts_with(start));
            rows.map(str::to_owned).collect()
        };
        for (i, s) in wishes.actions.iter().enumerate() {
            for wish in &s.wishes {
                let figures = [wish.wanted, wish.planned].map(|mm| bench.number(mm));
                let start = format!("{} {}", s.number, s.note);
                let row = rows(&start);
                let row = row
                    .iter()
                    .find(|row| row.contains(&format!(" {} ", wish.fret)))
                    .unwrap();
                assert!(
                    figures.iter().all(|f| row.contains(f)) && row.contains(&bench.signed(wish.off)),
                    "{row}"
                );
                let line = &lines[i];
                assert!(
                    figures.iter().all(|f| line.contains(f)) && line.contains(&bench.signed(wish.off)),
                    "{line}"
                );
            }
        }
        assert_eq!(wishes.tunings.len(), 3);
        for (tuning, line) in wishes.tunings.iter().zip(&lines[wishes.actions.len()..]) {
            assert!(
                text.contains(&tuning_head(tuning)) && line.starts_with(&tuning_head(tuning)),
                "{line}"
            );
            for s in &tuning.strings {
                let figures = [signed(s.cents_12, 1), fixed(s.rms_cents, 1), fixed(s.loses, 1)];
                let found = rows(&format!("{} {}", s.number, s.note));
                let row = found.iter().find(|row| row.ends_with(&fixed(s.tension, 1))).unwrap();
                assert!(figures.iter().all(|f| row.contains(f)), "{figures:?} {row}");
                let [at_12, all, loses] = figures;
                let words = format!(
                    "{} {} {at_12} at 12, {all} over 1 to 12, loses {loses}",
                    s.number, s.note
                );
                assert!(line.contains(&words), "{line}");
            }
        }
    }
}
