//! What to read next.

use instrument::{At, Of, Readings, Taken};
use job::Profiles;
use known::Evidence;
use saddle::tolerance::{Sampling, tolerance};
use work::{Next, NextAsk, NextStep, Planned, Shop};

fn planned(text: &str) -> Planned {
    let done = work::planned(job::read(text, &Profiles::built_in()).unwrap().job);
    assert_eq!(done.refusals, []);
    done
}

fn example(name: &str) -> String {
    std::fs::read_to_string(format!("{}/../../examples/{name}.toml", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

fn next(text: &str, shop: &Shop, wished: f64) -> Next {
    let ask = NextAsk {
        wished,
        ..NextAsk::default()
    };
    planned(text).saddle().unwrap().next(shop, &ask).unwrap()
}

fn count(list: &[NextStep]) -> usize {
    list.iter().map(|step| step.places.len()).sum()
}

const ALL: NextAsk = NextAsk {
    wished: 0.9999,
    kinds: 4,
    singles: 12,
};

/// Four kinds on six strings: action, heights, backs and cents, as sure as the job or the tool says.
#[test]
fn four_kinds_make_the_parlour_sure() {
    let profiles = Profiles::built_in();
    let usual = Shop::usual(&profiles);
    let text = example("parlour");
    let now = next(&text, &usual, 0.9);
    assert!((0.2..0.35).contains(&now.now), "{}", now.now);
    for (cents, least) in [("1.5", 0.9), ("1.0", 0.95)] {
        let found = next(
            &format!("{text}\n[uncertainty]\ncents = \"{cents} cents\"\n"),
            &usual,
            least,
        );
        assert!(found.reaches(&found.kinds), "{cents}: {:#?}", found.kinds);
        assert!(
            found.kinds.len() <= 4 && count(&found.kinds) <= 24,
            "{:#?}",
            found.kinds
        );
        assert!((found.now - now.now).abs() < 1e-12, "cents are not read yet");
    }
    // A recording says of its cents that they are sure to 1.
    let with = ["recording".to_owned()];
    let shop = Shop { with: &with, ..usual };
    let found = next(&text, &shop, 0.95);
    assert!(
        found.reaches(&found.kinds) && count(&found.kinds) <= 24,
        "{:#?}",
        found.kinds
    );
    assert!(found.kinds.iter().any(|step| step.tool == "recording"));
    // Where it is not named, it is not offered.
    let lists = || now.kinds.iter().chain(&now.singles);
    assert!(lists().all(|step| step.tool != "recording"));
}

/// What is foretold at one linearisation is what the adjustment with the readings says, and what sampling finds.
#[test]
fn what_is_foretold_comes() {
    let profiles = Profiles::built_in();
    for name in ["parlour", "nylon-drop-in", "zero-fret", "tenor-ukulele"] {
        let done = planned(&example(name));
        let saddle = done.saddle().unwrap();
        let found = saddle.next(&Shop::usual(&profiles), &ALL).unwrap();
        assert!(found.kinds.len() >= 2, "{name}");
        let evidence = saddle.evidence;
        let sampled = |readings: &Readings| {
            let (of, unsure) = (evidence.instrument.clone(), evidence.unsure);
            let with = Evidence::of(of, evidence.slot, readings.clone(), unsure).unwrap();
            // Readings that say what was expected leave the instrument where it was.
            assert!(with.known.estimate.state.iter().all(|off| off.abs() < 1e-3), "{name}");
            let band = saddle.job.tolerance.band;
            let sampling = Sampling::default();
            tolerance(&with, saddle.survey, saddle.plan, band, sampling, &|_| ())
                .unwrap()
                .all_within
        };
        // 20,000 samples are sure to 0.35 in a hundred, the points to 0.5; the rest is what is not straight.
        let near = |told: f64, happens: f64| assert!((told - happens).abs() < 0.025, "{name}: {told} {happens}");
        near(found.now, sampled(&evidence.readings));
        for (list, most) in [(&found.kinds, 4), (&found.singles, 6)] {
            let mut readings = evidence.readings.clone();
            for step in list.iter().take(most) {
                let tool = profiles.tool(&step.tool).unwrap().reads(step.of).unwrap();
                let usual = step.of.usual_tool() == step.tool;
                let one = |at: &At| Taken {
                    of: step.of,
                    at: *at,
                    value: 0.0,
                    unsure: if usual {
                        evidence.unsure.taken(step.of, 0.0)
                    } else {
                        tool.at(0.0)
                    },
                    tool: step.tool.clone(),
                    visit: 1,
                    doubted: false,
                };
                assert!(
                    !matches!(step.of, Of::Inharmonicity | Of::RadiusAtNut),
                    "sure to a share of its value"
                );
                let mut taken: Vec<Taken> = step.places.iter().map(one).collect();
                let told = evidence.known.ahead(&evidence.seen(), &taken).expected;
                for (taken, told) in taken.iter_mut().zip(told) {
                    taken.value = told.unwrap().value;
                }
                readings.taken.extend(taken);
            }
            near(list.iter().take(most).next_back().unwrap().chance, sampled(&readings));
        }
    }
}

/// In whatever order the tools of the shop stand, the lists are the same; and no step makes less sure.
#[test]
fn the_order_of_tools_does_not_matter() {
    let profiles = Profiles::built_in();
    let text = include_str!("../../../../profiles/tools.toml");
    let entries: Vec<&str> = text.split("[[tool]]\n").skip(1).collect();
    let turned: Vec<String> = entries.iter().rev().map(|entry| format!("[[tool]]\n{entry}")).collect();
    let mut other = Profiles::default();
    other.add_text("turned.toml", &turned.concat()).unwrap();
    assert_eq!(other.tools().len(), profiles.tools().len());
    for name in ["parlour", "mandolin", "nylon-drop-in"] {
        let done = planned(&example(name));
        let of = |profiles: &Profiles| done.saddle().unwrap().next(&Shop::usual(profiles), &ALL).unwrap();
        let found = of(&profiles);
        assert_eq!(found, of(&other), "{name}");
        for list in [&found.kinds, &found.singles] {
            let mut before = found.now;
            for step in list {
                // The points are fixed, but a chance at points is not smooth to the last of them.
                assert!(step.chance > before - 0.005, "{name}: {step:?}");
                before = step.chance;
            }
        }
    }
}

#[test]
fn action_gains_nothing_without_heights_and_both_are_seen() {
    let profiles = Profiles::built_in();
    let found = next(&example("parlour"), &Shop::usual(&profiles), 0.9);
    let has = |of: Of| found.kinds.iter().any(|step| step.of == of);
    assert!(
        has(Of::SaddleHeight) && has(Of::Action { fret: 12 }),
        "{:#?}",
        found.kinds
    );
    // By the one tool, without which there is no height, action is not worth taking first.
    let without = ["micrometer".to_owned(), "caliper".to_owned()];
    let shop = Shop {
        without: &without,
        ..Shop::usual(&profiles)
    };
    let found = next(&example("parlour"), &shop, 0.9);
    assert!(found.kinds.iter().all(|step| !without.contains(&step.tool)));
    assert_ne!(found.kinds[0].of, Of::Action { fret: 12 }, "{:#?}", found.kinds);
}

/// A second visit has a drift of its own, so that what is read on it says less.
#[test]
fn a_second_visit_gains_less() {
    let profiles = Profiles::built_in();
    let of = |visit| {
        let shop = Shop {
            visit,
            ..Shop::usual(&profiles)
        };
        planned(&example("parlour"))
            .saddle()
            .unwrap()
            .next(&shop, &ALL)
            .unwrap()
    };
    let (one, two) = (of(1), of(2));
    assert_eq!(one.now, two.now);
    assert!(two.kinds.last().unwrap().chance < one.kinds.last().unwrap().chance - 0.03);
}

/// What was read with a tool errs again by what it shares: that is said, and the surest other tool is offered beside it.
#[test]
fn a_repeat_is_said_to_be_one() {
    let profiles = Profiles::built_in();
    let found = next(&example("twelve-string"), &Shop::usual(&profiles), 0.99);
    let cents = found.kinds.iter().find(|step| step.of == Of::Cents { fret: 12 });
    assert!(
        cents.is_some_and(|step| step.again && step.tool == "tuner"),
        "{:#?}",
        found.kinds
    );
    let parlour = next(&example("parlour"), &Shop::usual(&profiles), 0.9);
    assert!(parlour.kinds.iter().all(|step| !step.again), "{:#?}", parlour.kinds);
}

/// Over a nut that is to be made, and whose present one was not read, no string tells anything.
#[test]
fn without_the_present_nut_no_string_is_offered() {
    let profiles = Profiles::built_in();
    let found = next(&example("parlour-both"), &Shop::usual(&profiles), 0.9);
    assert!(found.no_nut);
    assert!(found.kinds.iter().all(|step| !step.wants_saddle()));
    // Read, it lets them be.
    let read = example("parlour-both").replace(
        "[nut]\n",
        "[nut]\nheld_at_3 = { bass = \"6 thou\", treble = \"4 thou\" }\n",
    );
    let found = next(&read, &Shop::usual(&profiles), 0.9);
    assert!(!found.no_nut);
    assert!(found.kinds.iter().any(NextStep::wants_saddle), "{:#?}", found.kinds);
}
