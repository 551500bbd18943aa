//! The plan's page: everything that is made, one reading to try out, and the ways out to try.

use maud::{Markup, html};
use work::SaddleWork;

use super::live::{self, closing, whole};
use super::notes::{TriedWay, WAYS};
use super::told::no_plan;
use super::{Tab, frame, opened, steps, survey, to};
use crate::bench::Bench;
use crate::desk::{Judged, Opened};
use crate::talk::{Ask, Reply};

/// The plan's page: everything, any one reading to try out, and with `way` a way out as it would be.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let heights = |saddle: &SaddleWork| bench.sampled.heights(&opened.judged_as(), saddle);
    let main = match tried(&opened, ask.fields.text("way")) {
        Some((way, then)) => on_trial(bench, &opened, way, &then),
        None => match whole(&opened.judged, &heights, None) {
            None => no_plan(&opened),
            Some(whole) => html! {
                div.title-row { h1 { "Plan" } (steps(bench, &opened, "plan")) }
                (survey::lever(bench, &opened, ask.fields.get("key")))
                div id="live" data-part="whole" { (whole) }
                p.setting { a.button.quiet href=(to(&opened.name, "sureness")) { "How sure it is, and what to read next" } }
                (closing(&opened.judged))
            },
        },
    };
    Reply::Page(200, frame(bench, &opened.title(), Some((&opened, Tab::Plan)), &main))
}

/// A way out, and what it would make of the plan.
fn tried(opened: &Opened, word: &str) -> Option<(&'static TriedWay, Judged)> {
    let way = WAYS.iter().find(|one| one.word == word)?;
    let done = opened.judged.planned()?.tried(way.way)?;
    let problems = opened.judged.problems.clone();
    Some((
        way,
        Judged {
            problems,
            done: Some(done),
        },
    ))
}

/// The plan with a way out taken, beside the plan as it is.
fn on_trial(bench: &Bench, opened: &Opened, way: &TriedWay, then: &Judged) -> Markup {
    let heights = |saddle: &SaddleWork| bench.sampled.while_typing(&opened.judged_as(), saddle);
    html! {
        div.title-row { h1 { "Plan, on trial" } p { a.button href=(to(&opened.name, "plan")) { "Back as it was" } } }
        p.say.doubt { span.mark aria-hidden="true" { "!" } " Tried: " (way.what) ". Nothing of it is kept. Pale: as it was. " (way.then) }
        p { (live::moved_words(then, &opened.judged)) }
        @if let Some(whole) = whole(then, &heights, Some(&opened.judged)) { (whole) }
        (closing(&opened.judged))
    }
}

#[cfg(test)]
mod tests {
    use job::Profiles;
    use saddle::{Hold, Way};

    use super::*;
    use crate::desk::Desk;
    use crate::examples;
    use crate::memory::MemoryJobs;
    use crate::name::JobName;

    fn opened(name: &str) -> Opened {
        let desk = Desk::new(Box::<MemoryJobs>::default(), Profiles::built_in());
        let job = JobName::parse("a").unwrap();
        desk.store.create(&job, examples::text(name).unwrap()).unwrap();
        desk.open(&job).unwrap()
    }

    /// A way out on trial leaves what the plan said it would: to the tenth of a cent where nothing else moves.
    #[test]
    fn a_way_on_trial_leaves_what_was_told_of_it() {
        let opened = opened("parlour");
        let saddles = opened.judged.saddles();
        let told = saddles[0].plan.ways_out.as_ref().unwrap();
        // The mildest first.
        let order: Vec<Way> = told.order.iter().map(|left| left.way).collect();
        assert_eq!(saddles[0].tries(), order);
        for TriedWay { way, word, .. } in WAYS {
            let (_, then) = tried(&opened, word).unwrap();
            let tried = then.saddles();
            let plan = tried[0].plan;
            let left = told.order.iter().find(|left| left.way == way).unwrap().worst;
            let fret = usize::try_from(left.fret).unwrap() - 1;
            let string = plan.strings.iter().find(|s| s.number == left.string).unwrap();
            assert!(
                (string.cents[fret] - left.cents).abs() < 0.1,
                "{way:?}: {} {left:?}",
                string.cents[fret]
            );
            let words = live::moved_words(&then, &opened.judged);
            assert_eq!(live::moved_words(&opened.judged, &opened.judged), "");
            if way == Way::Nut {
                assert!(
                    words.starts_with("Moved, in thou: string 2 nut ") && words.contains(" toward the bridge"),
                    "{words}"
                );
                // The saddle stays as it is planned, and so does what a string asks for that needs no setback.
                for (was, now) in saddles[0].plan.strings.iter().zip(&plan.strings) {
                    assert!((was.contact.b - now.contact.b).abs() < 0.02, "{}", was.number);
                    let own = told.nut.iter().find(|way| way.string == was.number);
                    let setback = own.and_then(|way| way.setback).unwrap_or(was.nut_setback);
                    assert!((now.nut_setback - setback).abs() < 1e-9);
                    assert!((now.action_12 - was.action_12).abs() < 1e-9);
                }
                continue;
            }
            assert!(plan.strings.iter().all(|s| s.hold == Hold::Free), "{way:?}");
            assert!(words.starts_with("Moved, in thou: string 6 up "), "{words}");
            assert_eq!(words.contains("back +"), way == Way::Thicker, "{words}");
        }
        assert!(tried(&opened, "nowhere").is_none());
    }

    /// A thicker blank is as thick as it was told, and the slot as much wider.
    #[test]
    fn a_thicker_blank_is_tried_in_a_slot_as_much_wider() {
        let opened = opened("parlour");
        let saddles = opened.judged.saddles();
        let way = saddles[0].plan.ways_out.as_ref().unwrap().thicker;
        let (_, then) = tried(&opened, "thicker").unwrap();
        let after = then.saddles();
        assert!((after[0].plan.blank.thickness - way.thickness).abs() < 1e-9);
        let wider = after[0].survey.slot_width.unwrap() - saddles[0].survey.slot_width.unwrap();
        assert!((wider - way.forward - way.back).abs() < 1e-9);
    }

    /// What moves of a nut while a value is tried is told, and stands beside the figures.
    #[test]
    fn what_moves_of_a_nut_is_seen_and_told() {
        let desk = Desk::new(Box::<MemoryJobs>::default(), Profiles::built_in());
        let judged = |name: &str, text: &str| {
            let job = JobName::parse(name).unwrap();
            desk.store.create(&job, text).unwrap();
            desk.open(&job).unwrap().judged
        };
        let text = include_str!("../../../../examples/nut-only.toml");
        let was = judged("a", text);
        let higher = text.replace(
            "new_clearance = { bass = \"0.022\"",
            "new_clearance = { bass = \"0.026\"",
        );
        assert_ne!(higher, text);
        let now = judged("b", &higher);
        let words = live::moved_words(&now, &was);
        assert!(words.contains("nut, string 6 floor up +"), "{words}");
        assert!(!words.contains("nut, string 1 "), "{words}");
        let heights = |_: &SaddleWork| unreachable!();
        let page = whole(&now, &heights, Some(&was)).unwrap().into_string();
        assert!(
            page.contains("class=\"was\"") && page.contains("class=\"moved\""),
            "{page}"
        );
        assert!(
            !whole(&was, &heights, Some(&was))
                .unwrap()
                .into_string()
                .contains("class=\"moved\"")
        );
    }
}
