use super::*;
use crate::WIDTH;
use crate::fixture::{facts, planned, survey, twelve};
use crate::reference::{described_wholly, flat};
use ::assess::{Facts, Topic, Undo, Verdict, assess};
use saddle::SaddleSurvey;
use units::BenchUnit;
use work::Hazards;

/// A bridge top that lies too high.
fn due() -> SaddleSurvey {
    let mut survey = survey();
    if let instrument::SlotSurvey::Straightedge(ends) = &mut survey.slot {
        for end in ends.iter_mut() {
            end.bridge_top += 2.0;
        }
    }
    survey
}

fn with<T>(survey: &SaddleSurvey, facts: &Facts, use_it: impl Fn(&Assessed) -> T) -> T {
    let plan = planned(survey);
    let found = assess(survey, &plan, facts);
    use_it(&Assessed {
        stops: &[],
        beside: work::Beside::Nothing,
        air: None,
        title: "A guitar",
        plan: &plan,
        found: &found,
        bench: BenchUnit::THOU,
    })
}

#[test]
fn fits_eighty_columns_in_every_unit() {
    for survey in [survey(), twelve(), due()] {
        for facts in [facts(), Facts::default()] {
            let plan = planned(&survey);
            let found = assess(&survey, &plan, &facts);
            for bench in BenchUnit::ALL {
                let title = "A long title ".repeat(10);
                let of = Assessed {
                    stops: &[],
                    beside: work::Beside::Nothing,
                    air: None,
                    title: &title,
                    plan: &plan,
                    found: &found,
                    bench,
                };
                for line in assess_page(&of, Hazards::default()).lines() {
                    assert!(line.chars().count() <= WIDTH, "{line}");
                    assert!(!line.ends_with(' '), "{line}");
                }
            }
        }
    }
}

#[test]
fn nothing_irreversible_goes_unsaid() {
    for survey in [survey(), due()] {
        with(&survey, &facts(), |of| {
            let page = flat(&assess_page(of, Hazards::default()));
            let cuts = of
                .found
                .findings
                .iter()
                .filter(|f| f.undo == Undo::Irreversible)
                .count();
            assert_eq!(page.matches("CANNOT BE UNDONE").count(), cuts);
            assert!(page.contains("not a promise"));
        });
    }
}

#[test]
fn a_neck_that_is_due_is_told_with_its_figures() {
    with(&due(), &facts(), |of| {
        let page = flat(&assess_page(of, Hazards::default()));
        assert!(page.contains("A saddle is not the remedy"), "{page}");
        let neck = of.found.neck.as_ref().unwrap();
        let shown = |mm: f64| BenchUnit::THOU.show(mm);
        assert!(page.contains(&shown(neck.heel.unwrap().wood)), "{page}");
        assert!(page.contains(&shown(neck.board_end.unwrap().wedge)));
        assert!(!page.contains("saddle alone is the remedy."));
    });
}

#[test]
fn every_finding_that_asks_for_work_has_words() {
    for survey in [survey(), due(), twelve()] {
        for facts in [facts(), Facts::default()] {
            with(&survey, &facts, |of| {
                for f in &of.found.findings {
                    let silent = of.advice(f).is_empty();
                    assert!(!silent || f.verdict == Verdict::Sound, "{f:?}");
                    assert!(
                        silent || f.verdict != Verdict::Sound || f.topic == Topic::Saddle,
                        "{f:?}"
                    );
                }
            });
        }
    }
}

#[test]
fn json_md_describes_every_key() {
    let mut tighter = due();
    for string in &mut tighter.strings {
        string.also.push(saddle::AlsoString {
            name: "up a tone".to_owned(),
            weight: 1.0,
            note: string.note.clone(),
            frequency: 1.12 * string.frequency,
            model: None,
        });
    }
    with(&tighter, &facts(), |of| {
        let page = flat(&assess_page(of, Hazards::default()));
        assert!(
            page.contains(" N together as \"up a tone\", which pulls the most."),
            "{page}"
        );
    });
    let documents = [survey(), due(), tighter].map(|survey| {
        with(&survey, &facts(), |of| {
            serde_json::from_str(&assess_json(of).unwrap()).unwrap()
        })
    });
    described_wholly("bonewright-assess", documents.into_iter());
}

/// "Make it" stands only where the headline says the same, and of several strings the figure is called the least.
#[test]
fn the_saddle_s_own_words_follow_the_headline() {
    for survey in [survey(), twelve(), due()] {
        with(&survey, &facts(), |of| {
            let page = flat(&assess_page(of, Hazards::default()));
            let clear = page.contains("A saddle alone is the remedy. ");
            assert_eq!(
                page.contains("Make it as the plan says"),
                clear && page.contains("IN ORDER: Saddle"),
                "{page}"
            );
            assert!(!page.contains("by only") && !page.contains("of only"), "{page}");
        });
    }
}
