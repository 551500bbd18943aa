use super::*;
use crate::Assessed;
use crate::fixture::{facts, planned, survey, twelve};
use ::assess::{Assessment, Facts, Topic, Undo, Verdict, assess};
use saddle::{Plan, SaddleSurvey};
use units::BenchUnit;
use work::{Air, Beside, Fork, HandedBack, HandedString, Hazards, Proposed, Stood, Whole};

/// Words of the bench that no owner's sheet has, as they stand between blanks.
const BENCH_WORDS: [&str; 16] = [
    "exposure",
    "setback",
    "land",
    "lean",
    "relief",
    "break",
    "mpa",
    "contact",
    "contacts",
    "skew",
    "intonation",
    "u",
    "b",
    "v",
    "ridge",
    "shim",
];

/// A bridge top that lies so much higher, mm.
fn raised(by: f64) -> SaddleSurvey {
    let mut survey = survey();
    if let instrument::SlotSurvey::Straightedge(ends) = &mut survey.slot {
        for end in ends.iter_mut() {
            end.bridge_top += by;
        }
    }
    survey
}

fn stood() -> Vec<Stood> {
    vec![
        Stood {
            action: Some(2.9),
            cents: Some(7.2),
        };
        12
    ]
}

fn told(plan: &Plan, found: &Assessment, bench: BenchUnit, hazards: Hazards) -> OwnerSheet {
    let of = Assessed {
        stops: &[],
        beside: Beside::Nothing,
        air: None,
        title: "A guitar",
        plan,
        found,
        bench,
    };
    let fork = Fork::of(found, &[], Beside::Nothing);
    owner_sheet(&of, &Proposed::of(plan, found, fork, &stood(), 0.1), hazards)
}

/// Every sheet that these surveys make before the work.
fn sheets() -> Vec<(Assessment, OwnerSheet)> {
    let mut all = Vec::new();
    for survey in [survey(), twelve(), raised(2.0), raised(-3.0)] {
        let plan = planned(&survey);
        for mut facts in [facts(), Facts::default()] {
            let found = assess(&survey, &plan, &facts);
            all.extend(BenchUnit::ALL.map(|bench| (found.clone(), told(&plan, &found, bench, Hazards::default()))));
            // Every finding once outside each of its limits.
            facts.humidity = Some(0.2);
            let found = assess(&survey, &plan, &facts);
            for i in 0..found.findings.len() {
                for (least, most) in [(f64::MAX, None), (f64::MIN, Some(f64::MIN))] {
                    let mut found = found.clone();
                    let finding = &mut found.findings[i];
                    finding.verdict = Verdict::Act;
                    finding.undo = Undo::Irreversible;
                    finding.value = Some(finding.value.unwrap_or(0.1));
                    finding.least = Some(least.into());
                    finding.most = most.map(Into::into);
                    let sheet = told(&plan, &found, BenchUnit::METRIC, Hazards::default());
                    all.push((found, sheet));
                }
            }
        }
    }
    all
}

fn handed(whole: Whole, air: Air) -> HandedBack {
    let string = |(i, note): (u32, &str)| HandedString {
        number: 6 - i,
        note: note.to_owned(),
        before: Stood {
            action: Some(2.9),
            cents: None,
        },
        wanted: 2.4,
        after: Stood {
            action: Some(2.3),
            cents: Some(-2.0),
        },
    };
    HandedBack {
        strings: (0..6).zip(["E2", "A2", "D3", "G3", "B3", "E4"]).map(string).collect(),
        whole,
        off: vec![6],
        beside: Beside::Nut,
        material: "bone".to_owned(),
        air,
        good: 0.1,
    }
}

const WHOLES: [Whole; 8] = [
    Whole::Good,
    Whole::AsNear,
    Whole::File,
    Whole::Shim(0.5),
    Whole::ShimOrNew(0.5),
    Whole::NewSaddle(0.5),
    Whole::SlotsFirst,
    Whole::ReadAgain,
];

fn after() -> Vec<OwnerSheet> {
    let airs = [
        Air::default(),
        Air {
            then: Some(0.3),
            now: Some(0.5),
        },
        Air {
            then: Some(0.6),
            now: Some(0.4),
        },
        Air {
            then: Some(0.45),
            now: Some(0.47),
        },
    ];
    let each = WHOLES.into_iter().flat_map(|whole| airs.map(|air| handed(whole, air)));
    each.map(|of| handed_back_sheet(&of, BenchUnit::THOU, Hazards::default()))
        .collect()
}

#[test]
fn the_bench_s_words_stay_at_the_bench() {
    let before = sheets().into_iter().map(|(_, sheet)| sheet);
    for sheet in before.chain(after()) {
        let text = sheet.text().to_lowercase();
        for word in text.split(|c: char| !c.is_alphanumeric()) {
            assert!(!BENCH_WORDS.contains(&word), "\"{word}\" in {text}");
        }
        assert!(!text.contains("cannot be undone."[..].to_uppercase().as_str()));
    }
}

/// Angles are told to half a degree, and cents to whole ones.
#[test]
fn no_figure_is_finer_than_a_bench_makes() {
    let before = sheets().into_iter().map(|(_, sheet)| sheet);
    for sheet in before.chain(after()) {
        let text = sheet.text();
        let words: Vec<&str> = text.split_whitespace().collect();
        for pair in words.windows(2) {
            if pair[1].starts_with("degrees") {
                let figure: f64 = pair[0].parse().unwrap();
                assert!((2.0 * figure).fract() == 0.0 && figure >= 0.5, "{text}");
            }
            if pair[1].starts_with("cent") {
                assert!(!pair[0].contains('.'), "{text}");
            }
        }
    }
}

/// What is felt, what mends it and what is gone for good is said of every finding that asks for work.
#[test]
fn every_finding_that_asks_for_work_has_words() {
    for (found, sheet) in sheets() {
        let text = sheet.text();
        for f in found.findings.iter().filter(|f| f.verdict == Verdict::Act) {
            if matches!(f.topic, Topic::Saddle | Topic::BackFall) {
                continue;
            }
            let felt = plain::felt(f, 6, BenchUnit::METRIC);
            assert!(!felt.is_empty(), "{f:?}");
            let remedy = plain::remedy(f);
            assert!(f.topic == Topic::Slot || !remedy.is_empty(), "{f:?}");
            assert!(
                text.contains(remedy) && text.contains(plain::lasting(f)),
                "{f:?} {text}"
            );
            assert_eq!(plain::lasting(f).is_empty(), f.undo != Undo::Irreversible, "{f:?}");
        }
    }
}

/// A job of every end of the fork: the sheet begins with it.
#[test]
fn a_sheet_says_first_what_comes_of_it() {
    let first = |survey: &SaddleSurvey| {
        let plan = planned(survey);
        let found = assess(survey, &plan, &facts());
        told(&plan, &found, BenchUnit::THOU, Hazards::default()).headline
    };
    assert!(first(&raised(2.0)).starts_with("A new saddle alone will not help: the neck must be set"));
    assert!(first(&survey()).starts_with("A new saddle"));
}

/// The owner is told what is left to do, and only a saddle that needs nothing more is called done.
#[test]
fn the_work_is_done_only_where_the_bench_says_so() {
    for whole in WHOLES {
        let of = handed(whole, Air::default());
        let sheet = handed_back_sheet(&of, BenchUnit::THOU, Hazards::default());
        assert_eq!(
            sheet.headline.starts_with("The work is done"),
            of.is_done(),
            "{whole:?}"
        );
        assert_eq!(sheet.text().contains("until that is done"), !of.is_done(), "{whole:?}");
        let OwnerPart::Table(table) = &sheet.parts[1] else {
            panic!("{:?}", sheet.parts[1])
        };
        assert_eq!(table.rows.len(), 6);
        assert!(table.rows.iter().all(|row| row.len() == table.columns.len()));
    }
}

/// The owner hears of the material that is proposed, and of no other.
#[test]
fn the_owner_is_told_what_the_material_asks_for() {
    let plan = planned(&survey());
    let found = assess(&survey(), &plan, &facts());
    for (synthetic, check_law) in [(false, false), (false, true), (true, false), (true, true)] {
        let hazards = Hazards {
            synthetic,
            check_law,
            ..Hazards::default()
        };
        let before = told(&plan, &found, BenchUnit::THOU, hazards);
        let after = handed_back_sheet(&handed(Whole::Good, Air::default()), BenchUnit::THOU, hazards);
        for text in [before.text(), after.text()] {
            assert_eq!(text.contains("softens with heat"), synthetic);
            assert_eq!(text.contains("may be protected by law"), check_law);
        }
    }
}
